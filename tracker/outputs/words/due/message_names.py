"""What things are called in a line of a message: short, and never so that two are mistaken."""

from collections import Counter
from collections.abc import Iterable, Sequence
from textwrap import shorten
from typing import Literal

import msgspec

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, extract_of, whole
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.words.due.due_names import DueItem
from tracker.outputs.words.plant_names import called_in_a_list, plant_called, the_form

# Nobody shakes an extract or counts a jar, so the two never stand in for each other.
State = Literal["herb in", "liquid"]


class ShelfNames(msgspec.Struct, frozen=True):
    """How many things of the shelf go by a name, and the state each is in by its code."""

    names: PlantNames = "common"
    numbers: Counter[tuple[State, str]] = msgspec.field(default_factory=Counter)
    states: dict[str, State] = msgspec.field(default_factory=dict)


class Called(msgspec.Struct, frozen=True):
    """What one thing is called in a list.

    Attributes:
        name: with its part, and what tells it from others.
        short: its plants alone, where that tells as much.
        alike: how many of the shelf go by that name.
    """

    code: str
    name: str
    short: str
    alike: int = 1


def shelf_names(batches: Iterable[Batch], names: PlantNames) -> ShelfNames:
    """Every name that a jar with its herb in, or what is left of an extract, goes by."""
    numbers: Counter[tuple[State, str]] = Counter()
    states: dict[str, State] = {}
    for state, code, herbs in _live(batches):
        states[code] = state
        numbers.update({(state, name) for name in _names_of(herbs, names)})
    return ShelfNames(names, numbers, states)


def _live(batches: Iterable[Batch]) -> Iterable[tuple[State, str, tuple[HerbView, ...]]]:
    for batch in batches:
        if isinstance(batch, Jar) and batch.is_macerating:
            yield "herb in", batch.code, herbs_of(batch, whole(batch).made)
        for extract in batch.extracts:
            if extract.left_ml >= DROP_ML:
                thing = extract_of(batch, extract)
                yield "liquid", thing.code, herbs_of(batch, thing.made)


def _names_of(herbs: Sequence[HerbView], names: PlantNames) -> tuple[str, str, str]:
    """Plants alone, with their parts, and with their form: each tells more than the last."""
    with_part = called_in_a_list(herbs, names)
    plants = " + ".join(dict.fromkeys(plant_called(one, names) for one in herbs))
    with_form = f"{the_form(herbs)} {with_part}"
    return _in_one_line(plants), _in_one_line(with_part), _in_one_line(with_form)


def _in_one_line(text: str) -> str:
    return " ".join(text.split())


def called_in_message(item: DueItem, shelf: ShelfNames) -> Called:
    """What a thing is called in a list: by no more than tells it from all others."""
    code = item.line.code
    if not item.herbs:  # a lot, or the whole book
        return Called(code, code, code)
    if not shelf.states:
        name = _in_one_line(item.short)
        return Called(code, name, name)
    state = shelf.states.get(code)
    plants, with_part, with_form = _names_of(item.herbs, shelf.names)
    if state is None:  # a bottle, which shares its name with the others of its extract
        return Called(code, with_part, with_part, 0)
    least = shelf.numbers[state, with_form]
    name = with_part if shelf.numbers[state, with_part] == least else with_form
    short = plants if shelf.numbers[state, plants] == least else name
    return Called(code, name, short, least)


def names_within(things: Sequence[Called], room: int, *, counted: bool = False) -> str:
    """What some things are called, in so many letters; how many there is no room for comes last.

    Args:
        things: what is to be named.
        room: letters there are.
        counted: whether a number is enough to tell those of one name apart from others.
    """
    entries: list[tuple[str, int]] = []
    for is_short in (False, True):
        entries = _entries(things, is_short=is_short, counted=counted)
        text = ", ".join(name for name, _ in entries)
        if len(text) <= room:
            return text
    for kept in range(len(entries) - 1, 0, -1):
        more = f" and {sum(number for _, number in entries[kept:])} more"
        text = ", ".join(name for name, _ in entries[:kept])
        if len(text) + len(more) <= room:
            return text + more
    others = len(things) - entries[0][1]
    more = f" and {others} more" if others else ""
    return cut_at_words(entries[0][0], room - len(more)) + more


def _entries(things: Sequence[Called], *, is_short: bool, counted: bool) -> list[tuple[str, int]]:
    """Each name with how many go by it; those of one herb come first."""
    groups: dict[str, list[Called]] = {}
    for one in things:
        groups.setdefault(one.short if is_short else one.name, []).append(one)
    entries: list[tuple[str, int]] = []
    for name, own in groups.items():
        if counted or len(own) >= own[0].alike > 0:
            entries.append((name if len(own) == 1 else f"{name} ({len(own)})", len(own)))
        else:
            entries += [(f"{name} {one.code}", 1) for one in own]
    return sorted(entries, key=lambda entry: " + " in entry[0])


def with_code(thing: Called, room: int) -> str:
    """`burdock root ARLA-26-02`: the name is cut, never the code."""
    if thing.name == thing.code:
        return thing.code
    return f"{cut_at_words(thing.name, room - len(thing.code) - 1)} {thing.code}"


def cut_at_words(text: str, room: int) -> str:
    """As many words as there is room for, and that there are more."""
    text = _in_one_line(text)
    if len(text) <= room:
        return text
    cut = "…"
    if room > len(" …"):
        cut = shorten(text, room, placeholder=" …", break_on_hyphens=False)
    return cut if cut.strip(" …") else text[: max(room - 1, 0)].rstrip() + "…"
