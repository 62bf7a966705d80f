"""What the gate asks of a jar or extract that is looked at or moved."""

from collections.abc import Iterator

from tracker.core.facts.jars import LookedAt, Moved
from tracker.core.practice.practice import Practice
from tracker.core.rules.before import Before
from tracker.core.rules.checks import leaving, looks, room, texts
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.extract import NOBODY
from tracker.core.shelf.lot import Lot
from tracker.core.values.times import When


def seen_or_moved(
    before: Before, fact: LookedAt | Moved, when: When, practice: Practice
) -> Iterator[Finding]:
    """What is seen of a thing, or where it stands now."""
    thing = before.named(fact.about)
    if isinstance(fact, Moved) and fact.belongs_to != NOBODY:
        yield from texts.reference(thing.code, fact.belongs_to, practice.references)
    if isinstance(thing, Lot):
        done = "looked at" if isinstance(fact, LookedAt) else "moved"
        what = f"it is a lot, and jars and extracts are {done}"
        yield Finding("kind", thing.code, what, "write it down with `stillroom note`")
        return
    yield from leaving.is_here(thing, fact)
    yield from room.stands(thing, fact)
    if isinstance(fact, LookedAt):
        yield from looks.looked_at(thing, fact, when)
