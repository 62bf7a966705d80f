"""When something happened, as exactly as it is known, and spans of calendar time."""

import re
from datetime import date, datetime, time, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Literal, NamedTuple

import msgspec

from tracker.core.values.errors import AmbiguousDateError, MisusedError

Precision = Literal["time", "day", "month", "season", "year", "unknown"]
Hemisphere = Literal["north", "south"]
# Which comes first where a date is written in numbers alone.
DateOrder = Literal["day first", "month first"]
# Which of many such days is meant where no year is said; today is either.
Toward = Literal["past", "future"]

# The place of a line in the history: when it happened, when and by whom it was written down, and
# its number there.
Order = tuple[datetime, datetime, str, int]
# The earliest day a happening of unknown date may have had.
LONG_AGO = date(1970, 1, 1)
# Months are of many lengths: two spans are held against each other from one day on.
ANY_DAY = date(2025, 1, 1)
# Years a date may have; one beyond them is a slip.
FIRST_YEAR, LAST_YEAR = 1900, 2199
# Years that a line of the book may name: a clock may be wrong, and a date that was typed may be
# put off by the longest periods. What is reckoned from one stays within any calendar.
FIRST_YEAR_READ, LAST_YEAR_READ = FIRST_YEAR - 100, LAST_YEAR + 200
# The longest a period may be: a hundred years.
LONGEST_MONTHS, LONGEST_DAYS = 1200, 36525

_MONTHS = {"month": 1, "season": 3, "year": 12}
# Not by calendar, which loads the locale and a dozen classes.
_DAYS_OF_MONTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_SEASON_MONTH = {"spring": 3, "summer": 6, "autumn": 9, "fall": 9, "winter": 12}


@lru_cache(1024)
def add_months(day: date, months: int) -> date:
    """The corresponding day `months` later, or the last day of that month if it is shorter.

    Source:
        The corresponding-date rule, Regulation (EEC, Euratom) No 1182/71, Article 3 (from
        memory).
    """
    year, month0 = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month0 + 1, min(day.day, _days_of(year, month0)))


def _days_of(year: int, month0: int) -> int:
    is_leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return 29 if is_leap and month0 == 1 else _DAYS_OF_MONTHS[month0]


class When(NamedTuple):
    """A moment, or the range of days it lies in.

    `start` is aware and keeps the maker's own offset from UTC, so that the calendar day is
    the maker's day for ever. It is the first instant of the range; where nothing is known
    it is the instant the thing was written down, and the range lies before it.
    """

    start: datetime
    precision: Precision = "time"

    @property
    def earliest(self) -> date:
        """The first day it can have been."""
        return LONG_AGO if self.precision == "unknown" else self.start.date()

    @property
    def latest(self) -> date:
        """The last day it can have been."""
        day = self.start.date()
        months = _MONTHS.get(self.precision)
        return day if months is None else add_months(day, months) - timedelta(days=1)

    @property
    def last(self) -> datetime:
        """The last instant of the range."""
        days = (self.latest - self.start.date()).days + 1
        return self.start + timedelta(days=days, microseconds=-1)

    @property
    def is_exact(self) -> bool:
        """Whether the day is known."""
        return self.precision in ("time", "day")

    @property
    def iso(self) -> str:
        """As data and paper have it: `2025-03-03`, `2025-03`, `2025-06 to 2025-08`."""
        day = self.start.date()
        match self.precision:
            case "time" | "day":
                return day.isoformat()
            case "month":
                return f"{day:%Y-%m}"
            case "year":
                return f"{day:%Y}"
            case "season":
                return f"{day:%Y-%m} to {self.latest:%Y-%m}"
            case _:
                return f"unknown, by {day.isoformat()}"

    def __str__(self) -> str:
        """For people, where no present is at hand: `3 Mar 2025`."""
        from tracker.core.values.day_words import short_when  # which is written of this class

        return short_when(self)


def moment(instant: datetime) -> When:
    """An exact happening, with the zone reduced to its offset so that it reads back equal."""
    offset = instant.utcoffset()
    if offset is None:
        raise ValueError("an instant needs a zone")
    return When(instant.astimezone(timezone(offset)))


def midnight(day: date, zone: tzinfo) -> datetime:
    """The start of a day in the maker's zone, carrying that day's offset."""
    local = datetime.combine(day, time(), zone)
    return local.replace(tzinfo=timezone(local.utcoffset() or timedelta()))


# What a date may be written as, named where one is not understood.
_FORMS = (
    "write it like 2 Feb, monday, yesterday 18:30, 3 days ago, 2025-03-03, June 2023, "
    "summer 2023, 2023 or unknown; docs/dates.md has them all."
)


