"""What things cost: herb, menstruum and bottles, exact, in the maker's money.

A vessel carries shares of everything that was paid for (`contents.Use`). Marc and filter keep
none of the cost; what leaves takes its share by volume. What has no price is not
guessed: `unpriced` names it.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from tracker.core.menstruum.liquids import called_plainly
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import Contents, Use, portion
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing

Lots = Mapping[str, Lot]
Holding = Contents | Jar | Blend | Extract | Thing

# Volumes and shares are floats of decimals and simple fractions: the nearest fraction with a
# denominator up to this is taken as the intended one.
_MOST_PARTS = 10**9


def exact(number: float) -> Fraction:
    """The simple fraction a float stands for: 0.1 is one tenth. Nothing small becomes nothing."""
    whole = Fraction(number)
    return whole.limit_denominator(_MOST_PARTS) or whole


def lot_cost(lot: Lot, lots: Lots) -> Fraction | None:
    """What all of a lot cost; a dried one its part of the fresh one. None if not stated."""
    part = Fraction(1)
    while lot.paid is None:  # of what was dried of what was dried, however often
        parent = lots.get(lot.parent.jar) if lot.parent is not None else None
        if parent is None or lot.parent is None or lot.parent.g is None:
            return None
        part *= exact(lot.parent.g) / exact(parent.amount)
        lot = parent
    return Fraction(lot.paid) * part


def use_cost(use: Use, lots: Lots) -> Fraction | None:
    """What the share of a use cost: by what was paid for it, or else by its lot."""
    if use.paid is not None:
        return Fraction(use.paid) * exact(use.share)
    lot = lots.get(use.lot) if use.lot is not None else None
    whole = lot_cost(lot, lots) if lot is not None else None
    if lot is None or whole is None or use.amount is None:
        return None
    return whole * exact(use.amount) / exact(lot.amount) * exact(use.share)


def cost_of(holding: Holding, lots: Lots) -> Fraction | None:
    """What all the liquid that is left of something cost, its bottles not counted.

    Args:
        holding: contents as they stand; a jar with herb in it, or what is left of its
            extracts once the herb is out; a blend; an extract, bulk and bottles; or a thing.
        lots: every lot by its id.

    Returns:
        In the maker's money; None where nothing of it was priced, or nothing can be left.
    """
    found = [_contents_cost(one, lots) for one in _parts(holding)]
    known = [one for one in found if one is not None]
    return sum(known, Fraction(0)) if known else None


def herb_cost(holding: Holding, lots: Lots) -> Fraction:
    """How much of what something cost is for herb; the rest is for menstruum."""
    return sum(
        (
            cost
            for made in _parts(holding)
            for use in made.costs
            if use.place == 0 and (cost := use_cost(use, lots)) is not None
        ),
        Fraction(0),
    )


def lots_paid_for(holding: Holding) -> set[str]:
    """The ids of the lots that something has its cost from; not what those were dried of."""
    parts = [*_parts(holding), *([holding.made] if isinstance(holding, Thing) else [])]
    return {use.lot for made in parts for use in made.costs if use.lot is not None}


def cost_per_ml(made: Contents, lots: Lots) -> Fraction | None:
    """What each ml cost that is there to be used; None where nothing was priced."""
    cost, spread_ml = _contents_cost(made, lots), made.spread_ml
    return cost / exact(spread_ml) if cost is not None and spread_ml else None


def unpriced(holding: Holding, lots: Lots) -> tuple[str, ...]:
    """What has no price of all that something is made of; water is taken to cost nothing."""
    names: dict[str, None] = {}
    for made in _parts(holding):
        priced = {(use.event, use.place) for use in made.costs if use_cost(use, lots) is not None}
        found = {(one.event, 0): one.herb for one in made.herbs}
        found |= {
            (one.event, one.place): one.name or called_plainly(one.liquid)
            for one in made.pours
            if one.liquid != "water"
        }
        names |= {name: None for key, name in found.items() if key not in priced}
    return tuple(names)


def bottles_cost(holding: Holding) -> Fraction:
    """What the empty bottles cost that hold any of it, as far as that was recorded."""
    if isinstance(holding, Thing):
        if holding.bottle is not None:
            return Fraction(holding.bottle.paid or 0)
        holding = holding.extract or holding.batch
    if isinstance(holding, Contents):
        return Fraction(0)
    extracts = [holding] if isinstance(holding, Extract) else holding.extracts
    filled = [one for extract in extracts for one in extract.bottles if one.volume_ml > 0]
    return sum((Fraction(one.paid or 0) for one in filled), Fraction(0))


def _contents_cost(made: Contents, lots: Lots) -> Fraction | None:
    found = [use_cost(use, lots) for use in made.costs]
    known = [one for one in found if one is not None]
    return sum(known, Fraction(0)) if known else None


def _parts(holding: Holding) -> Iterator[Contents]:
    """Every vessel's contents of a holding, each taken to what is left in it."""
    match holding:
        case Contents():
            yield holding
        case Jar() if holding.is_macerating:
            yield holding.contents
        case Jar() | Blend():
            for extract in holding.extracts:
                yield from _parts(extract)
        case Extract():
            yield portion(holding.made, holding.volume_ml)
            for bottle in holding.bottles:
                yield portion(bottle.made or holding.made, bottle.volume_ml)
        case Thing():
            if holding.bottle is not None:
                yield portion(holding.made, holding.bottle.volume_ml)
            else:
                yield from _parts(holding.extract or holding.batch)
