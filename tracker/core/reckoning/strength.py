"""How strong a jar is, from every pour and the water its herb brought."""

from typing import TYPE_CHECKING

from tracker.core.menstruum.mixture import Mixture, Part, mixture
from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import Poured

if TYPE_CHECKING:
    from tracker.core.facts.fields import Pour


def mixture_in(made: amounts.Made) -> Mixture | None:
    """The liquid in a vessel by mass balance.

    None where the herb's water cannot be known, or what was poured.
    """
    if _keeps_its_water(made):
        return mixture(parts_with(made, 0.0))
    water_ml = amounts.herb_water_ml(made)
    return (
        None
        if water_ml is None or amounts.holds_unknown(made)
        else mixture(parts_with(made, water_ml))
    )


def _keeps_its_water(made: amounts.Made) -> bool:
    """Whether the water dried herb is taken to have is left out of the liquid.

    Oil takes up next to none of it (from memory), and how a liquid of unknown make mixes with
    it is not known: the allowance says what that may change.
    """
    return (
        {pour.liquid for pour in made.pours} in ({"oil"}, {"other"})
        and all(one.form == "dried" and one.water_pct_mass is None for one in made.herbs)
        and not amounts.holds_unknown(made)
    )


def parts_with(made: amounts.Made, water_ml: float) -> list[Part]:
    """Every pour, and that much water from the herb."""
    parts = [part_of(pour) for pour in made.pours]
    return [*parts, Part("water", water_ml)] if water_ml else parts


def part_of(pour: "Pour | Poured") -> Part:
    """A pour as a part of a mixture."""
    return Part(
        pour.liquid, pour.volume_ml, pour.ethanol_pct_vol, pour.glycerin_pct_mass, pour.name
    )


def strength_pct_vol(made: amounts.Made) -> float | None:
    """Ethanol, % vol at 20 °C; None where it cannot be known."""
    mixed = mixture_in(made)
    return mixed.ethanol_pct_vol if mixed is not None and mixed.reckoned else None


def most_pct_vol(made: amounts.Made, *, with_herb_water: bool = True) -> float | None:
    """The most its strength can be, % vol: what is reckoned and how far that may be off.

    Without the water of its herb, or where that cannot be known, what was poured alone; None
    where that cannot be reckoned either.
    """
    mixed = mixture_in(made) if with_herb_water else None
    if mixed is not None and mixed.reckoned and mixed.ethanol_pct_vol is not None:
        return mixed.ethanol_pct_vol + (allowance_pct_vol(made, mixed) or 0.0)
    if amounts.holds_unknown(made):
        return None
    poured = mixture(parts_with(made, 0.0))
    return poured.ethanol_pct_vol if poured.reckoned else None


def dry_ratio(made: amounts.Made) -> float | None:
    """R of 1:R, millilitres of the whole extract for each gram of the herb without its water."""
    dry_g, mixed = amounts.dry_herb_g(made), mixture_in(made)
    if not dry_g or mixed is None or mixed.volume_ml is None:
        return None
    return mixed.volume_ml / dry_g


def allowance_pct_vol(made: amounts.Made, known: Mixture | None = None) -> float | None:
    """How far the strength may be off either way, % vol; None where it cannot be known.

    The mixing model's allowance and, where the herb's water was not stated, what a wetter or
    drier herb would change; and all of the spirit that was simmered. Errors of measuring come on
    top. `known` is the liquid by mass balance, where that is reckoned already.
    """
    water, mixed = amounts.herb_water(made), known or mixture_in(made)
    if water is None or mixed is None or mixed.allowance_pct_vol is None:
        return None
    known_off = mixed.allowance_pct_vol + _steamed_off_pct_vol(made, mixed)
    if not water.off_pct or not mixed.ethanol_pct_vol:
        return known_off
    if _keeps_its_water(made):
        most_ml = water.ml * (water.pct_mass + water.off_pct) / water.pct_mass
        return mixed.ethanol_pct_vol * most_ml / (amounts.poured_ml(made) + most_ml)
    ends = (
        max(water.pct_mass - water.off_pct, 0.0),
        min(water.pct_mass + water.off_pct, 100.0),
    )
    others = (mixture(parts_with(made, water.ml * pct / water.pct_mass)) for pct in ends)
    off = max(abs((one.ethanol_pct_vol or 0.0) - mixed.ethanol_pct_vol) for one in others)
    return known_off + off


def may_be_steamed_off(made: amounts.Made) -> bool:
    """Whether spirit in it was on the fire."""
    return any(one.simmered and one.ethanol_pct_vol for one in made.pours)


def _steamed_off_pct_vol(made: amounts.Made, mixed: Mixture) -> float:
    """How much of the strength may have gone off as steam, % vol."""
    ethanol = [one.volume_ml * one.ethanol_pct_vol for one in made.pours if one.ethanol_pct_vol]
    on_fire = [
        one.volume_ml * one.ethanol_pct_vol
        for one in made.pours
        if one.simmered and one.ethanol_pct_vol
    ]
    whole = sum(ethanol)
    return (mixed.ethanol_pct_vol or 0.0) * sum(on_fire) / whole if whole else 0.0
