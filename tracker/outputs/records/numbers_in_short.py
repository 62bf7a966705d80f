"""Numbers, codes and days in few words: `1–3, 5`, `CAOF-25-01A/1–110`, `2–8, 10 Feb 2026`."""

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from tracker.core.values.month_names import month_name

# What a line is called: the start of its writer's name where there are several, and its number.
_LINE = re.compile(r"(\D*)([0-9]+)")


def numbers_in_short(numbers: Iterable[int]) -> str:
    """`1–3, 5`."""
    return ", ".join(
        f"{first}" if first == last else f"{first}–{last}"
        for first, last in _runs(sorted(set(numbers)))
    )


def codes_in_short(codes: Iterable[str]) -> str:
    """`CAOF-25-01A, /1–110`: bottles behind what they are of."""
    bottles: dict[tuple[str, bool], list[int]] = {}
    for code in codes:
        of, stroke, number = code.rpartition("/")
        is_bottle = bool(stroke) and number.isdecimal() and number.isascii()
        numbers = bottles.setdefault((of if is_bottle else code, is_bottle), [])
        if is_bottle:
            numbers.append(int(number))
    return ", ".join(
        f"{'' if (of, False) in bottles else of}/{numbers_in_short(numbers)}" if is_bottle else of
        for (of, is_bottle), numbers in sorted(bottles.items(), key=lambda one: one[0])
    )


def lines_in_short(names: Iterable[str]) -> str:
    """`h802–808, 811; c2210`: lines by their writer and number."""
    writers: dict[str, list[int]] = {}
    others = []
    for name in names:
        found = _LINE.fullmatch(name)
        if found is None:
            others.append(name)
        else:
            writers.setdefault(found[1], []).append(int(found[2]))
    by_writer = (f"{one}{numbers_in_short(numbers)}" for one, numbers in writers.items())
    return "; ".join((*by_writer, *others))


def days_in_short(days: Iterable[date]) -> str:
    """`2–8 Feb, 28 Feb – 3 Mar 2026`: the year stands behind the last day of each."""
    spans = list(_spans(sorted(set(days))))
    said = [
        span_in_short(first, last, spans[at + 1][0].year if at + 1 < len(spans) else None)
        for at, (first, last) in enumerate(spans)
    ]
    return ", ".join(said)


def span_in_short(first: date, last: date, next_year: int | None = None) -> str:
    """`2–8 Feb 2026`; without the year where what follows says it."""
    year = "" if last.year == next_year else f" {last.year:04d}"
    end = f"{last.day} {month_name(last)}{year}"
    if first == last:
        return end
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{end}"
    begun = f" {first.year:04d}" if first.year != last.year else ""
    return f"{first.day} {month_name(first)}{begun} – {end}"


def _spans(days: Sequence[date]) -> Iterator[tuple[date, date]]:
    """Days that follow one another, each run by its ends."""
    for first, last in _runs([one.toordinal() for one in days]):
        yield date.fromordinal(first), date.fromordinal(last)


def _runs(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    start = before = None
    for one in numbers:
        if start is None or before is None or one != before + 1:
            if start is not None and before is not None:
                yield start, before
            start = one
        before = one
    if start is not None and before is not None:
        yield start, before
