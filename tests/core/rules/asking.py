"""The gate, asked as the record path asks it, about books that a test makes up."""

from collections.abc import Collection, Sequence
from datetime import UTC, datetime

from tests.lives import KITCHEN, on
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.lot_balance import left
from tracker.core.replay.life import Life
from tracker.core.replay.replay import Lives
from tracker.core.rules.amendment_gate import Amended, admit_amendment
from tracker.core.rules.before import Before
from tracker.core.rules.gate import admit
from tracker.core.rules.verdict import Verdict
from tracker.core.shelf.part import ShelfPart
from tracker.core.values.times import When
from tracker.outputs.words.flags import flag_text

NOW = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)

Said = tuple[str, str, str]


def before(lives: Lives, *, now: datetime = NOW, taken: Collection[str] = ()) -> Before:
    """What a fact is held against, where these codes are taken."""
    batches, lots = lives.batches, lives.lots
    return Before(
        ShelfPart(batches, lots),
        left={lot.id: left(lot, batches.values()) for lot in lots.values()},
        is_taken=lambda code: code.upper() in taken,
        now=now,
    )


def life_of(entries: Sequence[Entry]) -> Life:
    """The life of everything in these entries."""
    life = Life()
    life.load(entries, {})
    return life


def next_entry(entries: Sequence[Entry], fact: AnyFact, when: When | str) -> Entry:
    """A fact as the line it would be after these."""
    moment = on(when) if isinstance(when, str) else when
    return Entry("next-0001", KITCHEN, len(entries) + 1, "CODE", moment, NOW, fact)


def verdict(
    entries: Sequence[Entry],
    fact: AnyFact,
    when: When | str = "2025-06-10",
    *,
    practice: Practice | None = None,
    now: datetime = NOW,
    taken: Collection[str] = (),
) -> Verdict:
    """What the gate says of one more fact after these entries."""
    entry = next_entry(entries, fact, when)
    lives = life_of(entries).before(entry)
    return admit(before(lives, now=now, taken=taken), fact, entry.when, practice or Practice())


def said(of: Verdict) -> set[Said]:
    """Each finding as its rule, the code it is about and its weight."""
    return {(one.rule, one.code, one.weight) for one in of.findings}


def misuses(of: Verdict) -> set[bool]:
    """Whether each refusal is of how it was said (exit code 2) and not of what happened."""
    return {one.is_misuse for one in of.refusals}


def amended(
    entries: Sequence[Entry],
    fact: AnyFact,
    *,
    practice: Practice | None = None,
    taken: Collection[str] = (),
) -> Amended:
    """What the gate says of an amendment after these entries, and the life it makes."""
    amendment = next_entry(entries, fact, on("2026-01-01"))
    return admit_amendment(
        life_of(entries),
        amendment,
        practice or Practice(),
        lambda lives, _: before(lives, taken=taken),
        flag_text,
    )
