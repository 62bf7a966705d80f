"""Corrections and strikes: which entries are in force, and with which values."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

import msgspec
from msgspec.structs import fields, replace

from tracker.core.facts.amendments import Amendment, Corrected, SameAs, Struck
from tracker.core.facts.bounds import beyond_bounds
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.extracts import Diluted, MadeUp, Restored
from tracker.core.facts.jars import Charged, SteepedAgain, ToppedUp
from tracker.core.facts.ties import poured_out_of
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import CannotCorrect, NothingToAmend, SameGone
from tracker.core.values.times import When

# Fields of the line itself that a correction may name beside those of its data.
LINE_FIELDS = ("time", "precision", "subject")

Pouring = Charged | ToppedUp | SteepedAgain | MadeUp | Diluted


class Settled(msgspec.Struct, frozen=True):
    """The entries in force, in replay order, and the amendments that mean nothing."""

    entries: list[Entry]
    flags: tuple[Flag, ...] = ()


def settle(entries: Sequence[Entry]) -> Settled:
    """Apply every correction and strike; the amendments themselves drop out.

    A strike of a strike brings the event back; a correction may itself be corrected. An
    amendment whose event is not in `entries` (it may not have arrived yet) is flagged.
    """
    amending = [entry for entry in entries if isinstance(entry.fact, Amendment)]
    if not amending:
        return Settled(sorted(entries, key=replay_order))
    ids = {entry.id for entry in entries}
    odd: dict[Flag, None] = {}
    in_force = _in_force(amending, odd)
    for entry in in_force:
        if _target(entry) not in ids:
            odd[Flag(entry.id, NothingToAmend(entry.kind, _target(entry)))] = None
    # An amendment may have been aimed elsewhere by a correction of its own.
    by_target = _by_target(in_force)
    facts = (entry for entry in entries if not isinstance(entry.fact, Amendment))
    amended = (_amended(entry, by_target.get(entry.id, ()), odd) for entry in facts)
    told = [entry for entry in amended if entry is not None]
    same = [entry for entry in in_force if isinstance(entry.fact, SameAs)]
    kept = sorted(_made_one(told, same, odd) if same else told, key=replay_order)
    return Settled(kept, tuple(sorted(odd, key=lambda flag: (flag.event, repr(flag.misfit)))))


def _target(entry: Entry) -> str:
    assert isinstance(entry.fact, Amendment)
    return entry.fact.event


def _by_target(amending: Iterable[Entry]) -> dict[str, list[Entry]]:
    by_target: dict[str, list[Entry]] = defaultdict(list)
    for entry in sorted(amending, key=_written_order):
        by_target[_target(entry)].append(entry)
    return by_target


def _in_force(amending: list[Entry], odd: dict[Flag, None]) -> list[Entry]:
    """The amendments that are not struck, as their own amendments leave them.

    Each is settled after whatever amends it; where two amend each other, the one met second
    goes unheard.
    """
    by_target = _by_target(amending)
    settled: dict[str, Entry | None] = {}
    met: set[str] = set()
    for first in sorted(amending, key=_written_order):
        stack = [first]
        while stack:
            entry = stack[-1]
            above = [one for one in by_target.get(entry.id, ()) if one.id not in met]
            if entry.id not in met or above:
                met.add(entry.id)
                stack += [one for one in above if one.id != entry.id]
                if stack[-1] is not entry:
                    continue
            stack.pop()
            if entry.id not in settled:
                heard = [settled.get(one.id) for one in by_target.get(entry.id, ())]
                own = [one for one in heard if one is not None]
                settled[entry.id] = _amended(entry, own, odd)
    return [entry for entry in settled.values() if entry is not None]


def _amended(entry: Entry, amendments: Iterable[Entry], odd: dict[Flag, None]) -> Entry | None:
    """The entry with amendments in force applied in the order they were written.

    Returns None where it is struck. An amendment that means nothing goes to `odd`.
    """
    for one in amendments:
        if isinstance(one.fact, Struck):
            return None
        if isinstance(one.fact, Corrected):
            try:
                entry = with_values(entry, one.fact.set)
            except ValueError as reason:
                odd[Flag(one.id, CannotCorrect(entry.id, str(reason)))] = None
    return entry


def _made_one(told: list[Entry], same: list[Entry], odd: dict[Flag, None]) -> list[Entry]:
    """The entries without those that are the same as another, which takes what was theirs."""
    left = {entry.id: entry for entry in told}
    stands_for: dict[str, str] = {}
    for one in sorted(same, key=_written_order):
        assert isinstance(one.fact, SameAs)
        second, first = one.fact.event, one.fact.stands
        while first in stands_for:
            first = stands_for[first]
        if second not in left or first not in left or first == second:
            if second in left:
                odd[Flag(one.id, SameGone(second, first))] = None
            continue
        del left[second]
        stands_for[second] = first
    return [_aimed_at(entry, stands_for) for entry in left.values()]


def _aimed_at(entry: Entry, stands_for: dict[str, str]) -> Entry:
    """The entry about what stands, where it was about what does not."""
    fact = entry.fact
    about = getattr(fact, "about", None)
    if isinstance(fact, Restored) and fact.discard in stands_for:
        fact = replace(fact, discard=_last(fact.discard, stands_for))
    if about is not None and about.extract in stands_for:
        fact = replace(fact, about=replace(about, extract=_last(about.extract, stands_for)))
    if isinstance(fact, Pouring):
        fact = _poured_of_what_stands(fact, stands_for)
    return entry if fact is entry.fact else replace(entry, fact=fact)


def _poured_of_what_stands(fact: Pouring, stands_for: dict[str, str]) -> Pouring:
    if not any(of.extract in stands_for for of in poured_out_of(fact)):
        return fact
    pours = (
        one
        if one.of is None or one.of.extract is None
        else replace(one, of=replace(one.of, extract=_last(one.of.extract, stands_for)))
        for one in fact.pours
    )
    return replace(fact, pours=tuple(pours))


def _last(event: str, stands_for: dict[str, str]) -> str:
    while event in stands_for:
        event = stands_for[event]
    return event


def _written_order(entry: Entry) -> tuple[object, ...]:
    return (entry.recorded, entry.source, entry.sequence)


def with_values(entry: Entry, values: dict[str, object]) -> Entry:
    """The entry with other values in the named fields.

    Raises:
        ValueError: a field the fact does not have or that stays as it is, or a value of the
            wrong kind.
    """
    try:
        when, fact = entry.when, entry.fact
        if "time" in values:
            when = when._replace(start=msgspec.convert(values["time"], datetime))
        if "precision" in values:
            when = msgspec.convert((when.start, values["precision"]), When)
        data = {name: value for name, value in values.items() if name not in LINE_FIELDS}
        if data:
            known = msgspec.to_builtins(fact)
            names = {one.name for one in fields(fact)}  # what is not given is not in `known`
            if unknown := data.keys() - names | data.keys() & {"v"}:
                raise ValueError(f"it says no {', '.join(sorted(unknown))} that could be corrected")
            if "herb" in data and data["herb"] != known.get("herb"):
                known.pop("common", None)  # which was that of the other herb
            fact = msgspec.convert(known | data, type(fact))
    except msgspec.MsgspecError as reason:
        raise ValueError(str(reason)) from reason
    if beyond := beyond_bounds(when, entry.recorded, fact):
        raise ValueError(beyond)
    return replace(entry, when=when, subject=str(values.get("subject", entry.subject)), fact=fact)


def amendments(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Every amendment by the id of the event it names, in the order they were written."""
    return _by_target(_amending(entries))


def in_force(entries: Iterable[Entry]) -> set[str]:
    """The ids of the amendments that stand, struck ones left out."""
    return {one.id for one in _in_force([*_amending(entries)], {})}


def _amending(entries: Iterable[Entry]) -> Iterator[Entry]:
    return (entry for entry in entries if isinstance(entry.fact, Amendment))
