"""The names of a list's things in a column: cut so that no two that differ look alike."""

from collections.abc import Callable, Sequence

import msgspec

from tracker.core.practice.practice import PlantNames
from tracker.core.values.text import shown
from tracker.outputs.terminal.table import Cell, cut, cut_list, width
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.latin_names import latin_runs, short_genera
from tracker.outputs.words.plant_names import harmful_first, plant_called

_LEAST_PLANT = 5  # cells: fewer tell no plant
_AND = " + "

Herbs = Sequence[HerbView]


class ListedNames(msgspec.Struct, frozen=True):
    """The names of the things of one list, in its order.

    Attributes:
        rows: the herbs of each thing, with what else is said behind them.
        names: what its maker goes by.
    """

    rows: tuple[tuple[Herbs, str], ...]
    names: PlantNames

    def full(self) -> list[Cell]:
        """Every name in full."""
        return self.within(1 << 16)

    def within(self, cells: int) -> list[Cell]:
        """Every name in at most so many cells; part and form are cut last."""
        said = _Said(self.rows, self.names)
        made = [_Row(herbs, behind, said) for herbs, behind in self.rows]
        full = [one.full for one in made]
        texts = [one.within(cells) for one in made]
        alike = _alike(texts, full)
        texts = [
            one.by_letters(cells) if text in alike else text
            for one, text in zip(made, texts, strict=True)
        ]
        texts = told_apart(texts, full, cells)
        return [_cell(text, said.latin) for text in texts]


def listed(rows: Sequence[Herbs], names: PlantNames) -> ListedNames:
    """The names of things by their herbs alone."""
    return ListedNames(tuple((one, "") for one in rows), names)


class _Said:
    """How the plants of one list are called, so that each is told from all others."""

    def __init__(self, rows: Sequence[tuple[Herbs, str]], names: PlantNames) -> None:
        herbs = [one for row, _ in rows for one in row]
        latin = {one.herb for one in herbs}
        self._names = names
        self._short = short_genera(latin)
        self._doubles = _of_one_name(herbs)
        self.latin = [shown(one) for one in (*latin, *self._short.values())]
        self.is_mostly_dried = _mostly_dried(rows)

    def plant(self, one: HerbView) -> str:
        """A plant in full; with its Latin name too where another has the same common one."""
        return shown(plant_called(one, self._names_of(one)))

    def shorter(self, one: HerbView) -> str:
        """The genus of a Latin name by its first letters."""
        plant = plant_called(one, self._names_of(one))
        return shown(plant.replace(one.herb, self._short.get(one.herb, one.herb)))

    def shortest(self, one: HerbView) -> str:
        """The same, without the Latin name where both are said and one is enough."""
        if self._names != "both" or one.herb in self._doubles:
            return self.shorter(one)
        plant = plant_called(one, "common")
        return shown(self._short.get(plant, plant))

    def part_and_form(self, one: HerbView) -> str:
        """` flower, fresh`; that it is dried is left out where most of the list is."""
        plant = plant_called(one, self._names).lower()
        part = "" if not one.part or plant.endswith(one.part.lower()) else f" {one.part}"
        is_said = one.form and not (one.form == "dried" and self.is_mostly_dried)
        form = f", {one.form}" if is_said else ""
        return shown(part + form)

    def _names_of(self, one: HerbView) -> PlantNames:
        return "both" if one.herb in self._doubles and self._names == "common" else self._names


def _of_one_name(herbs: Sequence[HerbView]) -> set[str]:
    """The plants whose common name another plant of the list has as well."""
    by_common: dict[str, set[str]] = {}
    for one in herbs:
        by_common.setdefault(plant_called(one, "common").lower(), set()).add(one.herb)
    return {herb for plants in by_common.values() if len(plants) > 1 for herb in plants}


class _Row:
    """One thing of the list, and its name in as many cells as there are."""

    def __init__(self, herbs: Herbs, behind: str, said: _Said) -> None:
        self._herbs, self._behind, self._said = herbs, shown(behind), said

    @property
    def full(self) -> str:
        """The whole of it."""
        return self._joined(self._herbs, self._said.plant)

    def within(self, cells: int) -> str:
        """The fullest that fits, its plant cut at the end of a word."""
        return self._within(cells, cut_at_word)

    def by_letters(self, cells: int) -> str:
        """The same with as many letters as there is room for."""
        return self._within(cells, cut)

    def _within(self, cells: int, cut_plant: Callable[[str, int], str]) -> str:
        if width(self.full) <= cells:
            return self.full
        if len({one.herb for one in self._herbs}) > 1:
            return self._of_several(cells)
        herb = self._herbs[0]
        rest = self._rest(self._herbs)
        for plant in (self._said.shorter(herb), self._said.shortest(herb)):
            if width(plant + rest) <= cells:
                return plant + rest
        room, plant = cells - width(rest), self._said.shortest(herb)
        return (
            cut_middle(plant + rest, cells)
            if room < _LEAST_PLANT
            else cut_plant(plant, room) + rest
        )

    def _of_several(self, cells: int) -> str:
        """The plants of a mixture, then as many as there is room for, what may harm first."""
        for said in (self._joined(self._herbs, self._said.shortest), self._plants(self._herbs)):
            if width(said) <= cells:
                return said
        return cut_list(self._plants(harmful_first(self._herbs)), cells)

    def _plants(self, herbs: Herbs) -> str:
        return _AND.join(dict.fromkeys(map(self._said.shortest, herbs)))

    def _joined(self, herbs: Herbs, plant: Callable[[HerbView], str]) -> str:
        if len({(one.part, one.form) for one in herbs}) == 1:
            return _AND.join(dict.fromkeys(map(plant, herbs))) + self._rest(herbs)
        each = dict.fromkeys(plant(one) + self._said.part_and_form(one) for one in herbs)
        return _AND.join(each) + self._behind

    def _rest(self, herbs: Herbs) -> str:
        parts = dict.fromkeys(self._said.part_and_form(one) for one in herbs)
        return " and".join(parts) + self._behind


