"""What is answered once something was recorded, from the values alone."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import assert_never

import msgspec

from tracker.core.facts.amendments import (
    Away,
    Corrected,
    Held,
    Labelled,
    Later,
    Noted,
    Released,
    SameAs,
    Struck,
)
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    PressedAgain,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.jars import (
    Charged,
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    Split,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import AnyFact, Unknown
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.practice.practice import Practice
from tracker.core.rules.recorded import LotCounted, Recorded
from tracker.outputs.words.answers.keeping_answers import keeping_lines
from tracker.outputs.words.answers.lid_answers import lid_lines
from tracker.outputs.words.answers.scene import Scene

# What a herb, or spirit that burns, may come or leave with.
_WITH_CAUTIONS = (
    Charged | Found | HerbAdded | Recharged | Joined | Blended | Refilled
    | Gathered | BoughtHerb | ToppedUp | SteepedAgain | MadeUp | Diluted | Corrected | Struck
    | Dispensed
)  # fmt: skip


class Reply(msgspec.Struct, frozen=True):
    """An answer in words: the lines of it, what to look at again, and what to be careful of."""

    lines: tuple[str, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]


def reply(recorded: Recorded, practice: Practice, today: date, columns: int = 80) -> Reply:
    """What is answered once something was recorded.

    Args:
        recorded: what was, or would be, recorded.
        practice: the maker's rules.
        today: the day of the answer.
        columns: how wide a table in it may be.
    """
    lines = [
        line
        for entry in recorded.entries
        if not isinstance(entry.fact, Unknown)
        for line in _all_lines(Scene(recorded, entry, practice, today), entry.fact, columns)
    ]
    return Reply(
        (*lines, *_meanwhile(recorded)),
        tuple(_warnings(recorded)),
        _cautions(recorded),
    )


def _all_lines(scene: Scene, fact: AnyFact, columns: int) -> list[str]:
    """The answer to one fact, whether what it made keeps, and what it leaves in doubt of lids."""
    return [
        *_lines(scene, fact, columns),
        *keeping_lines(scene, fact),
        *lid_lines(scene, fact),
    ]


def _lines(scene: Scene, fact: AnyFact, columns: int) -> list[str]:  # noqa: C901 - an arm a kind
    """The answer to one fact; mypy fails here when a new kind has no arm.

    The words of a kind are loaded in its arm: a command records one kind, and there are dozens.
    """
    match fact:
        case Shaken():
            from tracker.outputs.words.answers.shake_answers import shaken_lines

            return shaken_lines(scene, fact)
        case Charged() | ToppedUp() | HerbAdded() | DrawnOff() | Recharged():
            from tracker.outputs.words.answers.jar_answers import jar_lines

            return jar_lines(scene, fact)
        case SteepedAgain() | Split() | Joined() | Found():
            from tracker.outputs.words.answers.jar_answers import jar_lines

            return jar_lines(scene, fact)
        case Pressed() | PressedAgain() | Filtered() | Settled() | MadeUp() | Diluted() | Blended():
            from tracker.outputs.words.answers.extract_answers import extract_lines

            return extract_lines(scene, fact)
        case Counted() if isinstance(found := scene.recorded.more.get(scene.entry.id), LotCounted):
            from tracker.outputs.words.answers.lot_answers import counted_line

            return [counted_line(scene, fact, found)]
        case Bottled() | Refilled() | Dispensed() | Counted():
            from tracker.outputs.words.answers.extract_answers import extract_lines

            return extract_lines(scene, fact)
        case Held() | Released():
            from tracker.outputs.words.answers.lot_answers import hold_lines

            return hold_lines(scene, fact)
        case Dried():
            from tracker.outputs.words.answers.lot_answers import dried_line

            return [dried_line(scene, fact)]
        case Recalled():
            from tracker.outputs.words.answers.lot_answers import recall_lines

            return recall_lines(scene, fact, columns)
        case Corrected() | Struck() | SameAs():
            from tracker.outputs.words.answers.amendment_answers import amendment_lines

            return amendment_lines(scene, fact)
        case Away():
            from tracker.outputs.words.answers.amendment_answers import away_lines

            return away_lines(scene, fact)
        case Labelled():
            many = f", {fact.copies} copies" if fact.copies > 1 else ""
            return [f"{scene.named(fact.about)} labelled on {fact.sheet or 'paper'}{many}."]
        case Gathered() | Bought() | BoughtHerb():
            return [f"{scene.entry.subject} {_said(fact)}."]
        case LookedAt():
            from tracker.outputs.words.answers.look_answers import look_lines

            return look_lines(scene, fact)
        case Moved() | Discarded() | Restored() | Noted() | Later():
            return [f"{scene.named(fact.about)} {_said(fact)}."]
        case _:
            assert_never(fact)


def _said(fact: AnyFact) -> str:
    from tracker.outputs.words.fact_lines import said

    return said(fact)


def _meanwhile(recorded: Recorded) -> Iterable[str]:
    if not recorded.meanwhile:
        return ()
    from tracker.outputs.words.answers.amendment_answers import meanwhile_lines

    return meanwhile_lines(recorded)


def _warnings(recorded: Recorded) -> Iterator[str]:
    """What the gate warned of, and what fits no longer."""
    for one in recorded.findings:
        if one.weight == "warning":
            yield f"{one.code}: {one.what}" if one.code else one.what
    if not recorded.misfits:
        return
    from tracker.outputs.words.flags import flag_text

    for flag in recorded.misfits:
        yield f"no longer fits: {flag_text(flag)}"


def _cautions(recorded: Recorded) -> tuple[str, ...]:
    """What to be careful of; the tables of plants are read only where something went in or out."""
    if not any(isinstance(one.fact, _WITH_CAUTIONS) for one in recorded.entries):
        return ()
    from tracker.outputs.words.answers.caution_answers import caution_remarks

    return tuple(caution_remarks(recorded))