def parse_when(
    text: str,
    now: datetime,
    hemisphere: Hemisphere = "north",
    *,
    where: str = "--when",
    toward: Toward = "past",
    dates: DateOrder | None = None,
) -> When:
    """What a person means by a date, a date-time or an inexact date.

    Args:
        text: `2025-03-03`, `2025-03-03 18:30`, `18:30`, `today`, `yesterday`, `2023-06`,
            `2023-summer`, `2023` or `unknown`; or as people say it, `2 Feb`, `Monday 18:30`,
            `3 days ago`, `June 2023`, `by 3 Mar`.
        now: the present, in the maker's zone.
        hemisphere: decides which months a season has; seasons are meteorological, and a
            winter is named after the year it begins in.
        where: what it was given as, for the error.
        toward: of a day without its year, the last one or the coming one; today is either.
        dates: how `3/4` is read; None where nobody has said.

    Raises:
        AmbiguousDateError: numbers alone that are two days, and nobody has said which is first.
        MisusedError: none of those.
    """
    words = " ".join(text.lower().split())
    zone = now.tzinfo
    if zone is None:
        raise ValueError("now needs a zone")
    if words in ("", "now"):
        return moment(now)
    if words == "unknown":
        return When(moment(now).start, "unknown")
    if words in ("today", "yesterday"):
        back = timedelta(days=1 if words == "yesterday" else 0)
        return When(midnight(now.date() - back, zone), "day")
    try:
        when = _dated(words, now, zone, hemisphere) or _spoken(words, now, zone, toward, dates)
        when = when or _known_by(words, now, zone)
        if when is None or not FIRST_YEAR <= when.earliest.year <= when.latest.year <= LAST_YEAR:
            raise ValueError("no date, or outside the years a jar can be from")
        return when
    except (ValueError, OverflowError) as reason:
        raise MisusedError(f"{text!r} is not a date.", where=where, do=_FORMS) from reason


# A day as answers say it, which repeated would say nothing more.
_WHOLE_DAY = re.compile(r"(?:[a-z]{3} )?\d{1,2} [a-z]{3} \d{4}")


def is_as_people_say(text: str) -> bool:
    """Whether a date is written in words, or in numbers of no standard, so that it is echoed."""
    words = " ".join(text.lower().split())
    is_plain = words in ("", "now", "unknown", "today", "yesterday") or _WHOLE_DAY.fullmatch(words)
    return not is_plain and not re.match(r"\d{4}(?:-|$)|\d{1,2}:\d\d$", words)


def _dated(words: str, now: datetime, zone: tzinfo, hemisphere: Hemisphere) -> When | None:
    """A date of ISO 8601, and what is written in its way; None of any other."""
    if re.fullmatch(r"\d{4}", words):
        return When(midnight(date(int(words), 1, 1), zone), "year")
    if re.fullmatch(r"\d{4}-\d{1,2}", words):
        year, month = words.split("-")
        return When(midnight(date(int(year), int(month), 1), zone), "month")
    season = re.fullmatch(r"(?P<year>\d{4})[- ](?P<name>[a-z]+)", words)
    season = season or re.fullmatch(r"(?P<name>[a-z]+) (?P<year>\d{4}|\d\d)", words)
    if season and season["name"] in _SEASON_MONTH:
        first = date(_full_year(season["year"]), _SEASON_MONTH[season["name"]], 1)
        if hemisphere == "south":
            first = add_months(first, 6 if first.month < 9 else -6)
        return When(midnight(first, zone), "season")
    if re.fullmatch(r"\d{4}-\d\d-\d\d", words):
        return When(midnight(date.fromisoformat(words), zone), "day")
    if re.fullmatch(r"\d{1,2}:\d\d", words):
        words = f"{now.date().isoformat()}t{words:0>5}"
    if not re.match(r"\d{4}-\d\d-\d\d[t ]\d\d:\d\d", words):
        return None
    instant = datetime.fromisoformat(words.upper())
    return moment(instant if instant.tzinfo else instant.replace(tzinfo=zone))


def _full_year(text: str) -> int:
    """A year of this century may be written in two digits, as rows have it."""
    return int(text) + (2000 if len(text) == 2 else 0)


