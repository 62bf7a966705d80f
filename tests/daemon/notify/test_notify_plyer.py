import os
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.daemon.notification_server import private_bus, scripted
from tests.hypothesis_profile import LONG
from tracker.daemon.notify import NotDelivered, Notice, PlyerDesktop
from tracker.daemon.notify.plyer_desktop import cut_to_units

READY = Notice("CAOF-26-01 may be pressed", "91 days on the herb")


@pytest.fixture
def bus(monkeypatch):
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    with private_bus() as bus:
        monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", bus.address)
        yield bus


@pytest.fixture
def notify_send(tmp_path, monkeypatch):
    """A `notify-send` of the test's own, first on the path: give it a shell script."""

    def install(script):
        program = tmp_path / "notify-send"
        program.write_text(f"#!/bin/sh\n{script}\n")
        program.chmod(0o755)
        monkeypatch.setenv("PATH", str(tmp_path), prepend=os.pathsep)

    return install


def test_a_silent_failure_without_a_bus_is_not_a_delivery(monkeypatch, notify_send):
    notify_send("exit 0")
    monkeypatch.delenv("XDG_RUNTIME_DIR", raising=False)
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)

    with pytest.raises(NotDelivered, match=r"^plyer: the environment names no session bus"):
        PlyerDesktop().deliver(READY)


def test_a_silent_failure_without_a_server_is_not_a_delivery(bus, notify_send):
    notify_send("exit 0")

    with pytest.raises(NotDelivered, match="ServiceUnknown"):
        PlyerDesktop().deliver(READY)


def test_a_missing_notify_send_is_not_a_delivery(bus, tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    with scripted(bus), pytest.raises(NotDelivered, match="notify-send is not installed"):
        PlyerDesktop().deliver(READY)


def test_a_call_that_never_returns_is_ended_with_all_it_started(bus, tmp_path, notify_send):
    os.mkfifo(tmp_path / "gate")
    notify_send(f"echo $$ > {tmp_path}/number; read line < {tmp_path}/gate")
    channel = PlyerDesktop(limit_s=2.0)
    with scripted(bus):
        with pytest.raises(NotDelivered, match="did not come back within 2 s"):
            channel.deliver(READY)
        number = int((tmp_path / "number").read_text())
        assert _has_ended(number)
        notify_send("exit 0")
        channel.deliver(READY)


def _has_ended(number: int, within_s: float = 10) -> bool:
    """Whether a process ends: a signal is sent at once, and arrives when there is time for it."""
    end = time.monotonic() + within_s
    while not (ended := _is_gone(number)) and time.monotonic() < end:
        time.sleep(0.02)
    return ended


def _is_gone(number: int) -> bool:
    """Whether a process is gone, or a zombie that waits for its parent: proc(5), stat, state."""
    try:
        stat = Path(f"/proc/{number}/stat").read_text()
    except OSError:
        return True
    return stat.rpartition(")")[2].split()[0] in "ZX"


@pytest.mark.parametrize(
    "what_it_does",
    [
        "raise SystemExit(0)",
        "import os; os._exit(0)",
        "import os; os.kill(os.getpid(), 11)",
        'import sys; sys.__stdout__.write(\'["taken", ""]\'); sys.__stdout__.flush(); 1 / 0',
    ],
    ids=["SystemExit", "os._exit", "segmentation fault", "prints what we would answer"],
)
def test_a_plyer_that_ends_its_process_has_not_delivered_and_we_go_on(
    bus, tmp_path, notify_send, monkeypatch, what_it_does, capfd
):
    """A package of that name, first on the path of the process apart."""
    notify_send("exit 0")
    folder = tmp_path / "first" / "plyer" / "platforms" / "linux"
    folder.mkdir(parents=True)
    for package in (folder, folder.parent, folder.parent.parent):
        (package / "__init__.py").write_text("")
    (folder / "notification.py").write_text(f"print('noise')\n{what_it_does}\n")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path / "first"))
    with scripted(bus), pytest.raises(NotDelivered, match="plyer"):
        PlyerDesktop().deliver(READY)

    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("notice", "title", "message"),
    [
        (Notice("-t", "-u"), " -t", " -u"),
        (Notice("", "no title"), "Stillroom", "no title"),
        (Notice("a <b>", "a <b> & c"), "a <b>", "a &lt;b&gt; &amp; c"),
        (Notice(r"a\n", r"a\n"), r"a\n", r"a\\n"),
        (Notice("Mould", "", urgent=True), "! Mould", ""),
    ],
)
def test_notify_send_gets_words_it_cannot_misread(
    bus, tmp_path, notify_send, notice, title, message
):
    notify_send(f'printf "%s|" "$1" "$2" > {tmp_path}/words')
    with scripted(bus):
        PlyerDesktop().deliver(notice)

    assert (tmp_path / "words").read_text() == f"{title}|{message}|"


@pytest.mark.parametrize(("platform", "why"), [("win32", "windll"), ("darwin", "pyobjus")])
def test_a_plyer_that_cannot_load_its_platform_is_not_a_delivery(platform, why):
    with pytest.raises(NotDelivered, match=why):
        PlyerDesktop(platform=platform).deliver(READY)


# Windows structure NOTIFYICONDATAW (from memory): szInfoTitle[64], szInfo[256], UTF-16.
@LONG
@given(st.text(), st.sampled_from([63, 255]))
def test_fitted_text_has_room_for_its_closing_nul(text, units):
    cut = cut_to_units(text * 20, units)

    assert len(cut.encode("utf-16-le")) <= units * 2
    assert cut == text * 20 or cut.endswith("…")


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("x" * 63, "x" * 63),
        ("x" * 64, "x" * 62 + "…"),
        ("🌿" * 31 + "x", "🌿" * 31 + "x"),  # 31 pairs and one: 63 units
        ("🌿" * 32, "🌿" * 31 + "…"),
    ],
    ids=["fits", "one too long", "pairs fit", "a pair too long"],
)
def test_text_is_cut_only_where_it_must_and_never_inside_a_pair(text, cut):
    assert cut_to_units(text, 63) == cut
