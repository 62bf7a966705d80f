"""The answer that was printed last, while everything it depends on is as it was.

Prompts and panes ask the same all day. To see whether anything has changed loads next to nothing;
where anything is odd, no answer is at hand, and the line is answered as any other is. What is
kept can be deleted at any moment; `keep_at_hand` keeps it.
"""

import os
import sys
import zlib

from tracker import clock
from tracker.bench.own_folders import own_folder
from tracker.bench.own_settings import book_in_use
from tracker.cli.plain.plain_line import PlainLine
from tracker.cli.screen import columns_of, has_colour

TYPE_CHECKING = False  # typing loads as slowly as all the rest of this
if TYPE_CHECKING:
    from collections.abc import Iterable

MOST_BYTES = 1 << 18
_FILES = 8  # for each verb of a book: a pipe, a screen, a few codes
_ZONES = ("TZ", "TZDIR", "PYTHONTZPATH")  # what zones are read by
_SAFELY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


class Looked:
    """What an answer depends on beside files, as it was before the answer was looked for."""

    __slots__ = ("asked", "began_ns", "book", "file", "is_of_one_thing")

    def __init__(self, line: PlainLine) -> None:
        self.began_ns = clock.nanoseconds()
        self.book = os.path.realpath(line.book or book_in_use()[0])
        self.asked = _asked(line, self.book)
        self.is_of_one_thing = len(line.words) > 1
        self.file = _file(line.words[0], self.book, self.asked)


def look(line: PlainLine) -> Looked | None:
    """What an answer depends on; None where that is odd."""
    if None in (sys.stdin, sys.stdout, sys.stderr):  # a file that is opened would take its place
        return None
    try:
        return Looked(line)
    except (OSError, ValueError, OverflowError, RuntimeError):
        return None


def answer_at_hand(looked: Looked) -> bytes | None:
    """What was printed before, if the same would be printed now."""
    try:
        told, _, rest = _read(looked.file).partition(b"\0")
        if told != b"%08x" % zlib.crc32(rest):
            return None
        head, _, answer = rest.partition(b"\0\0")
        asked, since, until, *seen = os.fsdecode(head).split("\0")
        is_of_now = int(since) <= looked.began_ns < int(until)
        return (
            answer if is_of_now and asked == looked.asked and seen == seen_at(seen[::2]) else None
        )
    except (OSError, ValueError):
        return None


def _read(file: str) -> bytes:
    """A file that nobody else can have written."""
    descriptor = os.open(file, os.O_RDONLY | _SAFELY)
    try:
        found = os.fstat(descriptor)
        if found.st_uid != os.geteuid() or found.st_mode & 0o177077 != 0o100000:
            raise PermissionError(file)
        return os.read(descriptor, MOST_BYTES)
    finally:
        os.close(descriptor)


def _file(verb: str, book: str, asked: str) -> str:
    where, number = os.fsencode(book), zlib.crc32(asked.encode()) % _FILES
    of_the_book = f"{zlib.crc32(where):08x}{zlib.adler32(where):08x}"
    return f"{own_folder('cache')}/said-{of_the_book}-{verb}-{number}"


def _asked(line: PlainLine, book: str) -> str:
    """The line, the screen and the surroundings, as far as an answer depends on them."""
    screen = (columns_of(sys.stdout), has_colour(), sys.stdout.encoding)
    state, zones = own_folder("state"), [os.environ.get(one) for one in _ZONES]
    if not state.startswith("/"):
        raise ValueError("it lies where one stands")
    return ascii((line.words, book, screen, state, zones, sys.version, __file__))


def seen_at(places: "Iterable[str]") -> list[str]:
    """Each place, and how it looks from outside; all that is in it, where it ends with a slash."""
    return [text for place in places for text in (place, _looks(place))]


def _looks(place: str) -> str:
    try:
        if not place.endswith("/"):
            return _of(os.stat(place))
        with os.scandir(place) as found:
            inside = ((one.name, one.stat(follow_symlinks=False)) for one in found)
            return "/".join(sorted(f"{name} {_of(stat)}" for name, stat in inside)) or "empty"
    except FileNotFoundError:
        return "none"


def _of(stat: os.stat_result) -> str:
    return f"{stat.st_size} {stat.st_ino} {stat.st_mtime_ns} {stat.st_ctime_ns}"
