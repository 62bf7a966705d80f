"""What a handout says of each jar: names, what is in it, its days, and what to heed."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final, NamedTuple

from tracker.core.practice.practice import Practice
from tracker.core.shelf.end import ended_word
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import short_day
from tracker.outputs.paper.labels.label_recipe import menstruum, ratio_line
from tracker.outputs.paper.weak_line import weak_text
from tracker.outputs.records.record_table import (
    Para,
    RecordCell,
    RecordRow,
    barred,
    cell,
    para,
    plant_named,
)
from tracker.outputs.view.heeds import Heed, heeds_in
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import RowView, ThingView, view_of
from tracker.outputs.words.heed_words import heed_mark, heed_sentence
from tracker.outputs.words.holds import hold_said
from tracker.outputs.words.plant_names import common_of
from tracker.outputs.words.short_days import when_in_full
from tracker.outputs.words.ways_of_making import OF_ONE_HERB, press_verb, way_said

# What a ratio is by is said once, at the head, where it is this.
BY_POURED: Final = "menstruum poured"
_BY_POURED: Final = f" ({BY_POURED})"
# Of a thing and not of its plants, and so said in its row.
_OF_THE_THING: Final = frozenset(("spoilage", "past", "lid", "used late"))


class HandoutRow(NamedTuple):
    """One jar, extract or bottle: its cells, and what to heed of it."""

    code: str
    cells: RecordRow
    heeds: tuple[Heed, ...]
    is_by_poured: bool


def row(thing: Thing, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> HandoutRow:
    """What the handout says about one jar, extract, blend or bottle.

    Args:
        thing: what it is.
        practice: the rules in force.
        today: the day as of which it is true.
        not_held: what holds some of a lot called back and is on no hold.
    """
    view = view_of(thing, practice, today, flags=not_held)
    heeds, ratio = heeds_in(view), ratio_line(view)
    cells: RecordRow = (
        tuple(_names(view, heeds)),
        cell(thing.code, "B"),
        cell(" + ".join(dict.fromkeys(_part_and_form(one) for one in view.row.herbs))),
        tuple(para(text) for text in _liquid(view)),
        cell(ratio.removesuffix(_BY_POURED)),
        cell(_charged(view.row)),
        cell(_pressed(view)),
        tuple(_next(view, heeds)),
        _good_through(view.row, today),
    )
    return HandoutRow(thing.code, cells, heeds, ratio.endswith(_BY_POURED))


def _names(view: ThingView, heeds: Sequence[Heed]) -> Iterator[Para]:
    """What it must not be used for, then each plant as people call it, its Latin name behind."""
    several = len({one.herb for one in view.row.herbs}) > 1
    for one in heeds:
        if one.is_grave and one.is_of_plant:
            of = f": {one.herb}" if several else ""
            yield barred(f"{heed_mark(one).upper()}{of}")
    yield from dict.fromkeys(plant_named(one.herb, common_of([one])) for one in view.row.herbs)


def _part_and_form(one: HerbView) -> str:
    return f"{one.part}, {one.form}" if one.part else one.form


def _liquid(view: ThingView) -> Iterator[str]:
    """How it is made, where it does not just macerate, and what was poured."""
    way = OF_ONE_HERB if view.of_one_herb else way_said(view.row.way, view.row.steep_way)
    if way:
        yield way
    yield menstruum(view) or "not known"


def _charged(found: RowView) -> str:
    if found.charged is None:
        return f"blended {when_in_full(found.begun)}"
    return when_in_full(found.charged) + (" (a guess)" if found.charge_guessed else "")


def _pressed(view: ThingView) -> str:
    """The day alone where it was pressed; else with what was done."""
    found, extract = view.row, view.extract
    if found.pressed is None or found.charged is None:
        return ""
    how = "" if extract is None or extract.opened == "pressed" else f"{extract.opened} "
    return f"{how}{when_in_full(found.pressed)}"


def _next(view: ThingView, heeds: Sequence[Heed]) -> Iterator[Para]:
    """What keeps it from being used, then the day that matters to a class."""
    found = view.row
    for one in heeds:
        if one.hold is not None:
            yield barred(heed_mark(one).upper())
            yield para(hold_said(one.hold, found.code))
        elif one.kind == "recalled lot":
            yield barred(heed_mark(one).upper())
            yield para(heed_sentence(one))
        elif one.kind in _OF_THE_THING:
            yield para(heed_sentence(one), "B")
    if found.is_macerating and found.hold is None:
        yield para(_press_from(found))
        if found.longest is not None:
            yield para(f"{short_day(found.longest)} at the latest")
    elif found.end is not None and view.extract is None:
        yield para(f"{ended_word(found.end)} {when_in_full(found.end.on)}")
    elif found.state in ("empty", "discarded"):
        yield para(found.state)


def _press_from(found: RowView) -> str:
    is_strained = found.preparation in ("oil", "honey or oxymel")
    verb = "strain" if is_strained else press_verb(found.steep_way or "maceration")
    if found.press_from is None:
        return f"{verb}: the day is not known"
    return f"{verb} from {short_day(found.press_from)}"


def _good_through(found: RowView, today: date) -> RecordCell:
    """Blank until it is pressed; what is weak says so before that."""
    if found.weak is not None:
        return cell(weak_text(found.weak, today), "B")
    if found.good_through is not None:
        return cell(short_day(found.good_through))
    return () if found.pressed is None else cell("not known")