def _mostly_dried(rows: Sequence[tuple[Herbs, str]]) -> bool:
    forms = [one.form for herbs, _ in rows for one in herbs[:1] if one.form]
    return forms.count("dried") * 2 > len(forms)


def _cell(text: str, latin: Sequence[str]) -> Cell:
    """A name with its Latin in italics."""
    parts: list[tuple[str, str]] = []
    begun = text.partition("…")[0]
    if begun != text and any(one != begun and one.startswith(begun) for one in latin if begun):
        return Cell(parts=((begun, "latin"), (text[len(begun) :], "")))
    while text:
        found = min(
            ((text.find(one), -len(one), one) for one in latin if one in text), default=None
        )
        if found is None:
            parts.append((text, ""))
            break
        before, _, one = found
        parts += [(text[:before], "")] if before else []
        parts += [(run, "latin" if italic else "") for run, italic in latin_runs(one)]
        text = text[before + len(one) :]
    return Cell(parts=tuple(parts))


def cut_at_word(text: str, cells: int) -> str:
    """The text in at most so many cells, cut behind a word where that leaves enough of it."""
    if width(text) <= cells:
        return text
    ends = [place for place, one in enumerate(text) if one == " " and width(text[:place]) < cells]
    is_enough = ends and ends[-1] * 3 >= cells
    return f"{text[: ends[-1]]}…" if is_enough else cut(text, cells)


def cut_middle(text: str, cells: int) -> str:
    """The text in at most so many cells, cut in the middle: its end says part and form."""
    if width(text) <= cells:
        return text
    head, tail = text, text
    while width(head) > (cells - 1) // 2:
        head = head[:-1]
    while width(tail) > cells - 1 - width(head):
        tail = tail[1:]
    return f"{head.rstrip()}…{tail}"


def _alike(texts: Sequence[str], full: Sequence[str]) -> set[str]:
    """The texts that stand for things that differ."""
    meant: dict[str, set[str]] = {}
    for text, whole in zip(texts, full, strict=True):
        meant.setdefault(text, set()).add(whole)
    return {text for text, wholes in meant.items() if len(wholes) > 1}


def told_apart(texts: Sequence[str], full: Sequence[str], cells: int) -> list[str]:
    """Shortened texts, those that coincide though they mean different things told apart."""
    meant: dict[str, set[str]] = {}
    for text, whole in zip(texts, full, strict=True):
        meant.setdefault(text, set()).add(whole)
    apart: dict[str, str] = {}
    for alike in meant.values():
        if len(alike) > 1:
            apart |= _apart(sorted(alike), cells)
    return [apart.get(whole, text) for text, whole in zip(texts, full, strict=True)]


def _apart(full: Sequence[str], cells: int) -> dict[str, str]:
    """Each text cut where it differs from the others, in one way for all of them."""
    heads = (*range((cells - 1) * 2 // 3, 3, -1), 3, 2, 1, 0)
    for head in heads:
        for start in (None, _first_difference(full)):
            short = [_window(one, head, start, cells) for one in full]
            if len(set(short)) == len(full):
                return dict(zip(full, short, strict=True))
    return {}


def _first_difference(full: Sequence[str]) -> int:
    return next(
        (place for place, signs in enumerate(zip(*full, strict=False)) if len(set(signs)) > 1),
        min(map(len, full)),
    )


def _window(text: str, head: int, start: int | None, cells: int) -> str:
    """The beginning of a text, and its end or what follows a place."""
    if width(text) <= cells:
        return text
    room = cells - head - 1
    if start is None or start <= head:
        return cut_middle_at(text, head, room)
    return f"{text[:head].rstrip()}…{cut(text[start:], room)}"


def cut_middle_at(text: str, head: int, room: int) -> str:
    """So much of the beginning, and as much of the end as there is room for."""
    tail = text
    while width(tail) > room:
        tail = tail[1:]
    return f"{text[:head].rstrip()}…{tail}"
