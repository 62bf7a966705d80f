"""The days of the shelf that stand in a calendar, and those that an earlier file may have had."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Final, Literal

import msgspec

from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Split
from tracker.core.facts.kinds import Opens, Unknown, codes_of, traits_of
from tracker.core.facts.ties import children
from tracker.core.practice.practice import Practice, Way
from tracker.core.reckoning import amounts, keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch, Thing, extract_of, things
from tracker.outputs.view.heeds import Heed, heeds_in
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.view.thing_view import view_of

DayKind = Literal["press", "longest", "look", "good-through"]

# Nobody has a file in use that is older than the longest of what keeps.
_REMEMBERED: Final = timedelta(days=400)
_LATELY: Final = timedelta(days=100)
_DAYS_OF: Final[dict[Opens | None, tuple[DayKind, ...]]] = {
    "jar": ("press", "longest", "look"),
    "extract": ("good-through", "look"),
    "blend": ("good-through", "look"),
}


class CalendarDay(msgspec.Struct, frozen=True):
    """One day of one thing.

    Attributes:
        about: the id of the thing; with `kind` it names the entry in every file.
        herbs: none of what was taken out of the book.
        rings_on: the day of its alarm.
        is_over: whether it no longer counts, and an earlier file may have it.
    """

    about: str
    kind: DayKind
    day: date
    code: str
    herbs: tuple[HerbView, ...] = ()
    way: Way = "maceration"
    heeds: tuple[Heed, ...] = ()
    rings_on: date | None = None
    is_over: bool = False


def calendar_days(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    *,
    flags: Sequence[Flag] = (),
    entries: Iterable[Entry] = (),
) -> list[CalendarDay]:
    """Every day from today on, and what is over before its day came.

    Args:
        batches: the shelf, with what is done.
        practice: the rules in force.
        today: the maker's day; what lay before it is `due`, or done.
        flags: what holds some of a lot called back and is on no hold.
        entries: the lines of the book, for what was struck.
    """
    entries = list(entries)
    found = [one for batch in batches for one in _of_batch(batch, practice, today, flags)]
    moved = _moved(batches, practice, entries, today)
    struck = _struck(batches, entries, today)
    return sorted([*found, *moved, *struck], key=lambda one: (one.day, one.about, one.kind))


def _of_batch(
    batch: Batch, practice: Practice, today: date, flags: Sequence[Flag]
) -> Iterator[CalendarDay]:
    for thing in things(batch):
        days = [
            (kind, day) for kind, day in _days(thing, practice) if day is not None and day >= today
        ]
        if not days:
            continue
        is_over = not _is_there(thing)
        heeds = () if is_over else heeds_in(view_of(thing, practice, today, flags=flags))
        jar = thing.jar
        steep = None if jar is None else (thing.extract or jar.pressing or jar).steep_way
        for kind, day in days:
            yield CalendarDay(
                about=_id(thing),
                kind=kind,
                day=day,
                code=thing.code,
                herbs=herbs_of(batch, thing.made),
                way=steep or "maceration",
                heeds=heeds,
                rings_on=_rings_on(kind, day, practice, today),
                is_over=is_over,
            )


def _days(thing: Thing, practice: Practice) -> Iterator[tuple[DayKind, date | None]]:
    if thing.extract is None:
        assert thing.jar is not None
        yield "press", amounts.earliest_press(thing.jar)
        yield "longest", amounts.longest_day(thing.jar)
        yield "look", None if thing.jar.look is None else thing.jar.look.again_on
        return
    last = keeps.good_through(thing, practice)
    if thing.bottle is None:
        look = thing.extract.look
        yield "good-through", last
        yield "look", None if look is None else look.again_on
    elif last != keeps.good_through(extract_of(thing.batch, thing.extract), practice):
        yield "good-through", last  # a bottle has a day of its own, or that of its extract


def _is_there(thing: Thing) -> bool:
    """Whether its herb is in, or some of it is left."""
    if thing.extract is None:
        return thing.jar is not None and thing.jar.is_macerating
    if thing.bottle is None:
        return thing.extract.left_ml >= DROP_ML
    return thing.bottle.volume_ml >= DROP_ML and not thing.bottle.discarded


def _id(thing: Thing) -> str:
    if thing.extract is None:
        return thing.batch.id
    return thing.extract.id + (f"-{thing.bottle.number}" if thing.bottle else "")


def _rings_on(kind: DayKind, day: date, practice: Practice, today: date) -> date:
    """A last good day so long before as the maker wants to know; where that is over, on the day."""
    opens = practice.expiring_before.before(day)
    return opens if kind == "good-through" and opens > today else day


def _moved(
    batches: Iterable[Batch], practice: Practice, entries: Iterable[Entry], today: date
) -> Iterator[CalendarDay]:
    """What is there and was corrected lately, so that its day may be over since."""
    corrected = {
        jar
        for entry in entries
        if isinstance(entry.fact, Corrected) and today - entry.recorded.date() <= _LATELY
        for jar in entry.jars
    }
    for thing in (one for batch in batches if batch.id in corrected for one in things(batch)):
        for kind, day in _days(thing, practice) if _is_there(thing) else ():
            if day is not None and day < today:
                herbs = herbs_of(thing.batch, thing.made)
                yield CalendarDay(_id(thing), kind, today, thing.code, herbs, is_over=True)


def _struck(
    batches: Iterable[Batch], entries: Iterable[Entry], today: date
) -> Iterator[CalendarDay]:
    """What was opened by an event that was taken out: nobody knows any more on which days."""
    by_id = {entry.id: entry for entry in entries}
    there = {one.id for batch in batches for one in (batch, *batch.extracts)}
    for entry in by_id.values():
        if not isinstance(entry.fact, Struck | SameAs):
            continue
        opening = by_id.get(entry.fact.event)
        if opening is None or today - entry.recorded.date() > _REMEMBERED:
            continue
        for about, code in _opened(opening):
            if about not in there:
                for kind in _DAYS_OF.get(traits_of(opening.fact).opens, ()):
                    yield CalendarDay(about, kind, today, code, is_over=True)


def _opened(entry: Entry) -> Iterator[tuple[str, str]]:
    """The id and the code of each thing that an event opened."""
    if isinstance(entry.fact, Unknown):
        return
    if isinstance(entry.fact, Split):
        yield from zip(children(entry.id, entry.fact), codes_of(entry.fact), strict=False)
    else:
        yield entry.id, next(iter(codes_of(entry.fact)), entry.subject)
