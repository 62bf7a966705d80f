"""What a plant's name fits: whole words or their beginnings, in any order, nothing guessed."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from tracker.core.herbs.names import PlantsMeant, known
from tracker.core.herbs.spelling import singular, words
from tracker.core.shelf.contents import Herb
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch

# With fewer letters a beginning fits too much; a whole word may have any number.
_LEAST_LETTERS = 3

# What stands beside a strength, and names no liquid.
_UNITS = {"vol", "mass", "proof"}

One = TypeVar("One", Batch, Lot)


def named(text: str, among: Iterable[One]) -> list[One]:
    """Those whose plant a text names; part, form and place may stand beside it.

    Latin, common name or one that the table of plants knows; accents and capitals do not count.
    Where a text fits some by whole words, those that it only begins are left out.
    """
    typed = [singular(word) for word in words(text)]
    if not any(len(word) >= _LEAST_LETTERS for word in typed):
        return []
    look = _Look(typed)
    graded = [(look.at(one), one) for one in among]
    best = max((grade for grade, _ in graded), default=0)
    return [one for grade, one in graded if grade == best and grade > 0]


class _Look:
    """One name that was typed, held against many things."""

    def __init__(self, typed: list[str]) -> None:
        self._typed = typed
        self._known: dict[str, PlantsMeant | None] = {}

    def at(self, one: Batch | Lot) -> int:
        """2 where every word is one of its own, or names its plant; 1 by beginnings; else 0."""
        herbs = _herbs(one)
        if not herbs:
            return self._liquid(one) if isinstance(one, Lot) else 0
        beside = _beside(one, herbs)
        names = {word for herb in herbs for word in self._names(herb)}
        names |= _spoken(one.common)
        if self._fits(names, beside, str.__eq__) or self._is_meant(herbs, beside):
            return 2
        return 1 if self._fits(names, beside, _begins) else 0

    def _liquid(self, lot: Lot) -> int:
        """The same of a lot of spirit, water or glycerin."""
        names = (_spoken(lot.what) | _spoken(lot.liquid) | _spoken(lot.name)) - _UNITS
        if self._fits(names, _spoken(lot.where), str.__eq__):
            return 2
        return 1 if self._fits(names, _spoken(lot.where), _begins) else 0

    def _fits(self, names: set[str], beside: set[str], alike: Callable[[str, str], bool]) -> bool:
        def is_in(word: str, own: set[str]) -> bool:
            return any(alike(one, word) for one in own)

        is_named = any(len(one) >= _LEAST_LETTERS and is_in(one, names) for one in self._typed)
        return is_named and all(is_in(one, names) or is_in(one, beside) for one in self._typed)

    def _is_meant(self, herbs: list[Herb], beside: set[str]) -> bool:
        """Whether the table of plants knows the name as one of a herb in it."""
        rest = [one for one in self._typed if one not in beside]
        meant = self._plants(" ".join(rest))
        if meant is None or meant.how == "genus":
            return False
        return any(
            own is not None
            and own.plant in meant.plants
            and meant.part in (None, own.part, herb.part)
            for herb in herbs
            for own in (self._plants(herb.herb),)
        )

    def _names(self, herb: Herb) -> set[str]:
        own = self._plants(herb.herb)
        common = own.plant.common if own is not None and own.plant else None
        return _spoken(herb.herb) | _spoken(common)

    def _plants(self, name: str) -> PlantsMeant | None:
        if name not in self._known:
            self._known[name] = known(name)
        return self._known[name]


def _begins(word: str, typed: str) -> bool:
    return word == typed or (len(typed) >= _LEAST_LETTERS and word.startswith(typed))


def _herbs(one: Batch | Lot) -> list[Herb]:
    if isinstance(one, Lot):
        if one.herb is None:
            return []
        return [Herb(one.id, one.herb, one.form or "dried", part=one.part)]
    return list(one.contents.herbs) or [Herb(one.id, one.herb, one.form, part=one.part)]


def _beside(one: Batch | Lot, herbs: list[Herb]) -> set[str]:
    """The words of part, form and place."""
    if isinstance(one, Lot):
        places = [one.where]
    else:
        places = [getattr(one, "place", None), *(extract.place for extract in one.extracts)]
    said = [*places, *(herb.part for herb in herbs), *(herb.form for herb in herbs)]
    return {word for text in said for word in _spoken(text)}


def _spoken(text: str | None) -> set[str]:
    return {singular(word) for word in words(text)} if text else set()
