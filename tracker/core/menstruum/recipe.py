"""What to measure out: any stocks, any target strength, volume and glycerin share.

Diluting a spirit, raising a weak one, using up two bottles and scaling to a batch are one
question. By mass nothing contracts, so the target is first turned into grams of ethanol,
water and glycerin; the grams are shared out among the stocks and turned into millilitres.
"""

import math
from collections.abc import Sequence

import msgspec

from tracker.core.menstruum import ethanol_water, glycerin
from tracker.core.menstruum.mixture import Part, mixture
from tracker.core.menstruum.proportions import SpiritSupply, most_g, shares_g, used_up_g
from tracker.core.menstruum.ternary import volume_ml as _volume_ml
from tracker.core.menstruum.zero import rising_root

_STOCK_LIQUIDS = ("ethanol", "water", "glycerin")
_SAME_PCT_VOL = 1e-9
_MORE_THAN_WATER_G = 1.3  # more than a millilitre of any liquid here weighs


class Stock(msgspec.Struct, frozen=True):
    """What there is to mix from.

    Attributes:
        liquid: "ethanol" (a spirit of the given strength), "water" or "glycerin".
        ethanol_pct_vol: of a spirit, 0 to 100.
        available_ml: how much there is; None for "enough".
        name: what it goes by, where that is not its strength.

    Raises:
        ValueError: another liquid, or a number outside its range.
    """

    liquid: str
    ethanol_pct_vol: float = 0.0
    available_ml: float | None = None
    name: str | None = None

    def __post_init__(self) -> None:
        if self.liquid not in _STOCK_LIQUIDS:
            raise ValueError(f"liquid must be one of {_STOCK_LIQUIDS}, got {self.liquid}")
        if self.liquid != "ethanol" and self.ethanol_pct_vol:
            raise ValueError(f"{self.liquid} has no strength, got {self.ethanol_pct_vol}")
        Part(self.liquid, self.available_ml or 0.0, self.ethanol_pct_vol)


class Measured(msgspec.Struct, frozen=True):
    """One thing to measure out: millilitres at the reference temperature, or true grams."""

    liquid: str
    ethanol_pct_vol: float
    ml: float
    g: float
    name: str | None = None


class Recipe(msgspec.Struct, frozen=True):
    """What to measure out and what it comes to.

    When the target cannot be reached this is the nearest that can, and `why` says so.

    Attributes:
        parts: in the order of the stocks; stocks that are not needed are left out.
        volume_ml: of the finished mix, with contraction.
        ethanol_pct_vol: of the finished mix.
        glycerin_pct_vol: of the finished mix.
        density_kg_m3: of the finished mix; 0 when there is nothing to mix from.
        simple_volume_ml: the parts' volumes simply added up.
        contraction_ml: what is lost on mixing; below 0 where weak spirits gain a little.
        allowance_pct_vol: how far the mixing model may be off, % vol.
        reachable: whether this is what was asked for.
        why: why not, with the nearest that can; empty if reachable.
    """

    parts: tuple[Measured, ...]
    volume_ml: float
    ethanol_pct_vol: float
    glycerin_pct_vol: float
    density_kg_m3: float
    simple_volume_ml: float
    contraction_ml: float
    allowance_pct_vol: float
    reachable: bool
    why: str = ""

    @property
    def made_up_with(self) -> Measured | None:
        """The part to leave till last and fill up to `volume_ml` with: the water, if any.

        Made up to volume, the mix has its strength whatever the contraction is.
        """
        return next((part for part in self.parts if part.liquid == "water"), None)


