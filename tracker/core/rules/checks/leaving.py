"""A jar that leaves whole with its herb, and whose it is."""

from collections.abc import Iterator, Sequence

from tracker.core.facts.extracts import Dispensed
from tracker.core.facts.jars import LookedAt, Moved
from tracker.core.rules.checks import harm
from tracker.core.rules.checks.jar_state import came_back, steeps
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.end import GivenEnd
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.command_words import command


def whole(jar: Jar, fact: Dispensed) -> Iterator[Finding]:
    """Refuse a part of a jar, or one whose herb is out; ask without a reference, or of a poison."""
    yield from steeps(jar, "given out")
    if fact.volume_ml is not None:
        what = "a jar with its herb in is given out whole"
        yield Finding("whole", jar.code, what, "leave the volume out, or draw some off first")
    elif fact.reference is None:
        yield Finding(
            "whole",
            jar.code,
            "the whole jar would be given out, with its herb, and nobody is named",
            "give a reference with --for, or confirm it",
            "question",
        )
    yield from harm.leaves(jar.code, jar.contents)


def is_here(thing: Thing, fact: LookedAt | Moved) -> Iterator[Finding]:
    """Refuse to look at a jar that left whole, or to move it; whose it is may still be said."""
    end = thing.jar.end if thing.jar is not None and thing.extract is None else None
    if not isinstance(end, GivenEnd):
        return
    if isinstance(fact, LookedAt) or any((fact.place, fact.jar_ml, fact.lid, fact.barrier)):
        done = "looked at" if isinstance(fact, LookedAt) else "moved"
        what = f"it was given out on {end.on}, so it cannot be {done}"
        yield Finding("ended", thing.code, what, came_back(thing.code))


def of_one(code: str, jars: Sequence[Thing | Lot]) -> Iterator[Finding]:
    """Say where jars of several people are joined: the one they make belongs to none of them."""
    owners = {one.belongs_to for one in jars if isinstance(one, Thing)}
    if len(owners) > 1:
        named = ", ".join(sorted(one or "nobody" for one in owners))
        yield Finding(
            "reference",
            code,
            f"these belong to {named}, so what they make belongs to nobody",
            f"say whose it is: {command('move', code, options='--belongs …')}",
            "warning",
        )
