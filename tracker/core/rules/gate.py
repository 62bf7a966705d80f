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
from tracker.core.rules.checks import (
    between,
    days,
    found_jars,
    from_lots,
    harm,
    jar_state,
    leaving,
    looks,
    on_hold,
    past_date,
    room,
    stocktaking,
    texts,
    volumes,
    ways,
)
from tracker.core.rules.checks.poured import poured
from tracker.core.rules.verdict import Finding, Verdict
from tracker.core.shelf.extract import NOBODY
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
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
            "nothing in the book opens it at that time",
            "`stillroom history` shows what was recorded, and on which day",
        )


def _of_kind(  # noqa: C901 - an arm a kind
    before: Before, fact: AnyFact, when: When, practice: Practice
) -> Findings:
    """What each kind asks; mypy fails here when a new kind has no arm."""
    match fact:
        case Charged() | Found() | Split() | Joined() | Blended():
            return _opening(before, fact, when, practice)
        case ToppedUp() | HerbAdded() | DrawnOff() | Recharged() | SteepedAgain():
            return _steeping(before, fact, when, practice)
        case Pressed() | PressedAgain():
            return _steeping(before, fact, when, practice)
        case Filtered() | Settled() | MadeUp() | Diluted() | Bottled() | Refilled():
            return _working(before, fact, when, practice)
        case Dispensed() | Counted() | Discarded() | Restored():
            return stocktaking.stock(before, fact, when, practice)
        case Gathered() | BoughtHerb() | Bought() | Dried():
            return _bringing_in(before, fact, when)
        case Shaken():
            return between.shareable(before, [About(jar=jar) for jar in fact.jars], "shaken")
        case LookedAt() | Moved():
            return _jar_or_extract(before, fact, when, practice)
        case Held():
            return on_hold.may_hold(before.named(fact.about))
        case Released():
            return on_hold.may_release(before.named(fact.about))
        case Away():
            return _stay(fact)
        case Labelled():
            return jar_state.not_gone(before.named(fact.about))
        case Noted() | Later() | Recalled():
            return ()  # about whatever is there; the day is checked for all
        case Corrected() | Struck() | SameAs():
            return ()  # admitted as the life they would make: `amendment_gate`
        case _:
            assert_never(fact)


def _opening(
    before: Before,
    fact: Charged | Found | Split | Joined | Blended,
    when: When,
    practice: Practice,
) -> Iterator[Finding]:
    """What opens jars and blends: codes that are free, and what they are made from."""
    yield from texts.own_codes(codes_of(fact), before.is_taken)
    match fact:
        case Charged():
            yield from texts.herb(fact.herb, fact.code, before.is_taken)
            yield from texts.reference(fact.code, fact.belongs_to, practice.references)
            yield from harm.of_herb(fact, fact.code)
            yield from jar_state.fits(fact.least, fact.longest)
            yield from room.charged(fact)
            yield from ways.charged(fact)
            yield from poured(before, fact, when, practice)
        case Found():
            yield from texts.herb(fact.herb, fact.code, before.is_taken)
            yield from texts.reference(fact.code, fact.belongs_to, practice.references)
            yield from harm.of_herb(fact, fact.code)
            yield from found_jars.guessed(fact, when)
        case Split():
            yield from between.shareable(before, [fact.about], "split")
            if sum(part.share for part in fact.into) > 1 + 1e-9:
                yield Finding("amount", fact.into[0].code, "more than the whole", "see the shares")
            yield from room.split(fact, before.thing(fact.about))
        case Joined():
            yield from between.several(fact.parts, "One jar alone joins nothing", "name two jars")
            yield from between.shareable(before, things_of(fact), "joined")
            yield from room.joined(fact, before.things(things_of(fact)))
            yield from leaving.of_one(fact.code, list(before.things(things_of(fact))))
            yield from harm.poured_together(fact.code, before.things(things_of(fact)))
        case Blended():
            yield from between.blend(before, fact)
            for part in fact.parts:
                yield from past_date.in_date(before.named(part.about), when, practice)
            yield from harm.poured_together(fact.code, before.things(things_of(fact)))


def _steeping(
    before: Before,
    fact: ToppedUp | HerbAdded | DrawnOff | Recharged | SteepedAgain | Pressed | PressedAgain,
    when: When,
    practice: Practice,
) -> Iterator[Finding]:
    """What is done to herb and liquid in a jar."""
    thing = before.named(fact.about)
    if isinstance(thing, Lot) or thing.jar is None:
        if isinstance(thing, Thing) and isinstance(fact, Recharged):
            yield from jar_state.came_from_a_jar(thing)
        else:
            yield from jar_state.is_jar(thing, "worked on")
        return
    jar = thing.jar
    match fact:
        case ToppedUp():
            yield from jar_state.is_jar(thing, "topped up")
            yield from jar_state.steeps(jar, "topped up")
            yield from room.topped_up(jar, fact.pours)
            yield from poured(before, fact, when, practice)
        case HerbAdded():
            yield from jar_state.is_jar(thing, "given more herb")
            yield from jar_state.steeps(jar, "given more herb")
            yield from room.more_herb(jar, fact)
            yield from texts.herb(fact.herb, jar.code, before.is_taken)
            yield from harm.of_herb(fact, jar.code)
            yield from from_lots.used(before, fact, (), when)
        case DrawnOff():
            yield from jar_state.is_jar(thing, "drawn from")
            yield from jar_state.steeps(jar, "drawn from")
            yield from jar_state.new_letter(jar, fact.letter)
            there_ml = jar.contents.volume_ml
            yield from volumes.within(jar.code, fact.volume_ml, there_ml, "in the jar")
        case Recharged() | SteepedAgain():
            yield from _steeping_again(before, thing, jar, fact, when, practice)
        case Pressed():
            yield from jar_state.is_jar(thing, "pressed")
            yield from jar_state.steeps(jar, "pressed")
            yield from jar_state.new_letter(jar, fact.letter)
            yield from volumes.within_bound(jar, fact.volume_ml)
        case PressedAgain():
            yield from jar_state.is_extract(thing, "pressed into again")
            yield from jar_state.has_its_marc(thing)
            first_ml = thing.extract.pressed_ml if thing.extract is not None else 0.0
            yield from volumes.within_bound(jar, first_ml + fact.volume_ml)


