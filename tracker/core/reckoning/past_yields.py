"""What the maker's own book shows: hold-back, losses, days and spoilage, herb by herb.

Medians and ranges, each with how many it rests on; what was not measured is left out.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from statistics import median

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import Way
from tracker.core.reckoning import amounts
from tracker.core.reckoning.likely_yield import method_of
from tracker.core.shelf.end import DiscardedEnd, GivenEnd, JoinedEnd, SplitEnd
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar

_MEASURED = ("weighed", "measured")
# A share of what was weighed is as well known.
_SHARED = (*_MEASURED, "reckoned")

_PRESSED = ("pressed", "collected")


class Spread(msgspec.Struct, frozen=True):
    """The least, the middle and the most of `n` values."""

    n: int
    low: float
    median: float
    high: float


class Yield(msgspec.Struct, frozen=True):
    """What one herb gave in one form, made in one way, by one method of pressing.

    Attributes:
        herb, form: as charged.
        common: its common name as the maker wrote it last.
        way: how the last steep was made; ways are never put together.
        method: "by hand", "in a press", or None if not stated or nothing was pressed.
        pressed: how many jars were pressed so.
        held_ml_per_g: what the marc held, ml per g of herb.
        given_pct: what came out, % of the liquid that was in the jar.
        lost_pct: what filter and lees kept, % of what was pressed.
        days: days on the herb, of jars for which both ends are known to the day.
        ended: jars pressed or thrown out by this herb, form and way, whatever the method.
        spoiled: how many of those were thrown out, before or after the pressing.
    """

    herb: str
    common: str | None
    form: str
    way: Way
    ended: int
    spoiled: int
    method: str | None = None
    pressed: int = 0
    held_ml_per_g: Spread | None = None
    given_pct: Spread | None = None
    lost_pct: Spread | None = None
    days: Spread | None = None


def spread(values: Iterable[float | None]) -> Spread | None:
    """The spread of the known ones; None if there are none."""
    known = sorted(one for one in values if one is not None)
    return Spread(len(known), known[0], median(known), known[-1]) if known else None


def is_spoiled(jar: Jar) -> bool:
    """Whether the jar was thrown out, or more than half of an extract of it was."""
    if isinstance(jar.end, DiscardedEnd):
        return True
    return any(one.discarded_ml > (one.pressed_ml + one.added_ml) / 2 for one in jar.extracts)


def lost_pct(extract: Extract) -> float | None:
    """What filter and lees kept, % of all that was in it; None where it was never cleared."""
    whole_ml = extract.pressed_ml + extract.added_ml
    is_cleared = extract.filtered_ml is not None or extract.lees_ml > 0
    lost_ml = extract.filter_loss_ml + extract.lees_ml
    return lost_ml / whole_ml * 100 if is_cleared and whole_ml > 0 else None


def held_ml_per_g(jar: Jar) -> float | None:
    """What the marc held, where herb and yield were both measured."""
    extract = jar.pressing
    if extract is None or extract.known not in _MEASURED or jar.herb_known not in _SHARED:
        return None
    return amounts.held_ml_per_g(jar)


def given_pct(jar: Jar) -> float | None:
    """What the pressing gave, % of the menstruum; None where it was not measured.

    A fresh herb's water counts as menstruum here.
    """
    extract, whole_ml = jar.pressing, amounts.menstruum_ml(jar)
    if extract is None or extract.known not in _MEASURED or not whole_ml:
        return None
    return extract.pressed_ml / whole_ml * 100


def days_on_herb(jar: Jar, today: date) -> float | None:
    """Days from steep to pressing, where both are known to the day."""
    days = amounts.days_on_herb(jar, today)
    return None if days is None or days[0] != days[1] else float(days[0])


def method(jar: Jar) -> str | None:
    """How it was pressed last: by hand, in a press, or None if not stated."""
    return method_of(jar.pressing.how) if jar.pressing is not None else None


def batches(jars: Iterable[Jar], is_herb: Callable[[Jar], bool]) -> list[Jar]:
    """The jars of a herb that something came of, the newest first.

    A jar split or joined ended in others, which tell its story.
    """
    found = [one for one in jars if not isinstance(one.end, SplitEnd | JoinedEnd) and is_herb(one)]
    return sorted(found, key=lambda one: (one.charged.start, one.code), reverse=True)


def goes_by(text: str) -> Callable[[Jar], bool]:
    """Whether a jar is of the herb named: by any name of it, a part of one, or its code."""
    from tracker.core.herbs.names import known

    wanted, found = text.strip().casefold(), known(text)
    latin = tuple(plant.latin.casefold() for plant in found.plants) if found else ()

    def is_it(jar: Jar) -> bool:
        names = (jar.herb.casefold(), (jar.common or "").casefold())
        if latin and names[0].startswith(latin):
            return True
        return any(wanted in name for name in names) or jar.code.casefold().startswith(wanted)

    return is_it


def yields(jars: Iterable[Jar], today: date) -> list[Yield]:
    """What each herb gave by each method, herbs in their order, from jars that are over."""
    groups: dict[tuple[str, str, Way], list[Jar]] = {}
    for one in batches(jars, _is_over):
        groups.setdefault((one.herb.casefold(), one.form, one.steep_way), []).append(one)
    return [line for _, found in sorted(groups.items()) for line in _of_herb(found, today)]


def _is_over(jar: Jar) -> bool:
    """Whether it was pressed or thrown out; of what left whole nobody knows what it gave."""
    return not jar.is_macerating and not isinstance(jar.end, GivenEnd)


def steeping_again(jars: Iterable[Jar]) -> list[Jar]:
    """The jars that were pressed and stand with their marc again; only a last pressing counts."""
    return [
        one
        for one in jars
        if one.is_macerating and any(extract.opened in _PRESSED for extract in one.extracts)
    ]


def _of_herb(jars: Sequence[Jar], today: date) -> list[Yield]:
    """A line for each method that jars of one herb, form and way were pressed by."""
    pressed: dict[str | None, list[Jar]] = {}
    for one in jars:
        if one.pressing is not None:
            pressed.setdefault(method(one), []).append(one)
    spoiled = sum(map(is_spoiled, jars))
    methods = sorted(pressed, key=lambda how: (how is None, how or "")) or [None]
    line = Yield(
        herb=jars[0].herb,
        common=next((one.common for one in jars if one.common), None),
        form=jars[0].form,
        way=jars[0].steep_way,
        ended=len(jars),
        spoiled=spoiled,
    )
    return [_line(line, how, pressed.get(how, []), today) for how in methods]


def _line(line: Yield, method: str | None, jars: Sequence[Jar], today: date) -> Yield:
    """The line of a herb for what was pressed by one method."""
    return replace(
        line,
        method=method,
        pressed=len(jars),
        held_ml_per_g=spread(map(held_ml_per_g, jars)),
        given_pct=spread(map(given_pct, jars)),
        lost_pct=spread(lost_pct(extract) for jar in jars for extract in jar.extracts),
        days=spread(days_on_herb(jar, today) for jar in jars),
    )
