"""Which entries stand after corrections, strikes and `same`, in order: a second reading of them."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

import msgspec
from dateutil.relativedelta import relativedelta
from msgspec.structs import replace

from tracker.core.facts.amendments import Amendment, Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.values.times import When


def standing(entries: Iterable[Entry]) -> list[Entry]:
    """What happened, as it is now said to have, in the order it happened."""
    about = defaultdict(list)
    every = sorted(entries, key=_as_written)
    for entry in every:
        if isinstance(entry.fact, Amendment):
            about[entry.fact.event].append(entry)
    left = {one.id: found for one in every if (found := _read(one, about)) is not None}
    same = [one.fact for one in left.values() if isinstance(one.fact, SameAs)]
    happened = {key: one for key, one in left.items() if not isinstance(one.fact, Amendment)}
    return sorted(_as_one(happened, same), key=_as_happened)


def _read(entry: Entry, about: dict[str, list[Entry]]) -> Entry | None:
    """The entry with what was later said of it, or None where it was struck."""
    for one in about[entry.id]:
        said = _read(one, about)
        if said is None:
            continue
        if isinstance(said.fact, Struck):
            return None
        if isinstance(said.fact, Corrected):
            entry = corrected(entry, said.fact.set)
    return entry


def corrected(entry: Entry, values: dict[str, object]) -> Entry:
    """An entry with other values."""
    data = dict(values)
    start = data.pop("time", entry.when.start)
    if isinstance(start, str):
        start = datetime.fromisoformat(start)
    when = When(start, data.pop("precision", entry.when.precision))
    subject = data.pop("subject", entry.subject)
    fact = msgspec.convert(msgspec.to_builtins(entry.fact) | data, type(entry.fact))
    return replace(entry, when=when, subject=subject, fact=fact)


def _as_one(happened: dict[str, Entry], same: list[SameAs]) -> Iterable[Entry]:
    """Without the second record of a happening; what was about it is about the first."""
    stands = {}
    for one in same:
        first = _root(one.stands, stands)
        if one.event in happened and first in happened and first != one.event:
            del happened[one.event]
            stands[one.event] = first
    for entry in happened.values():
        fact = entry.fact
        if getattr(fact, "discard", None) in stands:
            fact = replace(fact, discard=_root(fact.discard, stands))
        about = getattr(fact, "about", None)
        if about is not None and about.extract in stands:
            fact = replace(fact, about=replace(about, extract=_root(about.extract, stands)))
        if any(one.of and one.of.extract in stands for one in getattr(fact, "pours", ())):
            fact = replace(fact, pours=tuple(_poured(one, stands) for one in fact.pours))
        yield replace(entry, fact=fact)


def _poured(pour, stands: dict[str, str]):
    if pour.of is None or pour.of.extract not in stands:
        return pour
    return replace(pour, of=replace(pour.of, extract=_root(pour.of.extract, stands)))


def _root(event: str, stands: dict[str, str]) -> str:
    while event in stands:
        event = stands[event]
    return event


def _as_written(entry: Entry):
    return entry.recorded, entry.source, entry.sequence


def _as_happened(entry: Entry):
    """Of a range the last moment it can have been, which is never after it was written down."""
    when = entry.when
    months = {"day": 0, "month": 1, "season": 3, "year": 12}.get(when.precision)
    last, resolution = when.start, relativedelta(microseconds=1)
    if months is not None:
        over = relativedelta(months=months) if months else relativedelta(days=1)
        last = max(last, min(last + over - resolution, entry.recorded))
    return last, *_as_written(entry)