def _spoken(
    words: str, now: datetime, zone: tzinfo, toward: Toward, dates: DateOrder | None
) -> When | None:
    """A day, a day and a time, or a month, as people say them; None where it is neither."""
    from tracker.core.values.spoken_dates import (  # most need it not
        spoken_day,
        spoken_month,
        spoken_season,
    )

    today = now.date()
    if month := spoken_month(words, today, toward):
        return When(midnight(date(*month, 1), zone), "month")
    if first := spoken_season(words):
        return When(midnight(first, zone), "season")
    said, _, clock = words.rpartition(" ")
    if not re.fullmatch(r"\d{1,2}:\d\d", clock):
        day = spoken_day(words, today, toward, dates)
        return None if day is None else When(midnight(day, zone), "day")
    said = said.removesuffix(" at").removesuffix(",")
    back = {"today": 0, "yesterday": 1}.get(said)
    try:
        if back is None:
            day = spoken_day(said, today, toward, dates)
        else:
            day = today - timedelta(days=back)
    except AmbiguousDateError as asked:
        raise asked.at(clock) from None
    if day is None:
        return None
    at = time.fromisoformat(f"{clock:0>5}")
    return moment(datetime.combine(day, at, zone))


def _known_by(words: str, now: datetime, zone: tzinfo) -> When | None:
    """`by 3 Mar`: on a day that is not known, that one or one before it; none is still to come."""
    said = words.removeprefix("by ")
    if said == words:
        return None
    try:
        last = _dated(said, now, zone, "north") or _spoken(said, now, zone, "past")
    except AmbiguousDateError as asked:
        raise asked.by() from None
    if last is None or last.precision != "day" or last.latest > now.date():
        return None
    return When(last.start, "unknown")


# What parts two of them belongs to the first, possessively: else a long row of commas could be
# shared out among the four in as many ways as its cube.
_PERIOD = (
    r"[\s,]*+(?:(\d{1,6})\s*+(?:years?|yrs?|y)[\s,]*+)?"
    r"(?:(\d{1,6})\s*+(?:months?|mo|m)[\s,]*+)?"
    r"(?:(\d{1,6})\s*+(?:weeks?|w)[\s,]*+)?"
    r"(?:(\d{1,6})\s*+(?:days?|d))?[\s,]*+"
)
_ISO_PERIOD = r"p(?:(\d{1,6})y)?(?:(\d{1,6})m)?(?:(\d{1,6})w)?(?:(\d{1,6})d)?"


class Period(msgspec.Struct, frozen=True):
    """Calendar months and days: `3 months`, `28 days`. Written `P3M`, `P28D` (ISO 8601)."""

    months: int = 0
    days: int = 0

    def after(self, day: date) -> date:
        """The day this long after `day`: months first, once, clamped; then days."""
        return add_months(day, self.months) + timedelta(days=self.days)

    def before(self, day: date) -> date:
        """The day this long before `day`, counted the same way."""
        return add_months(day, -self.months) - timedelta(days=self.days)

    @property
    def iso(self) -> str:
        """As an ISO 8601 duration, such as `P3M` or `P28D`."""
        parts = (f"{self.months}M" if self.months else "", f"{self.days}D" if self.days else "")
        return "P" + ("".join(parts) or "0D")

    def __str__(self) -> str:
        parts = [
            f"{count} {unit}{'' if count == 1 else 's'}"
            for count, unit in ((self.months, "month"), (self.days, "day"))
            if count
        ]
        return " ".join(parts) or "0 days"


def is_period(text: str) -> bool:
    """Whether the text is a span as the book holds one: ISO 8601, months and days."""
    found = re.fullmatch(_ISO_PERIOD, text.lower()) if text.isupper() else None
    if found is None or not any(found.groups()):
        return False
    years, months, weeks, days = (int(group or 0) for group in found.groups())
    return years * 12 + months <= LONGEST_MONTHS and weeks * 7 + days <= LONGEST_DAYS


@lru_cache(256)
def parse_period(text: str) -> Period:
    """A span such as `28d`, `3 months`, `1 year`, `6 weeks` or ISO 8601 `P3M`.

    Raises:
        MisusedError: not a span, or longer than a hundred years.
    """
    words = text.strip().lower()
    found = re.fullmatch(_ISO_PERIOD, words) or re.fullmatch(_PERIOD, words)
    if not found or not any(found.groups()):
        raise MisusedError(
            f"{text!r} is not a span of time.",
            where="the span as written",
            do="write it like 28d, 6 weeks, 3 months or 1 year.",
        )
    years, months, weeks, days = (int(group or 0) for group in found.groups())
    period = Period(years * 12 + months, weeks * 7 + days)
    if period.months > LONGEST_MONTHS or period.days > LONGEST_DAYS:
        raise MisusedError(
            f"{text!r} is longer than a hundred years.",
            where="the span as written",
            do="write a shorter one.",
        )
    return period
