"""From one thing into another: joined, blended, refilled."""

from collections import Counter
from collections.abc import Iterable, Iterator

from tracker.core.facts.extracts import Blended, Refilled
from tracker.core.facts.fields import About
from tracker.core.rules.before import Before
from tracker.core.rules.checks import jar_state, volumes
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, a_kind


def several(ids: Iterable[object], what: str, do: str) -> Iterator[Finding]:
    """Refuse fewer than two, or one twice."""
    counted = Counter(ids)
    if len(counted) < 2 or max(counted.values()) > 1:
        twice = "One of them is named twice" if len(counted) > 1 else what
        yield Finding("amount", "the parts", twice, do, is_misuse=True)


def shareable(before: Before, abouts: Iterable[About], done: str) -> Iterator[Finding]:
    """Refuse to do something to several jars where one is not a jar, or has no herb in it."""
    for about in abouts:
        thing = before.named(about)
        yield from jar_state.is_jar(thing, done)
        if isinstance(thing, Thing) and thing.jar is not None:
            yield from jar_state.steeps(thing.jar, done)


def blend(before: Before, fact: Blended) -> Iterator[Finding]:
    """Refuse parts that are not there, are on hold, or do not come to what was measured."""
    parts = [(before.named(part.about), part.volume_ml) for part in fact.parts]
    names = [part.about for part in fact.parts]
    yield from several(names, "One extract alone is not a blend", "name two or more")
    for thing, volume_ml in parts:
        yield from stocked(thing, "blended")
        if isinstance(thing, Thing):
            yield from volumes.takes(thing, volume_ml)
    whole_ml = sum(volume_ml for _, volume_ml in parts)
    yield from volumes.mixes(fact.code, whole_ml, (), fact.volume_ml)


def stocked(thing: Thing | Lot, done: str) -> Iterator[Finding]:
    """An extract or a bottle of one: what can be poured out."""
    if isinstance(thing, Lot) or thing.bottle is None:
        yield from jar_state.is_extract(thing, done)


def refill(before: Before, fact: Refilled) -> Iterator[Finding]:
    """Refuse to fill what is not a bottle, from itself, or beyond its size."""
    into, source = before.named(fact.about), before.named(fact.source.about)
    if isinstance(into, Lot) or into.bottle is None:
        what = f"it is {a_kind(into)}, and only a bottle can be refilled"
        yield Finding("kind", into.code, what, "name the bottle, such as CAOF-26-01A/1")
        return
    if fact.about == fact.source.about:
        what = "it cannot be filled from itself"
        yield Finding("kind", into.code, what, "say with --from what it is filled from")
        return
    yield from stocked(source, "poured from")
    yield from volumes.has_room(into, fact.source.volume_ml)
    if isinstance(source, Thing):
        yield from volumes.takes(source, fact.source.volume_ml)
