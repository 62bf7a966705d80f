"""The water a weighed herb brings: as stated, else as published, else the form's default."""

from typing import NamedTuple, Protocol

# Density of water at 20 °C, kg/l: OIML R 22 (1975), coefficient A1.
WATER_KG_L = 0.99820123


class HerbWater(NamedTuple):
    """Water a herb brought, and how that is known.

    Attributes:
        ml: at 20 °C.
        pct_mass: % of the herb's mass.
        off_pct: how far that may be off either way, in points; 0 if it was stated.
        basis: "stated", "published for …" or "default for fresh herb", or that it is dry.
        is_default: whether it is the form's default, since nothing better is known.
    """

    ml: float
    pct_mass: float
    off_pct: float
    basis: str
    is_default: bool = False


class Weighed(Protocol):
    """A herb and the weight of it that was used."""

    @property
    def herb(self) -> str:
        """Its name."""

    @property
    def part(self) -> str | None:
        """The part used."""

    @property
    def form(self) -> str:
        """`fresh` or `dried`."""

    @property
    def g(self) -> float | None:
        """Its weight, g; None if it was not weighed."""

    @property
    def water_pct_mass(self) -> float | None:
        """Its water, % by mass, where the maker stated it."""


def herb_water(one: Weighed) -> HerbWater | None:
    """Water one herb brought.

    A dried herb counts as dry unless it is stated. None where the herb was not weighed.
    """
    share = one.water_pct_mass
    if share is None and one.form == "dried":
        return HerbWater(0.0, 0.0, 0.0, "dried herb counts as dry")
    if one.g is None:
        return None
    if share is not None:
        return HerbWater(one.g * share / 100 / WATER_KG_L, share, 0.0, "stated")
    from tracker.core.herbs.moisture import fresh_moisture

    found = fresh_moisture(one.herb, one.part)
    ml = one.g * found.pct_mass / 100 / WATER_KG_L
    return HerbWater(ml, found.pct_mass, found.off_pct, found.basis, found.is_default)


def water_ml(one: Weighed) -> float:
    """Water one herb brought, at 20 °C, ml; 0 where that cannot be known."""
    water = herb_water(one)
    return 0.0 if water is None else water.ml
