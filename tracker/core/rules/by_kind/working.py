"""What the gate asks of what is done to an extract or a bottle."""

from collections.abc import Iterator

from tracker.core.facts.done_words import done_said
from tracker.core.facts.extracts import Bottled, Diluted, Filtered, MadeUp, Refilled, Settled
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import between, harm, jar_state, past_date, volumes
from tracker.core.rules.checks.poured import poured
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.lot import Lot
from tracker.core.values.times import When


def working(
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
    yield from jar_state.is_extract(thing, done_said(fact.kind))
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
