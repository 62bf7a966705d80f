"""What was seen at a look, and whether what is made of it is meant."""

from collections.abc import Iterator

from tracker.core.facts.jars import LookedAt
from tracker.core.reckoning.signs import spoiling
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.thing import Thing
from tracker.core.values.command_words import command
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When


def looked_at(thing: Thing, fact: LookedAt, when: When) -> Iterator[Finding]:
    """Ask where a sign of spoilage is called fine, and where a look lifts what another held."""
    yield from _again(thing, fact, when)
    seen = spoiling(fact.signs)
    if seen and fact.verdict == "fine":
        yield Finding(
            "sign",
            thing.code,
            f"{' and '.join(seen)} was found, and the verdict is fine",
            "leave --verdict out, and it is held until you release it",
            "question",
        )
    if fact.verdict != "hold":
        yield from _lifts(thing, fact)


def _again(thing: Thing, fact: LookedAt, when: When) -> Iterator[Finding]:
    if fact.again_on is not None and fact.again_on < when.earliest:
        yield Finding(
            "order",
            thing.code,
            f"{short_day(fact.again_on)} is before the look itself, on {when}",
            "give a later day, or a time such as 3d",
            is_misuse=True,
        )


def _lifts(thing: Thing, fact: LookedAt) -> Iterator[Finding]:
    """A later look lifts what a look held: that is said, and of one bottle for all it is asked."""
    hold = thing.held_by_look
    if hold is None or fact.lifts not in (None, hold.event):
        return
    code = thing.code if thing.extract is None else thing.batch.extract_code(thing.extract)
    on = f"the hold on {code} since {hold.on}: {hold.why or 'a look'}"
    if thing.bottle is not None:
        what = f"a look at one bottle lifts {on}"
        do = f"look at the whole of it, or hold it: {command('look', code)}"
        yield Finding("hold", thing.code, what, do, "question")
    else:
        yield Finding("hold", thing.code, f"this look lifts {on}", weight="warning")
