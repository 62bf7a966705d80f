"""Why a thing is due, as a message says it: nothing that a maker wrote of people or events."""

from datetime import date
from typing import Final

from tracker.core.rules.reasons import (
    BareLid,
    ClockBehind,
    DatedAhead,
    GoodThrough,
    LidNotKnown,
    OnHold,
    PastLongest,
    Reason,
    RecalledInside,
    SpoilageSeen,
    StandsWeak,
    WhileAway,
)
from tracker.core.rules.reminders import Due
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.kind_words import kind_said
from tracker.outputs.words.due.due_lines import reason_said
from tracker.outputs.words.ways_of_making import press_verb

_GRAVEST_FIRST: Final[tuple[type[Reason], ...]] = (
    OnHold, RecalledInside, SpoilageSeen, StandsWeak, BareLid, LidNotKnown, DatedAhead, ClockBehind,
)  # fmt: skip


def gravity(line: Due) -> int:
    """How grave a line is among those to look at first: 0 is what a recall holds."""
    if any(is_recall(one) for one in line.reasons):
        return 0
    places = [_GRAVEST_FIRST.index(type(one)) for one in line.reasons if _is_grave(one)]
    return 1 + min(places, default=len(_GRAVEST_FIRST))


def _is_grave(one: Reason) -> bool:
    return isinstance(one, _GRAVEST_FIRST)


def is_recall(one: Reason) -> bool:
    """Whether a recall put it on hold."""
    return isinstance(one, OnHold) and one.kind == "recall"


def why_in_message(line: Due, today: date, room: int) -> str:
    """All that a line is due for, in so many letters where that can be."""
    reasons = [_said(one, line.since, today) for one in line.reasons]
    if line.also is not None:
        reasons += [_said(one, line.also.since, today) for one in line.also.reasons]
    whole = "; ".join(reasons)
    return whole if len(whole) <= room else why_shortly(line, today, room)


def why_shortly(line: Due, today: date, room: int) -> str:
    """The same without what tells two of a kind apart; what there is no room for is counted."""
    reasons = list(dict.fromkeys(_shortly(one, line.since, today) for one in line.reasons))
    for kept in range(len(reasons), 1, -1):
        left = len(reasons) - kept
        said = "; ".join(reasons[:kept]) + _more(left)
        if len(said) <= room:
            return said
    return reasons[0] + _more(len(reasons) - 1)


def _more(number: int) -> str:
    return f"; {number} more reason{'s' * (number != 1)}" if number else ""


def _said(one: Reason, since: date, today: date) -> str:
    match one:
        case OnHold():
            return _held(one, since, today)
        case RecalledInside():
            return f"holds some of recalled lot {one.lot}, and is not on hold"
        case PastLongest():
            days = f"{one.days} day{'s' * (one.days != 1)}"
            return f"{days} past its longest: {press_verb(one.way)} it"
        case WhileAway():
            return _while_away(one, today)
        case DatedAhead():
            on = short_when(one.on, today.year)
            return f"{kind_said(one.kind)} on {on}, still to come: correct {one.entry}"
        case ClockBehind():
            ahead = f"after {short_day(since)}, up to {short_day(one.last)}"
            return f"most of it is dated {ahead}: set the clock"
        case _:
            return reason_said(one, since, today)


def _held(one: OnHold, since: date, today: date) -> str:
    """Why in the maker's own words is for `due`: a message is read over a shoulder as well."""
    given = _given(one)
    match one.kind:
        case "recall":
            # The lot comes first, and then what was said of it.
            return f"on hold, {one.why.split(': ', 1)[0]}{given}"
        case "word":
            return f"on hold since {short_day(since, today.year)}{given}"
        case "look" | "found":
            return f"on hold: {one.why}{given}" if one.why else f"on hold{given}"


def _given(one: OnHold) -> str:
    return f", {one.given_ml:.0f} ml given out since" if one.given_on else ""


def _while_away(one: WhileAway, today: date) -> str:
    days = [
        ("ready", one.ready),
        ("longest time ends", one.longest),
        ("good only through", one.good_through),
    ]
    said = ", ".join(f"{words} {short_day(day, today.year)}" for words, day in days if day)
    no_hurry = " (no hurry)" if one.longest is None and one.good_through is None else ""
    return f"while you are away: {said}{no_hurry}"


def _shortly(one: Reason, since: date, today: date) -> str:
    match one:
        case OnHold():
            lot = f", {one.why.split(': ', 1)[0]}" if is_recall(one) else ""
            return f"on hold{lot}{_given(one)}"
        case SpoilageSeen():
            return "signs of spoilage: look again"
        case BareLid():
            return "bare metal lid"
        case LidNotKnown():
            return "is the lid bare metal?"
        case StandsWeak():
            return "weak, past its date: discard it" if one.is_past else "weak: keep it cold"
        case DatedAhead() | ClockBehind():
            return _ahead_shortly(one, today)
        case WhileAway():
            return _away_shortly(one)
        case PastLongest():
            return "past its longest"
        case GoodThrough() if one.day < today:
            return "past its date"
        case _:
            return _said(one, since, today)


def _ahead_shortly(one: DatedAhead | ClockBehind, today: date) -> str:
    if isinstance(one, ClockBehind):
        return "dated ahead of today"
    return f"dated ahead ({short_when(one.on, today.year)})"


def _away_shortly(one: WhileAway) -> str:
    if one.good_through is not None:
        return "past its date while you are away"
    return f"{'past its longest' if one.longest else 'ready'} while you are away"
