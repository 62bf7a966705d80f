"""What each fact about a liquor or its bottles does to them.

Each function changes the liquor and returns None, or returns why the fact does not fit.
Volume is never lost in the reckoning: pressed + added = bulk + bottles + filter loss + lees +
passed on + dispensed + discarded + unaccounted, whatever was recorded.
"""

from collections import Counter

from msgspec.structs import replace

from tracker.core.contents import Contents, portion, together
from tracker.core.events import AnyFact, Entry
from tracker.core.facts.liquors import (
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
from tracker.core.shelf import DROP_ML, Bottle, Given, Jar, Liquor
from tracker.core.taking_in import flows_in, poured, uses_of
from tracker.core.times import When


def no_liquor(fact: AnyFact) -> str:
    """Why a fact about a liquor cannot apply: nothing opened it."""
    return f"{fact.kind.replace('_', ' ')}, but no pressing in force opens the liquor"


def filtered(jar: Jar, fact: Filtered) -> str | None:
    """What the filter kept is a loss; there cannot be more than before."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    loss_ml, why = _cleared(liquor, fact, "the filter")
    liquor.filter_loss_ml += loss_ml
    liquor.filtered_ml = fact.volume_ml
    return why


def settled(jar: Jar, fact: Settled) -> str | None:
    """The lees are a loss, as what a filter keeps."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    loss_ml, why = _cleared(liquor, fact, "settling")
    liquor.lees_ml += loss_ml
    return why


def _cleared(liquor: Liquor, fact: Filtered | Settled, by: str) -> tuple[float, str | None]:
    """What was lost, and why it does not fit if it does not; the rest carries its cost."""
    before_ml = liquor.volume_ml if fact.before_ml is None else fact.before_ml
    loss_ml = max(before_ml - fact.volume_ml, 0.0)
    liquor.unaccounted_ml += liquor.volume_ml - loss_ml - fact.volume_ml
    liquor.volume_ml = fact.volume_ml
    if liquor.made.costs and loss_ml and before_ml:
        spread_ml = liquor.made.costs_ml or liquor.made.volume_ml
        remake(liquor, replace(liquor.made, costs_ml=spread_ml * fact.volume_ml / before_ml))
    gain_ml = fact.volume_ml - before_ml
    why = f"{gain_ml:g} ml more after {by} than before" if gain_ml > DROP_ML else None
    return loss_ml, why


def remake(liquor: Liquor, made: Contents) -> None:
    """The bulk is made of something else now; what was bottled or discarded before is not."""
    for bottle in liquor.bottles:
        bottle.made = bottle.made or liquor.made
    for discard in liquor.discards:
        liquor.discarded_made.setdefault(discard, liquor.made)
    liquor.made = made


def poured_in(jar: Jar, entry: Entry, fact: MadeUp | Diluted) -> str | None:
    """What was poured in belongs to the liquor; herb and strength spread over it all."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    uses = tuple(uses_of(entry, None, fact.pours))
    before_ml = liquor.volume_ml
    new = Contents(pours=poured(entry, fact.pours), costs=uses)
    after_ml = before_ml + new.volume_ml if fact.volume_ml is None else fact.volume_ml
    measured = None if abs(after_ml - before_ml - new.volume_ml) < DROP_ML else after_ml
    remake(liquor, together([portion(liquor.made, before_ml), new], measured))
    liquor.added_ml += after_ml - before_ml
    liquor.volume_ml = after_ml
    liquor.sources += tuple(flows_in(entry, uses))
    jar.uses += uses
    return None


def bottled(jar: Jar, when: When, fact: Bottled) -> str | None:
    """Numbered bottles take from the bulk."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    filled = [
        Bottle(number, run.size_ml, run.size_ml, when, paid=run.paid_each)
        for run in fact.bottles
        for number in range(run.first, run.first + run.count)
    ]
    numbers = Counter(bottle.number for bottle in (*liquor.bottles, *filled))
    twice = [number for number, times in numbers.items() if times > 1]
    if twice:
        return f"bottle {min(twice)} was filled before; this filling does not count"
    liquor.bottles.extend(filled)
    return take_bulk(liquor, sum(bottle.size_ml for bottle in filled), "bottled")


