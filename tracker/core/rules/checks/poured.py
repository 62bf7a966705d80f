"""Pours: out of lots, and out of extracts and bottles that stand on the shelf."""

from collections import defaultdict
from collections.abc import Iterator

from tracker.core.facts.extracts import Diluted, MadeUp
from tracker.core.facts.fields import About, HerbFact, Pour
from tracker.core.facts.jars import Charged, SteepedAgain, ToppedUp
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import between, from_lots, harm, jar_state, past_date, volumes
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import Contents, Herb
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When

Pouring = Charged | ToppedUp | SteepedAgain | MadeUp | Diluted


def poured(before: Before, fact: Pouring, when: When, practice: Practice) -> Iterator[Finding]:
    """Whether all that a fact pours in can be had where it says it came from."""
    herb = fact if isinstance(fact, HerbFact) else None
    yield from from_lots.used(before, herb, fact.pours, when)
    into = None if isinstance(fact, Charged) else fact.about
    taken: defaultdict[About, float] = defaultdict(float)
    for pour in fact.pours:
        yield from _says_one_thing(pour)
        if pour.of is not None:
            taken[pour.of] += pour.volume_ml
    code, there = _into(before, fact)
    for about, volume_ml in taken.items():
        yield from _out_of(before.named(about), about == into, volume_ml, when, practice)
        yield from harm.poured_together(code, [before.named(about)], there)


def _into(before: Before, fact: Pouring) -> tuple[str, Contents]:
    """What the pours go into, by its code, and what is in there with the herb of a charge."""
    if isinstance(fact, Charged):
        return fact.code, Contents((Herb("", fact.herb, fact.form, part=fact.part),))
    thing = before.named(fact.about)
    return thing.code, Contents() if isinstance(thing, Lot) else thing.made


def _says_one_thing(pour: Pour) -> Iterator[Finding]:
    """Refuse an extract that comes out of nothing, or that is a liquid of a lot as well."""
    name = pour.name or pour.liquid
    if (pour.liquid == "extract") != (pour.of is not None):
        what = "a pour of an extract names the code it comes from, and no other pour does"
        yield Finding("kind", name, what, 'write the pour like "200 ml CAOF-26-01A"')
    elif pour.of is not None and (pour.lot is not None or pour.paid is not None):
        what = "what an extract cost is in the book already"
        yield Finding("kind", name, what, "leave out the lot and what was paid")


def _out_of(
    thing: Thing | Lot, is_itself: bool, volume_ml: float, when: When, practice: Practice
) -> Iterator[Finding]:
    """Refuse what cannot be poured out, ask about what is past its day."""
    if is_itself:
        what = "it cannot be poured into itself"
        yield Finding("kind", thing.code, what, "name another extract, or leave that pour out")
        return
    if isinstance(thing, Thing) and thing.extract is None:
        yield from jar_state.must_come_off(thing)
        return
    yield from between.stocked(thing, "poured out")
    if isinstance(thing, Lot) or thing.extract is None:
        return
    yield from volumes.takes(thing, volume_ml)
    yield from past_date.in_date(thing, when, practice)
