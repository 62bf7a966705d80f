"""What the gate asks of what opens jars and blends."""

from collections.abc import Iterator

from tracker.core.facts.extracts import Blended
from tracker.core.facts.jars import Charged, Found, Joined, Split
from tracker.core.facts.kinds import codes_of, things_of
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import (
    between,
    found_jars,
    harm,
    jar_state,
    leaving,
    past_date,
    room,
    texts,
    ways,
)
from tracker.core.rules.checks.poured import poured
from tracker.core.rules.verdict import Finding
from tracker.core.values.times import When


def opening(
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
            yield from texts.part(fact.part, fact.code)
            yield from texts.reference(fact.code, fact.belongs_to, practice.references)
            yield from harm.of_herb(fact, fact.code)
            yield from jar_state.fits(fact.least, fact.longest)
            yield from room.charged(fact)
            yield from ways.charged(fact)
            yield from poured(before, fact, when, practice)
        case Found():
            yield from texts.herb(fact.herb, fact.code, before.is_taken)
            yield from texts.part(fact.part, fact.code)
            yield from texts.reference(fact.code, fact.belongs_to, practice.references)
            yield from harm.of_herb(fact, fact.code)
            yield from found_jars.guessed(fact, when)
        case Split():
            yield from between.shareable(before, [fact.about], "split")
            if sum(part.share for part in fact.into) > 1 + 1e-9:
                what = "the shares come to more than the whole"
                yield Finding("amount", fact.into[0].code, what, "check the shares")
            yield from room.split(fact, before.thing(fact.about))
        case Joined():
            yield from between.several(
                fact.parts, "One jar alone joins nothing", "name two or more"
            )
            yield from between.shareable(before, things_of(fact), "joined")
            yield from room.joined(fact, before.things(things_of(fact)))
            yield from leaving.of_one(fact.code, list(before.things(things_of(fact))))
            yield from harm.poured_together(fact.code, before.things(things_of(fact)))
        case Blended():
            yield from between.blend(before, fact)
            for part in fact.parts:
                yield from past_date.in_date(before.named(part.about), when, practice)
            yield from harm.poured_together(fact.code, before.things(things_of(fact)))