def measure_out(
    stocks: Sequence[Stock],
    *,
    ethanol_pct_vol: float,
    volume_ml: float | None = None,
    glycerin_pct_vol: float = 0.0,
    reference_c: float = ethanol_water.REFERENCE_C,
) -> Recipe:
    """What to measure out of the stocks to get a mix of the wanted strength and volume.

    Where the stocks leave a choice, those with a stated amount are used first, so that
    bottles get used up, then the others in the order given.

    Args:
        stocks: what there is; there may be several spirits, waters and glycerins.
        ethanol_pct_vol: wanted strength, 0 to 100 % vol.
        volume_ml: wanted volume of the finished mix; None to use up every stock whose
            amount is stated, with help from the others.
        glycerin_pct_vol: wanted glycerin, before mixing, by volume of the finished mix.
        reference_c: temperature at which volumes and strengths are meant, °C.

    Returns:
        The recipe. If the target cannot be reached, the nearest: first the strength and
        glycerin nearest to what was asked, then the largest volume of that.

    Raises:
        ValueError: a number outside its range, or no volume where no stock has a stated
            amount.

    Source:
        Mass balance; see `mixture.mixture` for densities and what they are good for.
    """
    _check(ethanol_pct_vol, volume_ml, glycerin_pct_vol)
    house = _House.of(stocks, reference_c)
    if not house.spirits:
        return _recipe([], "there is no spirit and no water among the stocks", reference_c)
    no_glycerin = glycerin_pct_vol > 0.0 and not house.glycerin_g
    target, why_strength = _nearest_target(
        ethanol_pct_vol, 0.0 if no_glycerin else glycerin_pct_vol, house, reference_c
    )
    made_ml, why_volume = _nearest_volume_ml(volume_ml, target, house)
    measured = [
        _measured(stocks[k], grams, reference_c)
        for k, grams in sorted(_grams_of_each(made_ml, target, house).items())
        if grams > 0.0
    ]
    why_glycerin = "there is no glycerin among the stocks" if no_glycerin else ""
    reasons = [why for why in (why_glycerin, why_strength, why_volume) if why]
    return _recipe(measured, "; ".join(reasons), reference_c)


class _House(msgspec.Struct, frozen=True):
    """The stocks by mass; keys are places in the list given, in the order to use them."""

    spirits: dict[int, SpiritSupply]
    glycerin_g: dict[int, float]

    @classmethod
    def of(cls, stocks: Sequence[Stock], reference_c: float) -> "_House":
        there = [k for k, stock in enumerate(stocks) if stock.available_ml != 0.0]
        there.sort(key=lambda k: stocks[k].available_ml is None)
        spirits, glycerin_g = {}, {}
        for k in there:
            stock = stocks[k]
            per_ml_g = _density_g_ml(stock, reference_c)
            available_g = math.inf
            if stock.available_ml is not None:
                available_g = stock.available_ml * per_ml_g
            if stock.liquid == "glycerin":
                glycerin_g[k] = available_g
            else:
                spirits[k] = SpiritSupply(_ethanol_ww(stock, reference_c), available_g)
        return cls(spirits, glycerin_g)


class _Target(msgspec.Struct, frozen=True):
    """Grams of each in one millilitre of the finished mix."""

    ethanol_g: float
    spirit_g: float  # ethanol and water
    glycerin_g: float

    @property
    def ethanol_ww(self) -> float:
        """Strength by mass of what is in it besides glycerin."""
        return self.ethanol_g / self.spirit_g if self.spirit_g > 0.0 else 0.0


def _check(ethanol_pct_vol: float, volume_ml: float | None, glycerin_pct_vol: float) -> None:
    if not 0.0 <= ethanol_pct_vol <= 100.0:
        raise ValueError(f"ethanol_pct_vol must be within 0 to 100, got {ethanol_pct_vol}")
    if not 0.0 <= glycerin_pct_vol <= 100.0:
        raise ValueError(f"glycerin_pct_vol must be within 0 to 100, got {glycerin_pct_vol}")
    if volume_ml is not None and not 0.0 < volume_ml < math.inf:
        raise ValueError(f"volume_ml must be above 0, got {volume_ml}")


def _nearest_target(
    ethanol_pct_vol: float, glycerin_pct_vol: float, house: _House, reference_c: float
) -> tuple[_Target, str]:
    """The wanted strength, or the strongest or weakest that these stocks allow, and why."""
    glycerin_g = glycerin_pct_vol * glycerin.pure_density_kg_m3(reference_c) / 1e5
    by_pct_g = ethanol_water.density_kg_m3(1.0, reference_c) / 1e5
    strengths_ww = [supply.ethanol_ww for supply in house.spirits.values()]
    weakest = _target_of_spirit(min(strengths_ww), glycerin_g, reference_c)
    strongest = _target_of_spirit(max(strengths_ww), glycerin_g, reference_c)
    wanted_g = ethanol_pct_vol * by_pct_g
    for end, word in ((weakest, "weakest"), (strongest, "strongest")):
        end_pct_vol = end.ethanol_g / by_pct_g
        if abs(end_pct_vol - ethanol_pct_vol) <= _SAME_PCT_VOL:
            return end, ""
        if (end_pct_vol > ethanol_pct_vol) is (word == "weakest"):
            beside = f" with {glycerin_pct_vol:g} % glycerin" if glycerin_pct_vol else ""
            return end, f"the {word} these stocks can make{beside} is {end_pct_vol:.1f} % vol"
    return _target_of_strength(wanted_g, glycerin_g, reference_c), ""


