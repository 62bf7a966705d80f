"""Rows of the table: a figure, how far its runs lie apart, and what it is to reach."""

from collections.abc import Iterable, Mapping, Sequence
from statistics import median, quantiles
from typing import NamedTuple

from speed.processes import Ran


class Row(NamedTuple):
    """One line of the table; what is to be reached is a most, or with `at_least` a least."""

    name: str
    value: float
    unit: str
    spread: tuple[float, float] | None = None
    takes_s: float | None = None
    by_cpu: float | None = None
    reach: float | None = None
    then: float | None = None
    at_least: bool = False

    @property
    def is_over(self) -> bool:
        """Whether it does not reach what it has to."""
        return not _holds(self.value, self.reach, at_least=self.at_least)

    @property
    def verdict(self) -> str:
        """How far it has got, in a word."""
        if self.reach is None and self.then is None:
            return ""
        if self.is_over:
            return "OVER"
        if self.then is not None and not _holds(self.value, self.then, at_least=self.at_least):
            return "not yet" if self.reach is None else "reached"
        return "all reached"


def _holds(value: float, limit: float | None, *, at_least: bool) -> bool:
    return limit is None or (value >= limit if at_least else value <= limit)


def middle(values: Sequence[float]) -> tuple[float, tuple[float, float]]:
    """The median of some values, and the quarters on each side of it."""
    if len(values) == 1:
        return values[0], (values[0], values[0])
    low, _, high = quantiles(values, n=4, method="inclusive")
    return median(values), (low, high)


def took(name: str, ran: Sequence[Ran], unit: str = "ms") -> Row:
    """A row of the time alone."""
    value, (low, high) = middle([one.wall_s for one in ran])
    times = {"ms": 1000, "s": 1}[unit]
    return Row(name, value * times, unit, (low * times, high * times))


def ratio(
    name: str,
    ran: Mapping[str, Sequence[Ran]],
    over: str,
    under: str,
    reach: float | None = None,
    then: float | None = None,
    *,
    at_least: bool = False,
) -> Row:
    """A row of how often one task's time goes into another's: the median over the rounds."""
    pairs = list(zip(ran[over], ran[under], strict=True))
    value, spread = middle([one.wall_s / other.wall_s for one, other in pairs])
    by_cpu = median(one.cpu_s / other.cpu_s for one, other in pairs)
    takes = median(one.wall_s for one in ran[over])
    return Row(name, value, "×", spread, takes, by_cpu, reach, then, at_least)


_HEAD = ("", "figure", "between", "by processor", "takes", "reach", "then", "")


def table(rows: Iterable[Row]) -> str:
    """The rows as a table of Markdown, in columns that line up."""
    cells = [_HEAD, *map(_cells, rows)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(_HEAD))]
    lines = [_line(line, widths) for line in cells]
    rule = "|" + "|".join("-" * (width + 2) for width in widths) + "|"
    return "\n".join([lines[0], rule, *lines[1:]])


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    aligned = [
        cell.ljust(width) if column in (0, len(cells) - 1) else cell.rjust(width)
        for column, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]
    return f"| {' | '.join(aligned)} |"


def _cells(row: Row) -> tuple[str, ...]:
    sign = "≥" if row.at_least else "≤"
    return (
        row.name,
        f"{_number(row.value)} {row.unit}",
        f"{_number(row.spread[0])}–{_number(row.spread[1])}" if row.spread else "",
        f"{_number(row.by_cpu)} {row.unit}" if row.by_cpu is not None else "",
        _time(row.takes_s) if row.takes_s is not None else "",
        f"{sign} {row.reach:g}" if row.reach is not None else "",
        f"{sign} {row.then:g}" if row.then is not None else "",
        row.verdict,
    )


def _number(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}" if value >= 10 else f"{value:.2f}"


def _time(seconds: float) -> str:
    return f"{_number(seconds)} s" if seconds >= 1 else f"{seconds * 1000:.0f} ms"
