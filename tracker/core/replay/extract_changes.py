"""What each fact about an extract or its bottles does to them.

Each function changes the extract and returns None, or returns how the fact does not fit.
Volume is never lost in the reckoning: pressed + added = bulk + bottles + filter loss + lees +
passed on + dispensed + discarded + unaccounted, whatever was recorded.
"""

from collections import Counter
from datetime import date

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
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
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import AnyFact
from tracker.core.reckoning.weakness import remade
from tracker.core.replay.days_that_count import is_past
from tracker.core.replay.pours_in import Batches, PutIn, put_in
from tracker.core.replay.taken import take_bulk, take_from_bottle, used
from tracker.core.shelf.contents import DROP_ML, Contents, portion, together
from tracker.core.shelf.extract import Bottle, Extract, Thrown, earliest
from tracker.core.shelf.flow import Given
from tracker.core.shelf.hold import gravest
from tracker.core.shelf.misfit import (
    FilledTwice,
    FromItself,
    Misfit,
    MoreAfter,
    NeverFilled,
    NotDiscarded,
    NothingOpens,
    NotOfSuch,
)
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import When, parse_period


def no_extract(fact: AnyFact) -> NothingOpens:
    """How a fact about an extract cannot apply: nothing opened it."""
    return NothingOpens(fact.kind, "extract")


def filtered(batch: Batch, fact: Filtered) -> Misfit | None:
    """What the filter kept is a loss; there cannot be more than before."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    loss_ml, misfit = _cleared(extract, fact)
    extract.filter_loss_ml += loss_ml
    extract.filtered_ml = fact.volume_ml
    return misfit


def settled(batch: Batch, fact: Settled) -> Misfit | None:
    """The lees are a loss, as what a filter keeps."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    loss_ml, misfit = _cleared(extract, fact)
    extract.lees_ml += loss_ml
    return misfit


def _cleared(extract: Extract, fact: Filtered | Settled) -> tuple[float, Misfit | None]:
    """What was lost, and how it does not fit if it does not; the rest carries its cost."""
    there_ml = extract.volume_ml
    before_ml = there_ml if fact.before_ml is None else fact.before_ml
    loss_ml = max(before_ml - fact.volume_ml, 0.0)
    extract.unaccounted_ml += extract.volume_ml - loss_ml - fact.volume_ml
    extract.volume_ml = fact.volume_ml
    made = extract.made
    if (made.costs or made.charged_g) and loss_ml and before_ml:
        remake(extract, replace(made, costs_ml=made.spread_ml * fact.volume_ml / before_ml))
    # A volume given for before does not bring more of it than the book has.
    least_ml = min(before_ml, there_ml)
    if fact.volume_ml > least_ml + DROP_ML:
        return loss_ml, MoreAfter(fact.kind, least_ml, fact.volume_ml)
    return loss_ml, None


def remake(extract: Extract, made: Contents) -> None:
    """The bulk is made of something else now; what was taken out of it before is not."""
    keep_given(extract, None)
    for bottle in extract.bottles:
        bottle.made = bottle.made or extract.made
    for discard in extract.discards:
        extract.thrown.setdefault(discard, Thrown(extract.made))
    extract.made = made


def keep_given(extract: Extract, bottle: Bottle | None) -> None:
    """Say what left a bottle, or the bulk, was made of, before that changes."""
    made = extract.made if bottle is None else bottle.made or extract.made
    number = None if bottle is None else bottle.number
    for gone in (extract.given, extract.missing):
        gone[:] = [
            replace(one, made=made) if one.made is None and one.bottle == number else one
            for one in gone
        ]


def poured_in(
    batches: Batches, batch: Batch, entry: Entry, fact: MadeUp | Diluted
) -> Misfit | None:
    """What was poured in belongs to the extract; herb and strength spread over it all.

    It is good through the earliest day of all that is in it.
    """
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    if any(is_bulk_of(extract, one.of) for one in fact.pours):
        return FromItself(fact.kind)
    used(extract, None, entry)
    before_ml, was = extract.volume_ml, extract.good_through
    new = put_in(batches, entry, None, fact.pours)
    new_ml = new.contents.volume_ml
    after_ml = before_ml + new_ml if fact.volume_ml is None else fact.volume_ml
    measured = None if abs(after_ml - before_ml - new_ml) < DROP_ML else after_ml
    made = together([portion(extract.made, before_ml), new.contents], measured)
    remake(extract, remade(made, (*extract.made.spells, *new.spells), entry.when))
    extract.added_ml += after_ml - before_ml
    extract.volume_ml = after_ml
    extract.sources += new.flows
    extract.hold = gravest((extract.hold, new.hold))
    if fact.keeps and extract.keeps_days and was is not None and not is_past(was, entry.when):
        extract.keeps, extract.keeps_days = parse_period(fact.keeps), False
    _keep_as_parts(extract, was, new)
    batch.uses += new.uses
    return new.misfit


def _keep_as_parts(extract: Extract, was: date | None, new: PutIn) -> None:
    """It is good no longer than what was put in; what was bottled before has the day it had."""
    day, own = new.day_in(extract.made), extract.good_through
    if day is not None and own is not None and day < own:
        extract.best_by = day
    extract.is_undated = extract.is_undated or new.is_undated
    if extract.good_through == was:
        return
    for bottle in extract.bottles:
        if not bottle.is_undated and bottle.best_by is None:
            bottle.best_by, bottle.is_undated = was, was is None
    for discard, thrown in extract.thrown.items():
        if thrown.bottle is not None and not thrown.is_undated and thrown.best_by is None:
            extract.thrown[discard] = replace(thrown, best_by=was, is_undated=was is None)


