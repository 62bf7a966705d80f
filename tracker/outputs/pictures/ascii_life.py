"""A jar's life as a line of characters: ASCII, so that it reads on any screen."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.core.values.text import shown
from tracker.outputs.pictures.jar_life import LETTERS, Life, Moment, days_of, stacked
from tracker.outputs.pictures.months import STEPS, month_starts
from tracker.outputs.pictures.picture_heeds import heed_lines
from tracker.outputs.terminal.table import Column, cut, styled, table
from tracker.outputs.terminal.wrapping import hanging

_LEGEND = (Column("MARK"), Column("DAY"), Column("WHAT", least=20))
_KEY = "~ charged within   - herb in the jar   = extract, in date   . to come   ' shaken"
_LABEL = "Mar 2026"


def drawn(life: Life, *, total: int, colour: bool) -> list[str]:
    """The life as lines: marks, the line, shakes, a scale, and what each mark says."""
    cells = max(min(total, 120), 40)
    title = hanging(f"{shown(life.code)}  ", shown(life.herb), cells)
    ticks = _ticks(life, cells)
    return [
        *(styled(line, "bold", colour=colour) for line in title),
        "",
        *(styled(row, "bold", colour=colour) for row in _marks(life, cells)),
        _line(life, cells),
        *([ticks] if ticks.strip() else []),
        styled(_scale(life, cells), "faint", colour=colour),
        "",
        *table(_LEGEND, _legend(life), total=cells, colour=colour),
        "",
        styled(cut(_KEY, cells), "faint", colour=colour),
        *(["", *heed_lines([shown(one) for one in life.heeds], cells)] if life.heeds else []),
    ]


def _column(life: Life, day: date, cells: int) -> int:
    return round(life.share(day) * (cells - 1))


def _marks(life: Life, cells: int) -> list[str]:
    """The letters, those that would cover each other in rows above, today's lowest."""
    wanted = [one for one in life.moments if one.kind in LETTERS]
    columns = [_column(life, one.first, cells) for one in wanted]
    rows = stacked(columns, 1)
    canvas = [[" "] * cells for _ in range(max(rows) + 1)]
    for one, column, row in zip(wanted, columns, rows, strict=True):
        canvas[row][column] = LETTERS[one.kind]
    return ["".join(row).rstrip() for row in reversed(canvas)]


def _line(life: Life, cells: int) -> str:
    charged = life.begun
    kept = [one.last for one in life.of("good through")]
    line = [" "] * cells
    spans = [
        (life.today, life.last, "."),
        (life.herb_out, min(life.today, max(kept, default=life.herb_out)), "="),
        (charged.last, life.herb_out, "-"),
        (charged.first, charged.last, "~"),
    ]
    for first, last, mark in spans:
        if last > first:
            start, end = _column(life, first, cells), _column(life, last, cells)
            line[start : end + 1] = mark * (end + 1 - start)
    return "".join(line).rstrip()


def _ticks(life: Life, cells: int) -> str:
    row = [" "] * cells
    for one in life.of("shaken"):
        row[_column(life, one.first, cells)] = "'"
    return "".join(row).rstrip()


def _scale(life: Life, cells: int) -> str:
    """Months or years under the line; if none fits, its first and last day."""
    for step in STEPS:
        days = list(month_starts(life.first, life.last, step))
        columns = [_column(life, day, cells) for day in days]
        gaps = [after - before for before, after in pairwise(columns)]
        if len(days) > 1 and min(gaps) > len(_LABEL) + 1:
            return _labels(days, columns, cells)
        if len(days) < 2:
            break
    first, last = short_day(life.first), short_day(life.last)
    return first if first == last else first + last.rjust(cells - len(first))


def _labels(days: list[date], columns: list[int], cells: int) -> str:
    row = " " * cells
    for day, column in zip(days, columns, strict=True):
        label = f"|{month_name(day)} {day:%Y}"
        if column + len(label) <= cells:
            row = row[:column] + label + row[column + len(label) :]
    return row.rstrip()


def _legend(life: Life) -> Iterator[list[str]]:
    shakes = life.of("shaken")
    told = False
    for one in life.moments:
        if one.kind == "shaken":
            if not told:
                yield ["'", _span(shakes), _times(len(shakes))]
            told = True
            continue
        yield [LETTERS[one.kind], one.days, _said(one, life)]


def _span(shakes: list[Moment]) -> str:
    first, last = shakes[0].first, shakes[-1].last
    return days_of(first, last)


def _times(count: int) -> str:
    return "shaken once" if count == 1 else f"shaken {count} times"


def _said(one: Moment, life: Life) -> str:
    if one.kind != "today":
        return one.said
    begun = life.begun
    passed = (one.first - begun.last) // timedelta(days=1)
    since = "the charge" if begun.kind == "charged" else "it was blended"
    return f"today, {passed} days after {since}" if passed >= 0 else "today"
