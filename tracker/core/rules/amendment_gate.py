"""Whether a correction, a strike or a `same` may be recorded: as the life it would make.

The corrected fact passes the same gate in its own place. What no longer fits after it is named
by the record path; what would be left with nothing to stand on is asked about here.
"""

from collections.abc import Callable, Iterable, Iterator

import msgspec
from msgspec.structs import replace

from tracker.core.facts.amendments import Amendment, Corrected, SameAs, Struck
from tracker.core.facts.done_words import done_said
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Charged
from tracker.core.facts.kinds import Unknown
from tracker.core.practice.practice import Practice
from tracker.core.replay.in_force import in_force, settle
from tracker.core.replay.life import Life
from tracker.core.replay.replay import Lives
from tracker.core.rules.before import Before
from tracker.core.rules.checks import on_hold, past_date
from tracker.core.rules.consequences import hanging_on
from tracker.core.rules.gate import admit
from tracker.core.rules.verdict import Finding, Verdict
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import CannotCorrect

Surroundings = Callable[[Lives, Entry], Before]
InWords = Callable[[Flag], str]


class Amended(msgspec.Struct, frozen=True):
    """The verdict on an amendment, its root in both readings, and the life it makes."""

    verdict: Verdict
    root: Entry
    was: Entry | None
    now: Entry | None
    lives: Lives


def admit_amendment(
    life: Life,
    amendment: Entry,
    practice: Practice,
    surroundings: Surroundings,
    in_words: InWords,
) -> Amended:
    """Hold an amendment to the life it would make.

    Args:
        life: everything about the things it touches, as it stands.
        amendment: the entry that would be recorded; its event is among `life`'s.
        practice: the maker's rules.
        surroundings: what the corrected fact is held against, from the lives before it.
        in_words: a flag in words.
    """
    root = root_of(life, amendment)
    lines = list(life.entries.values())
    unamended = settle(lines)
    was = _standing(unamended.entries, root.id)
    settled = settle([*lines, amendment])
    now = _standing(settled.entries, root.id)
    lives = life.folded([*lines, amendment])
    groups: list[Iterable[Finding]] = []
    if isinstance(amendment.fact, SameAs):
        groups.append(_one_happening(life, amendment.fact))
    new = [flag for flag in settled.flags if flag not in unamended.flags]
    groups.append(_of_flags(new, amendment, in_words))
    groups.append(_asked(life, lives, amendment, unamended.entries, root, now))
    groups.append(on_hold.lifted(life.lives, lives, amendment.subject))
    groups.append(past_date.newly_weak(life.lives.batches, lives.batches, practice))
    groups.append(_to_no_effect(amendment, lines, was, now))
    if now is not None and now != was and not isinstance(now.fact, Unknown):
        if isinstance(now.fact, Amendment):
            return Amended(Verdict.of(*groups), root, was, now, lives)
        before = surroundings(life.before_among(settled.entries, now), now)
        found = admit(before, now.fact, now.when, practice).findings
        if _herb_of(was) == _herb_of(now):  # it was asked about when that was recorded
            found = tuple(one for one in found if one.rule != "harm")
        if isinstance(amendment.fact, Struck):  # what a strike brings back was in the book before
            found = tuple(replace(one, weight="question") for one in found)
        groups.append(found)
    return Amended(Verdict.of(*groups), root, was, now, lives)


def amended_by(life: Life, entries: Iterable[Entry]) -> dict[str, Entry]:
    """The entries that amendments name, and those that these amend in turn, by their ids."""
    found: dict[str, Entry] = {}
    todo = [entry.fact for entry in entries]
    while todo:
        fact = todo.pop()
        if not isinstance(fact, Amendment):
            continue
        named = (fact.event, fact.stands) if isinstance(fact, SameAs) else (fact.event,)
        for event in named:
            if event in life.entries and event not in found:
                found[event] = life.entries[event]
                todo.append(found[event].fact)
    return found


def root_of(life: Life, entry: Entry) -> Entry:
    """The event that an amendment, or an amendment of one, is about in the end."""
    seen = {entry.id}
    while isinstance(entry.fact, Corrected | Struck) and entry.fact.event not in seen:
        seen.add(entry.fact.event)
        if entry.fact.event not in life.entries:
            break
        entry = life.entries[entry.fact.event]
    if isinstance(entry.fact, SameAs):
        return life.entries.get(entry.fact.event, entry)
    return entry


