"""Keeps an answer that was printed, with everything it depends on, for `at_hand` to print."""

import os
import sys
import zlib
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path

import msgspec

from tracker.bench.bench import Bench
from tracker.bench.last_named import NAME
from tracker.cli.plain.at_hand import MOST_BYTES, Looked, seen_at
from tracker.core.practice.practice import PRACTICE_FILE
from tracker.core.values.times import midnight

# A file that has just been changed may be changed once more and look the same.
_SETTLED_NS = 2 * 10**9


def what_may_change(looked: Looked, bench: Bench) -> list[str] | None:
    """The files that answers are made of, as they look now; None where one cannot be seen."""
    ours = str(bench.model.own_ends), str(bench.state / "untold")
    try:
        return seen_at([f"{looked.book}/events/", f"{looked.book}/{PRACTICE_FILE}", *ours])
    except OSError:
        return None


def keep(looked: Looked, before: list[str] | None, bench: Bench, printed: bytes) -> None:
    """Keep what was printed, unless anything has changed since before, or just then."""
    if before is None or before != what_may_change(looked, bench):
        return
    with suppress(OSError, ValueError, OverflowError):  # then it is not at hand
        if _is_settled(before, looked.began_ns):
            # An answer that is at hand names nothing for `.` to stand for: it has to be so already.
            also = [str(bench.model.file), *_clocks(bench), *_program()]
            also += [str(bench.state / NAME)] if looked.is_of_one_thing else []
            seen = [*before, *seen_at(also)]
            until_ns = _end_of_day_ns(looked, bench)
            head = "\0".join([looked.asked, str(looked.began_ns), str(until_ns), *seen])
            rest = b"\0\0".join((os.fsencode(head), printed))
            _write(Path(looked.file), b"%08x\0%b" % (zlib.crc32(rest), rest))


def _is_settled(seen: list[str], now_ns: int) -> bool:
    """Whether all of it was last changed a while ago."""
    each = (one for looks in seen[1::2] for one in looks.split("/") if " " in one)
    newest_ns = max((int(ns) for one in each for ns in one.rsplit(" ", 2)[1:]), default=0)
    return newest_ns < now_ns - _SETTLED_NS


def _clocks(bench: Bench) -> list[str]:
    """What says which day it is."""
    zone = bench.practice.zone or os.environ.get("TZ") or "UTC"
    return ["/etc/localtime", f"/usr/share/zoneinfo/{zone}"]


def _end_of_day_ns(looked: Looked, bench: Bench) -> int:
    """When the day ends that the answer is of; long ago, where one ended meanwhile."""
    now = bench.now()
    assert now.tzinfo is not None
    if datetime.fromtimestamp(looked.began_ns // 10**9, now.tzinfo).date() != now.date():
        return 0
    return int(midnight(now.date() + timedelta(days=1), now.tzinfo).timestamp()) * 10**9


def _program() -> list[str]:
    """Every file of the program that is loaded, and the folder of the libraries."""
    ours = [one for name, one in sys.modules.items() if name.partition(".")[0] == "tracker"]
    return [*(one.__file__ for one in ours if one.__file__), str(Path(msgspec.__file__).parents[1])]


def _write(file: Path, contents: bytes) -> None:
    from tracker.journal.whole_file import begun_beside

    if len(contents) < MOST_BYTES:
        with begun_beside(file) as (fresh, stream):
            stream.write(contents)
            stream.close()  # not synced: what is torn does not fit its sum
            fresh.replace(file)
