"""Why a line is due, in words: the same on the screen, in a digest and in a notice."""

from datetime import date
from typing import assert_never

from tracker.core.rules.reasons import (
    BareLid,
    GoodThrough,
    LookAtIt,
    MouldSeen,
    NotCounted,
    NotShaken,
    OnHold,
    PastLongest,
    ReadyToPress,
    Reason,
    WhileAway,
)
from tracker.core.rules.reminders import Due
from tracker.core.values.month_names import month_name
from tracker.outputs.words.ways_of_making import press_verb


def why_due(line: Due) -> str:
    """Why a line is due, in a few words without a full stop."""
    return "; ".join(_reason(one, line.since) for one in line.reasons)


def _reason(one: Reason, since: date) -> str:
    match one:
        case OnHold() | MouldSeen() | BareLid() | LookAtIt():
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
        case GoodThrough() | NotCounted():
            return _stock(one)
        case WhileAway():
            return _while_away(one, since)
        case _:
            assert_never(one)


def _to_look_at(one: OnHold | MouldSeen | BareLid | LookAtIt) -> str:
    match one:
        case OnHold():
            return f"on hold: {one.why}" if one.why else "on hold"
        case MouldSeen():
            return "mould was seen: look again"
        case BareLid():
            return "bare metal lid: change it, or put a barrier under it"
        case LookAtIt():
            return "look at it: is the herb under the liquid?"
        case _:
            assert_never(one)


def _stock(one: GoodThrough | NotCounted) -> str:
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
            return f"{passed} d past longest"
        case OnHold():
            return "recalled" if first.kind == "recall" else "on hold"
        case MouldSeen():
            return "mould was seen"
        case BareLid():
            return "bare metal lid"
        case _:
            return f"{line.what} today" if passed == 0 else f"{line.what}, {passed} d late"


def for_days(today: date, since: date) -> str:
    """`today` or `for 3 d`."""
    passed = (today - since).days
    return "today" if passed == 0 else f"for {passed} d"
