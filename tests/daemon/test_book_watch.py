"""What the system tells of a book's folders, and what still holds where it tells nothing."""

import os
import signal
import sys
from threading import Thread
from time import sleep

import pytest

from tests.command import PATIENCE_S
from tests.daemon.running import Daemon
from tracker.daemon import book_watch
from tracker.daemon.bell import Bell
from tracker.daemon.book_watch import BookWatch

HERB = '--dried 50g --pour "250 ml 45%"'
LID = f'charge "citrus" {HERB} --lid metal --code LID --when 2025-03-03 --sure'

on_linux = pytest.mark.skipif(sys.platform != "linux", reason="inotify is Linux's")


@pytest.fixture
def book(tmp_path):
    (tmp_path / "events").mkdir()
    (tmp_path / "events" / "anna.jsonl").write_text("one\n")
    return tmp_path


@pytest.fixture
def watch(book):
    watch = BookWatch(book)
    watch.aim()
    yield watch
    watch.close()


@on_linux
def test_a_line_that_is_appended_is_told_once(book, watch):
    assert not watch.has_changed()
    with (book / "events" / "anna.jsonl").open("a") as file:
        file.write("two\n")

    assert watch.has_changed()
    assert not watch.has_changed()


@on_linux
def test_a_file_brought_by_another_machine_is_told(book, watch):
    (book / "ben.jsonl").write_text("one\n")
    (book / "ben.jsonl").rename(book / "events" / "ben.jsonl")

    assert watch.has_changed()


@on_linux
def test_in_the_book_itself_only_the_practice_and_the_folder_of_events_count(book, watch):
    (book / "stillroom.html").write_text("a page that is kept there")
    assert not watch.has_changed()
    (book / "practice.toml").write_text('zone = "Europe/Berlin"\n')

    assert watch.has_changed()


@on_linux
def test_a_folder_that_was_replaced_is_watched_from_the_next_look_on(book, watch):
    (book / "events").rename(book / "before")
    (book / "events").mkdir()
    assert watch.has_changed()
    watch.aim()
    assert not watch.has_changed()
    (book / "before" / "anna.jsonl").write_text("of no account any more\n")
    assert not watch.has_changed()
    (book / "events" / "anna.jsonl").write_text("one\n")

    assert watch.has_changed()


@on_linux
def test_a_book_that_is_missing_is_watched_once_it_is_there(tmp_path):
    watch = BookWatch(tmp_path / "drive")
    watch.aim()
    assert not watch.has_changed()
    (tmp_path / "drive" / "events").mkdir(parents=True)
    watch.aim()
    (tmp_path / "drive" / "events" / "anna.jsonl").write_text("one\n")

    assert watch.has_changed()
    watch.close()


@on_linux
def test_reading_the_book_and_locking_it_are_no_changes(command):
    command.ok(LID)
    watch = BookWatch(command.book)
    watch.aim()
    command.ok("shelf")
    command.ok("check")

    assert not watch.has_changed()
    watch.close()


def test_where_the_system_tells_nothing_nothing_has_changed(book, monkeypatch):
    monkeypatch.setattr(book_watch.sys, "platform", "darwin")
    watch = BookWatch(book)
    watch.aim()
    (book / "events" / "anna.jsonl").write_text("two\n")

    assert watch.descriptor is None
    assert not watch.has_changed()
    watch.close()


@on_linux
def test_where_every_watch_is_taken_nothing_has_changed(book, monkeypatch):
    watch = BookWatch(book)
    monkeypatch.setattr(watch, "_add", lambda *_: -1)
    watch.aim()
    (book / "events" / "anna.jsonl").write_text("two\n")

    assert not watch.has_changed()
    watch.close()


def test_the_bell_ends_at_its_time_and_at_a_signal(book):
    def end() -> None:
        sleep(0.2)
        os.kill(os.getpid(), signal.SIGTERM)

    handlers = [signal.getsignal(one) for one in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP)]
    with Bell(book) as bell:
        bell.aim()
        bell.wait(0.01)
        assert not bell.is_over
        ending = Thread(target=end)
        ending.start()
        bell.wait(PATIENCE_S * 10)
        ending.join()
    for one, before in zip((signal.SIGTERM, signal.SIGINT, signal.SIGHUP), handlers, strict=True):
        signal.signal(one, before)

    assert bell.is_over


@on_linux
@pytest.mark.thorough
def test_a_daemon_that_sleeps_long_tells_what_makes_it_time_at_once(command):
    """An hour lies between two beats: within the patience of this test it has to be woken."""
    command.practice('zone = "Europe/Berlin"\n[reminders]\ndigest = "23:59:59"\n')
    command.ok(LID)
    running = Daemon(command, "--heartbeat", "3600")
    try:
        running.until("not time")
        (command.book / "practice.toml").write_text("digest =\n")

        assert "Invalid value (at line 1, column 9)" in running.until("no digest")
    finally:
        running.kill()


@on_linux
@pytest.mark.thorough
def test_a_kept_page_has_what_was_recorded_without_waiting_for_a_beat(command):
    (command.home / "page").mkdir()
    command.practice(f'zone = "Europe/Berlin"\n[page]\nfolder = "{command.home / "page"}"\n')
    command.ok(LID)
    running = Daemon(command, "--heartbeat", "3600")
    try:
        running.until("wrote the page")
        command.ok(f'charge "cowherb" {HERB} --code C1 --when 2025-03-03')
        running.until("wrote the page")

        assert ">C1<" in (command.home / "page" / "stillroom.html").read_text()
    finally:
        running.kill()
