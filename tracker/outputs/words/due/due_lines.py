"""Why a line is due, in words: the same on the screen, in a digest and in a message."""

from collections.abc import Iterable
from datetime import date
from typing import assert_never

from tracker.core.rules.reasons import (
    BareLid,
    ClockBehind,
    DatedAhead,
    GoodThrough,
    LidNotKnown,
    LookAgain,
    LookAtIt,
    NoDate,
    NotCounted,
    NotShaken,
    OnHold,
    PastLongest,
    ReadyToPress,
    Reason,
    RecalledInside,
    SpoilageSeen,
    StandsWeak,
    WhileAway,
)
from tracker.core.rules.reminders import Due
from tracker.core.values.command_words import command
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.kind_words import kind_said
from tracker.outputs.words.due.near_days import day_near
from tracker.outputs.words.holds import given_since
from tracker.outputs.words.lid_words import barrier_said, lid_said
from tracker.outputs.words.ways_of_making import press_verb


def why_due(line: Due, today: date) -> str:
    """Why a line is due, in a few words without a full stop."""
    reasons = [reason_said(one, line.since, today) for one in line.reasons]
    if line.also is not None:
        reasons.append(why_due(line.also, today))
    return "; ".join(reasons)


def reason_said(one: Reason, since: date, today: date) -> str:
    """One reason of a line that is due since a day."""
    match one:
        case OnHold() | RecalledInside():
            return _held(one)
        case SpoilageSeen() | BareLid() | LidNotKnown() | LookAtIt() | LookAgain():
            return _to_look_at(one, today)
        case PastLongest():
            days = "day" if one.days == 1 else "days"
            return f"{one.days} {days} over: {press_verb(one.way)} it"
        case ReadyToPress():
            late = f"since {short_day(one.late, today.year)}" if one.late else "from today"
            return f"ready to {press_verb(one.way)} {late}"
        case NotShaken():
            return f"last shaken {day_near(one.last, today)}" if one.last else "not shaken yet"
        case StandsWeak():
            return _weak(one, today)
        case GoodThrough() | NoDate() | NotCounted():
            return _stock(one, today)
        case DatedAhead() | ClockBehind():
            return _ahead(one, since)
        case WhileAway():
            return _while_away(one, since)
        case _:
            assert_never(one)


def _ahead(one: DatedAhead | ClockBehind, since: date) -> str:
    if isinstance(one, ClockBehind):
        ahead = f"dated after {short_day(since)}, up to {short_day(one.last)}"
        return f"most of the book is {ahead}: set the clock"
    correct = command("correct", one.entry, options="--set when=DAY")
    return (
        f"{kind_said(one.kind)} on {short_when(one.on)}, which is still to come: "
        f"it does not count; say when it was: `{correct}`"
    )


def _held(one: OnHold | RecalledInside) -> str:
    if isinstance(one, RecalledInside):
        return f"some of lot {one.lot} is in it, recalled {one.on}, and it is not on hold"
    link = ", " if one.kind == "recall" else ": "  # a recall says so itself, and then why
    held = f"on hold{link}{one.why}" if one.why else "on hold"
    return held + given_since(one.given_ml, one.given_on)


def _to_look_at(
    one: SpoilageSeen | BareLid | LidNotKnown | LookAtIt | LookAgain, today: date
) -> str:
    match one:
        case SpoilageSeen():
            return f"{signs_said(one.signs)} was found: look again"
        case BareLid():
            return "bare metal lid: change it, or put parchment under it"
        case LidNotKnown():
            under = f" with {barrier_said(one.barrier)} under it" if one.barrier else ""
            return f"{lid_said(one.lid)}{under}: is that bare metal?"
        case LookAgain():
            on = day_near(one.on, today)
            return (
                f"look again: {signs_said(one.signs)} {on}"
                if one.signs
                else f"look again, last look {on}"
            )
        case LookAtIt():
            return "is the herb under the liquid?"
        case _:
            assert_never(one)


def signs_said(signs: Iterable[str]) -> str:
    """`mould`, `mould and gas`, `mould, slime and an off smell`."""
    *others, last = ("an off smell" if one == "smell" else one for one in signs)
    return f"{', '.join(others)} and {last}" if others else last


def _weak(one: StandsWeak, today: date) -> str:
    since = f"since {short_day(one.since, today.year)}" if one.since else "nobody knows since when"
    weak = f"weak, {one.pct_vol:.1f} % vol ({since})"
    if one.through is None:
        return f"{weak}, no date known: {_OF_WEAK}"
    through = short_day(one.through, today.year)
    if one.is_past:
        return f"{weak}, was good through {through}: discard it"
    return f"{weak}, good through {through}: {_OF_WEAK}"


_OF_WEAK = "keep it cold; make it stronger, use it up or discard it"


def _stock(one: GoodThrough | NoDate | NotCounted, today: date) -> str:
    left = f"{one.left_ml:.0f} ml"
    if isinstance(one, NoDate):
        return f"its last good day is not known, {left} left"
    if isinstance(one, GoodThrough):
        which = "" if one.bottle is None else f"bottle {one.bottle}: "
        day = short_day(one.day, today.year)
        till = f"its date was {day}" if one.day < today else f"good through {day}"
        return f"{which}{till}, {left} left"
    counted = f"last counted {short_day(one.last, today.year)}" if one.last else "not counted yet"
    return f"{counted}, {left} left"


def _while_away(one: WhileAway, since: date) -> str:
    if one.good_through is not None:
        return f"is good only through {short_day(one.good_through, since.year)}, while you are away"
    parts = [
        *([f"becomes ready {short_day(one.ready, since.year)}"] if one.ready else []),
        *([f"passes its longest time {short_day(one.longest, since.year)}"] if one.longest else []),
    ]
    return f"{' and '.join(parts)} while you are away{'' if one.longest else ' (no hurry)'}"


def briefly(line: Due, today: date) -> str:
    """What a row of the shelf says of a line."""
    first = line.reasons[0]
    match first:
        case ReadyToPress():
            return "ready"
        case PastLongest():
            return f"{first.days} d over"
        case OnHold():
            return "recalled" if first.kind == "recall" else "on hold"
        case RecalledInside():
            return "recalled lot in it"
        case SpoilageSeen():
            return f"{signs_said(first.signs)} found"
        case BareLid():
            return "bare metal lid"
        case LidNotKnown():
            return "lid not known"
        case DatedAhead() | ClockBehind():
            return "dated ahead"
        case StandsWeak():
            days = (today - line.since).days
            return f"weak for {days} d" if days else "weak today"
        case _:
            return f"{line.what}, ready" if line.also is not None else f"{line.what} today"
