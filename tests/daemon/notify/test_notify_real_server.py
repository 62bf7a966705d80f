import subprocess
import sys
from xml.etree import ElementTree

import pytest

from tests.daemon.notification_server import dunst, private_bus, screen
from tracker.daemon.notify import (
    Chain,
    DesktopBus,
    NotDelivered,
    Notice,
    PlyerDesktop,
    Terminal,
)

READY = Notice("CAOF-26-01 may be pressed", "Calendula officinalis, 91 days on the herb")
SHAKE = Notice(
    "Shake 3 jars",
    "CAOF-26-01\nACMI-26-02\nMEOF-26-01",
    actions=(("shaken", "Shaken"),),
    key="shake",
)


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


@pytest.fixture
def server(bus, display):
    with dunst(bus, display) as server:
        yield server


@pytest.fixture
def desktop():
    channel = DesktopBus()
    yield channel
    channel.close()


def shown_text(entry):
    """What a reader of the body sees, by the standard library's own markup parser."""
    body = ElementTree.fromstring(f"<body>{entry['body']}</body>")
    assert not list(body), f"markup was obeyed: {entry['body']}"
    return body.text


@pytest.mark.parametrize("channel", [DesktopBus(), PlyerDesktop()], ids=lambda c: c.name)
def test_a_delivered_notice_is_on_the_screen(server, channel):
    channel.deliver(READY)

    assert server.displayed == 1
    (entry,) = server.close_and_list()
    assert entry["appname"] == "Stillroom"
    assert (entry["summary"], entry["body"]) == (READY.title, READY.body)


def test_a_notice_with_the_same_key_takes_the_place_of_the_first(server, desktop):
    for day in (1, 2, 3):
        desktop.deliver(Notice(f"day {day}", "", key="north shelf"))
    desktop.deliver(Notice("another book", "", key="south shelf"))

    assert server.displayed == 2
    titles = {entry["summary"] for entry in server.close_and_list()}
    assert titles == {"day 3", "another book"}


def test_notices_without_a_key_stand_side_by_side(server, desktop):
    desktop.deliver(READY)
    desktop.deliver(READY)

    assert server.displayed == 2


@pytest.mark.parametrize("channel", [DesktopBus(), PlyerDesktop()], ids=lambda c: c.name)
@pytest.mark.parametrize(
    "words",
    [
        "<b>bold</b> & <a href='https://example.org'>link</a> &lt;",
        "- first line of a list\n- second",
        "--urgency=critical",
        r"C:\new \x41 \101",
        "Ringelblume, Sanddornöl, 薄荷",
    ],
)
def test_text_is_shown_as_written_and_never_obeyed(server, channel, words):
    """A jar's note may hold anything; none of it is markup, an option or an escape."""
    channel.deliver(Notice(words.splitlines()[0], words))

    (entry,) = server.close_and_list()
    assert entry["summary"].strip() == words.splitlines()[0]
    assert shown_text(entry).strip() == words


@pytest.mark.parametrize("channel", [DesktopBus(), PlyerDesktop()], ids=lambda c: c.name)
def test_control_characters_arrive_in_writing(server, channel):
    channel.deliver(Notice("a\nb", "bell \x07, turned \u202eround"))

    (entry,) = server.close_and_list()
    assert entry["summary"] == r"a\x0ab"
    assert shown_text(entry) == r"bell \x07, turned \u202eround"


def test_only_an_urgent_notice_is_critical_to_the_server(server, desktop):
    desktop.deliver(Notice("Mould in CAOF-26-01", "", urgent=True))
    desktop.deliver(READY)

    ready, mould = server.close_and_list()
    assert mould["message"].startswith("<i>critical</i>")
    assert not ready["message"].startswith("<i>critical</i>")


def test_plyer_marks_an_urgent_title_because_it_cannot_say_urgency(server):
    PlyerDesktop().deliver(Notice("Mould in CAOF-26-01", "", urgent=True))

    (entry,) = server.close_and_list()
    assert entry["summary"] == "! Mould in CAOF-26-01"


