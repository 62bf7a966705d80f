import io

import pytest

from tracker.daemon.notify import (
    Chain,
    DesktopBus,
    NotDelivered,
    Notice,
    PlyerDesktop,
    Terminal,
    desktop_channels,
)

READY = Notice("Due today", "CAOF-26-01 ready")


def a_dead_terminal():
    stream = io.StringIO()
    stream.close()
    return Terminal(stream, is_read=True)


def test_the_first_channel_that_takes_it_is_named_and_the_rest_stay_silent():
    first, second = io.StringIO(), io.StringIO()

    assert (
        Chain([Terminal(first, is_read=True), Terminal(second, is_read=True)]).deliver(READY)
        == "terminal"
    )
    assert first.getvalue() == "Due today\n  CAOF-26-01 ready\n"
    assert second.getvalue() == ""


def test_a_dead_channel_is_passed_over(monkeypatch):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    stream = io.StringIO()
    chain = Chain([DesktopBus(), PlyerDesktop(platform="linux"), Terminal(stream, is_read=True)])

    assert chain.deliver(READY) == "terminal"
    assert stream.getvalue() == "Due today\n  CAOF-26-01 ready\n"


def test_every_reason_is_kept_when_nobody_takes_it(monkeypatch):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)

    with pytest.raises(NotDelivered) as refusal:
        Chain([DesktopBus(), a_dead_terminal()]).deliver(READY)
    bus, terminal = refusal.value.why.split("; ")
    assert bus == "desktop-bus: the environment names no session bus"
    assert terminal.startswith("terminal: ")


def test_a_chain_of_nothing_delivers_nothing():
    with pytest.raises(NotDelivered, match="there is no channel to send by"):
        Chain([]).deliver(READY)


def test_a_mistake_of_ours_is_not_taken_for_a_dead_channel():
    """A bug must show its traceback, not quietly send every reminder elsewhere."""
    with pytest.raises(AttributeError):
        Chain([Terminal("no stream", is_read=True)]).deliver(READY)


@pytest.mark.parametrize(
    ("platform", "names"),
    [
        ("linux", ["desktop-bus", "plyer"]),
        ("freebsd14", ["desktop-bus", "plyer"]),
        ("win32", ["plyer"]),
        ("darwin", ["plyer"]),
    ],
)
def test_each_platform_has_its_own_channels_the_surest_first(platform, names):
    assert [channel.name for channel in desktop_channels(platform)] == names
