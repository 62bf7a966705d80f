"""A day of the calendar in words: a title that a person reads, and what there is to know of it."""

from datetime import date
from typing import assert_never

from tracker.core.practice.practice import PlantNames
from tracker.core.reckoning.cautions import CLOSING
from tracker.core.values.command_words import command
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.outputs.view.calendar_days import CalendarDay, DayKind
from tracker.outputs.view.heeds import Heed, HeedKind
from tracker.outputs.words.heed_words import heed_mark, heed_sentence
from tracker.outputs.words.plant_names import called_in_a_list, herbs_named
from tracker.outputs.words.ways_of_making import press_verb

_STOPS: frozenset[HeedKind] = frozenset(("recalled", "on hold", "recalled lot"))
# A phone may show the title and nothing else.
_IN_TITLE: frozenset[HeedKind] = _STOPS | {
    "poison", "external only", "not internal", "spoilage", "weak", "past", "wet",
}  # fmt: skip

CATEGORIES: dict[DayKind, str] = {
    "press": "Press",
    "longest": "Longest time",
    "look": "Look",
    "good-through": "Good through",
}


def calendar_title(one: CalendarDay, names: PlantNames, today: date) -> str:
    """`Press purple coneflower root · ECPU-22-01`; what is on hold says so first."""
    return shown(f"{_said(one, names, today)} · {one.code}")


def _said(one: CalendarDay, names: PlantNames, today: date) -> str:
    name = called_in_a_list(one.herbs, names) if one.herbs else ""
    if one.is_over:
        return f"No longer: {name or 'struck'}"
    stop = next((heed for heed in one.heeds if heed.kind in _STOPS and heed.is_whole), None)
    marks = dict.fromkeys(
        heed_mark(heed) for heed in one.heeds if heed.kind in _IN_TITLE and heed is not stop
    )
    marked = name + (f" ({', '.join(marks)})" if marks else "")
    if stop is None:
        return _to_do(one, name, marked, today)
    mark = heed_mark(stop)
    return f"{mark[:1].upper()}{mark[1:]}, {_not_to_do(one, marked, today)}"


def _to_do(one: CalendarDay, name: str, marked: str, today: date) -> str:
    verb = press_verb(one.way)
    match one.kind:
        case "press":
            return f"{verb.capitalize()} {marked}"
        case "longest":
            return f"Last day to {verb} {marked}"
        case "look":
            return f"Look at {name} again{marked.removeprefix(name)}"
        case "good-through":
            return f"Good through {short_day(one.day, today.year)}: {marked}"
        case _:
            assert_never(one.kind)


def _not_to_do(one: CalendarDay, marked: str, today: date) -> str:
    match one.kind:
        case "press":
            return f"do not {press_verb(one.way)}: {marked}"
        case "longest":
            return f"longest time ends: {marked}"
        case "look":
            return f"look again: {marked}"
        case "good-through":
            return f"do not use: {marked}, good through {short_day(one.day, today.year)}"
        case _:
            assert_never(one.kind)


def calendar_description(one: CalendarDay, incomplete: str) -> str:
    """The Latin name, what the day means, and all there is to heed, a line each."""
    if one.is_over:
        return "Done, used up, corrected or struck: this day no longer counts."
    lines = [f"{herbs_named(one.herbs)}.", _meaning(one), *map(heed_sentence, one.heeds)]
    if any(heed.is_of_plant for heed in one.heeds):
        lines.append(CLOSING)
    lines += [incomplete, f"{command('show', one.code)}"]
    return "\n".join(shown(line) for line in lines if line)


def _meaning(one: CalendarDay) -> str:
    verb = press_verb(one.way)
    match one.kind:
        case "press" if _is_stopped(one.heeds):
            return f"The earliest day to {verb} it, once nothing stops it."
        case "press":
            return f"The earliest day, no deadline: {verb} it when the stock is wanted."
        case "longest" if _is_stopped(one.heeds):
            return "The last day its herb should stay in: decide what becomes of it."
        case "longest":
            return f"By this day, {verb} it."
        case "look":
            return "Look at it again, and record what you see."
        case "good-through":
            return "Good through this day."
        case _:
            assert_never(one.kind)


def _is_stopped(heeds: tuple[Heed, ...]) -> bool:
    return any(heed.kind in _STOPS for heed in heeds)
