"""The demo book, copied so that its last day is today."""

import re
import shutil
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from pathlib import Path
from typing import get_args

from msgspec.structs import fields, replace

from tracker.core.facts.amendments import Corrected
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Charged, Found
from tracker.core.facts.kinds import AnyFact, Recorded, codes_of, traits_of
from tracker.core.shelf.codes import numbered
from tracker.core.values.errors import BookError
from tracker.core.values.times import Precision, When
from tracker.journal.append import in_file
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import UnitPlace, read_line, read_placed, write_unit
from tracker.journal.whole_file import write_whole

# The house's own codes, as they stand in subjects, remarks and reasons.
_CODE = re.compile(rb"\b[A-Z]+-\d\d-\d\d+")

# The fields of any kind that hold a day, as a correction names them.
_DAYS = frozenset(
    one.name
    for kind in get_args(AnyFact)
    for one in fields(kind)
    if one.type in (date, date | None)
)

# Half of each span of an inexact date: the middle of it says which span it moves to.
_HALF_SPAN = {"month": timedelta(15), "season": timedelta(45), "year": timedelta(182)}


@dataclass(frozen=True, slots=True)
class Copied:
    """What the copy holds, and a jar worth looking at in it."""

    events: int
    jars: int
    example: str


def copy_demo(folder: Path, now: datetime, home: Path | None = None) -> Copied:
    """Write the demo book into a new folder, its last day moved to today.

    Args:
        folder: where to; it must be empty or not there yet.
        now: the present, in the maker's zone. What the last day would hold after this
            moment happens at it.
        home: the book to copy; the one that comes with the program where it is not said.

    Raises:
        BookError: the folder holds something, or cannot be written.
    """
    home = home or _packaged()
    try:
        _refuse_unless_new(folder)
        lines = _read(home)
        entries = moved(lines, now)
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for name in ("practice.toml", "README.md"):
            if (home / name).exists():
                shutil.copyfile(home / name, folder / name)
        _write(folder / "events", entries, [read_placed(line)[1] for line in lines])
    except OSError as reason:
        raise BookError(
            f"The demo book cannot be written: {reason.strerror}.",
            where=str(folder),
            do="name a folder that you may write in: stillroom demo my-demo.",
        ) from reason
    return Copied(len(entries), _count_jars(entries), _example(entries))


def _write(events: Path, entries: Sequence[Entry], places: Sequence[UnitPlace | None]) -> None:
    """Each writer's file, with the units it was recorded in."""
    events.mkdir(mode=0o700)
    units: dict[str, list[list[Entry]]] = defaultdict(list)
    for entry, at in zip(entries, places, strict=True):
        own = units[entry.source]
        if at is None or at.place == 1:
            own.append([])
        own[-1].append(entry)
    for writer, own in units.items():
        lines: list[bytes] = []
        digest, recorded = GENESIS, None
        for unit in own:
            placed = in_file(unit, writer, len(lines), recorded)
            recorded = placed[-1].recorded
            written, digest = write_unit(placed, digest)
            lines += written
        write_whole(events / f"{writer}.jsonl", b"".join(lines))


def _refuse_unless_new(folder: Path) -> None:
    if folder.is_dir() and not any(folder.iterdir()):
        return
    if folder.exists() or folder.is_symlink():
        raise BookError(
            "There is something there already, and nothing is written over it.",
            where=str(folder),
            do="name a new folder, such as: stillroom demo my-demo.",
        )


def _packaged() -> Path:
    """Inside the package where it was installed from a wheel, beside it in the project."""
    package = Path(__file__).resolve().parent.parent
    for home in (package / "demo_events", package.parent / "demo_events"):
        if (home / "events").is_dir():
            return home
    raise BookError(
        "The demo book did not come with this installation.",
        where=str(package),
        do="install stillroom again.",
    )


def _read(home: Path) -> list[bytes]:
    """The lines of every writer's file."""
    return [
        line
        for file in sorted((home / "events").glob("*.jsonl"))
        for line in file.read_bytes().split(b"\n")
        if line
    ]


def moved(lines: Iterable[bytes], now: datetime) -> list[Entry]:
    """The entries on these lines, moved by whole days so that the last day is today.

    Times keep their time of day, in the maker's zone; an inexact one moves to the span its
    middle falls in, and days that facts name move along. Codes are given again by the year
    of the moved event that gives them.
    """
    whole = list(lines)
    found = [read_line(line) for line in whole]
    last = max(entry.when.start.date() for entry in found)
    move = _Move(now, now.date() - last)
    codes = _new_codes(found, move)
    return [move.entry(read_line(_renamed(line, codes))) for line in whole]


