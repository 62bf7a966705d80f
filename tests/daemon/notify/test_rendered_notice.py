"""A morning's message as a desktop draws it: whole, in its lines, red on the first day alone.

The server is a real one, in the sizes and letters it comes with: 300 pixels wide at most.
"""

import subprocess
from datetime import date
from pathlib import Path
from time import monotonic, sleep

import pytest
from PIL import Image

from tests.daemon.notification_server import dunst, private_bus, screen
from tests.outputs.terminal.test_due_groups import READY, TODAY, a_shake, an_item
from tracker.core.rules.morning import Told, after_telling
from tracker.core.rules.reasons import BareLid, GoodThrough, OnHold, PastLongest
from tracker.daemon.deliver import notice
from tracker.daemon.notify import DesktopBus
from tracker.outputs.words.due.due_message import MOST_LINES

pytestmark = pytest.mark.thorough

RECALL = OnHold("recall", "recalled with lot LOT-25-11: moths", event="0001")
RED, BLUE = (0x90, 0, 0), (0x28, 0x55, 0x77)  # how this server draws critical and normal

AS_IT_COMES = """[global]
font = Monospace 8
width = 300
height = {height}
origin = top-right
offset = 10x50
frame_width = 3
format = "<b>%s</b>\\n%b"
ellipsize = middle
[urgency_normal]
background = "#285577"
foreground = "#ffffff"
timeout = 0
[urgency_critical]
background = "#900000"
foreground = "#ffffff"
timeout = 0
[said_to_be_critical]
msg_urgency = critical
format = "<b>%s</b>\\n%b"
"""
_LIMIT_S = 20.0


def a_morning():
    """As much as a message ever says: a line for each kind of danger, and shakes."""
    return [
        *(an_item(number, "safety", RECALL, plant="small-leaved lime") for number in range(4)),
        an_item(7, "safety", BareLid(), plant="burdock & <b>bold</b>", code="ARLA-26-02"),
        an_item(9, "past-longest", PastLongest(18), plant="marigold", code="CAOF-26-03"),
        an_item(8, "expired", GoodThrough(date(2026, 11, 13), 182.0), plant="vervain"),
        *map(a_shake, range(4)),
        an_item(6, "ready", READY, code="SARO-26-02"),
        an_item(5, "ready", READY, code="HYPE-26-02"),
    ]


@pytest.fixture(scope="module")
def display():
    with screen() as name:
        yield name


@pytest.fixture
def bus(monkeypatch):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    with private_bus() as bus:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        yield bus


def drawn(bus, display: str, file: Path, digest, *, height: int = 300) -> Image.Image:
    """What the server draws of a notice, cut to its own colour."""
    with dunst(bus, display, AS_IT_COMES.format(height=height)) as server:
        desktop = DesktopBus()
        desktop.deliver(digest)
        try:
            assert server.displayed == 1
            return _settled(display, file)
        finally:
            desktop.close()


def _settled(display: str, file: Path) -> Image.Image:
    """The notice once it is drawn and stays the same: the server answers before it draws."""
    last, ends = None, monotonic() + _LIMIT_S
    while monotonic() < ends:
        found = _on_screen(display, file)
        if found is not None and last is not None and found.tobytes() == last.tobytes():
            return found
        last = found
        sleep(0.2)
    raise AssertionError("nothing was drawn")


def _on_screen(display: str, file: Path) -> Image.Image | None:
    grab = ["import", "-display", display, "-window", "root", f"png24:{file}"]
    subprocess.run(grab, check=True, capture_output=True, timeout=60)
    whole = Image.open(file).convert("RGB")
    pixels = whole.load()
    places = [
        (x, y)
        for x in range(whole.width)
        for y in range(whole.height)
        if pixels[x, y] in (RED, BLUE)
    ]
    if not places:
        return None
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return whole.crop((min(xs), min(ys), max(xs) + 1, max(ys) + 1))


def ground(picture: Image.Image) -> tuple[int, int, int]:
    return picture.getpixel((2, 2))


def rows_of_letters(picture: Image.Image) -> int:
    """How many rows of bright pixels there are with ground between them."""
    grey, ink = picture.convert("L"), []
    for y in range(picture.height):
        row = grey.crop((0, y, picture.width, y + 1))
        ink.append(row.getextrema()[1] > 200)
    return sum(now and not before for before, now in zip([False, *ink], ink, strict=False))


def test_a_full_message_is_drawn_whole_on_the_narrowest_of_desktops(bus, display, tmp_path):
    """No row is left off: without a limit to the height the picture is the same."""
    digest = notice(a_morning(), TODAY)
    picture = drawn(bus, display, tmp_path / "digest.png", digest)
    unlimited = drawn(bus, display, tmp_path / "tall.png", digest, height=2000)

    assert len(digest.body.splitlines()) == MOST_LINES
    assert picture.size == unlimited.size
    assert picture.tobytes() == unlimited.tobytes()
    assert picture.height < 300
    assert rows_of_letters(picture) > MOST_LINES


def test_it_is_red_on_its_first_day_and_like_the_rest_on_the_next(bus, display, tmp_path):
    items = a_morning()
    told = after_telling(Told(), [one.line for one in items], TODAY)
    first = drawn(bus, display, tmp_path / "first.png", notice(items, TODAY))
    next_day = drawn(bus, display, tmp_path / "next.png", notice(items, TODAY, told=told))

    assert (ground(first), ground(next_day)) == (RED, BLUE)


def right_edge(picture: Image.Image) -> int:
    """The last column with letters in it, below the head."""
    body = picture.convert("L").crop((0, 24, picture.width, picture.height))
    return body.point(lambda grey: 255 if grey > 200 else 0).getbbox()[2]


def test_a_name_that_looks_like_markup_is_drawn_letter_by_letter(bus, display, tmp_path):
    """As wide as the same number of other letters; what is obeyed takes no room."""
    edges = {}
    for plant in ("<b>&</b>", "(b)+(/b)", "+"):
        items = [an_item(7, "safety", OnHold("look", "mould"), plant=plant, code="A1")]
        picture = drawn(bus, display, tmp_path / "drawn.png", notice(items, TODAY))
        edges[plant] = right_edge(picture)

    assert edges["<b>&</b>"] == pytest.approx(edges["(b)+(/b)"], abs=3)
    assert edges["+"] < edges["<b>&</b>"] - 20
