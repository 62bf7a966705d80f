"""What is taken out of an extract or a bottle to go into something else, and as which flow."""

from tracker.core.facts.entry import Entry
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.late import Late
from tracker.core.shelf.misfit import Misfit, MoreThanThere
from tracker.core.shelf.thing import Thing


def take_bulk(extract: Extract, taken_ml: float, did: str) -> MoreThanThere | None:
    """Take from the bulk; what was not there counts as unaccounted, never below zero."""
    there_ml = extract.volume_ml
    extract.volume_ml = max(0.0, there_ml - taken_ml)
    return _short(extract, taken_ml, there_ml, did)


def take_from_bottle(
    extract: Extract, bottle: Bottle, taken_ml: float, did: str
) -> MoreThanThere | None:
    """Take from a bottle; what was not there counts as unaccounted, never below zero."""
    there_ml = bottle.volume_ml
    bottle.volume_ml = max(0.0, there_ml - taken_ml)
    return _short(extract, taken_ml, there_ml, did, bottle.number)


def _short(
    extract: Extract, taken_ml: float, there_ml: float, did: str, bottle: int | None = None
) -> MoreThanThere | None:
    short_ml = taken_ml - there_ml
    if short_ml <= 0:
        return None
    extract.unaccounted_ml -= short_ml
    return MoreThanThere(did, taken_ml, there_ml, bottle) if short_ml > DROP_ML else None


def used(extract: Extract, bottle: Bottle | None, entry: Entry) -> None:
    """Keep what a use of an extract or bottle is held against, where it may be past its date."""
    last = extract.good_through if bottle is None else extract.day_of(bottle)
    made = extract.made if bottle is None else bottle.made or extract.made
    on = entry.when.latest
    if made.spells or (last is not None and on > last):
        before = extract.late.get(entry.id, ())
        extract.late[entry.id] = (*before, Late(on, last, made.spells))


def take(thing: Thing, taken_ml: float, entry: Entry) -> Misfit | None:
    """Take from an extract's bulk or a bottle of it, to go into something else."""
    assert thing.extract is not None
    used(thing.extract, thing.bottle, entry)
    thing.extract.passed_on_ml += taken_ml
    if thing.bottle is not None:
        return take_from_bottle(thing.extract, thing.bottle, taken_ml, entry.kind)
    return take_bulk(thing.extract, taken_ml, entry.kind)


def flow_out_of(thing: Thing, entry: Entry, how: str, taken_ml: float) -> Flow:
    """What was taken, as a source of what it went into."""
    return Flow(
        entry.id,
        how,
        entry.when,
        thing.batch.id,
        thing.extract.id if thing.extract else None,
        thing.bottle.number if thing.bottle else None,
        taken_ml,
    )
