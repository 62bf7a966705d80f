"""Whether what is guessed of a found jar can be."""

from collections.abc import Iterator

from tracker.core.facts.jars import Found
from tracker.core.rules.checks import jar_state
from tracker.core.rules.verdict import Finding
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When


def guessed(fact: Found, when: When) -> Iterator[Finding]:
    """Refuse a charge after the jar was found, and a longest time that is over too early."""
    yield from jar_state.fits(fact.least, fact.longest)
    if fact.charged_from is not None and fact.charged_from > when.latest:
        yield Finding(
            "date",
            fact.code,
            f"It was found on {when}, and cannot have been charged on "
            f"{short_day(fact.charged_from)} or later",
            "guess an earlier day with --charged, or leave it out",
            is_misuse=True,
        )
