"""What may happen to a jar, a blend or an extract alike: looked at, moved, held, put off.

Each function changes the thing and returns None, or returns how the fact does not fit.
"""

from tracker.core.facts.amendments import Held, Later, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt, Moved
from tracker.core.replay.extract_changes import no_extract
from tracker.core.replay.jar_changes import read
from tracker.core.shelf.extract import NOBODY, Bottle, Extract
from tracker.core.shelf.hold import Hold, Look, graver
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import Misfit, NotOnHold
from tracker.core.shelf.thing import Batch


def _named(batch: Batch, about: About) -> Jar | Extract | None:
    """The jar itself, or one of its extracts; of a blend its one extract."""
    if about.extract is None:
        return batch if isinstance(batch, Jar) else batch.liquid
    return batch.extract(about.extract)


def looked_at(batch: Batch, entry: Entry, fact: LookedAt) -> Misfit | None:
    """The last look says how the thing stands; it lifts what a look held, and nothing else."""
    thing = _named(batch, fact.about)
    if thing is None:
        return no_extract(fact)
    lifted = _lifted(thing, entry, fact)
    on, why = (lifted.on, lifted.why) if lifted is not None else (None, None)
    thing.look = Look(entry.when, fact.verdict, fact.signs, fact.note, fact.again_on, on, why)
    thing.put_off.pop("look", None)  # what was put off is done
    if fact.verdict == "hold":
        signs = ", ".join(fact.signs)
        seen = Hold(entry.id, entry.when, signs, "look", writer=entry.source, number=entry.sequence)
        thing.hold = graver(thing.hold, seen)
    elif lifted is not None:
        thing.hold = None
    if isinstance(thing, Jar):
        thing.last_touched = entry.when
        thing.lid, thing.barrier = _lid_after(thing, fact)
        read(thing, entry, fact)
    return None


def _lifted(thing: Jar | Extract, entry: Entry, fact: LookedAt) -> Hold | None:
    """The hold of an earlier look that this one lifts.

    Who looked must have known of it: one whose book did not have the hold yet, or who wrote the
    look down before it, cannot have meant to lift it.
    """
    hold = thing.hold
    if hold is None or hold.kind != "look" or fact.verdict == "hold":
        return None
    written_after = hold.writer == entry.source and hold.number < entry.sequence
    return hold if written_after or fact.lifts == hold.event else None


def _lid_after(jar: Jar, fact: LookedAt | Moved) -> tuple[str | None, str | None]:
    """A new lid says nothing of the old one's barrier."""
    if fact.lid is not None:
        return fact.lid, fact.barrier
    return jar.lid, jar.barrier if fact.barrier is None else fact.barrier


def moved(batch: Batch, fact: Moved) -> Misfit | None:
    """It stands elsewhere, or otherwise."""
    thing = _named(batch, fact.about)
    if thing is None:
        return no_extract(fact)
    thing.place = fact.place or thing.place
    if isinstance(thing, Jar):
        if fact.belongs_to is not None:
            thing.belongs_to = None if fact.belongs_to == NOBODY else fact.belongs_to
        thing.jar_ml = fact.jar_ml or thing.jar_ml
        thing.lid, thing.barrier = _lid_after(thing, fact)
    else:
        thing.belongs_to = fact.belongs_to or thing.belongs_to
    return None


def held(batch: Batch, entry: Entry, fact: Held) -> Misfit | None:
    """Nothing of it is given out from now on."""
    thing = _holder(batch, fact.about)
    if thing is None:
        return no_extract(fact)
    thing.hold = graver(thing.hold, Hold(entry.id, entry.when, fact.why, "word"))
    return None


def _holder(batch: Batch, about: About) -> Jar | Extract | Bottle | None:
    """What a hold stands on: a bottle has one of its own where it was refilled."""
    thing = _named(batch, about)
    if about.bottle is None or not isinstance(thing, Extract):
        return thing
    return thing.bottle(about.bottle)


def released(batch: Batch, entry: Entry, fact: Released) -> Misfit | None:
    """It is free again, whatever held it: a word, a recall or a look."""
    thing = _holder(batch, fact.about)
    if thing is None:
        return no_extract(fact)
    if thing.hold is None:
        return NotOnHold()
    thing.hold = None
    if not isinstance(thing, Bottle) and thing.look is not None and thing.look.verdict == "hold":
        thing.look = Look(entry.when, "watch", thing.look.signs, fact.why)
    return None


def put_off(batch: Batch, fact: Later) -> Misfit | None:
    """One of its reminders waits, or one of its extract's; the last word counts."""
    thing = _named(batch, fact.about)
    if thing is None:
        return no_extract(fact)
    thing.put_off[fact.what] = fact.until
    return None
