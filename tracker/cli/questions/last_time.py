"""What was done the last time, by the book: the charge of a jar, the last place, the last way."""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from tracker.cli.given.like import charge_of
from tracker.core.reckoning.sizing import FLUID_OUNCE_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import BookError, TrackerError
from tracker.core.values.few_digits import trimmed

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk
    from tracker.core.facts.jars import Charged

T = TypeVar("T")

_HUNDREDTHS = 2


def all_jars(walk: "Walk") -> list[Jar]:
    """Every jar there ever was, the newest first."""
    try:
        found = walk.desk.bench.jars()
    except BookError:
        return []
    return sorted(found, key=lambda one: one.born, reverse=True)


def last(jars: Iterable[Jar], of: Callable[[Jar], T | None]) -> T | None:
    """What the newest jar that has it has."""
    return next((found for one in jars if (found := of(one))), None)


def charge_like(walk: "Walk", herb: str, form: str | None) -> "Charged | None":
    """The last charge of a herb, of the same form where there is one."""
    mine = [
        one
        for one in all_jars(walk)
        if one.opened == "charged" and one.herb.casefold() == herb.casefold()
    ]
    mine.sort(key=lambda one: form not in (None, one.form))
    if not mine:
        return None
    try:
        return charge_of(walk.desk, mine[0])
    except TrackerError:
        return None
    finally:
        walk.desk.close()


def last_pressing(walk: "Walk", of: str) -> str | None:
    """How the last pressing was done, or what became of its marc."""
    pressed = [one for jar in all_jars(walk) for one in jar.extracts if one.opened == "pressed"]
    pressed.sort(key=lambda one: one.pressed.start, reverse=True)
    return next((getattr(one, of) for one in pressed if getattr(one, of)), None)


def last_source(walk: "Walk", of: str) -> str | None:
    """Where the last lot of a kind was from."""
    try:
        lots = walk.desk.bench.lots()
    except BookError:
        return None
    alike = (one for one in sorted(lots, key=_came_in, reverse=True) if one.how == of)
    return next((one.where for one in alike if one.where), None)


def last_size(walk: "Walk") -> str | None:
    """The size of the last jar, in the unit that it is asked for in."""
    size = last(all_jars(walk), lambda one: one.jar_ml)
    return None if size is None else size_said(walk, size)


def size_said(walk: "Walk", size_ml: float) -> str:
    """The size of a jar in the unit that it is asked for in."""
    practice = walk.desk.bench.practice
    if practice.measures == "metric":
        return f"{size_ml:g} ml"
    return f"{trimmed(size_ml / FLUID_OUNCE_ML[practice.units], _HUNDREDTHS)} fl oz"


def _came_in(lot: Lot) -> datetime:
    return lot.on.start
