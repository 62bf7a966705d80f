"""How strong a jar is, from every pour and the water its herb brought."""

from tracker.core.facts.fields import Pour
from tracker.core.menstruum.mixture import Mixture, Part, mixture
from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import Poured


def mixture_in(made: amounts.Made) -> Mixture | None:
    """The liquid in a vessel by mass balance.

    None where the herb's water cannot be known, or what was poured.
    """
    water_ml = amounts.herb_water_ml(made)
    return (
        None
        if water_ml is None or amounts.holds_unknown(made)
        else mixture(parts_with(made, water_ml))
    )


def parts_with(made: amounts.Made, water_ml: float) -> list[Part]:
    """Every pour, and that much water from the herb."""
    parts = [part_of(pour) for pour in made.pours]
    return [*parts, Part("water", water_ml)] if water_ml else parts


def part_of(pour: Pour | Poured) -> Part:
    """A pour as a part of a mixture."""
    return Part(
        pour.liquid, pour.volume_ml, pour.ethanol_pct_vol, pour.glycerin_pct_mass, pour.name
    )


def strength_pct_vol(made: amounts.Made) -> float | None:
    """Ethanol, % vol at 20 °C; None where it cannot be known."""
    mixed = mixture_in(made)
    return mixed.ethanol_pct_vol if mixed is not None and mixed.reckoned else None


def dry_ratio(made: amounts.Made) -> float | None:
    """R of 1:R, millilitres of the whole extract for each gram of the herb without its water."""
    dry_g, mixed = amounts.dry_herb_g(made), mixture_in(made)
    if not dry_g or mixed is None or mixed.volume_ml is None:
        return None
    return mixed.volume_ml / dry_g


def allowance_pct_vol(made: amounts.Made, known: Mixture | None = None) -> float | None:
    """How far the strength may be off either way, % vol; None where it cannot be known.

    The mixing model's allowance and, where the herb's water was not stated, what a wetter or
    drier herb would change. Errors of measuring come on top. `known` is the liquid by mass
    balance, where that is reckoned already.
    """
    water, mixed = amounts.herb_water(made), known or mixture_in(made)
    if water is None or mixed is None or mixed.allowance_pct_vol is None:
        return None
    if not water.off_pct or not mixed.ethanol_pct_vol:
        return mixed.allowance_pct_vol
    ends = (
        max(water.pct_mass - water.off_pct, 0.0),
        min(water.pct_mass + water.off_pct, 100.0),
    )
    others = (mixture(parts_with(made, water.ml * pct / water.pct_mass)) for pct in ends)
    off = max(abs((one.ethanol_pct_vol or 0.0) - mixed.ethanol_pct_vol) for one in others)
    return mixed.allowance_pct_vol + off
