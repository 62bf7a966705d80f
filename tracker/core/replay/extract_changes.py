"""What each fact about an extract or its bottles does to them.

Each function changes the extract and returns None, or returns why the fact does not fit.
Volume is never lost in the reckoning: pressed + added = bulk + bottles + filter loss + lees +
passed on + dispensed + discarded + unaccounted, whatever was recorded.
"""

from collections import Counter

from msgspec.structs import replace

from tracker.core.facts.entry import AnyFact, Entry
from tracker.core.facts.extracts import (
    Bottled,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Restored,
    Settled,
)
from tracker.core.replay.intake import flows_in, poured, uses_of
from tracker.core.shelf.contents import DROP_ML, Contents, portion, together
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.flow import Given
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import When


def no_extract(fact: AnyFact) -> str:
    """Why a fact about an extract cannot apply: nothing opened it."""
    return f"{fact.kind.replace('_', ' ')}, but no pressing in force opens the extract"


def filtered(batch: Batch, fact: Filtered) -> str | None:
    """What the filter kept is a loss; there cannot be more than before."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    loss_ml, why = _cleared(extract, fact, "the filter")
    extract.filter_loss_ml += loss_ml
    extract.filtered_ml = fact.volume_ml
    return why


def settled(batch: Batch, fact: Settled) -> str | None:
    """The lees are a loss, as what a filter keeps."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    loss_ml, why = _cleared(extract, fact, "settling")
    extract.lees_ml += loss_ml
    return why


def _cleared(extract: Extract, fact: Filtered | Settled, by: str) -> tuple[float, str | None]:
    """What was lost, and why it does not fit if it does not; the rest carries its cost."""
    before_ml = extract.volume_ml if fact.before_ml is None else fact.before_ml
    loss_ml = max(before_ml - fact.volume_ml, 0.0)
    extract.unaccounted_ml += extract.volume_ml - loss_ml - fact.volume_ml
    extract.volume_ml = fact.volume_ml
    if extract.made.costs and loss_ml and before_ml:
        spread_ml = extract.made.costs_ml or extract.made.volume_ml
        remake(extract, replace(extract.made, costs_ml=spread_ml * fact.volume_ml / before_ml))
    gain_ml = fact.volume_ml - before_ml
    why = f"{gain_ml:g} ml more after {by} than before" if gain_ml > DROP_ML else None
    return loss_ml, why


def remake(extract: Extract, made: Contents) -> None:
    """The bulk is made of something else now; what was bottled or discarded before is not."""
    for bottle in extract.bottles:
        bottle.made = bottle.made or extract.made
    for discard in extract.discards:
        extract.discarded_made.setdefault(discard, extract.made)
    extract.made = made


def poured_in(batch: Batch, entry: Entry, fact: MadeUp | Diluted) -> str | None:
    """What was poured in belongs to the extract; herb and strength spread over it all."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    uses = tuple(uses_of(entry, None, fact.pours))
    before_ml = extract.volume_ml
    new = Contents(pours=poured(entry, fact.pours), costs=uses)
    after_ml = before_ml + new.volume_ml if fact.volume_ml is None else fact.volume_ml
    measured = None if abs(after_ml - before_ml - new.volume_ml) < DROP_ML else after_ml
    remake(extract, together([portion(extract.made, before_ml), new], measured))
    extract.added_ml += after_ml - before_ml
    extract.volume_ml = after_ml
    extract.sources += tuple(flows_in(entry, uses))
    batch.uses += uses
    return None


def bottled(batch: Batch, when: When, fact: Bottled) -> str | None:
    """Numbered bottles take from the bulk."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    filled = [
        Bottle(number, run.size_ml, run.size_ml, when, paid=run.paid_each)
        for run in fact.bottles
        for number in range(run.first, run.first + run.count)
    ]
    numbers = Counter(bottle.number for bottle in (*extract.bottles, *filled))
    twice = [number for number, times in numbers.items() if times > 1]
    if twice:
        return f"bottle {min(twice)} was filled before; this filling does not count"
    extract.bottles.extend(filled)
    return take_bulk(extract, sum(bottle.size_ml for bottle in filled), "bottled")