def _steeping_again(
    before: Before,
    thing: Thing,
    jar: Jar,
    fact: Recharged | SteepedAgain,
    when: When,
    practice: Practice,
) -> Iterator[Finding]:
    """What begins a later steep: new herb in an old extract, or new menstruum on old marc."""
    yield from jar_state.fits(fact.least, fact.longest)
    match fact:
        case Recharged():
            yield from jar_state.is_extract(thing, "recharged")
            yield from jar_state.was_pressed(jar, "recharged")
            yield from volumes.takes(thing, fact.volume_ml)
            yield from past_date.explained(thing, when, practice, fact.past_date_why)
            yield from room.recharged(jar, fact, volumes.there(thing))
            yield from texts.herb(fact.herb, jar.code, before.is_taken)
            yield from harm.of_herb(fact, jar.code)
            yield from from_lots.used(before, fact, (), when)
        case SteepedAgain():
            yield from jar_state.is_jar(thing, "steeped again")
            yield from jar_state.was_pressed(jar, "steeped again")
            yield from past_date.explained(thing, when, practice, fact.past_date_why)
            yield from room.steeped_again(jar, fact)
            yield from ways.steeped_again(jar, fact)
            yield from poured(before, fact, when, practice)


def _working(
    before: Before,
    fact: Filtered | Settled | MadeUp | Diluted | Bottled | Refilled,
    when: When,
    practice: Practice,
) -> Iterator[Finding]:
    """What is done to an extract or a bottle."""
    thing = before.named(fact.about)
    if isinstance(fact, Refilled):
        yield from between.refill(before, fact)
        yield from past_date.in_date(before.named(fact.source.about), when, practice)
        into = None if isinstance(thing, Lot) else thing.made
        source = before.things((fact.source.about,))
        yield from harm.poured_together(thing.code, source, into)
        return
    yield from jar_state.is_extract(thing, fact.kind.replace("_", " "))
    if isinstance(thing, Lot) or thing.extract is None:
        return
    extract, code = thing.extract, thing.code
    if isinstance(fact, MadeUp | Diluted | Bottled):
        is_bottled = isinstance(fact, Bottled)
        yield from past_date.in_date(thing, when, practice, if_known=is_bottled)
    match fact:
        case Filtered() | Settled():
            there_ml = extract.volume_ml
            before_ml = there_ml if fact.before_ml is None else min(fact.before_ml, there_ml)
            yield from volumes.within(code, fact.volume_ml, before_ml, "in the extract")
        case MadeUp():
            yield from volumes.made_up(code, extract.volume_ml, fact.volume_ml)
            yield from volumes.mixes(code, extract.volume_ml, fact.pours, fact.volume_ml)
            yield from poured(before, fact, when, practice)
        case Diluted():
            yield from volumes.mixes(code, extract.volume_ml, fact.pours, fact.volume_ml)
            yield from poured(before, fact, when, practice)
        case Bottled():
            wanted_ml = sum(run.size_ml * run.count for run in fact.bottles)
            yield from volumes.within(code, wanted_ml, extract.volume_ml, "in the extract")
            yield from volumes.new_bottles(extract, code, fact.bottles)


def _bringing_in(
    before: Before, fact: Gathered | BoughtHerb | Bought | Dried, when: When
) -> Iterator[Finding]:
    """What is brought in."""
    yield from texts.lot_code(fact.code, before.is_taken)
    match fact:
        case Gathered() | BoughtHerb():
            yield from texts.herb(fact.herb, fact.code, before.is_taken)
            yield from harm.of_herb(fact, fact.code)
        case Dried():
            lot = before.named(fact.about)
            yield from from_lots.dryable(before, lot, fact, when)


def _jar_or_extract(
    before: Before, fact: LookedAt | Moved, when: When, practice: Practice
) -> Iterator[Finding]:
    thing = before.named(fact.about)
    if isinstance(fact, Moved) and fact.belongs_to != NOBODY:
        yield from texts.reference(thing.code, fact.belongs_to, practice.references)
    if isinstance(thing, Lot):
        done = "looked at" if isinstance(fact, LookedAt) else "moved"
        what = f"it is a lot, and jars and extracts are {done}"
        yield Finding("kind", thing.code, what, "write it down with `stillroom note`")
        return
    yield from leaving.is_here(thing, fact)
    yield from room.stands(thing, fact)
    if isinstance(fact, LookedAt):
        yield from looks.looked_at(thing, fact, when)


def _stay(fact: Away) -> Iterator[Finding]:
    if fact.last < fact.first:
        what = f"{fact.last} comes before {fact.first}"
        yield Finding("order", "the days away", what, "first day, then the last", is_misuse=True)
