"""What is due as a message: a head line, and at most six lines with the plants named first."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Final, assert_never

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
from tracker.core.rules.reminders import What
from tracker.outputs.view.day import Group
from tracker.outputs.words.due.due_lines import reason_said, why_due
from tracker.outputs.words.due.due_names import DueItem, grouped, listed

MOST_LINES: Final = 6
_MOST_COUNTS: Final = 3  # in the head line, which some desktops cut at 63 characters
_MOST_NAMES: Final = 4
# Each thing of these is a line of its own while there is room.
_ONE_BY_ONE: Final[frozenset[Group]] = frozenset(
    ("look first", "past its longest", "past its date", "while you are away")
)


def message_title(items: Sequence[DueItem]) -> str:
    """`Stillroom · 3 to look at, 4 to shake`."""
    counts: dict[str, int] = {}
    for one in items:
        words = _to_do(one.line.what)
        counts[words] = counts.get(words, 0) + 1
    first = list(counts.items())[:_MOST_COUNTS]
    return f"Stillroom · {', '.join(f'{number} {words}' for words, number in first)}"


def _to_do(what: What) -> str:
    match what:
        case "safety" | "weak" | "past-longest" | "expired" | "look" | "undated":
            return "to look at"
        case "away":
            return "while you are away"
        case "shake" | "count":
            return f"to {what}"
        case "ready":
            return "ready"
        case "expiring":
            return "to use soon"
        case _:
            assert_never(what)


def message_lines(items: Sequence[DueItem], today: date) -> list[str]:
    """The most pressing first; how many things there is no line for is the last."""
    told = list(_lines(items, lambda one: why_due(one.line, today), today))
    if len(told) > MOST_LINES:  # fewer and shorter: every hold in one line, every lid in another
        told = list(_lines(items, lambda one: _shortly(one, today), today))
    if len(told) <= MOST_LINES:
        return [line for line, _ in told]
    kept = told[: MOST_LINES - 1]
    more = sum(number for _, number in told[MOST_LINES - 1 :])
    return [*(line for line, _ in kept), f"and {more} more · stillroom due"]


def _lines(
    items: Sequence[DueItem], why: Callable[[DueItem], str], today: date
) -> Iterator[tuple[str, int]]:
    """Each line, and how many things it is about."""
    for group, own in grouped(items).items():
        if group not in _ONE_BY_ONE:
            yield _of_group(group, own, today), len(own)
            continue
        by_reason: dict[str, list[DueItem]] = {}
        for one in own:
            by_reason.setdefault(why(one), []).append(one)
        for reason, same in by_reason.items():
            yield f"{_capital(_named(same))}: {reason}", len(same)


def _of_group(group: Group, own: Sequence[DueItem], today: date) -> str:
    if len(own) == 1:
        return f"{_capital(_with_code(own[0]))}: {_to_do_first(group)}{why_due(own[0].line, today)}"
    # In one line there is no room for a day of each; that one is ready as well is still said.
    ready = [one for one in own if one.line.also is not None]
    also = f"; ready too: {_some(listed(ready))}" if ready else ""
    return f"{_heading(group)}: {_some(listed(own))}{also}"


def _heading(group: Group) -> str:
    match group:
        case "look":
            return "Look at"
        case "ready when you want it":
            return "Ready"
        case _:
            return _capital(group)


def _to_do_first(group: Group) -> str:
    """What is to be done, where the reason alone does not say it."""
    if group in ("shake", "count"):
        return f"{group} it, "
    return "use soon, " if group == "use soon" else ""


def _named(same: Sequence[DueItem]) -> str:
    return _with_code(same[0]) if len(same) == 1 else f"{_some(listed(same))} ({len(same)})"


def _with_code(one: DueItem) -> str:
    return f"{one.short} {one.line.code}" if one.name else one.line.code


def _some(names: Sequence[str]) -> str:
    """`valerian root, nettle leaf`; of many the first, and how many more there are."""
    kept = len(names) if len(names) <= _MOST_NAMES + 1 else _MOST_NAMES
    more = f" and {len(names) - kept} more" if len(names) > kept else ""
    return ", ".join(names[:kept]) + more


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _shortly(item: DueItem, today: date) -> str:
    """All that a line is due for, without what tells two of a kind apart."""
    line = item.line
    said = [_kind_said(one, line.since, today) for one in line.reasons]
    return "; ".join(dict.fromkeys(said))


def _kind_said(one: Reason, since: date, today: date) -> str:
    match one:
        case OnHold() | RecalledInside():
            is_recall = isinstance(one, RecalledInside) or one.kind == "recall"
            return "a lot in it was recalled" if is_recall else "on hold"
        case SpoilageSeen():
            return "signs of spoilage: look again"
        case BareLid():
            return "bare metal lid"
        case LidNotKnown():
            return "is the lid bare metal?"
        case StandsWeak():
            return "weak: discard it" if one.is_past else "weak"
        case DatedAhead() | ClockBehind():
            return "dated ahead of today"
        case WhileAway():
            return _away_shortly(one)
        case PastLongest():
            return "past its longest"
        case GoodThrough() if one.day < today:
            return "past its date"
        case _:
            return reason_said(one, since, today)


def _away_shortly(one: WhileAway) -> str:
    if one.good_through is not None:
        return "past its date while you are away"
    return f"{'past its longest' if one.longest else 'ready'} while you are away"
