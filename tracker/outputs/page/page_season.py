"""What may be pressed and what ends in the months to come, as the page lists it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Final

import msgspec

from tracker.core.practice.practice import PlantNames, Way
from tracker.outputs.page.page_marks import Heeded, Mark, marks_of
from tracker.outputs.page.page_names import PageName, plants_called
from tracker.outputs.pictures.season.season import Fall, Falling, season
from tracker.outputs.view.heeds import HeedKind
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.ways_of_making import pressed_word

# The same of several, after how many they are, where it is not said alike.
_COUNTED: Final[dict[str, str]] = {
    "shortest time ends": "on hold",
    "longest time ends": "at the longest",
    "last good day": "to use up",
}
# Nothing is pressed out of a jar on hold.
_HELD: Final[frozenset[HeedKind]] = frozenset(("recalled", "on hold", "recalled lot"))
# How many months there are to a page that stand open.
_OPEN: Final = 2


class FallOnPage(msgspec.Struct, frozen=True):
    """What falls on a day: of what, and what to heed of it."""

    day: date
    what: str
    name: PageName
    marks: tuple[Mark, ...]


class MonthOnPage(msgspec.Struct, frozen=True):
    """A month in which something falls, and how many of each kind."""

    name: str
    said: str
    is_open: bool
    falls: tuple[FallOnPage, ...]


def months_on_page(
    views: Sequence[ThingView],
    anchors: Mapping[str, str],
    heeds: Heeded,
    names: PlantNames,
    today: date,
) -> Iterator[MonthOnPage]:
    """The months of a year to come in which something falls, from this one on."""
    found, ways = season(views, today), {one.row.code: one.row.steep_way for one in views}

    def on_page(one: Fall) -> FallOnPage:
        own = heeds.get(one.code, ())
        is_held = any(heed.kind in _HELD for heed in own)
        words = _words(one.what, ways.get(one.code), is_held=is_held)
        name = PageName(one.code, anchors.get(one.code, ""), plants_called(one.herbs, names))
        return FallOnPage(one.day, words, name, tuple(marks_of(own, today)))

    for month in found.months:
        falls = [on_page(one) for one in month.falls]
        if falls:
            is_open = month in found.months[:_OPEN]
            yield MonthOnPage(month.name, _counted(falls), is_open, tuple(falls))


def _words(what: Falling, way: Way | None, *, is_held: bool) -> str:
    """What falls on the day; a percolate is collected."""
    if what == "longest":
        return "longest time ends"
    if what == "expires":
        return "last good day"
    return "shortest time ends" if is_held else f"may be {pressed_word(way)}"


def _counted(falls: Iterable[FallOnPage]) -> str:
    """`3 may be pressed, 2 to use up`."""
    kinds = [one.what for one in falls]
    return ", ".join(f"{kinds.count(one)} {_COUNTED.get(one, one)}" for one in dict.fromkeys(kinds))