def take_bulk(liquor: Liquor, taken_ml: float, verb: str) -> str | None:
    """Take from the bulk; what was not there counts as unaccounted, never below zero."""
    short_ml = taken_ml - liquor.volume_ml
    liquor.volume_ml = max(0.0, -short_ml)
    return _short(liquor, short_ml, f"{verb} {taken_ml:g} ml", "there was")


def take_from_bottle(liquor: Liquor, bottle: Bottle, taken_ml: float, verb: str) -> str | None:
    """Take from a bottle; what was not there counts as unaccounted, never below zero."""
    short_ml = taken_ml - bottle.volume_ml
    bottle.volume_ml = max(0.0, -short_ml)
    where = f"was in bottle {bottle.number}"
    return _short(liquor, short_ml, f"{verb} {taken_ml:g} ml", where)


def _short(liquor: Liquor, short_ml: float, what: str, where: str) -> str | None:
    if short_ml <= 0:
        return None
    liquor.unaccounted_ml -= short_ml
    return f"{what}, {short_ml:g} ml more than {where}" if short_ml > DROP_ML else None


def dispensed(jar: Jar, entry: Entry, fact: Dispensed) -> str | None:
    """Given out, from the bulk or a bottle."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    if fact.about.bottle is None:
        taken_ml = liquor.volume_ml if fact.volume_ml is None else fact.volume_ml
        _give(liquor, entry, fact, taken_ml)
        return take_bulk(liquor, taken_ml, "dispensed")
    bottle = liquor.bottle(fact.about.bottle)
    if bottle is None:
        return f"dispensed bottle {fact.about.bottle}, which was never filled"
    taken_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    _give(liquor, entry, fact, taken_ml)
    return take_from_bottle(liquor, bottle, taken_ml, "dispensed")


def _give(liquor: Liquor, entry: Entry, fact: Dispensed, taken_ml: float) -> None:
    liquor.dispensed_ml += taken_ml
    liquor.given.append(
        Given(entry.id, entry.when, taken_ml, fact.reference, fact.about.bottle)
    )


def counted(jar: Jar, when: When, fact: Counted) -> str | None:
    """The count is the truth; the difference is unaccounted."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    liquor.counted = when
    if fact.about.bottle is None:
        liquor.unaccounted_ml += liquor.volume_ml - fact.volume_ml
        liquor.volume_ml = fact.volume_ml
        return None
    bottle = liquor.bottle(fact.about.bottle)
    if bottle is None:
        return f"counted bottle {fact.about.bottle}, which was never filled"
    liquor.unaccounted_ml += bottle.volume_ml - fact.volume_ml
    bottle.volume_ml = fact.volume_ml
    return None


def discarded(jar: Jar, event_id: str, fact: Discarded) -> str | None:
    """All or part of a liquor or bottle is gone."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    if fact.about.bottle is None:
        gone_ml = liquor.volume_ml if fact.volume_ml is None else fact.volume_ml
        liquor.discarded_ml += gone_ml
        liquor.discards[event_id] = gone_ml
        return take_bulk(liquor, gone_ml, "discarded")
    bottle = liquor.bottle(fact.about.bottle)
    if bottle is None:
        return f"discarded bottle {fact.about.bottle}, which was never filled"
    gone_ml = bottle.volume_ml if fact.volume_ml is None else fact.volume_ml
    liquor.discarded_ml += gone_ml
    liquor.discards[event_id] = gone_ml
    bottle.discarded = fact.volume_ml is None
    return take_from_bottle(liquor, bottle, gone_ml, "discarded")


def restored(jar: Jar, fact: Restored) -> str | None:
    """What a discard took is back."""
    liquor = jar.liquor(fact.about.liquor or "")
    if liquor is None:
        return no_liquor(fact)
    back_ml = liquor.discards.pop(fact.discard, None)
    if back_ml is None:
        return "restored, but that discard is not in force"
    liquor.discarded_ml -= back_ml
    made = liquor.discarded_made.pop(fact.discard, None)
    bottle = liquor.bottle(fact.about.bottle) if fact.about.bottle else None
    if bottle is None:
        if made is not None:
            there = portion(liquor.made, liquor.volume_ml)
            remake(liquor, together([there, portion(made, back_ml)]))
        liquor.volume_ml += back_ml
    else:
        bottle.volume_ml += back_ml
        bottle.discarded = False
    return None