def _count_jars(entries: Iterable[Entry]) -> int:
    """How many jars ever stood on the shelf; a blend is none, and a lot is none."""
    opening = (one.fact for one in entries if traits_of(one.fact).opens == "jar")
    return sum(len(codes_of(fact)) for fact in opening)


def _new_codes(entries: Iterable[Entry], move: "_Move") -> dict[bytes, bytes]:
    """The new code for each old one, numbered in the order they were written down.

    A code that is not numbered by the year is the maker's own, and stays.
    """
    given: Counter[str] = Counter()
    codes: dict[bytes, bytes] = {}
    for entry in sorted(entries, key=lambda one: (one.recorded, one.source, one.sequence)):
        for code in codes_of(entry.fact):
            letters = numbered(code)
            if letters is not None:
                stem = f"{letters}-{move.when(entry.when).start.year % 100:02d}-"
                given[stem] += 1
                codes[code.encode()] = f"{stem}{given[stem]:02d}".encode()
    return codes


def _renamed(line: bytes, codes: Mapping[bytes, bytes]) -> bytes:
    return _CODE.sub(lambda found: codes.get(found[0], found[0]), line)


def _example(entries: list[Entry]) -> str:
    """The code of a jar whose charge was corrected, or of the last one charged."""
    corrected = {one.fact.event for one in entries if isinstance(one.fact, Corrected)}
    charges = [(one.id, one.fact.code) for one in entries if isinstance(one.fact, Charged)]
    return next((code for event, code in charges if event in corrected), charges[-1][1])


@dataclass(frozen=True, slots=True)
class _Move:
    """How far everything moves, and the moment nothing passes."""

    now: datetime
    by: timedelta

    def entry(self, entry: Entry) -> Entry:
        """The entry at its moved times."""
        recorded = self._instant(entry.recorded).astimezone(UTC)
        fact = self._fact(entry.fact)
        return replace(entry, when=self.when(entry.when), recorded=recorded, fact=fact)

    def _fact(self, fact: Recorded) -> Recorded:
        """The fact with the days it names moved: of a stay, of a reminder put off."""
        if isinstance(fact, Corrected):
            return replace(fact, set=self._values(fact.set))
        own = ((one.name, getattr(fact, one.name)) for one in fields(fact))
        days = {name: value + self.by for name, value in own if isinstance(value, date)}
        if isinstance(fact, Found) and fact.charged_from is not None:
            guess = When(datetime.combine(fact.charged_from, time(12)), fact.charged_precision)
            days["charged_from"] = self.when(guess).start.date()
        return replace(fact, **days) if days else fact

    def _values(self, values: Mapping[str, object]) -> dict[str, object]:
        """What a correction sets, or a correction of one, with its time and days moved."""
        found = dict(values)
        if "time" in found:
            at = datetime.fromisoformat(str(found["time"]))
            precision: Precision = found.get("precision", "time")  # type: ignore[assignment]  # as recorded
            found["time"] = self.when(When(at, precision)).start.isoformat()
        for name in (one for one in found.keys() & _DAYS if found[one] is not None):
            found[name] = (date.fromisoformat(str(found[name])) + self.by).isoformat()
        inner = found.get("set")
        if isinstance(inner, dict):
            found["set"] = self._values(inner)
        return found

    def when(self, when: When) -> When:
        """A happening moved on, as exactly known as before."""
        half = _HALF_SPAN.get(when.precision)
        if half is None:
            return When(self._instant(when.start), when.precision)
        middle = (when.start + half + self.by).date()
        return When(_local(_span_start(middle, when.precision), self._zone), when.precision)

    def _instant(self, instant: datetime) -> datetime:
        """The same time of day so many days on, or now if that lies ahead."""
        local = _local(instant.replace(tzinfo=None) + self.by, self._zone)
        return min(local, _local(self.now.replace(tzinfo=None), self._zone))

    @property
    def _zone(self) -> tzinfo:
        if self.now.tzinfo is None:
            raise ValueError("now needs a zone")
        return self.now.tzinfo


def _span_start(day: date, precision: str) -> datetime:
    """The first day of the month, meteorological season or year a day lies in."""
    first = day.replace(day=1)
    if precision == "year":
        first = first.replace(month=1)
    if precision == "season":
        # Seasons begin in March, June, September and December.
        month = day.month // 3 * 3
        first = first.replace(month=month) if month else date(day.year - 1, 12, 1)
    return datetime.combine(first, time())


def _local(wall: datetime, zone: tzinfo) -> datetime:
    """A time on the maker's clock, carrying that day's offset."""
    offset = wall.replace(tzinfo=zone).utcoffset() or timedelta()
    return wall.replace(tzinfo=timezone(offset))