def is_bulk_of(extract: Extract, about: About | None) -> bool:
    """Whether it names an extract in bulk, and not a bottle of it."""
    return about is not None and about.extract == extract.id and about.bottle is None


def bottled(batch: Batch, entry: Entry, fact: Bottled) -> Misfit | None:
    """Numbered bottles take from the bulk."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    filled = [
        Bottle(number, run.size_ml, run.size_ml, entry.when, paid=run.paid_each)
        for run in fact.bottles
        for number in range(run.first, run.first + run.count)
    ]
    numbers = Counter(bottle.number for bottle in (*extract.bottles, *filled))
    twice = [number for number, times in numbers.items() if times > 1]
    if twice:
        return FilledTwice(min(twice))
    used(extract, None, entry)
    extract.bottles.extend(filled)
    return take_bulk(extract, sum(bottle.size_ml for bottle in filled), "bottled")


def dispensed(batch: Batch, entry: Entry, fact: Dispensed) -> Misfit | None:
    """Given out, from the bulk or a bottle."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    if fact.about.bottle is None:
        taken_ml = extract.volume_ml if fact.volume_ml is None else fact.volume_ml
        used(extract, None, entry)
        _give(extract, entry, fact, taken_ml)
        return take_bulk(extract, taken_ml, "dispensed")
    bottle = extract.bottle(fact.about.bottle)
    if bottle is None:
        return NeverFilled(fact.kind, fact.about.bottle)
    taken_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    used(extract, bottle, entry)
    _give(extract, entry, fact, taken_ml)
    return take_from_bottle(extract, bottle, taken_ml, "dispensed")


def _give(extract: Extract, entry: Entry, fact: Dispensed, taken_ml: float) -> None:
    extract.dispensed_ml += taken_ml
    extract.given.append(Given(entry.id, entry.when, taken_ml, fact.reference, fact.about.bottle))


def counted(batch: Batch, entry: Entry, fact: Counted) -> Misfit | None:
    """The count is the truth; the difference is unaccounted."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    if fact.volume_ml is None:
        return NotOfSuch(fact.kind, "liquid")
    extract.counted = entry.when
    if fact.about.bottle is None:
        _miss(extract, entry, extract.volume_ml - fact.volume_ml, None)
        extract.volume_ml = fact.volume_ml
        return None
    bottle = extract.bottle(fact.about.bottle)
    if bottle is None:
        return NeverFilled(fact.kind, fact.about.bottle)
    _miss(extract, entry, bottle.volume_ml - fact.volume_ml, bottle.number)
    bottle.volume_ml = fact.volume_ml
    return None


def _miss(extract: Extract, entry: Entry, missing_ml: float, bottle: int | None) -> None:
    extract.unaccounted_ml += missing_ml
    if missing_ml > DROP_ML:
        extract.missing.append(Given(entry.id, entry.when, missing_ml, bottle=bottle))


def discarded(batch: Batch, event_id: str, fact: Discarded) -> Misfit | None:
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
        return NeverFilled(fact.kind, fact.about.bottle)
    gone_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    extract.discarded_ml += gone_ml
    extract.discards[event_id] = gone_ml
    made = bottle.made or extract.made
    extract.thrown[event_id] = Thrown(made, bottle.number, bottle.best_by, bottle.is_undated)
    bottle.discarded = fact.volume_ml is None
    return take_from_bottle(extract, bottle, gone_ml, "discarded")


def restored(batch: Batch, when: When, fact: Restored) -> Misfit | None:
    """What a discard took is back."""
    extract = batch.extract(fact.about.extract or batch.id)
    if extract is None:
        return no_extract(fact)
    back_ml = extract.discards.pop(fact.discard, None)
    if back_ml is None:
        return NotDiscarded()
    extract.discarded_ml -= back_ml
    thrown = extract.thrown.pop(fact.discard, None)
    bottle = extract.bottle(thrown.bottle) if thrown is not None and thrown.bottle else None
    if bottle is None:
        if thrown is not None:
            there = portion(extract.made, extract.volume_ml)
            remake(extract, _again(there, portion(thrown.made, back_ml), when))
        extract.volume_ml += back_ml
    elif thrown is not None:
        _put_back(extract, bottle, thrown, back_ml, when)
    return None


def _again(there: Contents, back: Contents, when: When) -> Contents:
    parts = [one for one in (there, back) if one.volume_ml >= DROP_ML]
    spells = [spell for one in parts for spell in one.spells]
    return remade(together((there, back)), spells, when)


def _put_back(extract: Extract, bottle: Bottle, thrown: Thrown, back_ml: float, when: When) -> None:
    """It is in its bottle again, with what the bottle was refilled with since."""
    there = bottle.made or extract.made
    if thrown.made != there:
        keep_given(extract, bottle)
        bottle.made = _again(portion(there, bottle.volume_ml), portion(thrown.made, back_ml), when)
    if bottle.volume_ml < DROP_ML:
        bottle.best_by, bottle.is_undated = thrown.best_by, thrown.is_undated
    elif (thrown.best_by, thrown.is_undated) != (bottle.best_by, bottle.is_undated):
        both = (extract.day_of(bottle), extract.day_of(thrown))
        bottle.best_by = earliest(both)
        bottle.is_undated = bottle.best_by is None
    bottle.volume_ml += back_ml
    bottle.discarded = False
