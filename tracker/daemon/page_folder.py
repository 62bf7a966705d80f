"""The shelf as one page: made of what the bench holds, and kept in the maker's folder."""

import logging
import os
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.core.practice.practice import PRACTICE_FILE
from tracker.core.values.errors import BookError, PracticeError, TrackerError
from tracker.daemon.complaints import Complaints
from tracker.garbage import no_garbage_collection
from tracker.journal.file_marks import marks
from tracker.journal.regular_file import is_regular
from tracker.journal.whole_file import not_written, write_whole

PAGE = "stillroom.html"
_MARKS = (b'<meta name="generator" content="Stillroom">', b"<title>The shelf on ")

_log = logging.getLogger("stillroom")


@dataclass
class PageMemory:
    """What one daemon remembers of its page: what it was made of, and what is still unwritten."""

    made_of: object = None
    unwritten: bytes | None = None
    complaints: Complaints = field(default_factory=Complaints)


def page_of(bench: Bench, *, on: date | None = None) -> bytes:
    """The page as it is today, or as it was on a day. The same book and day give the same."""
    from tracker.outputs.page.render import whole_page
    from tracker.outputs.page.sections import shelf_page

    with no_garbage_collection():
        with bench.asking():
            jars, today = bench.batches(on=on), on or bench.today()
            # What was struck since then stands in no history of today's.
            told = bench.histories([one.id for one in jars if one.is_live] if on is None else None)
            missing, not_held = bench.missing(), bench.not_held()
        return whole_page(
            shelf_page(jars, bench.practice, today, told, missing=missing, not_held=not_held)
        )


def replace_file(file: Path, text: bytes) -> None:
    """Replace the contents of a file in one step: a reader finds the old or the new.

    Raises:
        BookError: it cannot be written; it is as it was.
    """
    try:
        write_whole(file, text)
    except (OSError, ValueError) as reason:
        raise not_written(file, reason) from reason


def keep_page(bench: Bench, kept: PageMemory) -> None:
    """Write the page to the practice's folder where the book, the rules or the day changed.

    What fails is logged once and tried again at the next tick, as a digest is.
    """
    complaints = kept.complaints
    try:
        _keep_page(bench, kept)
    except PracticeError:
        return  # the digest says so
    except (TrackerError, OSError) as reason:
        complaints.complain(f"no page: {_in_a_line(reason)}")
    except Exception as reason:  # a page must never end the reminders
        complaints.complain(f"no page: {reason!r}", with_traceback=True)
    else:
        complaints.settled()


def _in_a_line(reason: TrackerError | OSError) -> str:
    if isinstance(reason, TrackerError):
        return f"{reason.what} {reason.where}"
    return reason.strerror or str(reason)


def _keep_page(bench: Bench, kept: PageMemory) -> None:
    wanted = bench.practice.page_folder
    if wanted is None:
        return
    bench.must_be_begun()
    made_of = (bench.today(), wanted, marks(bench.book), _rules_as_seen(bench.book))
    if made_of != kept.made_of:
        kept.unwritten, kept.made_of = None, None
        kept.unwritten, kept.made_of = page_of(bench), made_of
    if kept.unwritten is None:
        return
    folder = bench.book / Path(wanted).expanduser()
    if not folder.is_dir():
        # A drive that is not mounted must not be filled behind its mount point.
        raise BookError("The folder for the page is not there.", where=str(folder), do="make it.")
    file = folder / PAGE
    if os.path.lexists(file) and not _is_a_page(file):
        do = "move it away, or name another folder."
        raise BookError("What is there is not a page that Stillroom made.", where=str(file), do=do)
    if not _holds(file, kept.unwritten):  # another machine's daemon makes the very same page
        replace_file(file, kept.unwritten)
        _log.info("wrote the page, %d kB, to %s", len(kept.unwritten) // 1000, file)
    kept.unwritten = None


def _rules_as_seen(book: Path) -> tuple[int, int] | None:
    try:
        seen = (book / PRACTICE_FILE).stat()
    except OSError:
        return None
    return seen.st_size, seen.st_mtime_ns


def _is_a_page(file: Path) -> bool:
    """Whether it is a regular file that begins as our pages do, those of earlier versions too."""
    try:
        with file.open("rb") as opened:
            head = opened.read(4096) if is_regular(file) else b""
    except OSError:
        return False
    return any(mark in head for mark in _MARKS)


def _holds(file: Path, text: bytes) -> bool:
    try:
        return file.stat().st_size == len(text) and file.read_bytes() == text
    except OSError:
        return False
