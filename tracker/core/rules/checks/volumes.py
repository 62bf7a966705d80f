"""Amounts: nothing can take more than there is, or come to more than went in."""

from collections.abc import Iterable, Iterator

from tracker.core.facts.extracts import BottleRun
from tracker.core.facts.fields import Pour
from tracker.core.reckoning import amounts
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.few_digits import trimmed

AGAIN = "read the measure again; if the book is wrong, say what is there with `stillroom count`"
# Spirit and water take less room together than apart, by at most 4 % (OIML R 22, about equal
# parts); measures read twice differ as well, by so much: common practice, no source.
_MOST_OVER, _LEAST_UNDER = 1.05, 0.85


def within(code: str, wanted_ml: float, there_ml: float, where: str) -> Iterator[Finding]:
    """Refuse more than there is."""
    if wanted_ml > there_ml + DROP_ML:
        yield Finding(
            "amount",
            code,
            f"{trimmed(wanted_ml)} ml is more than the {trimmed(there_ml)} ml {where}",
            AGAIN,
        )


def takes(thing: Thing, volume_ml: float | None) -> Iterator[Finding]:
    """Refuse to take from what is empty, or more than there is."""
    there_ml = there(thing)
    if there_ml < DROP_ML:
        yield Finding(
            "empty", thing.code, "there is nothing left", "`stillroom stock` shows what there is"
        )
    else:
        yield from within(thing.code, volume_ml or there_ml, there_ml, "there")


def there(thing: Thing) -> float:
    """What can be taken of a bottle, an extract in bulk or a jar now, ml."""
    if thing.bottle is not None:
        return thing.bottle.volume_ml
    if thing.extract is not None:
        return thing.extract.volume_ml
    return thing.batch.contents.volume_ml


def takes_all(thing: Thing, volume_ml: float | None) -> Iterator[Finding]:
    """Ask where the whole of an extract in bulk is given out because no amount was given."""
    if volume_ml is None and thing.bottle is None and there(thing) >= DROP_ML:
        yield Finding(
            "whole",
            thing.code,
            f"no amount was given, so all {trimmed(there(thing))} ml of it would be given out",
            "give the amount, or confirm that it is all of it",
            "question",
        )


def within_bound(jar: Jar, pressed_ml: float) -> Iterator[Finding]:
    """Refuse more out of a jar than ever went in."""
    bound_ml = amounts.hard_bound_ml(jar)
    if bound_ml is not None and pressed_ml > bound_ml + DROP_ML:
        yield Finding(
            "amount",
            jar.code,
            f"{trimmed(pressed_ml)} ml is more than ever went in ({trimmed(bound_ml)} ml with the "
            "water of the herb)",
            "read the measure again: ml or oz? Is it this jar?",
        )


def mixes(
    code: str, before_ml: float, pours: Iterable[Pour], after_ml: float | None
) -> Iterator[Finding]:
    """Refuse a volume that what was there and what was poured in cannot come to."""
    poured_ml = sum(one.volume_ml for one in pours)
    whole_ml = before_ml + poured_ml
    if after_ml is None or whole_ml * _LEAST_UNDER <= after_ml <= whole_ml * _MOST_OVER:
        return
    parts = (
        f"{trimmed(before_ml)} ml and {trimmed(poured_ml)} ml"
        if poured_ml
        else f"{trimmed(before_ml)} ml"
    )
    yield Finding(
        "amount",
        code,
        f"{parts} {'do' if poured_ml else 'does'} not come to {trimmed(after_ml)} ml",
        AGAIN,
    )


def made_up(code: str, before_ml: float, after_ml: float) -> Iterator[Finding]:
    """Refuse to make an extract up to less than it is."""
    if after_ml < before_ml:
        yield Finding(
            "amount",
            code,
            f"it is {trimmed(before_ml)} ml already, more than {trimmed(after_ml)} ml",
            AGAIN,
        )


def has_room(thing: Thing, volume_ml: float) -> Iterator[Finding]:
    """Refuse to fill a bottle beyond its size."""
    assert thing.bottle is not None
    room_ml = thing.bottle.size_ml - thing.bottle.volume_ml
    if room_ml < DROP_ML:
        yield Finding(
            "amount",
            thing.code,
            f"it is full: {thing.bottle.volume_ml:g} ml",
            "record first what was taken from it, with dispense, discard or count",
        )
    else:
        yield from within(thing.code, volume_ml, room_ml, "it has room for")


def has_room_again(thing: Thing | Lot, discard: str) -> Iterator[Finding]:
    """Refuse to put back in a bottle what it has no room for, now that it was refilled."""
    if isinstance(thing, Thing) and thing.bottle is not None and thing.extract is not None:
        yield from has_room(thing, thing.extract.discards.get(discard, 0.0))


def countable(thing: Thing, volume_ml: float) -> Iterator[Finding]:
    """Refuse a bottle beyond its size; ask about more of an extract than ever went into it."""
    if thing.bottle is not None:
        yield from within(thing.code, volume_ml, thing.bottle.size_ml, "the bottle holds")
        return
    assert thing.extract is not None
    ever_ml = thing.extract.pressed_ml + thing.extract.added_ml
    if volume_ml > ever_ml + DROP_ML:
        yield Finding(
            "amount",
            thing.code,
            f"{trimmed(volume_ml)} ml is more than the {trimmed(ever_ml)} ml "
            "that ever went into it",
            "read the measure again: is it this extract, in this unit?",
            "question",
        )


def new_bottles(extract: Extract, code: str, runs: Iterable[BottleRun]) -> Iterator[Finding]:
    """Refuse bottles whose numbers were given before."""
    taken = {bottle.number for bottle in extract.bottles}
    for run in runs:
        numbers = range(run.first, run.first + run.count)
        twice = next((one for one in numbers if one in taken), None)
        if twice is not None:
            yield Finding(
                "code",
                code,
                f"bottle {twice} was filled before",
                "number them on from the last bottle",
            )
            return
        taken.update(numbers)
