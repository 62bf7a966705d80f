"""What becomes ready and what expires, as lines of a terminal."""

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames
from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.core.values.text import shown
from tracker.outputs.pictures.picture_heeds import heed_lines
from tracker.outputs.pictures.season.season import FALLINGS, Fall, Month, Season, count, count_held
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, Columns, fitting, styled
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.row_dates import day_in_row

NOTHING = "Nothing becomes ready and nothing expires."
_STYLE = {"ready": "good", "longest": "bad", "expires": "warn"}
_NAME = Column("", least=14)
_ML = Column("ML", right=True)
_ROWS = (Column("MONTH"), Column("DAY", right=True), _NAME, Column("CODE"), Column("WHAT"), _ML)
_HELD = {"ready": "{}", "longest": "{}, longest", "expires": "{}, expires"}
_CELLS, _HEAD = 4, 8  # cells of a month's count, and of what stands before them


def lines(found: Season, names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """The months side by side with how many fall in each, then every one by its day."""
    until = found.months[-1].name
    title = (
        f"What becomes ready and what expires, through {until}; today is {short_day(found.today)}"
    )
    heeds = [shown(one) for one in found.heeds.sentences]
    return [
        *(styled(line, "bold", colour=colour) for line in wrapped(title, total)),
        "",
        *_side_by_side(found, total, colour),
        *_table(found, names, total=total, colour=colour),
        *(["", *heed_lines(heeds, total)] if heeds else []),
    ]


def _table(found: Season, names: PlantNames, *, total: int, colour: bool) -> list[str]:
    groups = groups_of(found)
    falls = [fall for _, of_one in groups for fall in of_one]
    if not falls:
        return [NOTHING]
    called = listed([one.herbs for one in falls], names)
    cells = list(_cells(found))
    filled: list[tuple[Column, Sequence[str | Cell]]] = [
        (
            replace(column, within=called.within) if column is _NAME else column,
            called.full() if column is _NAME else [row[place] for row in cells],
        )
        for place, column in enumerate(_ROWS)
    ]
    _, _, *rest = filled
    days: list[str | Cell] = [day_in_row(one.day, found.today) for one in falls]
    whole = (Column("DAY", right=True), days)
    layouts: list[Columns] = [filled, filled[:-1], [whole, *rest[:-1]]]
    return fitting(layouts, total=total, colour=colour)


def _side_by_side(found: Season, total: int, colour: bool) -> Iterator[str]:
    """As many months to a strip as there is room for, twelve at the most: two years line up."""
    room = max((total - _HEAD - 14) // _CELLS, 1)
    step = 12 if room >= 12 else 6 if room >= 6 else room
    for start in range(0, len(found.months), step):
        part = found.months[start : start + step]
        is_last = start + step >= len(found.months)
        yield from _strip(part, found, (start == 0, is_last), colour)
        yield ""


def _strip(
    months: Sequence[Month], found: Season, ends: tuple[bool, bool], colour: bool
) -> Iterator[str]:
    before, after = (
        falls if is_there else ()
        for falls, is_there in zip((found.before, found.later), ends, strict=True)
    )
    years = "".join(
        f"{one.first:%Y}" if place == 0 or one.first.month == 1 else " " * _CELLS
        for place, one in enumerate(months)
    )
    head = "".join(f"{month_name(one.first):>{_CELLS}}" for one in months)
    yield styled(" " * (_HEAD + 8) + years.rstrip(), "faint", colour=colour)
    yield styled(f"{'':<{_HEAD}}{'before':>7}{head}{'later':>7}", "faint", colour=colour)
    groups = [before, *(one.falls for one in months), after]
    rows = {what: [count(falls, what) for falls in groups] for what in FALLINGS}
    for what, counts in (*rows.items(), ("on hold", [count_held(falls) for falls in groups])):
        if what != "on hold" or any(count_held(falls) for _, falls in groups_of(found)):
            first, *each, last = (str(one or ".") for one in counts)
            cells = "".join(f"{one:>{_CELLS}}" for one in each)
            yield f"{what:<{_HEAD}}{first:>7}{cells}{last:>7}"


def groups_of(found: Season) -> list[tuple[str, tuple[Fall, ...]]]:
    """What fell before, what falls in each month, and what later."""
    months = [
        (f"{month_name(one.first)} {one.first.year % 100:02d}", one.falls) for one in found.months
    ]
    return [("before", found.before), *months, ("later", found.later)]


def _cells(found: Season) -> Iterator[list[str | Cell]]:
    for name, falls in groups_of(found):
        for number, one in enumerate(falls):
            is_in_month = name not in ("before", "later")
            yield [
                name if number == 0 else "",
                f"{one.day.day}" if is_in_month else day_in_row(one.day, found.today),
                "",
                one.code,
                _what(one),
                "" if one.left_ml is None else f"{one.left_ml:.0f}",
            ]


def _what(one: Fall) -> Cell:
    """`ready`; of what is on hold that it is, and never that it is ready."""
    if one.hold is None:
        return Cell(one.what, _STYLE[one.what])
    return Cell(_HELD[one.what].format(hold_name(one.hold)), "bad")
