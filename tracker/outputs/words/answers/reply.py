"""What is answered once something was recorded, from the values alone."""

from collections.abc import Iterable, Iterator, Sequence
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
from tracker.core.facts.fields import About
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
from tracker.core.values.day_words import Present
from tracker.outputs.words.answers.keeping_answers import keeping_lines
from tracker.outputs.words.answers.lid_answers import lid_lines
from tracker.outputs.words.answers.scene import Scene, Told

# What a herb, or spirit that burns, may come or leave with.
_WITH_CAUTIONS = (
    Charged | Found | HerbAdded | Recharged | Joined | Blended | Refilled
    | Gathered | BoughtHerb | ToppedUp | SteepedAgain | MadeUp | Diluted | Corrected | Struck
    | Dispensed
)  # fmt: skip


_OfJar = (
    Charged | ToppedUp | HerbAdded | DrawnOff | Recharged | SteepedAgain | Split | Joined | Found
)
_OfExtract = (
    Pressed | PressedAgain | Filtered | Settled | MadeUp | Diluted | Blended | Bottled
    | Refilled | Dispensed | Counted
)  # fmt: skip
_OfLot = Held | Released | Dried | Recalled | Gathered | Bought | BoughtHerb
_OfBook = Corrected | Struck | SameAs | Away
_OfAny = Shaken | LookedAt | Labelled | Moved | Discarded | Restored | Noted | Later


class Reply(msgspec.Struct, frozen=True):
    """An answer in words: the lines of it, what to look at again, and what to be careful of."""

    lines: tuple[str, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]


def reply(
    recorded: Recorded,
    practice: Practice,
    today: date,
    columns: int = 80,
    *,
    folds: bool = True,
) -> Reply:
    """What is answered once something was recorded.

    Args:
        recorded: what was, or would be, recorded.
        practice: the maker's rules.
        today: the day of the answer.
        columns: how wide a table in it may be.
        folds: whether what is alike of several things is said once.
    """
    present = Present(today.year, practice.hemisphere)
    told = [
        one
        for entry in recorded.entries
        if not isinstance(entry.fact, Unknown)
        for one in _told(Scene(recorded, entry, practice, today), entry.fact, columns)
    ]
    return Reply(
        (*_lines_of(told, folds=folds), *_meanwhile(recorded, present)),
        tuple(_warnings(recorded)),
        _cautions(recorded),
    )


def _lines_of(told: Sequence[Told], *, folds: bool) -> Iterable[str]:
    if len(told) < 2 or not folds:
        return [line for one in told for line in one.lines]
    from tracker.outputs.words.answers.folded import folded

    return folded(told)


def _told(scene: Scene, fact: AnyFact, columns: int) -> Iterator[Told]:
    """The answer to one fact; that of a shake jar by jar."""
    if isinstance(fact, Shaken):
        from tracker.outputs.words.answers.shake_answers import shaken

        yield from shaken(scene, fact)
        return
    lines = (
        *_lines(scene, fact, columns),
        *keeping_lines(scene, fact),
        *lid_lines(scene, fact),
    )
    yield scene.told(getattr(fact, "about", None) or About(jar=scene.entry.id), lines)


def _lines(scene: Scene, fact: AnyFact, columns: int) -> list[str]:
    """The answer to one fact; mypy fails here when a new kind has no arm.

    The words of a kind are loaded in its arm: a command records one kind, and there are dozens.
    """
    if isinstance(fact, _OfJar):
        from tracker.outputs.words.answers.jar_answers import jar_lines

        return jar_lines(scene, fact)
    if isinstance(fact, _OfExtract):
        return _extract_lines(scene, fact)
    if isinstance(fact, _OfLot):
        return _lot_lines(scene, fact, columns)
    if isinstance(fact, _OfBook):
        from tracker.outputs.words.answers import amendment_answers

        return amendment_answers.book_lines(scene, fact)
    return _plain_lines(scene, fact)


def _extract_lines(scene: Scene, fact: _OfExtract) -> list[str]:
    found = scene.recorded.more.get(scene.entry.id)
    if isinstance(fact, Counted) and isinstance(found, LotCounted):
        from tracker.outputs.words.answers.lot_answers import counted_line

        return [counted_line(scene, fact, found)]
    from tracker.outputs.words.answers.extract_answers import extract_lines

    return extract_lines(scene, fact)


def _lot_lines(scene: Scene, fact: _OfLot, columns: int) -> list[str]:
    from tracker.outputs.words.answers import lot_answers

    match fact:
        case Gathered() | Bought() | BoughtHerb():
            return [lot_answers.came_in_line(scene, fact)]
        case Held() | Released():
            return lot_answers.hold_lines(scene, fact)
        case Dried():
            return [lot_answers.dried_line(scene, fact)]
        case Recalled():
            return lot_answers.recall_lines(scene, fact, columns)
        case _:
            assert_never(fact)


def _plain_lines(scene: Scene, fact: _OfAny) -> list[str]:
    """What reads as it stands in the history, with the name of what it is about."""
    match fact:
        case Shaken():
            return []  # said jar by jar
        case LookedAt():
            from tracker.outputs.words.answers.look_answers import look_lines

            return look_lines(scene, fact)
        case Labelled():
            many = f", {fact.copies} copies" if fact.copies > 1 else ""
            return [f"{scene.named(fact.about)} labelled on {fact.sheet or 'paper'}{many}."]
        case Discarded():
            from tracker.outputs.words.answers.extract_answers import discarded_line

            return [discarded_line(scene, fact)]
        case Moved() | Restored() | Noted() | Later():
            return [f"{scene.named(fact.about)} {_said(fact)}."]
        case _:
            assert_never(fact)


def _said(fact: AnyFact) -> str:
    from tracker.outputs.words.fact_lines import said

    return said(fact)


def _meanwhile(recorded: Recorded, present: Present) -> Iterable[str]:
    if not recorded.meanwhile:
        return ()
    from tracker.outputs.words.answers.amendment_answers import meanwhile_lines

    return meanwhile_lines(recorded, present)


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
