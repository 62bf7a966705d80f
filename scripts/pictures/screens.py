"""The page and the pictures in the browser, and a message on the desktop."""

import time
from typing import Literal

from PIL import Image, ImageGrab

from pictures.png import cut_at_a_gap, framed, trimmed
from pictures.stage import PHONE, Stage
from tests.daemon.notification_server import dunst, private_bus, screen


def page_on_a_phone(stage: Stage, colours: Literal["light", "dark"]) -> Image.Image:
    """The first screen of the page by day or by night."""
    page = stage.file("page", "shelf.html")
    high = stage.phone_high(page, 780)
    return framed(stage.looked_at(page, width=PHONE, height=high, colours=colours))


def page_on_a_desk(stage: Stage) -> Image.Image:
    """The first screen of the page in a wide window."""
    page = stage.file("page", "shelf.html")
    return framed(stage.looked_at(page, width=1200, height=860, scale=1))


def drawn(stage: Stage, line: str, high: int) -> Image.Image:
    """A picture as a wide window shows it, no further down than `high`."""
    page = stage.file(line, "picture.html")
    whole = stage.looked_at(page, width=1000, height=high, scale=1.25, only=".picture")
    return framed(trimmed(cut_at_a_gap(whole, round(high * 1.25), gap=20), margin=20))


def message(stage: Stage) -> Image.Image:
    """The morning's message, as a notification server of a desktop sets it."""
    with private_bus() as bus, screen() as display, dunst(bus, display, RULES) as server:
        stage.command.env["DBUS_SESSION_BUS_ADDRESS"] = bus.address
        stage.command.ok("remind")
        until = time.monotonic() + 10
        while not server.displayed and time.monotonic() < until:
            time.sleep(0.1)
        time.sleep(0.5)  # it is counted a moment before it is drawn
        return trimmed(ImageGrab.grab(xdisplay=display).convert("RGB"), margin=0)


RULES = """
[global]
width = 640
[set_as_a_desktop_would]
summary = "*"
background = "#fbfaf4"
foreground = "#1e2a22"
frame_color = "#2f6242"
format = "<b>%s</b>\\n%b"
"""