def take_bulk(extract: Extract, taken_ml: float, verb: str) -> str | None:
    """Take from the bulk; what was not there counts as unaccounted, never below zero."""
    short_ml = taken_ml - extract.volume_ml
    extract.volume_ml = max(0.0, -short_ml)
    return _short(extract, short_ml, f"{verb} {taken_ml:g} ml", "there was")


def take_from_bottle(extract: Extract, bottle: Bottle, taken_ml: float, verb: str) -> str | None:
    """Take from a bottle; what was not there counts as unaccounted, never below zero."""
    short_ml = taken_ml - bottle.volume_ml
    bottle.volume_ml = max(0.0, -short_ml)
    where = f"was in bottle {bottle.number}"
    return _short(extract, short_ml, f"{verb} {taken_ml:g} ml", where)


def _short(extract: Extract, short_ml: float, what: str, where: str) -> str | None:
    if short_ml <= 0:
        return None
    extract.unaccounted_ml -= short_ml
    return f"{what}, {short_ml:g} ml more than {where}" if short_ml > DROP_ML else None


def dispensed(batch: Batch, entry: Entry, fact: Dispensed) -> str | None:
    """Given out, from the bulk or a bottle."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    if fact.about.bottle is None:
        taken_ml = extract.volume_ml if fact.volume_ml is None else fact.volume_ml
        _give(extract, entry, fact, taken_ml)
        return take_bulk(extract, taken_ml, "dispensed")
    bottle = extract.bottle(fact.about.bottle)
    if bottle is None:
        return f"dispensed bottle {fact.about.bottle}, which was never filled"
    taken_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    _give(extract, entry, fact, taken_ml)
    return take_from_bottle(extract, bottle, taken_ml, "dispensed")


def _give(extract: Extract, entry: Entry, fact: Dispensed, taken_ml: float) -> None:
    extract.dispensed_ml += taken_ml
    extract.given.append(Given(entry.id, entry.when, taken_ml, fact.reference, fact.about.bottle))


def counted(batch: Batch, when: When, fact: Counted) -> str | None:
    """The count is the truth; the difference is unaccounted."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    extract.counted = when
    if fact.about.bottle is None:
        extract.unaccounted_ml += extract.volume_ml - fact.volume_ml
        extract.volume_ml = fact.volume_ml
        return None
    bottle = extract.bottle(fact.about.bottle)
    if bottle is None:
        return f"counted bottle {fact.about.bottle}, which was never filled"
    extract.unaccounted_ml += bottle.volume_ml - fact.volume_ml
    bottle.volume_ml = fact.volume_ml
    return None


def discarded(batch: Batch, event_id: str, fact: Discarded) -> str | None:
    """All or part of an extract or bottle is gone."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    if fact.about.bottle is None:
        gone_ml = extract.volume_ml if fact.volume_ml is None else fact.volume_ml
        extract.discarded_ml += gone_ml
        extract.discards[event_id] = gone_ml
        return take_bulk(extract, gone_ml, "discarded")
    bottle = extract.bottle(fact.about.bottle)
    if bottle is None:
        return f"discarded bottle {fact.about.bottle}, which was never filled"
    gone_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    extract.discarded_ml += gone_ml
    extract.discards[event_id] = gone_ml
    bottle.discarded = fact.volume_ml is None
    return take_from_bottle(extract, bottle, gone_ml, "discarded")


def restored(batch: Batch, fact: Restored) -> str | None:
    """What a discard took is back."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    back_ml = extract.discards.pop(fact.discard, None)
    if back_ml is None:
        return "restored, but that discard is not in force"
    extract.discarded_ml -= back_ml
    made = extract.discarded_made.pop(fact.discard, None)
    bottle = extract.bottle(fact.about.bottle) if fact.about.bottle else None
    if bottle is None:
        if made is not None:
            there = portion(extract.made, extract.volume_ml)
            remake(extract, together([there, portion(made, back_ml)]))
        extract.volume_ml += back_ml
    else:
        bottle.volume_ml += back_ml
        bottle.discarded = False
    return None
