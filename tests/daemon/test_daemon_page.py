"""The page that the daemon keeps in a folder: after each change and each new day only."""

import logging
import os

import pytest

from tests.daemon.running import ALWAYS, daemon
from tests.outputs.reading import by_id, page_tree, text
from tracker.daemon.notify import Chain
from tracker.daemon.ticker import DaemonMemory, tick

FOLDER = '[page]\nfolder = "synced"\n'
PRACTICE = 'zone = "Europe/Berlin"\n[reminders]\ndigest = "20:00"\n'
NOON, LATER, TOMORROW = "2025-05-01 12:00", "2025-05-01 13:00", "2025-05-02 00:01"


@pytest.fixture
def keeping(worked):
    """A book whose practice names a folder within it, which is there."""
    worked.practice(PRACTICE + FOLDER)
    (worked.book / "synced").mkdir()
    return worked


def page(command):
    return command.book / "synced" / "stillroom.html"


def beat(command, kept, now=NOON):
    """One heartbeat, too early for a digest."""
    tick(command.bench(now), Chain([]), kept)


def warnings(caplog):
    return [one.getMessage() for one in caplog.records if one.levelno >= logging.WARNING]


def test_without_a_folder_nothing_is_written_or_said(worked, caplog):
    before = worked.written()
    beat(worked.practice(PRACTICE), DaemonMemory())

    assert before.keys() == worked.written().keys()
    assert not caplog.records


def test_it_is_there_after_the_first_beat_and_is_what_the_command_writes(keeping):
    beat(keeping, DaemonMemory())

    assert page(keeping).read_text() == keeping.ok("page --on 2025-05-01")
    assert [one.name for one in page(keeping).parent.iterdir()] == ["stillroom.html"]


def test_it_is_left_alone_until_something_changes(keeping):
    kept = DaemonMemory()
    beat(keeping, kept)
    first = page(keeping).stat()
    for _ in range(3):
        beat(keeping, kept, LATER)

    assert page(keeping).stat().st_mtime_ns == first.st_mtime_ns
    assert page(keeping).stat().st_ino == first.st_ino


def test_what_was_recorded_is_on_it_at_the_next_beat(keeping):
    kept = DaemonMemory()
    beat(keeping, kept)
    keeping.ok('note CAOF-25-01 "smells of hay" --when 2025-05-01')
    beat(keeping, kept)

    assert "smells of hay" in page(keeping).read_text()


def test_a_new_day_and_another_rule_each_make_it_anew(keeping):
    kept = DaemonMemory()
    beat(keeping, kept)
    beat(keeping, kept, TOMORROW)
    new_day = page(keeping).read_text().replace("\N{NO-BREAK SPACE}", " ")
    keeping.practice(PRACTICE + '"expiring before" = "400 days"\n' + FOLDER)
    beat(keeping, kept, TOMORROW)

    assert "The shelf on 1 May 2025" not in new_day
    assert "The shelf on 2 May 2025" in new_day
    assert "use soon" not in new_day
    assert "use soon" in page(keeping).read_text()


def test_a_restarted_daemon_or_that_of_another_machine_does_not_write_it_again(keeping):
    beat(keeping, DaemonMemory())
    first = page(keeping).stat()
    beat(keeping, DaemonMemory(), LATER)

    assert page(keeping).stat().st_ino == first.st_ino


def test_a_folder_that_is_not_there_is_said_once_and_filled_when_it_comes(keeping, caplog):
    (keeping.book / "synced").rmdir()
    kept = DaemonMemory()
    for _ in range(3):
        beat(keeping, kept)
    said = warnings(caplog)
    (keeping.book / "synced").mkdir()
    beat(keeping, kept)

    assert len(said) == 1
    assert said[0].startswith("no page: The folder for the page is not there.")
    assert str(keeping.book / "synced") in said[0]
    assert page(keeping).exists()
    assert kept.page.complaints.last == ""


def test_a_page_that_cannot_be_replaced_stays_whole_and_is_tried_again(keeping, caplog):
    page(keeping).mkdir()
    kept = DaemonMemory()
    for _ in range(2):
        beat(keeping, kept)
    left = [one.name for one in page(keeping).parent.iterdir()]
    page(keeping).rmdir()
    beat(keeping, kept)

    assert len(warnings(caplog)) == 1
    assert left == ["stillroom.html"]
    assert page(keeping).is_file()


def test_a_practice_that_cannot_be_read_is_said_by_the_digest_alone(keeping, caplog):
    keeping.practice("zone = 3\n")
    beat(keeping, DaemonMemory())

    assert [one.partition(":")[0] for one in warnings(caplog)] == ["no digest"]


def test_a_home_folder_is_found(keeping, monkeypatch):
    monkeypatch.setenv("HOME", str(keeping.home))
    (keeping.home / "phone").mkdir()
    keeping.practice(PRACTICE + '[page]\nfolder = "~/phone"\n')
    beat(keeping, DaemonMemory())

    assert (keeping.home / "phone" / "stillroom.html").is_file()


def test_the_daemon_itself_keeps_it_while_nobody_can_be_told(keeping):
    """No bus and no terminal: the reminder fails, the page does not."""
    keeping.practice(ALWAYS + FOLDER)
    keeping.env |= {"DBUS_SESSION_BUS_ADDRESS": f"unix:path={keeping.home}/none"}
    keeping.env.pop("DISPLAY", None)
    with daemon(keeping) as running:
        running.until("wrote the page")
        keeping.ok('note CAOF-25-01 "smells of hay"')
        running.until("wrote the page")
        code = running.stop()

    assert code == 0
    assert "smells of hay" in text(by_id(page_tree(page(keeping).read_bytes()), "CAOF-25-01"))
    assert sum("wrote the page" in line for line in running.log) == 2
    assert os.listdir(page(keeping).parent) == ["stillroom.html"]  # noqa: PTH208


@pytest.mark.parametrize("what", ["somebody's page", "a link", "a folder"])
def test_what_is_no_page_of_ours_is_left_alone(keeping, caplog, what):
    other = keeping.home / "other.html"
    other.write_text("<title>The shelf on 1 May 2025</title>")
    match what:
        case "somebody's page":
            page(keeping).write_text("<title>My garden</title>")
        case "a link":
            page(keeping).symlink_to(other)
        case "a folder":
            page(keeping).mkdir()
    before = page(keeping).lstat()
    beat(keeping, DaemonMemory())

    after = page(keeping).lstat()  # to look at a link changes the time it was last read
    kept = "st_ino", "st_mode", "st_size", "st_mtime_ns", "st_ctime_ns"
    assert [getattr(after, one) for one in kept] == [getattr(before, one) for one in kept]
    assert other.read_text() == "<title>The shelf on 1 May 2025</title>"
    assert ["not a page that Stillroom made" in one for one in warnings(caplog)] == [True]
