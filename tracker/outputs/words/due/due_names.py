"""What is due with the name of each thing, and the groups it stands in."""

from collections.abc import Iterable, Sequence

import msgspec

from tracker.core.practice.practice import PlantNames
from tracker.core.rules.reminders import Due
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.outputs.view.day import Group, group_of
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.words.plant_names import called, called_in_a_list


class DueItem(msgspec.Struct, frozen=True):
    """A line that is due, with the name of what it is about; none of a lot or the whole book.

    Attributes:
        name: with part and form, for a line of its own.
        short: without the form, for one of several in a line; the code where there is no name.
    """

    line: Due
    name: str
    short: str
    herbs: tuple[HerbView, ...] = ()


def with_names(
    lines: Iterable[Due], batches: Iterable[Batch], names: PlantNames
) -> tuple[DueItem, ...]:
    """Each line with the name of its thing, in the same order."""
    by_code = {one.code: one for one in batches}
    return tuple(_named(line, by_code, names) for line in lines)


def _named(line: Due, by_code: dict[str, Batch], names: PlantNames) -> DueItem:
    thing = _thing(line.code, by_code)
    if thing is None:
        return DueItem(line, "", line.code)
    herbs = herbs_of(thing.batch, thing.made)
    return DueItem(line, called(herbs, names), called_in_a_list(herbs, names), herbs)


def _thing(code: str, by_code: dict[str, Batch]) -> Thing | None:
    """What goes by a code, which begins with that of its jar or blend."""
    for end in range(len(code), 0, -1):
        batch = by_code.get(code[:end])
        found = () if batch is None else (one for one in things(batch) if one.code == code)
        if thing := next(iter(found), None):
            return thing
    return None


def to_do_said(item: DueItem) -> str:
    """`shake valerian root`, `sage leaf, use soon`; what is to come, in a sentence."""
    name = item.name or item.line.code
    code = f" ({item.line.code})" if item.name else ""
    match item.line.what:
        case "shake" | "count":
            return f"{item.line.what} {name}{code}"
        case "look":
            return f"look at {name}{code}"
        case "ready":
            return f"{name}{code} is ready"
        case _:
            return f"{name}{code}, {group_of(item.line.what)}"


def grouped(items: Iterable[DueItem]) -> dict[Group, list[DueItem]]:
    """Lines by the group they stand in, in the order in which they come."""
    groups: dict[Group, list[DueItem]] = {}
    for one in items:
        groups.setdefault(group_of(one.line.what), []).append(one)
    return groups


def listed(items: Sequence[DueItem]) -> list[str]:
    """What the things are called in a list, each name once; those of one herb come first."""
    return sorted(dict.fromkeys(one.short for one in items), key=lambda name: " + " in name)
