"""What the gate asks of what is done to herb and liquid in a jar."""

from collections.abc import Iterator

from tracker.core.facts.jars import DrawnOff, HerbAdded, Recharged, SteepedAgain, ToppedUp
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import (
    from_lots,
    harm,
    jar_state,
    past_date,
    room,
    texts,
    volumes,
    ways,
)
from tracker.core.rules.checks.poured import poured
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When


def steeping(
    before: Before,
    fact: ToppedUp | HerbAdded | DrawnOff | Recharged | SteepedAgain,
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
            yield from texts.part(fact.part, jar.code)
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
            yield from texts.part(fact.part, jar.code)
            yield from harm.of_herb(fact, jar.code)
            yield from from_lots.used(before, fact, (), when)
        case SteepedAgain():
            yield from jar_state.is_jar(thing, "steeped again")
            yield from jar_state.was_pressed(jar, "steeped again")
            yield from past_date.explained(thing, when, practice, fact.past_date_why)
            yield from room.steeped_again(jar, fact)
            yield from ways.steeped_again(jar, fact)
            yield from poured(before, fact, when, practice)
