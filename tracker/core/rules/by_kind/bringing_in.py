"""What the gate asks of what is brought in."""

from collections.abc import Iterator

from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered
from tracker.core.rules.before import Before
from tracker.core.rules.checks import from_lots, harm, texts
from tracker.core.rules.verdict import Finding
from tracker.core.values.times import When


def brought_in(
    before: Before, fact: Gathered | BoughtHerb | Bought | Dried, when: When
) -> Iterator[Finding]:
    """What is brought in."""
    yield from texts.lot_code(fact.code, before.is_taken)
    match fact:
        case Gathered() | BoughtHerb():
            yield from texts.herb(fact.herb, fact.code, before.is_taken)
            yield from texts.part(fact.part, fact.code)
            yield from harm.of_herb(fact, fact.code)
        case Dried():
            lot = before.named(fact.about)
            yield from from_lots.dryable(before, lot, fact, when)
