"""What is due, in groups, and as fields."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import zip_longest
from typing import TYPE_CHECKING, Final

import msgspec

from tracker.core.practice.practice import PlantNames
from tracker.core.rules.reasons import OnHold, RecalledInside
from tracker.core.values.text import shown
from tracker.outputs.terminal.name_column import listed as in_full
from tracker.outputs.terminal.table import cut_list, styled, width
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.day import Group, group_of
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.due.due_names import DueItem, grouped, listed
from tracker.outputs.words.due.near_days import day_in_full
from tracker.outputs.words.due.steps import style_of

if TYPE_CHECKING:
    from tracker.outputs.answer_fields import Answer

# More than so many of a group are one line.
MOST_SHOWN: Final = 6
# What has to be done for each thing by itself is never folded.
_NEVER_FOLDED: Final[frozenset[Group]] = frozenset(("look first", "past its longest"))
_INDENT, _GAP = 2, 2
# Cells.
_LEAST_NAME, _MOST_CODE = 14, 24


class Row(msgspec.Struct, frozen=True):
    """What one or more things are called, the code or how many there are, and why."""

    names: tuple[str, ...]
    code: str
    why: str
    style: str


def due_groups(
    items: Sequence[DueItem],
    today: date,
    names: PlantNames,
    *,
    total: int,
    colour: bool,
    unfolded: bool = False,
) -> list[str]:
    """The day, and under it each group that holds something, the most pressing first."""
    groups, apart = grouped(items), _told_apart(items, names)
    rows = {
        group: list(_rows(own, apart, today, unfolded=unfolded))
        for group, own in groups.items()
        if unfolded or not _is_folded(group, own)
    }
    sizes = _sizes([row for own in rows.values() for row in own], total)
    lines = [styled(day_in_full(today), "bold", colour=colour), ""]
    for group, own in groups.items():
        lines.append(_heading(group, len(own), sizes, colour=colour))
        for row in rows.get(group, ()):
            lines += _row_lines(row, sizes, colour=colour)
        if group not in rows:
            lines.append(_folded(own, total))
    if sum(map(len, rows.values())) < len(items):
        lines += ["", styled("`stillroom due --all` lists each.", "faint", colour=colour)]
    return lines


def _is_folded(group: Group, own: Sequence[DueItem]) -> bool:
    return group not in _NEVER_FOLDED and len(own) > MOST_SHOWN


def _told_apart(items: Sequence[DueItem], names: PlantNames) -> dict[str, str]:
    """What each thing is called beside all others of the list, by its code."""
    cells = in_full([one.herbs for one in items if one.herbs], names).full()
    codes = [one.line.code for one in items if one.herbs]
    texts = ("".join(text for text, _ in cell.parts) for cell in cells)
    return dict(zip(codes, texts, strict=True))


def _rows(
    own: Sequence[DueItem], apart: Mapping[str, str], today: date, *, unfolded: bool
) -> Iterator[Row]:
    """A row for each, or for all that a recall holds; of a long group for all of one reason."""
    by_reason: dict[tuple[str, str], list[DueItem]] = {}
    for item in own:
        why = why_due(item.line, today)
        is_one_row = not unfolded and (len(own) > MOST_SHOWN or _is_of_recall(item))
        by_reason.setdefault((why, "" if is_one_row else item.line.code), []).append(item)
    for (why, _), same in by_reason.items():
        first, style = same[0], style_of(same[0].line.what)
        if len(same) == 1:
            code = first.line.code
            yield Row((apart.get(code, ""),), shown(code), shown(why), style)
        else:
            names = tuple(shown(one) for one in listed(same))
            yield Row(names, f"{len(same)} of them", shown(why), style)


def _is_of_recall(item: DueItem) -> bool:
    return any(
        isinstance(one, RecalledInside) or (isinstance(one, OnHold) and one.kind == "recall")
        for one in item.line.reasons
    )


def _sizes(rows: Sequence[Row], total: int) -> tuple[int, int, int]:
    """Cells for names, codes and reasons: none is cut, what is longer goes on below."""
    room = total - _INDENT - 2 * _GAP
    code = min(max((width(row.code) for row in rows), default=0), _MOST_CODE)
    longest = max((width(row.names[0]) for row in rows), default=0)
    name = min(longest, max((room - code) // 2, _LEAST_NAME))
    return name, code, max(room - code - name, _LEAST_NAME)


def _heading(group: Group, number: int, sizes: tuple[int, int, int], *, colour: bool) -> str:
    """The group's own words, and how all of it is done at once where that can be."""
    text = styled(group, "bold", colour=colour)
    if group != "shake" or number == 1:
        return text
    blank = " " * max(_INDENT + sizes[0] + _GAP - len(group), _GAP)
    return f"{text}{blank}{number} · stillroom shake --due"


def _row_lines(row: Row, sizes: tuple[int, int, int], *, colour: bool) -> Iterator[str]:
    is_one = len(row.names) == 1
    name = cut_list(row.names[0], 2 * sizes[0]) if is_one else _first_of(row.names, sizes[0])
    names = wrapped(name, sizes[0])
    columns = names, wrapped(row.code, sizes[1]), wrapped(row.why, sizes[2])
    for place, (name, code, why) in enumerate(zip_longest(*columns, fillvalue="")):
        cells = name, code
        padded = [one + " " * (size - width(one)) for one, size in zip(cells, sizes, strict=False)]
        said = _with_danger(why, row.style if place == 0 else "", colour=colour)
        yield (" " * _INDENT + (" " * _GAP).join([*padded, said])).rstrip()


def _with_danger(why: str, style: str, *, colour: bool) -> str:
    """A reason of which the danger, `on hold`, stands out; what follows it does not."""
    if style != "bad":
        return why
    end = next((place for place, mark in enumerate(why) if mark in ":,;"), len(why))
    return styled(why[:end], style, colour=colour) + why[end:]


def _folded(own: Sequence[DueItem], total: int) -> str:
    """`lemon balm leaf, rosemary leaf … 7 in all`, as many names as there is room for."""
    end = f" … {len(own)} in all"
    names = [shown(one) for one in listed(own)]
    return f"{' ' * _INDENT}{_first_of(names, total - _INDENT - len(end), '')}{end}"


def _first_of(names: Sequence[str], cells: int, more: str = " …") -> str:
    """As many names as there is room for, and that there are more."""
    if width(", ".join(names)) <= cells:
        return ", ".join(names)
    kept = list(names)
    while len(kept) > 1 and width(", ".join(kept)) > cells - len(more):
        kept.pop()
    text = ", ".join(kept)
    is_whole = len(kept) < len(names) and width(text) <= cells - len(more)
    return text + more if is_whole else cut_list(text, cells)


def due_fields(items: Sequence[DueItem], today: date) -> "list[Answer]":
    """One object a code."""
    return [
        {
            "code": one.line.code,
            "name": one.name or None,
            "what": one.line.what,
            "group": group_of(one.line.what),
            "since": one.line.since.isoformat(),
            "ready": None if one.line.also is None else one.line.also.since.isoformat(),
            "why": why_due(one.line, today),
        }
        for one in items
    ]
