"""What is answered once something was recorded, from the values alone."""

from collections.abc import Iterator
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
from tracker.core.reckoning.recall import Reach
from tracker.core.rules.consequences import is_remark
from tracker.core.rules.recorded import LotCounted, Recorded
from tracker.outputs.answer_fields import Answer, day, rounded
from tracker.outputs.terminal import trace_lines
from tracker.outputs.words.answers.amendment_answers import (
    amendment_lines,
    away_lines,
    meanwhile_lines,
)
from tracker.outputs.words.answers.extract_answers import extract_line
from tracker.outputs.words.answers.jar_answers import jar_lines
from tracker.outputs.words.answers.keeping_answers import keeping_lines
from tracker.outputs.words.answers.look_answers import lid_lines, look_lines
from tracker.outputs.words.answers.lot_answers import (
    counted_line,
    dried_line,
    hold_lines,
    recall_lines,
)
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.flags import flag_text

# What a herb, or spirit that burns, may come with.
_HERB_MAY_COME = (
    Charged | Found | HerbAdded | Recharged | Joined | Blended | Refilled
    | Gathered | BoughtHerb | ToppedUp | SteepedAgain | MadeUp | Diluted | Corrected | Struck
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
        (*lines, *meanwhile_lines(recorded)),
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
    """The answer to one fact; mypy fails here when a new kind has no arm."""
    match fact:
        case Charged() | Shaken() | ToppedUp() | HerbAdded() | DrawnOff() | Recharged():
            return jar_lines(scene, fact)
        case SteepedAgain() | Split() | Joined() | Found():
            return jar_lines(scene, fact)
        case Pressed() | PressedAgain() | Filtered() | Settled() | MadeUp() | Diluted() | Blended():
            return [extract_line(scene, fact)]
        case Counted() if isinstance(found := scene.recorded.more.get(scene.entry.id), LotCounted):
            return [counted_line(scene, fact, found)]
        case Bottled() | Refilled() | Dispensed() | Counted():
            return [extract_line(scene, fact)]
        case Held() | Released():
            return hold_lines(scene, fact)
        case Dried():
            return [dried_line(scene, fact)]
        case Recalled():
            return recall_lines(scene, fact, columns)
        case Corrected() | Struck() | SameAs():
            return amendment_lines(scene, fact)
        case Away():
            return away_lines(scene, fact)
        case Labelled():
            many = f", {fact.copies} copies" if fact.copies > 1 else ""
            return [f"{scene.code(fact.about)} labelled on {fact.sheet or 'paper'}{many}."]
        case Gathered() | Bought() | BoughtHerb() | Later():
            return [f"{scene.entry.subject} {said(fact)}."]
        case LookedAt():
            return look_lines(scene, fact)
        case Moved() | Discarded() | Restored() | Noted():
            return [f"{scene.code(fact.about)} {said(fact)}."]
        case _:
            assert_never(fact)


def _warnings(recorded: Recorded) -> Iterator[str]:
    """What the gate warned of, and what fits no longer."""
    for one in recorded.findings:
        if one.weight == "warning":
            yield f"{one.code}: {one.what}" if one.code else one.what
    for flag in recorded.misfits:
        yield f"no longer fits: {flag_text(flag)}"


def _cautions(recorded: Recorded) -> tuple[str, ...]:
    """What to be careful of; the tables of plants are read only where something went in."""
    if not any(isinstance(one.fact, _HERB_MAY_COME) for one in recorded.entries):
        return ()
    from tracker.outputs.words.answers.caution_answers import caution_remarks

    return tuple(caution_remarks(recorded))


def more_fields(recorded: Recorded) -> Answer:
    """What the answer holds besides the entries and their words, as fields."""
    found: Answer = {}
    for more in recorded.more.values():
        if isinstance(more, Reach):
            # One answer for all the lots of a supplier's number; each list names its things.
            found["on_hold"] = [*_list(found, "on_hold"), *trace_lines.here_answers(more.here)]
            found["left"] = [*_list(found, "left"), *trace_lines.left_answers(more.left)]
            found["balance"] = [*_list(found, "balance"), trace_lines.balance_answer(more)]
        if isinstance(more, LotCounted):
            found |= {
                "unaccounted": rounded(more.missing),
                "left": rounded(more.left),
                "unit": more.unit,
            }
    facts = [one.fact for one in recorded.entries]
    if any(isinstance(one, Corrected | Struck) and not is_remark(one) for one in facts):
        found["meanwhile"] = [
            {
                "id": one.id,
                "number": recorded.names[one.id],
                "kind": one.kind,
                "code": one.subject,
                "on": day(one.when),
                "recorded": one.recorded,
                "said": said(one.fact),
            }
            for one in recorded.meanwhile
        ]
    return found


def _list(found: Answer, name: str) -> list[object]:
    known = found.get(name, [])
    assert isinstance(known, list)
    return known
