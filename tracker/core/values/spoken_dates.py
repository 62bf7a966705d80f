"""Dates as people say them: `2 Feb`, `Monday`, `3 days ago`, `June 2023`."""

import re
from datetime import date, timedelta

from tracker.core.values.day_words import short_when
from tracker.core.values.errors import AmbiguousDateError, MisusedError, Reading
from tracker.core.values.month_names import month_name
from tracker.core.values.times import DateOrder, Hemisphere, Period, Toward, When

_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january",
            "feb february",
            "mar march",
            "apr april",
            "may",
            "jun june",
            "jul july",
            "aug august",
            "sep sept september",
            "oct october",
            "nov november",
            "dec december",
        ),
        1,
    )
    for name in names.split()
}
_DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_DAYS = {
    name: number
    for number, names in enumerate(
        (
            "mon monday",
            "tue tues tuesday",
            "wed weds wednesday",
            "thu thur thurs thursday",
            "fri friday",
            "sat saturday",
            "sun sunday",
        )
    )
    for name in names.split()
}
_COUNTS = ("a", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_COUNT = {"an": 1, "one": 1} | {word: number for number, word in enumerate(_COUNTS, 1)}

_NUMBERED = re.compile(r"(\d{1,2})([/.])(\d{1,2})(?:\2(\d{4}|\d\d)?)?")
_YEAR_FIRST = re.compile(r"(\d{4})([/.])(\d{1,2})\2(\d{1,2})")
_SPAN = re.compile(r"(in )?([a-z]+|\d{1,5}) (day|week|fortnight|month|year)s?( ago)?")
_DAYS_IN = {"day": 1, "week": 7, "fortnight": 14}
_PART_OF_DAY = re.compile(r"(.+) (?:morning|afternoon|evening|night)")
_PART_OF_MONTH = re.compile(
    r"(?:the )?(?:(?:beginning|start|middle|end) |early |mid[ -]|late )(.+)"
)
# How far from today, however the week is counted.
_FROM_TODAY = {
    "today": 0,
    "this": 0,
    "tonight": 0,
    "yesterday": -1,
    "last": -1,
    "the day before yesterday": -2,
    "tomorrow": 1,
    "the day after tomorrow": 2,
}
_ROUGHLY = re.compile(r"(?:around|about|roughly|circa|ca\.?) .+")
_ORDINAL = re.compile(r"(\d{1,2})(?:st|nd|rd|th)\b")
_YEAR = re.compile(r"\d{4}")
_SHORT_YEAR = re.compile(r"\d{4}|\d\d")
_SEASON = re.compile(r"([a-z]+)(?: (\d{4}))? to ([a-z]+) (\d{4})")
# A leap day comes back in four years, or in eight around most turns of a century.
_MOST_YEARS = 8


def spoken_day(
    text: str, today: date, toward: Toward = "past", dates: DateOrder | None = None
) -> date | None:
    """The day that people mean by a text, which is none of the forms of ISO 8601; None if none.

    Args:
        text: `2 Feb`, `February 2nd, 2026`, `Monday`, `last Monday`, `Mon 2 Feb`,
            `next Monday`, `Monday morning`, `3 days ago`, `in two weeks`, `tomorrow`, `13/2`,
            `2026/2/13`.
        today: the maker's day.
        toward: of a day without its year, the last one or the coming one; today is either.
        dates: which comes first in numbers alone; None where nobody has said.

    Raises:
        AmbiguousDateError: numbers alone that are two days and nobody has said which comes
            first; or the `next` of a weekday that is still to come in this week.
        MisusedError: a weekday that the day is not, a leap day that a year lacks, or a guess.
    """
    words = _plain(text)
    _must_be_sure(text, words)
    if part := _PART_OF_DAY.fullmatch(words):
        words = part[1]
    elif words in ("this", "last"):
        return None
    if words in _FROM_TODAY:
        return today + timedelta(days=_FROM_TODAY[words])
    if span := _SPAN.fullmatch(words):
        return _counted(text, span, today)
    if found := _YEAR_FIRST.fullmatch(words):
        return _day(int(found[1]), int(found[3]), int(found[4]))
    if found := _NUMBERED.fullmatch(words):
        return _of_numbers(text, found, today, toward, dates)
    return _of_weekday(text, words, today, toward)


def spoken_month(text: str, today: date, toward: Toward = "past") -> tuple[int, int] | None:
    """The year and month of `June 2023`, or of `June`, the last or the coming one.

    The end of a month, or its middle, is some day of it: nothing shorter can be kept.
    """
    words = _plain(text)
    if part := _PART_OF_MONTH.fullmatch(words):
        words = part[1]
    month, *rest = words.split() or [""]
    if month not in _MONTHS or len(rest) > 1 or (rest and not _YEAR.fullmatch(rest[0])):
        return None
    number = _MONTHS[month]
    if rest:
        return int(rest[0]), number
    if toward == "past":
        return today.year - (number > today.month), number
    return today.year + (number < today.month), number


def spoken_season(text: str) -> date | None:
    """The first day of the three months of `Jun to Aug 2023`, or of `Dec 2023 to Feb 2024`."""
    found = _SEASON.fullmatch(_plain(text))
    if found is None or found[1] not in _MONTHS or found[3] not in _MONTHS:
        return None
    first, last, year = _MONTHS[found[1]], _MONTHS[found[3]], int(found[4])
    begins = year - (first > last)
    if first % 3 or (last - first) % 12 != 2 or found[2] not in (None, str(begins)):
        return None
    return _day(begins, first, 1)


def day_said(day: date) -> str:
    """A day as people say it, without doubt: `Mon 2 Feb 2026`."""
    return f"{_DAY_NAMES[day.weekday()][:3]} {day.day} {month_name(day)} {day.year}"


def taken_as(text: str, when: When, hemisphere: Hemisphere | None = None) -> str:
    """How a date that was not written as ISO 8601 has it was understood."""
    if not when.is_exact:
        return f"{text} taken as {short_when(when, hemisphere=hemisphere)}."
    clock = f", {when.start:%H:%M}" if when.precision == "time" else ""
    return f"{text} taken as {day_said(when.start.date())}{clock}."


def _plain(text: str) -> str:
    """In small letters, without commas, `of` and the ends of `2nd`; `2 feb` and `2feb` alike."""
    words = _ORDINAL.sub(r"\1", text.casefold().replace(",", " "))
    words = re.sub(r"(?<=\d)(?=[a-z])", " ", words)
    return " ".join(one for one in words.split() if one != "of")


def _counted(text: str, span: re.Match[str], today: date) -> date | None:
    """`3 days ago`, `in two weeks`, `in 3 months`.

    Raises:
        MisusedError: months or years ago, by which nobody means one day.
    """
    ahead, count, unit, ago = span.groups()
    number = int(count) if count.isdecimal() else _COUNT.get(count)
    if number is None or bool(ahead) == bool(ago):
        return None
    if unit in ("month", "year"):
        if ahead:
            return Period(months=number * (12 if unit == "year" else 1)).after(today)
        raise MisusedError(
            f"{text!r} is not one day.",
            where="the day as written",
            do="write the day, or the month as June 2023.",
        )
    days = timedelta(days=number * _DAYS_IN[unit])
    return today + days if ahead else today - days


def _of_weekday(text: str, words: str, today: date, toward: Toward) -> date | None:
    """`Monday`, `last Monday`, `next Monday`, `Monday 2 Feb`; else a day of a month."""
    first, _, rest = words.partition(" ")
    if first == "last" and rest in _DAYS:
        return today - timedelta(days=(today.weekday() - _DAYS[rest] - 1) % 7 + 1)
    if first == "next" and rest in _DAYS:
        return _next(text, _DAYS[rest], today)
    if first not in _DAYS:
        return _named_day(text, words, today, toward)
    if not rest:
        return _weekday(_DAYS[first], today, toward)
    day = _named_day(text, rest, today, toward)
    if day is not None and day.weekday() != _DAYS[first]:
        raise MisusedError(
            f"{text!r} is not a date: {day_said(day)[4:]} is a {_DAY_NAMES[day.weekday()]}.",
            where="the day as written",
            do="leave the weekday out, or write the year.",
        )
    return day


def _must_be_sure(text: str, words: str) -> None:
    """Refuse `around Easter`: what is sure of it is a month, a season or a year.

    Raises:
        MisusedError: it is a guess.
    """
    if _ROUGHLY.fullmatch(words):
        raise MisusedError(
            f"{text!r} is no one day.",
            where="the day as written",
            do="write what is sure: the day, the month (April 2026), the season (spring 2026) "
            "or the year.",
        )


def _next(text: str, number: int, today: date) -> date:
    """The coming weekday, where that is in the next week however weeks are counted.

    Raises:
        AmbiguousDateError: it is still to come in this week, or the week may begin today.
    """
    coming = today + timedelta(days=(number - today.weekday() - 1) % 7 + 1)
    if coming.weekday() <= today.weekday() and today.weekday() != _DAYS["sun"]:
        return coming
    name = _DAY_NAMES[number]
    why = f"it may be the coming {name} or the one after"
    both = (coming, coming + timedelta(days=7))
    raise AmbiguousDateError(text, why, [Reading(day.isoformat(), day_said(day)) for day in both])


def _weekday(number: int, today: date, toward: Toward) -> date:
    if toward == "past":
        return today - timedelta(days=(today.weekday() - number) % 7)
    return today + timedelta(days=(number - today.weekday()) % 7)


def _named_day(text: str, words: str, today: date, toward: Toward) -> date | None:
    """`2 feb`, `feb 2`, either with a year behind it."""
    first, second, *rest = [*words.replace(".", " ").split(), "", ""]
    year = rest[0] if rest and rest[0] else None
    if len(rest) > 3 or (year and not _SHORT_YEAR.fullmatch(year)):
        return None
    day, month = (second, first) if first in _MONTHS else (first, second)
    if month not in _MONTHS or not re.fullmatch(r"\d{1,2}", day):
        return None
    if year:
        return _day(_full_year(year), _MONTHS[month], int(day))
    return _nearest(text, _MONTHS[month], int(day), today, toward)


def _of_numbers(
    text: str, found: re.Match[str], today: date, toward: Toward, order: DateOrder | None
) -> date | None:
    """`13/2`, `13.2.2026`: the one day it can be.

    Raises:
        AmbiguousDateError: it can be two, and nobody has said which comes first.
    """
    one, other, year = int(found[1]), int(found[3]), found[4]
    days: dict[date, None] = {}
    for day, month in ((one, other), (other, one)):
        if not 1 <= month <= 12:
            continue
        if year:
            when = _day(_full_year(year), month, day)
        else:
            when = _nearest(text, month, day, today, toward)
        if when is not None:
            days[when] = None
    if len(days) > 1 and order is not None:
        return list(days)[order == "month first"]
    if len(days) > 1:
        why = "the day or the month may come first"
        readings = [Reading(day.isoformat(), day_said(day)) for day in days]
        raise AmbiguousDateError(text, why, readings)
    return next(iter(days), None)


def _nearest(text: str, month: int, day: int, today: date, toward: Toward) -> date | None:
    """The last such day of a year, or the coming one; today is either.

    Raises:
        MisusedError: a leap day, and there is none within a year.
    """
    way = -1 if toward == "past" else 1
    for years in range(_MOST_YEARS + 1):
        found = _day(today.year + way * years, month, day)
        if found is None or (found - today).days * way < 0:
            continue
        if abs((found - today).days) > 366:
            raise MisusedError(
                f"{text!r}: the {'last' if way < 0 else 'next'} year with that day is "
                f"{found.year}.",
                where="the day as written",
                do=f"write the year as well: {day_said(found)[4:]}.",
            )
        return found
    return None


def _full_year(text: str) -> int:
    """A year of this century may be written in two digits."""
    return int(text) + (2000 if len(text) == 2 else 0)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
