import subprocess
import sys
from contextlib import ExitStack
from threading import Thread

import pytest
from jeepney import HeaderFields, message_bus, new_signal
from jeepney.io.blocking import open_dbus_connection

from tests.daemon.notification_server import SERVICE, private_bus, scripted
from tracker.daemon.notify import DesktopBus, NotDelivered, Notice

SHAKE = Notice("Shake 3 jars", "one\ntwo <3 & four", actions=(("shaken", "Shaken"),))


@pytest.fixture
def bus(monkeypatch):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    with private_bus() as bus:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        yield bus


@pytest.fixture
def desktop():
    channel = DesktopBus()
    yield channel
    channel.close()


# Desktop Notifications Specification 1.2, "Notify": app_name, replaces_id, app_icon, summary,
# body, actions, hints (urgency is a byte: 1 normal, 2 critical), expire_timeout (-1: the
# server's own).
def test_the_server_is_told_exactly_what_the_standard_lists(bus, desktop):
    with scripted(bus) as server:
        desktop.deliver(SHAKE)
        desktop.deliver(Notice("Mould", "", urgent=True))

    assert server.taken == [
        (
            "Stillroom",
            0,
            "",
            "Shake 3 jars",
            "one\ntwo &lt;3 &amp; four",
            ["shaken", "Shaken"],
            {"urgency": ("y", 1)},
            -1,
        ),
        ("Stillroom", 0, "", "Mould", "", [], {"urgency": ("y", 2)}, -1),
    ]


def test_a_body_is_escaped_only_for_a_server_that_reads_markup(bus, desktop):
    with scripted(bus, capabilities=("body",)) as server:
        desktop.deliver(SHAKE)

    assert server.taken[0][4] == SHAKE.body


def test_buttons_are_kept_from_a_server_that_has_none(bus, desktop):
    with scripted(bus, capabilities=("body",)) as server:
        desktop.deliver(SHAKE)

    assert server.taken[0][5] == []
    assert not desktop.listening


def test_a_server_that_shows_no_body_gets_everything_in_the_title(bus, desktop):
    """The standard lets a server drop the body; a reminder would lose its jars."""
    with scripted(bus, capabilities=()) as server:
        desktop.deliver(SHAKE)

    assert server.taken[0][3:5] == ("Shake 3 jars · one · two <3 & four", "")


@pytest.mark.parametrize(
    ("answer", "why"),
    [
        (("u", (0,)), "not an id"),
        (("s", ("shown",)), "not an id"),
        (("", ()), "not an id"),
        ("org.freedesktop.DBus.Error.LimitsExceeded", "LimitsExceeded: no room on the screen"),
        (None, "no answer"),
    ],
)
def test_only_an_id_from_the_server_counts_as_delivered(bus, answer, why):
    desktop = DesktopBus(limit_s=0.3)
    with scripted(bus, answer=lambda _: answer), pytest.raises(NotDelivered, match=why):
        desktop.deliver(SHAKE)

    assert not desktop.listening


def test_a_notice_replaces_the_last_one_with_its_key_and_no_other(bus, desktop):
    with scripted(bus) as server:
        for key in ("north", "south", "north", "", "", "south"):
            desktop.deliver(Notice("due", "", key=key))

    assert [body[1] for body in server.taken] == [0, 0, 1, 0, 0, 2]


def test_a_fresh_notifier_replaces_nothing(bus):
    with scripted(bus) as server:
        DesktopBus().deliver(Notice("due", "", key="north"))
        DesktopBus().deliver(Notice("due", "", key="north"))

    assert [body[1] for body in server.taken] == [0, 0]


def test_only_our_own_button_ends_the_wait(bus, desktop):
    """Other notices, and the window token a desktop sends first, are not a press of ours."""
    with scripted(bus) as server:
        desktop.deliver(SHAKE)
        server.says("ActionInvoked", "us", (2, "later"))
        server.says("NotificationClosed", "uu", (2, 1))
        server.says("ActivationToken", "us", (1, "token"))
        server.says("ActionInvoked", "us", (1, "shaken"))

        assert desktop.wait_for_action(10) == "shaken"


