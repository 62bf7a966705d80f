"""The stock of each herb through time, as lines of a terminal."""

from collections.abc import Sequence

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.outputs.pictures.picture_heeds import heed_lines, together
from tracker.outputs.pictures.supply.stock_levels import level_on
from tracker.outputs.pictures.supply.supply import Supply, month_ends
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, columned, styled
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.words.plant_names import called_in_a_list
from tracker.outputs.words.row_dates import day_in_row

_KEY = (
    "THROUGH TIME has one digit for each month's end, the last is today: 9 is MOST, the most there"
    " was at any time, a dot is none. A MONTH is the mean of what was given out: no promise."
)
_MOST = Column("MOST", right=True, near=True)
_A_MONTH = Column("A MONTH", right=True, near=True)
_THROUGH = Column("THROUGH TIME", near=True)


def lines(found: Sequence[Supply], names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """A row for each herb; its past as one digit a month, ninths of the most there was."""
    if not found:
        return []
    first, last = found[0].levels[0].day, found[0].today
    title = f"Stock in date, ml, {short_day(first)} to {short_day(last)}"
    body = _table([one for one in found if one.is_left], names, total=total, colour=colour)
    rest = [_gone(one, names) for one in found if not one.is_left]
    apart = [_apart(one, names) for one in found if one.apart]
    heeds = [shown(one) for one in together(one.heeds for one in found).sentences]
    blocks = [apart, rest, wrapped(_KEY, min(total, 80)) if body else [], heeds]
    said = [line for block in blocks if block for line in ("", *heed_lines(block, total))]
    title_lines = wrapped(title, total)
    return [
        *(styled(line, "bold", colour=colour) for line in title_lines),
        *(["", *body] if body else []),
        *said,
    ]


def _table(found: Sequence[Supply], names: PlantNames, *, total: int, colour: bool) -> list[str]:
    if not found:
        return []
    called = listed([one.herbs for one in found], names)
    name = Column("", least=14, within=called.within)
    first, last = found[0].levels[0].day, found[0].today
    ends = month_ends(first, last)
    columns: list[tuple[Column, Sequence[str | Cell]]] = [
        (name, called.full()),
        (Column("ML", right=True, near=True), [f"{one.now.in_date_ml:.0f}" for one in found]),
        (_MOST, [f"{one.most_ml:.0f}" for one in found]),
        (_A_MONTH, ["–" if one.ml_a_month is None else f"{one.ml_a_month:.0f}" for one in found]),
        (Column("ENDS"), [_ends(one) for one in found]),
        (
            _THROUGH,
            [
                digits([level_on(one.levels, day).in_date_ml for day in ends], one.most_ml)
                for one in found
            ],
        ),
    ]
    return columned(columns, (_A_MONTH, _MOST, _THROUGH), total=total, colour=colour)


def _ends(one: Supply) -> Cell:
    text = one.ends_by(day_in_row)
    return Cell(text, "bad" if one.now.free_ml < DROP_ML else "")


def _gone(one: Supply, names: PlantNames) -> str:
    return shown(f"{called_in_a_list(one.herbs, names)}: {one.ends}.")


def _apart(one: Supply, names: PlantNames) -> str:
    free = [f"{one.free} may be given out"] if one.now.held_ml >= DROP_ML else []
    return shown(f"{called_in_a_list(one.herbs, names)}: {', '.join([*one.apart, *free])}.")


def digits(volumes: Sequence[float], most_ml: float) -> str:
    """`..9753`: each volume in ninths of the most there was, a dot where there is none."""
    return "".join(
        "." if volume < DROP_ML else str(max(round(volume / most_ml * 9), 1)) for volume in volumes
    )
