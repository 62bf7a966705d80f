"""What the gate asks of a pressing."""

from collections.abc import Iterator

from tracker.core.facts.extracts import Pressed, PressedAgain
from tracker.core.rules.before import Before
from tracker.core.rules.checks import jar_state, volumes
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.lot import Lot


def pressing(before: Before, fact: Pressed | PressedAgain) -> Iterator[Finding]:
    """What is pressed out of a jar, the first time or once more."""
    thing = before.named(fact.about)
    if isinstance(thing, Lot) or thing.jar is None:
        yield from jar_state.is_jar(thing, "worked on")
        return
    jar = thing.jar
    match fact:
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
