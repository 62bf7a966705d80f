"""Why a line is due, in words: the same on the screen, in a digest and in a notice."""

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
from tracker.core.values.month_names import month_name
from tracker.outputs.words.holds import given_since
from tracker.outputs.words.lid_words import barrier_said, lid_said
from tracker.outputs.words.ways_of_making import press_verb


def why_due(line: Due) -> str:
    """Why a line is due, in a few words without a full stop."""
    return "; ".join(_reason(one, line.since) for one in line.reasons)


def _reason(one: Reason, since: date) -> str:
    match one:
        case OnHold() | RecalledInside():
            return _held(one)
        case SpoilageSeen() | BareLid() | LidNotKnown() | LookAtIt() | LookAgain():
            return _to_look_at(one)
        case PastLongest():
            days = "day" if one.days == 1 else "days"
            return f"{one.days} {days} past its longest time on the herb"
        case ReadyToPress():
            late = f" since {one.late}" if one.late else ""
            do = press_verb(one.way)
            return f"ready to {do}{late}; {do} it when the stock is wanted"
        case NotShaken():
            began = "the charge" if one.is_first else "it began to steep"
            never = f"not shaken since {began} on {one.began}"
            return f"last shaken {one.last}" if one.last else never
        case StandsWeak():
            return _weak(one)
        case GoodThrough() | NoDate() | NotCounted():
            return _stock(one)
        case DatedAhead() | ClockBehind():
            return _ahead(one, since)
        case WhileAway():
            return _while_away(one, since)
        case _:
            assert_never(one)


def _ahead(one: DatedAhead | ClockBehind, since: date) -> str:
    if isinstance(one, ClockBehind):
        return f"most of the book is dated after {since}, up to {one.last}: set the clock"
    return (
        f"{one.kind.replace('_', ' ')} on {one.on}, which is still to come: it does not count; "
        f"say when it was: `stillroom correct {one.entry} --set when=DAY`"
    )


def _held(one: OnHold | RecalledInside) -> str:
    if isinstance(one, RecalledInside):
        return f"some of lot {one.lot} is in it, recalled {one.on}, and it is on no hold"
    held = f"on hold: {one.why}" if one.why else "on hold"
    return held + given_since(one.given_ml, one.given_on)


def _to_look_at(
    one: SpoilageSeen | BareLid | LidNotKnown | LookAtIt | LookAgain,
) -> str:
    match one:
        case SpoilageSeen():
            return f"{signs_said(one.signs)} was found: look again"
        case BareLid():
            return "bare metal lid: change it, or put a barrier under it"
        case LidNotKnown():
            under = f" with {barrier_said(one.barrier)} under it" if one.barrier else ""
            return f"{lid_said(one.lid)}{under}: is that bare metal?"
        case LookAgain():
            seen = f": {signs_said(one.signs)} on {one.on}" if one.signs else f" since {one.on}"
            return f"to look at again{seen}"
        case LookAtIt():
            return "look at it: is the herb under the liquid?"
        case _:
            assert_never(one)


def signs_said(signs: Iterable[str]) -> str:
    """`mould`, `mould and gas`, `mould, slime and an off smell`."""
    *others, last = ("an off smell" if one == "smell" else one for one in signs)
    return f"{', '.join(others)} and {last}" if others else last


def _weak(one: StandsWeak) -> str:
    since = f"weak since {one.since}" if one.since else "nobody knows since when"
    if one.is_past:
        weak = f"weak at {one.pct_vol:.1f} % vol"
        return f"past its last good day, {one.through}: discard it; {weak} ({since})"
    through = f"good through {one.through}" if one.through else "no date is known"
    return (
        f"weak at {one.pct_vol:.1f} % vol, {through} ({since}): keep it cold, and make it "
        "stronger, use it up or discard it"
    )


def _stock(one: GoodThrough | NoDate | NotCounted) -> str:
    if isinstance(one, NoDate):
        return f"till when it is good is not known; {one.left_ml:.0f} ml left"
    if isinstance(one, GoodThrough):
        which = "" if one.bottle is None else f"bottle {one.bottle} "
        return f"{which}good through {one.day}; {one.left_ml:.0f} ml left"
    counted = f"last counted {one.last}" if one.last else f"not counted since {one.began}"
    return f"{counted}; {one.left_ml:.0f} ml left by the book"


def _while_away(one: WhileAway, since: date) -> str:
    if one.good_through is not None:
        return f"is good only through {day_month(one.good_through, since)}, while you are away"
    parts = [
        *([f"becomes ready {day_month(one.ready, since)}"] if one.ready else []),
        *([f"passes its longest time {day_month(one.longest, since)}"] if one.longest else []),
    ]
    return f"{' and '.join(parts)} while you are away{'' if one.longest else ' (no hurry)'}"


def day_month(day: date, today: date) -> str:
    """`6 Jul`, with the year where it is another one."""
    year = f" {day.year}" if day.year != today.year else ""
    return f"{day.day} {month_name(day)}{year}"


def briefly(line: Due, today: date) -> str:
    """What a row of the shelf says of a line."""
    passed = (today - line.since).days
    first = line.reasons[0]
    match first:
        case ReadyToPress():
            return f"ready {for_days(today, line.since)}"
        case PastLongest():
            return f"{first.days} d past longest"
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
            return f"weak {for_days(today, line.since)}"
        case _:
            return f"{line.what} today" if passed == 0 else f"{line.what}, {passed} d late"


def for_days(today: date, since: date) -> str:
    """`today` or `for 3 d`."""
    passed = (today - since).days
    return "today" if passed == 0 else f"for {passed} d"
