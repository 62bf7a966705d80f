"""The water a weighed herb brings: as stated, else as published, else the form's default."""

from typing import Final, NamedTuple, Protocol

# Density of water at 20 °C, kg/l: OIML R 22 (1975), coefficient A1.
WATER_KG_L = 0.99820123

# Water that stays in dried herb, % by mass, and how far off that may be, in points. Common
# practice, no source; pharmacopoeias allow mostly 10 to 14 % lost on drying (from memory).
DRIED_PCT: Final = 10.0
DRIED_OFF_PCT: Final = 5.0
DRIED_BASIS: Final = "common practice for dried herb"


class HerbWater(NamedTuple):
    """Water a herb brought, and how that is known.

    Attributes:
        ml: at 20 °C.
        pct_mass: % of the herb's mass.
        off_pct: how far that may be off either way, in points; 0 if it was stated.
        basis: "stated", "published for …", "default for fresh herb" or "common practice for
            dried herb".
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
    """Water one herb brought; None where the herb was not weighed, unless it has none."""
    share = one.water_pct_mass
    if share == 0.0:
        return HerbWater(0.0, 0.0, 0.0, "stated")
    if one.g is None:
        return None
    if share is not None:
        return HerbWater(one.g * share / 100 / WATER_KG_L, share, 0.0, "stated")
    if one.form == "dried":
        ml = one.g * DRIED_PCT / 100 / WATER_KG_L
        return HerbWater(ml, DRIED_PCT, DRIED_OFF_PCT, DRIED_BASIS, is_default=True)
    from tracker.core.herbs.moisture import fresh_moisture

    found = fresh_moisture(one.herb, one.part)
    ml = one.g * found.pct_mass / 100 / WATER_KG_L
    return HerbWater(ml, found.pct_mass, found.off_pct, found.basis, found.is_default)


def water_ml(one: Weighed) -> float:
    """Water one herb brought, at 20 °C, ml; 0 where that cannot be known."""
    water = herb_water(one)
    return 0.0 if water is None else water.ml