def _herb_of(entry: Entry | None) -> tuple[object, ...] | None:
    """The herb of an event, its part and form; None where there is no such event."""
    if entry is None:
        return None
    return tuple(getattr(entry.fact, name, None) for name in ("herb", "part", "common", "form"))


def _standing(entries: list[Entry], event: str) -> Entry | None:
    return next((one for one in entries if one.id == event), None)


def _of_flags(flags: Iterable[Flag], amendment: Entry, in_words: InWords) -> Iterator[Finding]:
    """An amendment that would mean nothing, or leave another without a meaning, is refused."""
    for flag in flags:
        means_nothing = flag.event == amendment.id or isinstance(flag.misfit, CannotCorrect)
        yield Finding(
            "kind",
            amendment.subject,
            in_words(flag),
            "`stillroom history` has the numbers",
            "refusal" if means_nothing else "question",
        )


def _to_no_effect(
    amendment: Entry, lines: list[Entry], was: Entry | None, now: Entry | None
) -> Iterator[Finding]:
    """An amendment of what counts for nothing, or to what it says already, is refused."""
    if not isinstance(amendment.fact, Corrected | Struck):
        return
    standing = {one.id for one in settle(lines).entries} | in_force(lines)
    target = amendment.fact.event
    if target not in standing and any(one.id == target for one in lines):
        what = "that entry was taken back already, and does not count"
        do = "strike the entry that took it back, and it counts again"
        yield Finding("ended", amendment.subject, what, do)
    elif isinstance(amendment.fact, Corrected) and now == was:
        what = "that is what it says already"
        yield Finding("whole", amendment.subject, what, "give another value")


def _asked(
    life: Life,
    lives: Lives,
    amendment: Entry,
    standing: Iterable[Entry],
    root: Entry,
    now: Entry | None,
) -> Iterator[Finding]:
    """Taking out what opened a thing takes out all that came of it: that is asked about.

    Args:
        life: everything about the things it touches, as it stands.
        lives: those things as they would be.
        amendment: what would be recorded.
        standing: the events in force.
        root: the event it is about in the end.
        now: that event as it would be.
    """
    if now is not None or isinstance(amendment.fact, SameAs):
        return
    gone = [lot.code for lot in life.lives.lots.values() if lot.id not in lives.lots]
    for batch in life.lives.batches.values():
        left = lives.batches.get(batch.id)
        gone += [] if left is not None else [batch.code]
        gone += [
            batch.extract_code(one)
            for one in batch.extracts
            if left is None or left.extract(one.id) is None
        ]
    gone = sorted(dict.fromkeys(gone))
    if gone and hanging_on(root, standing):
        yield Finding(
            "whole",
            amendment.subject,
            f"that takes {on_hold.few(gone)} off the shelf, with all that was recorded about "
            f"{'it' if len(gone) == 1 else 'them'}, as if it had never been",
            "if it was thrown out, record that instead, with `stillroom discard`",
            "question",
        )


def _one_happening(life: Life, fact: SameAs) -> Iterator[Finding]:
    """Two records are of one happening only where they could be."""
    second, first = life.entries.get(fact.event), life.entries.get(fact.stands)
    if first is None or second is None:
        return
    if first.id == second.id:
        yield Finding("kind", first.subject, "that is one entry, named twice", "name two")
    elif isinstance(first.fact, Amendment) or isinstance(second.fact, Amendment):
        what = "a correction or a strike is not something that happened to a jar"
        yield Finding("kind", first.subject, what, "take it back with `stillroom strike`")
    elif first.kind != second.kind:
        both = f"one is {done_said(first.kind)}, the other {done_said(second.kind)}"
        what = f"{both}: that is not the same"
        yield Finding("kind", first.subject, what, "name two entries that say the same")
    elif isinstance(first.fact, Charged) or first.jars != second.jars:
        what = "the two are about different jars"
        do = "if it is one jar, strike what was recorded about the other"
        yield Finding("kind", second.subject, what, do)
