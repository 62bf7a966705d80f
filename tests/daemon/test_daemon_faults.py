"""What breaks around a daemon: it says so once, loses nothing, and goes on when it is back."""

import io
import os
import pty
import shutil
import signal
import stat
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path
from threading import Thread
from time import monotonic, sleep

import pytest

from tests.command import PATIENCE_S, Command
from tracker.daemon.complaints import MOST, WITHIN_S, Complaints
from tracker.daemon.deliver import MARKS, tell
from tracker.daemon.notify import Chain, NotDelivered, Notice, Terminal
from tracker.daemon.ticker import DaemonMemory, run, tick
from tracker.daemon.told import read_told
from tracker.daemon.untold import PRINTED, UNTOLD

LID = (
    'charge "citrus" --dried 50g --pour "250 ml 45%" --lid metal --code LID --when 2025-03-03 '
    "--sure"
)
NOW = "2025-03-10 09:00"


@pytest.fixture
def lid(tmp_path) -> Command:
    """A jar with a bare metal lid, due every day, and nothing told yet."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    command.ok(LID)
    return command


class Told:
    """A channel that takes every notice, or none."""

    name = "told"

    def __init__(self) -> None:
        self.notices: list[Notice] = []
        self.refuses = False

    def deliver(self, notice: Notice) -> None:
        if self.refuses:
            raise NotDelivered(self.name, "nobody is there")
        self.notices.append(notice)


def beats(command: Command, kept: DaemonMemory, count: int, at: str = NOW) -> Told:
    """So many heartbeats of one daemon."""
    channel = Told()
    for _ in range(count):
        tick(command.bench(at), Chain([channel]), kept)
    return channel


def gone(command: Command) -> Path:
    away = command.home / "away"
    command.book.rename(away)
    return away


def broken_book(command: Command) -> None:
    gone(command)


def a_file_in_place_of_the_book(command: Command) -> None:
    gone(command)
    command.book.write_text("no book")


def broken_practice(command: Command) -> None:
    (command.book / "practice.toml").rename(command.home / "practice.kept")
    (command.book / "practice.toml").write_bytes(b"digest = \x00\xff")


def a_folder_in_place_of_the_practice(command: Command) -> None:
    (command.book / "practice.toml").rename(command.home / "practice.kept")
    (command.book / "practice.toml").mkdir()


def a_drive_that_is_not_mounted(command: Command) -> None:
    """The folder it is mounted on is there, and empty."""
    gone(command)
    command.book.mkdir()


def no_events(command: Command) -> None:
    gone(command)
    command.practice('zone = "Europe/Berlin"\n')
    (command.book / "events").rmdir()


def no_file_of_events(command: Command) -> None:
    """All that tells is what the read model and the state folder remember."""
    command.ok("due")
    gone(command)
    command.practice('zone = "Europe/Berlin"\n')


def a_folder_in_place_of_the_events(command: Command) -> None:
    away = gone(command)
    command.practice('zone = "Europe/Berlin"\n')
    (file,) = (away / "events").iterdir()
    (command.book / "events" / file.name).mkdir()


def undo(command: Command) -> None:
    """All as it was."""
    practice, kept = command.book / "practice.toml", command.home / "practice.kept"
    if (away := command.home / "away").exists():
        if command.book.is_file():
            command.book.unlink()
        elif command.book.is_dir():
            shutil.rmtree(command.book)
        away.rename(command.book)
    if kept.exists():
        if practice.is_dir():
            practice.rmdir()
        kept.replace(practice)


@pytest.mark.parametrize(
    "breaks",
    [
        broken_book,
        a_file_in_place_of_the_book,
        a_drive_that_is_not_mounted,
        no_events,
        no_file_of_events,
        a_folder_in_place_of_the_events,
        broken_practice,
        a_folder_in_place_of_the_practice,
    ],
)
def test_what_is_broken_is_said_once_and_the_digest_comes_when_it_is_back(lid, caplog, breaks):
    kept = DaemonMemory()
    breaks(lid)
    while_broken = beats(lid, kept, 30)
    said = len(caplog.records)
    undo(lid)
    after = beats(lid, kept, 3)

    assert while_broken.notices == []
    assert 1 <= said <= 2
    assert len(after.notices) == 1


SECOND = LID.replace("LID", "ALSO").replace("citrus", "cowherb")


def test_a_digest_of_half_a_book_says_so_and_comes_once_more_when_it_is_whole(lid):
    other = Command(lid.home, writer="attic")
    other.ok(SECOND)
    half, kept = lid.book / "events" / "attic.jsonl", DaemonMemory()
    half.rename(lid.home / "half")
    first = beats(lid, kept, 5)
    (lid.home / "half").rename(half)
    whole = beats(lid, kept, 5, "2025-03-10 10:00")
    next_day = beats(lid, kept, 5, "2025-03-11 09:00")

    (said,) = first.notices
    assert "LID: bare metal lid" in said.body
    assert "INCOMPLETE: 1 thing is not as written" in said.body.splitlines()[-1]
    (said,) = whole.notices
    assert said.body.splitlines()[0].startswith("Cowherb, citrus: bare metal lid")
    assert len(next_day.notices) == 1


def test_half_a_book_is_not_said_once_more_within_the_night(lid):
    Command(lid.home, writer="attic").ok(SECOND)
    half, kept = lid.book / "events" / "attic.jsonl", DaemonMemory()
    half.rename(lid.home / "half")
    first = beats(lid, kept, 2)
    (lid.home / "half").rename(half)
    night = beats(lid, kept, 2, "2025-03-10 23:30")

    assert (len(first.notices), len(night.notices)) == (1, 0)


def test_remind_says_that_a_book_of_which_nothing_is_due_is_not_whole(lid):
    lid.ok("due")
    (file,) = (lid.book / "events").iterdir()
    file.rename(lid.home / "gone")
    answer = lid.run("remind --printed")

    assert answer.code == 0
    assert "INCOMPLETE" in answer.err
    assert read_told(lid.bench().state / MARKS).days == ()


def test_remind_believes_no_drive_that_is_not_mounted(lid):
    gone(lid)
    shutil.rmtree(lid.cache)
    shutil.rmtree(lid.state)
    lid.book.mkdir()

    assert "There is no book there now" in lid.refused("remind --printed")
    assert read_told(lid.bench().state / MARKS).days == ()


def test_a_state_folder_that_cannot_be_made_costs_a_lock_and_no_reminder(lid):
    shutil.rmtree(lid.state)
    lid.state.write_text("in the way")
    told = Told()

    def chain(_: object) -> Chain:
        return Chain([told])

    beating = Thread(target=_stop_when, args=(lambda: bool(told.notices),))
    beating.start()
    run(lid.bench(NOW), chain, heartbeat_s=0.05)
    beating.join()

    assert len(told.notices) == 1


def _stop_when(is_done: Callable[[], bool]) -> None:
    """End a daemon in this process by the signal that ends one."""
    deadline = monotonic() + PATIENCE_S
    while not is_done() and monotonic() < deadline:
        sleep(0.02)
    os.kill(os.getpid(), signal.SIGTERM)


@pytest.mark.parametrize("what", ["state", "cache"])
def test_a_file_in_place_of_a_folder_of_ours_costs_no_digest(lid, what, caplog):
    folder = getattr(lid, what)
    folder.rename(lid.home / "kept")
    folder.write_text("in the way")
    kept = DaemonMemory()
    told = beats(lid, kept, 20)
    next_day = beats(lid, kept, 20, "2025-03-11 09:00")

    assert (len(told.notices), len(next_day.notices)) == (1, 1)
    assert len([one for one in caplog.records if one.levelname == "WARNING"]) <= 3


def test_a_page_that_cannot_be_made_stops_no_digest(lid, monkeypatch, caplog):
    (lid.home / "page").mkdir()
    lid.practice(f'zone = "Europe/Berlin"\n[page]\nfolder = "{lid.home / "page"}"\n')

    def fails(*_: object, **__: object) -> bytes:
        raise RuntimeError("no page today")

    monkeypatch.setattr("tracker.daemon.page_folder.page_of", fails)
    told = beats(lid, DaemonMemory(), 10)

    assert len(told.notices) == 1
    assert sum("no page" in one.message for one in caplog.records) == 1


def test_faults_that_come_and_go_do_not_fill_a_log(caplog):
    clock = [0.0]
    complaints = Complaints(lambda: clock[0])
    for number in range(1000):
        complaints.complain(f"number {number}")
        complaints.settled()
    that_day = len(caplog.records)
    clock[0] += WITHIN_S
    complaints.complain("the next day")

    assert that_day == MOST + 1
    assert "no more of it" in caplog.messages[MOST]
    assert caplog.messages[-1] == "the next day"


def test_a_long_complaint_is_cut_and_steers_no_terminal(caplog):
    Complaints().complain("\x1b[2J" + "x" * 10_000)

    assert caplog.messages[0].startswith("\\x1b[2Jxxx")
    assert len(caplog.messages[0]) == 4000


def test_a_full_disk_while_nobody_can_be_told_is_said_once(lid, monkeypatch, caplog):
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tracker.daemon.told.write_whole", full)
    channel, kept = Told(), DaemonMemory()
    channel.refuses = True
    for _ in range(30):
        tick(lid.bench(NOW), Chain([channel]), kept)

    (line,) = caplog.messages
    assert "nobody is there; nor could it be kept for the next command: No space left" in line


@pytest.mark.parametrize("name", [UNTOLD, PRINTED])
@pytest.mark.parametrize("odd", ["folder", "pipe", "binary", "huge"])
def test_odd_files_in_place_of_the_untold_line_stop_nothing(lid, name, odd):
    file = lid.bench().state / name
    file.parent.mkdir(parents=True, exist_ok=True)
    match odd:
        case "folder":
            file.mkdir()
        case "pipe":
            os.mkfifo(file)
        case "binary":
            file.write_bytes(b"\xff\x00")
        case _:
            file.write_bytes(b"x" * 5_000_000)
    channel, kept = Told(), DaemonMemory()
    channel.refuses = True
    tick(lid.bench(NOW), Chain([channel]), kept)
    channel.refuses = False
    tick(lid.bench(NOW), Chain([channel]), kept)

    assert len(channel.notices) == 1


def test_a_channel_with_a_fault_of_ours_leaves_the_line_for_the_next_command(lid):
    class Faulty(Told):
        def deliver(self, notice: Notice) -> None:
            raise KeyError("a mistake")

    tick(lid.bench(NOW), Chain([Faulty()]))

    assert "Not delivered on 10 Mar 2025: Citrus LID: bare metal lid" in lid.run("due").err


def test_a_command_and_a_daemon_in_the_same_second_say_it_once(lid):
    other = Told()

    def remind() -> None:
        tell(lid.bench(NOW), Chain([other]), date(2025, 3, 10))

    class Slow(Told):
        def deliver(self, notice: Notice) -> None:
            beside.start()
            beside.join(0.5)
            super().deliver(notice)

    beside, slow = Thread(target=remind), Slow()
    tick(lid.bench(NOW), Chain([slow]))
    beside.join()

    assert "LID: bare metal lid" in slow.notices[0].body
    assert not any("safety" in one.body for one in other.notices)
    assert not (lid.bench().state / "telling").exists()


def test_the_marks_are_on_the_disk_before_anything_else_is_done(lid, monkeypatch):
    """Between showing and marking nothing may fail that is not the disk."""

    def fails(*_: object) -> None:
        raise RuntimeError("after the marks")

    monkeypatch.setattr("tracker.daemon.deliver.forget_untold", fails)
    first = beats(lid, DaemonMemory(), 1)
    after_a_restart = beats(lid, DaemonMemory(), 1)

    assert (len(first.notices), len(after_a_restart.notices)) == (1, 0)


# What counts as told


def marked(command: Command) -> bool:
    return read_told(command.bench().state / MARKS).last_digest is not None


@pytest.mark.parametrize("line", ["remind --plain", "remind --json", "remind --plain --json"])
def test_what_goes_into_a_pipe_or_nowhere_is_not_told(lid, line):
    lid.env["DBUS_SESSION_BUS_ADDRESS"] = "unix:path=/nowhere"
    piped = lid.run(line)

    assert piped.code == 1
    assert "it was printed, but not on a terminal" in piped.err
    assert "add --printed" in piped.err
    assert "LID: bare metal lid" in piped.out + piped.err
    assert not marked(lid)
    assert "Not delivered on " in lid.run("due").err


@pytest.mark.parametrize("line", ["remind --plain --printed", "remind --json --printed"])
def test_what_the_maker_says_reaches_them_is_told(lid, line):
    lid.env["DBUS_SESSION_BUS_ADDRESS"] = "unix:path=/nowhere"
    lid.ok(line)

    assert marked(lid)


@pytest.mark.thorough
def test_a_terminal_counts(lid):
    answer = lid.at_terminal("remind --plain")

    assert answer.code == 0
    assert "LID: bare metal lid" in answer.out
    assert marked(lid)


def test_a_terminal_that_was_hung_up_does_not_count():
    leader, follower = pty.openpty()
    stream = os.fdopen(follower, "w", closefd=False)
    os.close(leader)
    with pytest.raises(NotDelivered):
        Terminal(stream).deliver(Notice("a", "b"))
    with suppress(OSError):  # what could not be flushed fails once more
        stream.close()
    os.close(follower)


@pytest.mark.parametrize("stream", [None, io.StringIO()])
def test_no_stream_and_no_terminal_take_nothing(stream):
    with pytest.raises(NotDelivered):
        Terminal(stream).deliver(Notice("a", "b"))


def test_the_marks_are_for_their_maker_alone(lid):
    beats(lid, DaemonMemory(), 1)
    file = lid.bench().state / MARKS

    assert stat.S_IMODE(file.stat().st_mode) == 0o600
