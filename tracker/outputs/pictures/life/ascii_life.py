"""A jar's life as lines of characters: ASCII, so that it reads on any screen."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.core.values.text import shown
from tracker.outputs.pictures.life.jar_life import Life
from tracker.outputs.pictures.life.life_spans import Span, jar_spans, liquid_spans
from tracker.outputs.pictures.life.moments import (
    LETTERS,
    Moment,
    MomentKind,
    days_of,
    stacked,
    times,
)
from tracker.outputs.pictures.months import STEPS, month_starts
from tracker.outputs.pictures.picture_heeds import heed_lines
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.wrapping import hanging, wrapped

_MARKS = {"within": "~", "herb": "-", "extract": "=", "held": "#", "past": "o", "come": "."}
_SAID = {
    "within": "charged within",
    "herb": "herb in the jar",
    "extract": "liquid in date",
    "held": "on hold",
    "past": "past its date",
    "come": "to come",
}
_TICKS: dict[MomentKind, tuple[str, str]] = {
    "shaken": ("'", "shaken"),
    "dispensed": (",", "some given out"),
}
_LABEL = "Mar 2026"


def drawn(life: Life, *, total: int, colour: bool) -> list[str]:
    """The life as lines: marks, herb, liquid, ticks, a scale, and what each mark says."""
    cells = max(min(total, 120), 40)
    title = hanging(f"{shown(life.code)}  ", shown(life.herb), cells)
    rows = [
        _line(life, jar_spans(life), cells),
        _ticks(life, "shaken", cells),
        _line(life, [span for one in liquid_spans(life) for span in one], cells),
        _ticks(life, "dispensed", cells),
    ]
    return [
        *(styled(line, "bold", colour=colour) for line in title),
        "",
        *(styled(row, "bold", colour=colour) for row in _marks(life, cells)),
        *(row for row in rows if row),
        styled(_scale(life, cells), "faint", colour=colour),
        "",
        *_legend(life, cells, colour),
        "",
        *(styled(line, "faint", colour=colour) for line in wrapped(_key(rows), cells)),
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


def _line(life: Life, spans: list[Span], cells: int) -> str:
    """The spans side by side; where two meet, what is graver stands in front."""
    line = [" "] * cells
    for what in ("come", "past", "herb", "extract", "within", "held"):
        for one in spans:
            if one.what == what and one.last >= one.first:
                start, end = _column(life, one.first, cells), _column(life, one.last, cells)
                line[start : end + 1] = _MARKS[what] * (end + 1 - start)
    return "".join(line).rstrip()


def _ticks(life: Life, kind: MomentKind, cells: int) -> str:
    row = [" "] * cells
    for one in life.of(kind):
        row[_column(life, one.first, cells)] = _TICKS[kind][0]
    return "".join(row).rstrip()


def _key(rows: list[str]) -> str:
    """What the characters mean, as far as they were drawn."""
    found = "".join(rows)
    marks = [(mark, _SAID[what]) for what, mark in _MARKS.items()] + list(_TICKS.values())
    return "   ".join(f"{mark} {words}" for mark, words in marks if mark in found)


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


def _legend(life: Life, cells: int, colour: bool) -> Iterator[str]:
    """What each mark says, the whole of it, behind its day."""
    rows = list(legend_rows(life))
    days = min(max(width(day) for _, day, _ in rows), 27)
    yield styled(f"{'MARK':<6}{'DAY':<{days + 2}}WHAT", "faint", colour=colour)
    for mark, day, said in rows:
        head = f"{mark:<6}{day:<{days + 2}}"
        yield from hanging(head, shown(said), cells)


def legend_rows(life: Life) -> Iterator[tuple[str, str, str]]:
    """Each mark with its day and what it says; what was done often in one row."""
    told: set[MomentKind] = set()
    for one in life.moments:
        if one.kind in LETTERS:
            yield LETTERS[one.kind], one.days, _said(one, life)
        elif one.kind not in told:
            told.add(one.kind)
            every = life.of(one.kind)
            mark, said = _TICKS[one.kind]
            yield mark, days_of(every[0].first, every[-1].last), f"{said} {times(len(every))}"


def _said(one: Moment, life: Life) -> str:
    if one.kind != "today":
        return one.said
    begun = life.begun
    least, most = (one.first - begun.last).days, (one.first - begun.first).days
    if not begun.is_known or least < 0:
        return "today"
    passed = f"{most}" if least == most else f"{least} to {most}"
    since = "the charge" if begun.kind == "charged" else "it was blended"
    return f"today, {passed} {'day' if passed == '1' else 'days'} after {since}"