def test_a_button_pressed_on_the_screen_comes_back(server, desktop):
    desktop.deliver(SHAKE)
    server.run("dunstctl", "action", "0")

    assert desktop.wait_for_action(10) == "shaken"
    assert not desktop.listening


def test_a_click_on_the_notice_itself_is_the_default_action(server, desktop):
    actions = (("default", "Open"), ("shaken", "Shaken"), ("later", "Later"))
    desktop.deliver(Notice("Shake 3 jars", "", actions=actions))
    server.run("dunstctl", "action", "0")

    assert desktop.wait_for_action(10) == "default"


def test_a_button_pressed_on_a_replaced_notice_comes_back(server, desktop):
    desktop.deliver(Notice("yesterday", "", key="shake", actions=(("open", "Open"),)))
    desktop.deliver(SHAKE)
    server.run("dunstctl", "action", "0")

    assert desktop.wait_for_action(10) == "shaken"


def test_a_notice_closed_without_a_button_ends_the_wait_at_once(server, desktop):
    desktop.deliver(SHAKE)
    server.run("dunstctl", "close-all")

    assert desktop.wait_for_action(60) is None
    assert not desktop.listening


def test_a_wait_that_runs_out_can_be_taken_up_again(server, desktop):
    desktop.deliver(SHAKE)

    assert desktop.wait_for_action(0) is None
    assert desktop.listening
    server.run("dunstctl", "action", "0")
    assert desktop.wait_for_action(10) == "shaken"


def test_a_server_that_dies_while_we_wait_ends_the_wait(bus, server, desktop):
    desktop.deliver(SHAKE)
    bus.die()

    assert desktop.wait_for_action(60) is None
    assert not desktop.listening


def test_a_new_server_s_first_notice_is_never_replaced_by_an_old_number(server, desktop):
    """Servers count from the start again, so the old id is by now somebody else's message."""
    desktop.deliver(Notice("before", "", key="shelf"))
    server.stop()
    server.start()
    server.run("notify-send", "somebody else's message")
    desktop.deliver(Notice("after", "", key="shelf"))

    assert server.displayed == 2


def test_a_bus_that_dies_and_comes_back_is_used_again(bus, display, desktop):
    with dunst(bus, display):
        desktop.deliver(READY)
        bus.die()
        with pytest.raises(NotDelivered):
            desktop.deliver(READY)

    bus.come_back()
    with dunst(bus, display) as server:
        desktop.deliver(READY)

        assert server.displayed == 1


@pytest.mark.parametrize("channel", [DesktopBus(), PlyerDesktop()], ids=lambda c: c.name)
def test_a_server_that_starts_on_demand_is_started(monkeypatch, display, channel):
    """On many desktops nobody owns the name until the first message of the day."""
    with private_bus(on_demand=f"/usr/bin/env DISPLAY={display} dunst") as bus:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        channel.deliver(READY)
        shown = subprocess.run(
            ["dunstctl", "count", "displayed"], capture_output=True, text=True, check=True
        )

    assert shown.stdout == "1\n"


@pytest.mark.parametrize(
    "channel", [DesktopBus(limit_s=1.0), PlyerDesktop(limit_s=2.0)], ids=lambda c: c.name
)
def test_a_frozen_server_has_taken_nothing_until_it_thaws(server, channel):
    with server.frozen(), pytest.raises(NotDelivered, match=r"no answer .* in time"):
        channel.deliver(READY)
    channel.deliver(READY)

    assert server.displayed == 1


def test_a_chain_falls_through_to_the_terminal_when_the_desktop_goes(bus, server, capsys):
    chain = Chain([DesktopBus(), PlyerDesktop(), Terminal(sys.stdout, is_read=True)])
    first = chain.deliver(READY)
    bus.die()
    second = chain.deliver(READY)

    assert (first, second) == ("desktop-bus", "terminal")
    assert capsys.readouterr().out == f"{READY.title}\n  {READY.body}\n"
