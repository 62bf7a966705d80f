"""What is past its last good day is not used without a word: it is asked about, or explained."""

from collections.abc import Iterator, Mapping
from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, extract_of, things, whole
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When


def in_date(
    thing: Thing | Lot | None, when: When, practice: Practice, *, if_known: bool = False
) -> Iterator[Finding]:
    """Ask where an extract or bottle was, or may have been, past its last good day.

    With `if_known` nothing is asked where nobody knows that day: what only goes into bottles.
    """
    if not isinstance(thing, Thing) or thing.extract is None:
        return
    last = keeps.good_through(thing, practice)
    if when.latest > last if last is not None else not if_known:
        do = "use something that is in date, or discard it"
        yield Finding("date", thing.code, _past(last, when), do, "question")


def explained(thing: Thing, when: When, practice: Practice, why: str | None) -> Iterator[Finding]:
    """Refuse to put what is past its date, or has none, to a new steep unless it is said why."""
    last, is_known = _last_in_jar(thing, practice)
    if is_known and (last is None or when.latest <= last):
        return
    if why is None:
        yield Finding(
            "date", thing.code, _past(last, when), "discard it, or say with --why why it is used"
        )
    else:
        yield Finding("date", thing.code, f"{_past(last, when)}: {why}", weight="warning")


def newly_weak(
    before: Mapping[str, Batch], after: Mapping[str, Batch], practice: Practice
) -> Iterator[Finding]:
    """Warn of what is weak in the life an amendment makes, and was not in the one before."""
    was = {thing.code for batch in before.values() for thing in _weak(batch, practice)}
    for batch in after.values():
        for thing in _weak(batch, practice):
            if thing.code not in was:
                last = keeps.weak_through(thing, practice)
                until = (
                    f", good through {short_day(last)}"
                    if last
                    else ", and how long it is good is not known"
                )
                yield Finding(
                    "date", thing.code, f"it is too weak to keep{until}", weight="warning"
                )


def _weak(batch: Batch, practice: Practice) -> Iterator[Thing]:
    return (
        one
        for one in things(batch)
        if _holds_any(one) and keeps.weak_spell(one.made, practice) is not None
    )


def _holds_any(thing: Thing) -> bool:
    if thing.bottle is not None:
        return thing.bottle.volume_ml >= DROP_ML
    if thing.extract is not None:
        return thing.extract.volume_ml >= DROP_ML
    return thing.jar is not None and thing.jar.is_macerating


def _last_in_jar(thing: Thing, practice: Practice) -> tuple[date | None, bool]:
    """The last good day of an extract; of old marc, that of what it was pressed from.

    And whether it is known; where nothing was pressed there is none to know.
    """
    if thing.extract is not None:
        last = keeps.good_through(thing, practice)
        return last, last is not None
    jar = thing.jar
    if jar is None or jar.pressing is None:
        return None, True
    pressed = keeps.good_through(extract_of(jar, jar.pressing), practice)
    weak = keeps.weak_through(whole(jar), practice)
    return min((day for day in (pressed, weak) if day is not None), default=None), (
        pressed is not None
    )


def _past(last: date | None, when: When) -> str:
    if last is None or when.latest <= last:
        return "how long it keeps is not known"
    days = (when.latest - last).days
    return (
        f"its last good day was {short_day(last)}, {days} {'day' if days == 1 else 'days'} before"
    )
