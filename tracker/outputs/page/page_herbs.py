"""Every jar and blend under its plant, from A to Z, each with all that is known of it."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.practice.practice import Practice
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch, things
from tracker.outputs.page.history_lines import HistoryLine, history_lines
from tracker.outputs.page.page_marks import Heeded, Mark, marks_of
from tracker.outputs.page.page_names import (
    Anchors,
    PageName,
    PlantOnPage,
    in_order_of_names,
    letter_of,
    page_name,
    plant_alone,
)
from tracker.outputs.pictures.life.jar_life import Life, life
from tracker.outputs.terminal.show import account
from tracker.outputs.view.liquid import BottleView, ExtractView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.amount_words import ml


class BottleOnPage(msgspec.Struct, frozen=True):
    """A bottle, what is left in it, till when it is good and what to heed."""

    name: PageName
    left: str
    is_left: bool
    is_past: bool
    last: date | None
    marks: tuple[Mark, ...]


class LiquidOnPage(msgspec.Struct, frozen=True):
    """An extract or a blend with its bottles."""

    name: PageName
    left: str
    is_left: bool
    is_past: bool
    last: date | None
    marks: tuple[Mark, ...]
    place: str
    bottles: tuple[BottleOnPage, ...]


class JarOnPage(msgspec.Struct, frozen=True):
    """A jar or a blend with all that is known of it.

    Attributes:
        said: how it stands, in the line that opens it.
    """

    name: PageName
    said: str
    marks: tuple[Mark, ...]
    liquids: tuple[LiquidOnPage, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    life: Life
    history: tuple[HistoryLine, ...]


class HerbOnPage(msgspec.Struct, frozen=True):
    """A plant, the jars of it, and what else it is in.

    Attributes:
        jars: made when their turn comes: of all at once they are most of the page.
        also: the jars and blends of which it is not the heaviest herb.
    """

    plant: PlantOnPage
    jars: Iterator[JarOnPage]
    also: tuple[PageName, ...]


class Letter(msgspec.Struct, frozen=True):
    """A letter, and the plants under it by their names."""

    letter: str
    anchor: str
    herbs: tuple[HerbOnPage, ...]


class Telling(msgspec.Struct, frozen=True):
    """What every jar of the page is told by.

    Attributes:
        histories: every line about each of them, by its id.
        names: what every entry is called, by its id.
        late: by the ids of those that used something past its date, by how many days.
        next: what is next for a jar with herb in, by its code.
    """

    practice: Practice
    today: date
    anchors: Anchors
    heeds: Heeded
    histories: Mapping[str, Sequence[Entry]]
    names: Mapping[str, str]
    late: Mapping[str, int]
    next: Mapping[str, str]


def letter_anchor(letter: str) -> str:
    """The id that a link to a letter ends in."""
    return f"herbs-{'other' if letter == '#' else letter.lower()}"


def letters_of(
    live: Sequence[Batch], views: Mapping[str, ThingView], names: Practice
) -> dict[str, dict[PlantOnPage, tuple[list[Batch], list[Batch]]]]:
    """By letter and plant: the jars and blends of it, and those it is in beside another."""
    by_plant: dict[PlantOnPage, tuple[list[Batch], list[Batch]]] = defaultdict(lambda: ([], []))
    for batch in sorted(live, key=lambda one: (one.code, one.id)):
        plants = dict.fromkeys(plant_alone(one, names.names) for one in views[batch.id].row.herbs)
        for place, plant in enumerate(plants):
            by_plant[plant][min(place, 1)].append(batch)
    found: dict[str, dict[PlantOnPage, tuple[list[Batch], list[Batch]]]] = {}
    for plant in sorted(by_plant, key=lambda one: in_order_of_names(one.name)):
        found.setdefault(letter_of(plant.name), {})[plant] = by_plant[plant]
    return dict(sorted(found.items(), key=lambda pair: (pair[0] == "#", pair[0])))


def herb_letters(
    by_letter: Mapping[str, Mapping[PlantOnPage, tuple[list[Batch], list[Batch]]]],
    views: Mapping[str, ThingView],
    telling: Telling,
) -> Iterator[Letter]:
    """Each letter with its plants, and each of those with its jars."""

    def named(batch: Batch) -> PageName:
        return page_name(next(things(batch)), telling.anchors, telling.practice.names)

    for letter, plants in by_letter.items():
        yield Letter(
            letter,
            letter_anchor(letter),
            tuple(
                HerbOnPage(
                    plant,
                    (_jar(one, views[one.id], telling) for one in own),
                    tuple(map(named, also)),
                )
                for plant, (own, also) in plants.items()
            ),
        )


def _jar(batch: Batch, view: ThingView, telling: Telling) -> JarOnPage:
    """All that is known of one."""
    practice, today = telling.practice, telling.today
    entries = [one for one in telling.histories.get(batch.id, ()) if one.when.earliest <= today]
    names = {one.code: page_name(one, telling.anchors, practice.names) for one in things(batch)}
    return JarOnPage(
        names[view.row.code],
        _said(view, telling.next.get(view.row.code, "")),
        tuple(marks_of(telling.heeds[view.row.code], today)),
        tuple(_liquid(one, view, names.__getitem__, telling) for one in view.extracts),
        _gathered(account(view)),
        life(view, entries, today, telling.names),
        history_lines(entries, telling.names, telling.late),
    )


def _said(view: ThingView, next_step: str) -> str:
    """`ready`, `shake in 3 d`, `412 ml left`; of a jar with herb and liquid both."""
    left_ml = sum(one.left_ml for one in view.extracts)
    said = [next_step or "herb in"] if view.row.is_macerating else []
    said += [f"{ml(left_ml)} left"] if left_ml >= DROP_ML else []
    return " · ".join(said) or view.row.state


def _liquid(
    extract: ExtractView, view: ThingView, named: Callable[[str], PageName], telling: Telling
) -> LiquidOnPage:
    """A liquid; the code of a blend is its own line's already."""
    is_whole = extract.code == view.row.code
    marks = () if is_whole else marks_of(telling.heeds[extract.code], telling.today)
    is_left = extract.left_ml >= DROP_ML
    in_bulk = "in bulk " if extract.bottles else ""
    left = f"{ml(extract.volume_ml)} {in_bulk}left of {ml(extract.pressed_ml)} {extract.opened}"
    return LiquidOnPage(
        named(extract.code),
        left if is_left else f"nothing left of {ml(extract.pressed_ml)}",
        is_left,
        extract.state == "expired",
        extract.good_through,
        tuple(marks),
        extract.place or "",
        tuple(_bottle(one, named(one.code), telling) for one in extract.bottles),
    )


def _bottle(bottle: BottleView, name: PageName, telling: Telling) -> BottleOnPage:
    marks = marks_of(telling.heeds[bottle.code], telling.today)
    is_left = bottle.state not in ("discarded", "empty")
    is_past = bottle.state == "expired"
    return BottleOnPage(name, _left(bottle), is_left, is_past, bottle.good_through, tuple(marks))


def _left(bottle: BottleView) -> str:
    if bottle.state in ("discarded", "empty"):
        return f"{bottle.state}, {ml(bottle.size_ml)}"
    if bottle.is_full:
        return f"{ml(bottle.size_ml)}, full"
    return f"{ml(bottle.volume_ml)} left of {ml(bottle.size_ml)}"


def _gathered(rows: Sequence[tuple[str, str]]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each name once, with all that follows under it."""
    gathered: list[tuple[str, list[str]]] = []
    for name, value in rows:
        if gathered and name in ("", gathered[-1][0]):
            gathered[-1][1].append(value)
        else:
            gathered.append((name, [value]))
    return tuple((name, tuple(values)) for name, values in gathered)