def _target_of_spirit(ethanol_ww: float, glycerin_g: float, reference_c: float) -> _Target:
    """One millilitre of glycerin and one spirit."""

    def over_ml(spirit_g: float) -> float:
        ethanol_g = spirit_g * ethanol_ww
        return _volume_ml(ethanol_g, spirit_g - ethanol_g, glycerin_g, reference_c) - 1.0

    spirit_g = rising_root(over_ml, 0.0, _MORE_THAN_WATER_G)
    return _Target(spirit_g * ethanol_ww, spirit_g, glycerin_g)


def _target_of_strength(ethanol_g: float, glycerin_g: float, reference_c: float) -> _Target:
    """One millilitre with that much ethanol and glycerin, the rest water."""
    water_g = rising_root(
        lambda water_g: _volume_ml(ethanol_g, water_g, glycerin_g, reference_c) - 1.0,
        0.0,
        _MORE_THAN_WATER_G,
    )
    return _Target(ethanol_g, ethanol_g + water_g, glycerin_g)


def _nearest_volume_ml(
    volume_ml: float | None, target: _Target, house: _House
) -> tuple[float, str]:
    """The wanted volume, or the largest there is enough for, and why."""
    supplies = list(house.spirits.values())
    glycerin_g = sum(house.glycerin_g.values())
    by_glycerin_ml = glycerin_g / target.glycerin_g if target.glycerin_g else math.inf
    by_spirit_ml = math.inf
    if target.spirit_g > 0.0:
        by_spirit_ml = most_g(target.ethanol_ww, supplies) / target.spirit_g
    largest_ml = min(by_glycerin_ml, by_spirit_ml)
    if volume_ml is None:
        if any(supply.available_g < math.inf for supply in supplies):
            used_up_ml = used_up_g(target.ethanol_ww, supplies) / target.spirit_g
            return min(used_up_ml, largest_ml), ""
        if largest_ml == math.inf:
            raise ValueError("say a volume, or how much there is of one stock")
        return largest_ml, ""
    if volume_ml <= largest_ml * (1.0 + 1e-9):
        return volume_ml, ""
    return largest_ml, f"there is only enough for {largest_ml:.0f} ml"


def _grams_of_each(made_ml: float, target: _Target, house: _House) -> dict[int, float]:
    shares = shares_g(made_ml * target.spirit_g, target.ethanol_ww, list(house.spirits.values()))
    grams = dict(zip(house.spirits, shares, strict=True))
    left_g = made_ml * target.glycerin_g
    for k, available_g in house.glycerin_g.items():
        grams[k] = min(left_g, available_g)
        left_g -= grams[k]
    return grams


def _measured(stock: Stock, grams: float, reference_c: float) -> Measured:
    ml = grams / _density_g_ml(stock, reference_c)
    return Measured(stock.liquid, stock.ethanol_pct_vol, ml, grams, stock.name)


def _recipe(measured: Sequence[Measured], why: str, reference_c: float) -> Recipe:
    mixed = mixture(
        [Part(part.liquid, part.ml, part.ethanol_pct_vol) for part in measured], reference_c
    )
    volume_ml = mixed.volume_ml or 0.0
    return Recipe(
        parts=tuple(measured),
        volume_ml=volume_ml,
        ethanol_pct_vol=mixed.ethanol_pct_vol or 0.0,
        glycerin_pct_vol=mixed.glycerin_pct_vol or 0.0,
        density_kg_m3=mixed.density_kg_m3 or 0.0,
        simple_volume_ml=mixed.simple_volume_ml,
        contraction_ml=mixed.simple_volume_ml - volume_ml,
        allowance_pct_vol=mixed.allowance_pct_vol or 0.0,
        reachable=not why,
        why=why,
    )


def _ethanol_ww(stock: Stock, reference_c: float) -> float:
    return ethanol_water.mass_fraction(stock.ethanol_pct_vol / 100.0, reference_c)


def _density_g_ml(stock: Stock, reference_c: float) -> float:
    if stock.liquid == "glycerin":
        return glycerin.pure_density_kg_m3(reference_c) / 1000.0
    ethanol_ww = _ethanol_ww(stock, reference_c)
    return ethanol_water.density_kg_m3(ethanol_ww, reference_c) / 1000.0
