"""Whether the very same was recorded a moment ago: the answer may have been lost, and not the line.

Somebody who saw no answer says it once more, and the shelf would count it twice.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from msgspec import Struct
from msgspec.structs import fields

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Charged
from tracker.core.rules.verdict import Finding

# How long somebody wonders whether it was recorded: our own choice, no source.
SOON = timedelta(minutes=10)
# What happened no longer before it was written down happened in that moment.
_AT_ONCE = timedelta(seconds=1)
# What is new in a second one of the same: a letter, the number of its first bottle.
_NEW_EACH_TIME = frozenset({"letter", "first"})
# A code that counts on, as they are given where nobody says one.
_COUNTED_ON = re.compile("(.+-)[0-9]+")


def repeated(
    entry: Entry, recent: Sequence[Entry], now: datetime, names: Mapping[str, str]
) -> Iterator[Finding]:
    """A question where an entry says what an earlier command said, in the same words.

    Args:
        entry: what would be recorded, of a kind of which a second one makes more.
        recent: what this writer recorded last, by earlier commands.
        now: the present.
        names: what the recent entries are called, by their ids.
    """
    written = max([now, *(one.recorded for one in recent)])  # a clock may have been set back
    answered = {one.fact.event for one in recent if isinstance(one.fact, Amendment)}
    alike = [
        one
        for one in recent
        if one.recorded >= written - SOON
        and one.id not in answered
        and _is_the_same(entry, one, now)
    ]
    if not alike or _is_a_row(entry, alike):
        return
    one = alike[-1]
    minutes = (written - one.recorded) // timedelta(minutes=1)
    ago = f"{minutes} minutes ago" if minutes > 1 else "a minute ago"
    of = "" if one.subject == entry.subject else f" ({one.subject})"
    yield Finding(
        "repeated",
        entry.subject,
        f"the same was recorded {ago}, as entry {names.get(one.id, one.sequence)}{of}",
        f"see `stillroom history {one.subject.partition(' ')[0]}`: it may be there already",
        "question",
        known_by=f"the same as {one.id}",
    )


def _is_a_row(entry: Entry, alike: Sequence[Entry]) -> bool:
    """Whether like jars are charged one by one: the second was asked about, and meant."""
    return isinstance(entry.fact, Charged) and len({one.recorded for one in alike}) > 1


def _is_the_same(entry: Entry, earlier: Entry, now: datetime) -> bool:
    return (
        type(entry.fact) is type(earlier.fact)
        and _happened_alike(entry, earlier, now)
        and _words(entry.fact) == _words(earlier.fact)
    )


def _happened_alike(entry: Entry, earlier: Entry, now: datetime) -> bool:
    """Whether both say the same time, or both were said of the moment they were said in."""
    if entry.when == earlier.when:
        return True
    is_exact = entry.when.precision == earlier.when.precision == "time"
    is_now = is_exact and abs(now - entry.when.start) < _AT_ONCE
    was_now = abs(earlier.recorded - earlier.when.start) < _AT_ONCE  # and the clock set back since
    return is_now and (was_now or timedelta() <= now - earlier.when.start <= SOON)


def _words(part: object) -> object:
    """What is said, without what is new in a second one of the same."""
    if isinstance(part, tuple):
        return tuple(map(_words, part))
    if isinstance(part, Struct):
        return [
            (one.name, _said(one.name, getattr(part, one.name)))
            for one in fields(part)
            if one.name not in _NEW_EACH_TIME
        ]
    return part


def _said(name: str, value: object) -> object:
    """A code counts as said only as far as the next one would begin alike."""
    if name == "code" and isinstance(value, str) and (code := _COUNTED_ON.fullmatch(value)):
        return code[1]
    return _words(value)
