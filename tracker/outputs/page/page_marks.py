"""What to heed of each thing on the page, as marks of a word or two beside its name."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Final

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import Practice
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch, things
from tracker.core.values.day_words import Present
from tracker.outputs.view.heeds import ORDER, Heed, HeedKind, heeds_in
from tracker.outputs.view.thing_view import ThingView, view_of
from tracker.outputs.words.heed_words import heed_mark

# How to handle a thing, and whom it may not agree with, stands where it is opened.
_IN_A_ROW: Final[frozenset[HeedKind]] = frozenset(ORDER[: ORDER.index("lid") + 1])

_OF_DAY: Final[frozenset[HeedKind]] = frozenset(("past", "no date"))


class Mark(msgspec.Struct, frozen=True):
    """A word or two.

    Attributes:
        is_grave: whether it must be read before the thing is touched.
        is_of_day: whether it says which day ended it, or that none is known.
    """

    text: str
    is_grave: bool
    is_of_day: bool = False


# By the code of a thing; of two that came to one code, what is to be heeded of either.
Heeded = Mapping[str, tuple[Heed, ...]]


def heeded(
    live: Iterable[Batch],
    views: Mapping[str, ThingView],
    practice: Practice,
    today: date,
    flags: Sequence[Flag],
) -> Heeded:
    """What to heed of every jar, extract and bottle there is anything of.

    Args:
        live: the jars and blends.
        views: what was reckoned of each as a whole, by its id.
        practice: the rules in force.
        today: the maker's day.
        flags: what holds some of a lot called back and is on no hold.
    """
    found: dict[str, tuple[Heed, ...]] = {}
    for batch in live:
        view = views[batch.id]
        of_liquid: tuple[Heed, ...] = ()
        for thing in things(batch):
            if thing.bottle is not None and thing.bottle.made is None:
                own = _of_bottle(thing.code, of_liquid)
            elif thing.code == view.row.code:
                own = of_liquid = heeds_in(view)
            else:
                own = heeds_in(view_of(thing, practice, today, flags=flags))
                of_liquid = own if thing.kind == "extract" else of_liquid
            if thing.code in found:
                own = tuple(dict.fromkeys((*found[thing.code], *own)))
            found[thing.code] = own
    return found


def _of_bottle(code: str, of_liquid: tuple[Heed, ...]) -> tuple[Heed, ...]:
    """What of its extract's is true of a bottle into which nothing else went."""
    if all(one.is_whole for one in of_liquid):
        return of_liquid
    return tuple(
        one if one.is_whole else replace(one, is_whole=True)
        for one in of_liquid
        if one.is_whole or code in one.codes
    )


def marks_of(heeds: Iterable[Heed], today: date, *, but: Iterable[HeedKind] = ()) -> list[Mark]:
    """The marks of a row, the gravest first; without those of which it says more itself."""
    told, present = set(but), Present(today.year)
    found = [one for one in heeds if one.kind in _IN_A_ROW and one.kind not in told]
    return list(
        dict.fromkeys(
            Mark(heed_mark(one, present), one.is_grave, one.kind in _OF_DAY) for one in found
        )
    )