def test_a_press_claimed_by_somebody_else_is_not_believed(bus, desktop):
    """Any program on the bus can send us the signal; only the server's own is a fact."""
    with scripted(bus) as server, open_dbus_connection(bus.address) as stranger:
        desktop.deliver(SHAKE)
        forged = new_signal(SERVICE, "ActionInvoked", "us", (1, "later"))
        forged.header.fields[HeaderFields.destination] = server.caller
        stranger.send(forged)
        stranger.send_and_get_reply(message_bus.GetId())  # the bus has passed it on by now
        server.says("ActionInvoked", "us", (1, "shaken"))

        assert desktop.wait_for_action(10) == "shaken"


def test_nobody_waits_for_a_notice_without_buttons(bus, desktop):
    with scripted(bus):
        desktop.deliver(SHAKE)
        desktop.deliver(Notice("Ready", ""))

        assert desktop.wait_for_action(60) is None
        assert not desktop.listening


def test_nothing_was_delivered_so_there_is_nothing_to_wait_for():
    assert DesktopBus().wait_for_action(60) is None


def test_a_bus_without_a_server_takes_nothing(bus, desktop):
    # D-Bus Specification, "Message Bus Messages": the error for a name nobody owns.
    with pytest.raises(NotDelivered, match=r"org\.freedesktop\.DBus\.Error\.ServiceUnknown"):
        desktop.deliver(SHAKE)


@pytest.mark.parametrize(
    "address",
    [
        "",
        "disabled:",
        "autolaunch:",
        "nonsense",
        "tcp:host=localhost,port=1",
        "unix:tmpdir=/tmp",
        "unix:path=/nowhere/bus",
        "unix:path=/dev/null",
    ],
)
def test_without_a_bus_the_notice_is_not_delivered(monkeypatch, desktop, address):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", address)

    with pytest.raises(NotDelivered) as refusal:
        desktop.deliver(SHAKE)
    assert refusal.value.channel == "desktop-bus"
    assert refusal.value.why


def test_an_environment_that_names_no_bus_is_said_plainly(monkeypatch, desktop):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)

    with pytest.raises(NotDelivered, match=r"^desktop-bus: the environment names no session bus"):
        desktop.deliver(SHAKE)


def test_a_bus_that_is_not_there_is_said_plainly(monkeypatch, desktop):
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/nowhere/bus")

    with pytest.raises(NotDelivered, match="the session bus cannot be reached: No such file"):
        desktop.deliver(SHAKE)


def test_the_bus_is_also_found_in_the_user_s_runtime_folder(monkeypatch, bus, desktop):
    """Where systemd puts it, for shells that did not inherit the address."""
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS")
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(bus.folder))
    with scripted(bus) as server:
        desktop.deliver(SHAKE)

    assert len(server.taken) == 1


@pytest.mark.parametrize("wedged", ["mute", "frozen"])
def test_a_wedged_bus_holds_nobody_up(monkeypatch, wedged):
    """A mute bus never answers the first call, on which the library sets no limit."""
    with ExitStack() as stack:
        bus = stack.enter_context(private_bus(mute=wedged == "mute"))
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        if wedged == "frozen":
            stack.enter_context(bus.frozen())
        refusals: list[NotDelivered] = []

        def deliver():
            try:
                DesktopBus(limit_s=0.3).deliver(SHAKE)
            except NotDelivered as refusal:
                refusals.append(refusal)

        call = Thread(target=deliver, daemon=True)
        call.start()
        call.join(10)

        assert not call.is_alive()
        assert [refusal.channel for refusal in refusals] == ["desktop-bus"]


def test_importing_the_channels_loads_no_desktop_library():
    """Every command would pay for it, and only a reminder needs it."""
    code = (
        "import sys, tracker.daemon.notify;"
        "print(sorted({'jeepney', 'plyer'} & {name.split('.')[0] for name in sys.modules}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout == "[]\n"
