"""What leaves the shelf, what is really on it, and what comes back."""

from collections.abc import Iterator

from tracker.core.facts.extracts import Counted, Discarded, Dispensed, Restored
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import (
    between,
    from_lots,
    jar_state,
    leaving,
    past_date,
    texts,
    volumes,
)
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When


def stock(
    before: Before,
    fact: Dispensed | Counted | Discarded | Restored,
    when: When,
    practice: Practice,
) -> Iterator[Finding]:
    """What is asked of giving out, counting, throwing out and taking that back."""
    thing = before.named(fact.about)
    match fact:
        case Dispensed():
            yield from texts.reference(thing.code, fact.reference, practice.references)
            if isinstance(thing, Thing) and thing.extract is None and thing.jar is not None:
                yield from leaving.whole(thing.jar, fact)
                return
            yield from between.stocked(thing, "dispensed")
            if isinstance(thing, Thing) and thing.extract is not None:
                yield from volumes.takes(thing, fact.volume_ml)
                yield from volumes.takes_all(thing, fact.volume_ml)
                yield from past_date.in_date(thing, when, practice)
        case Counted():
            yield from _counted(thing, fact)
        case Discarded():
            yield from _discarded(before, thing, fact, when)
        case Restored():
            yield from jar_state.has_discard(thing, fact.discard)
            yield from volumes.has_room_again(thing, fact.discard)


def _counted(thing: Thing | Lot, fact: Counted) -> Iterator[Finding]:
    """A count in the unit of the thing, and no more of it than there can be."""
    if isinstance(thing, Lot):
        yield from from_lots.countable(thing, fact)
        return
    yield from between.stocked(thing, "counted")
    if fact.volume_ml is None or fact.herb_g is not None:
        yield Finding("kind", thing.code, "it is counted in ml", "give the volume, such as 640 ml")
    elif thing.extract is not None:
        yield from volumes.countable(thing, fact.volume_ml)


def _discarded(
    before: Before, thing: Thing | Lot, fact: Discarded, when: When
) -> Iterator[Finding]:
    """Nothing is thrown out twice, and a jar only whole while its herb is in."""
    if isinstance(thing, Lot):
        yield from from_lots.discardable(before, thing, fact, when)
    elif thing.extract is not None or thing.jar is None:
        yield from volumes.takes(thing, fact.volume_ml)
    else:
        yield from jar_state.discarded_whole(thing.jar, fact.volume_ml)
