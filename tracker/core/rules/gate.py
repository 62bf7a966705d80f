"""Whether a fact may be recorded next. Pure, and the only place that says no.

Stricter than replay on purpose: a slip is caught while the person is still at the scales. What
was once recorded is replayed whatever this says today.
"""

from collections.abc import Iterable, Iterator
from itertools import chain
from typing import assert_never

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
from tracker.core.facts.kinds import AnyFact, codes_of, things_of
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import days, on_hold, texts
from tracker.core.rules.verdict import Finding, Verdict
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When

Findings = Iterable[Finding]


def admit(before: Before, fact: AnyFact, when: When, practice: Practice) -> Verdict:
    """Refusals, questions and warnings about one fact, before anything is written.

    Args:
        before: the things the fact names, as they stood just before `when`.
        fact: what would be recorded.
        when: when it happened.
        practice: the maker's rules.
    """
    named = _named(fact)
    missing = [about for about in named if before.thing(about) is None]
    if missing:
        return Verdict.of(_nothing_there(missing))
    things = list(before.things(named))
    return Verdict.of(
        days.has_come(before, things[0].code if things else _code(fact), when),
        chain.from_iterable(days.not_before(one, when) for one in things),
        on_hold.stops(before, fact, things, when),
        texts.letters(fact),
        _of_kind(before, fact, when, practice),
    )


def _named(fact: AnyFact) -> tuple[About, ...]:
    """Everything that has to be on the shelf for the fact to mean anything."""
    if isinstance(fact, Shaken):
        return tuple(About(jar=jar) for jar in fact.jars)
    return things_of(fact)


def _code(fact: AnyFact) -> str:
    return next(iter(codes_of(fact)), "the day")


def _nothing_there(missing: Iterable[About]) -> Findings:
    for about in missing:
        what = "bottle" if about.bottle else "extract" if about.extract else "jar or lot"
        yield Finding(
            "thing",
            f"the {what}",
            "the book does not have it at that time",
            "`stillroom history` shows what was recorded, and on which day",
        )


def _of_kind(  # noqa: C901 - an arm a kind
    before: Before, fact: AnyFact, when: When, practice: Practice
) -> Findings:
    """What each kind asks; mypy fails here when a new kind has no arm.

    The checks of a kind are loaded in its arm: a command records one kind, and there are dozens.
    """
    match fact:
        case Charged() | Found() | Split() | Joined() | Blended():
            from tracker.core.rules.by_kind.opening import opening

            return opening(before, fact, when, practice)
        case ToppedUp() | HerbAdded() | DrawnOff() | Recharged() | SteepedAgain():
            from tracker.core.rules.by_kind.steeping import steeping

            return steeping(before, fact, when, practice)
        case Pressed() | PressedAgain():
            from tracker.core.rules.by_kind.pressing import pressing

            return pressing(before, fact)
        case Filtered() | Settled() | MadeUp() | Diluted() | Bottled() | Refilled():
            from tracker.core.rules.by_kind.working import working

            return working(before, fact, when, practice)
        case Dispensed() | Counted() | Discarded() | Restored():
            from tracker.core.rules.checks.stocktaking import stock

            return stock(before, fact, when, practice)
        case Gathered() | BoughtHerb() | Bought() | Dried():
            from tracker.core.rules.by_kind.bringing_in import brought_in

            return brought_in(before, fact, when)
        case Shaken():
            from tracker.core.rules.checks.between import shareable

            return shareable(before, [About(jar=jar) for jar in fact.jars], "shaken")
        case LookedAt() | Moved():
            from tracker.core.rules.by_kind.seen_or_moved import seen_or_moved

            return seen_or_moved(before, fact, when, practice)
        case Held():
            return on_hold.may_hold(before.named(fact.about))
        case Released():
            return on_hold.may_release(before.named(fact.about))
        case Away():
            return _stay(fact)
        case Labelled():
            from tracker.core.rules.checks.jar_state import not_gone

            return not_gone(before.named(fact.about))
        case Noted() | Later() | Recalled():
            return ()  # about whatever is there; the day is checked for all
        case Corrected() | Struck() | SameAs():
            return ()  # admitted as the life they would make: `amendment_gate`
        case _:
            assert_never(fact)


def _stay(fact: Away) -> Iterator[Finding]:
    if fact.last < fact.first:
        what = f"{short_day(fact.last)} is before {short_day(fact.first)}"
        do = "give the first day, then the last"
        yield Finding("order", "the days away", what, do, is_misuse=True)
