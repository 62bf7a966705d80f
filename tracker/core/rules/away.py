"""The stays away that stand in the book: no reminders then."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import TYPE_CHECKING

import msgspec

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry

_DAY = timedelta(days=1)


class Stay(msgspec.Struct, frozen=True):
    """Away from the first day through the last."""

    first: date
    last: date


def stays_of(entries: "Iterable[Entry]") -> tuple[Stay, ...]:
    """The stays these entries leave in force, earliest first; those that touch are one."""
    from tracker.core.facts.amendments import Away
    from tracker.core.replay.families import each_once
    from tracker.core.replay.in_force import settle

    settled = settle(each_once(list(entries))[0]).entries
    facts = [entry.fact for entry in settled if isinstance(entry.fact, Away)]
    joined: list[Stay] = []
    for fact in sorted(facts, key=lambda one: (one.first, one.last)):
        if fact.last < fact.first:
            continue
        if joined and fact.first <= joined[-1].last + _DAY:
            joined[-1] = Stay(joined[-1].first, max(joined[-1].last, fact.last))
        else:
            joined.append(Stay(fact.first, fact.last))
    return tuple(joined)


def is_away(stays: Iterable[Stay], day: date) -> bool:
    """Whether a day is spent away."""
    return any(stay.first <= day <= stay.last for stay in stays)


def leaving_tomorrow(stays: Iterable[Stay], today: date) -> Stay | None:
    """The stay that begins tomorrow, if one does."""
    return next((stay for stay in stays if stay.first == today + _DAY), None)
