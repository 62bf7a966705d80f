"""What is due, as the page begins with it: the groups of `due`, the names first."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Final

import msgspec

from tracker.core.practice.practice import PlantNames
from tracker.core.rules.reasons import OnHold, RecalledInside, StandsWeak
from tracker.outputs.page.page_marks import Heeded, Mark, marks_of
from tracker.outputs.page.page_names import PageName, plants_called
from tracker.outputs.view.day import Group
from tracker.outputs.view.heeds import HeedKind
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.due.due_names import DueItem, grouped, listed

# What is in no hurry stands folded under its names.
_NO_HURRY: Final[frozenset[Group]] = frozenset(("ready when you want it", "count"))
# What has to be done for each thing by itself is folded late.
_ONE_BY_ONE: Final[frozenset[Group]] = frozenset(("look first", "past its longest"))
_MOST_SHOWN, _MOST_ONE_BY_ONE = 6, 24
_MOST_NAMES: Final = 4
# What the line of a group says in more words than a mark has.
_SAID_ABOVE: Final[dict[Group, tuple[HeedKind, ...]]] = {
    "look first": ("recalled", "on hold", "recalled lot", "spoilage", "weak", "lid"),
    "past its date": ("past",),
    "no date known": ("no date",),
}


class DueThing(msgspec.Struct, frozen=True):
    """A thing of a line, where it stands, and what to heed that the line does not say.

    Attributes:
        name: its anchor is empty where the code is of nothing on the page, as that of a lot.
    """

    name: PageName
    place: str
    marks: tuple[Mark, ...]


class DueRow(msgspec.Struct, frozen=True):
    """One thing, or all that a recall holds, and why it is due."""

    things: tuple[DueThing, ...]
    names: tuple[str, ...]
    why: str


class DueGroup(msgspec.Struct, frozen=True):
    """A group of `due`.

    Attributes:
        number: of how many things it is.
        shown, folded: its rows; what is folded is opened by who asks.
        some: what the folded ones are called, as far as there is room.
    """

    group: Group
    number: int
    shown: tuple[DueRow, ...]
    folded: tuple[DueRow, ...]
    some: str

    @property
    def number_folded(self) -> int:
        """How many things the folded rows are of."""
        return sum(len(one.things) for one in self.folded)


def due_on_page(
    items: Sequence[DueItem],
    views: Iterable[ThingView],
    anchors: Mapping[str, str],
    heeds: Heeded,
    names: PlantNames,
    today: date,
) -> Iterator[DueGroup]:
    """Each group that holds something, the most pressing first.

    Args:
        items: the lines with the names of their things.
        views: the jars and blends that stand on the shelf.
        anchors: the ids of the page, by code.
        heeds: what to heed of each thing.
        names: what the maker goes by.
        today: the maker's day.
    """
    places = dict(_places(views))

    def thing(item: DueItem, said: Iterable[HeedKind]) -> DueThing:
        code = item.line.code
        marks = marks_of(heeds.get(code, ()), today, but=(*said, *_said_by(item)))
        return DueThing(_name(item, anchors, names), places.get(code) or "", tuple(marks))

    for group, own in grouped(items).items():
        found, said = list(_by_reason(own, today)), _SAID_ABOVE.get(group, ())
        rows = [
            DueRow(
                tuple(thing(one, () if len(same) > 1 else said) for one in same),
                tuple(listed(same)),
                why,
            )
            for why, same in found
        ]
        kept = _most_shown(group)
        folded = [one for _, same in found[kept:] for one in same]
        yield DueGroup(group, len(own), tuple(rows[:kept]), tuple(rows[kept:]), _some(folded))


def _said_by(item: DueItem) -> tuple[HeedKind, ...]:
    """What the reason of a line says beside what its group does."""
    is_said = any(isinstance(one, StandsWeak) and one.is_past for one in item.line.reasons)
    return ("past",) if is_said else ()


def _most_shown(group: Group) -> int:
    if group in _NO_HURRY:
        return 0
    return _MOST_ONE_BY_ONE if group in _ONE_BY_ONE else _MOST_SHOWN


def _name(item: DueItem, anchors: Mapping[str, str], names: PlantNames) -> PageName:
    plants = plants_called(item.herbs, names) if item.herbs else ()
    return PageName(item.line.code, anchors.get(item.line.code, ""), plants)


def _places(views: Iterable[ThingView]) -> Iterator[tuple[str, str | None]]:
    for view in views:
        yield view.row.code, view.row.place
        for extract in view.extracts:
            yield extract.code, extract.place
            yield from ((one.code, extract.place) for one in extract.bottles)


def _by_reason(own: Iterable[DueItem], today: date) -> Iterator[tuple[str, list[DueItem]]]:
    """Each with its reason; what a recall holds is together."""
    found: dict[tuple[str, str], list[DueItem]] = {}
    for one in own:
        why = why_due(one.line, today)
        found.setdefault((why, "" if _is_of_recall(one) else one.line.code), []).append(one)
    return ((why, same) for (why, _), same in found.items())


def _is_of_recall(item: DueItem) -> bool:
    return any(
        isinstance(one, RecalledInside) or (isinstance(one, OnHold) and one.kind == "recall")
        for one in item.line.reasons
    )


def _some(items: Sequence[DueItem]) -> str:
    """`hawthorn berry, lemon balm leaf and 3 more`."""
    names = listed(items)
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES + 1 else ""
    return ", ".join(names[:_MOST_NAMES] if more else names) + more
