"""How much herb and menstruum a jar takes, and which jar fits an amount."""

import math
from collections.abc import Sequence
from typing import Final

import msgspec

from tracker.core.facts.fields import Form
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.displacement import Displacement, default_displacement
from tracker.core.values.errors import TrackerError

# The international pound, the US gallon of 231 cubic inches and the British one of 4.54609 l,
# exact by definition, sixteenths and parts of 128 and 160.
OUNCE_G: Final = 453.59237 / 16
_US_GALLON_ML: Final = 3785.411784
FLUID_OUNCE_ML: Final[dict[UnitSystem, float]] = {
    "us": _US_GALLON_ML / 128,
    "british": 4546.09 / 160,
}


class Vessel(msgspec.Struct, frozen=True):
    """A jar as it is sold: its name and what it holds to the brim, ml."""

    name: str
    ml: float


# Sizes that preserving jars are sold in: common practice, no source.
METRIC_VESSELS: Final = tuple(
    Vessel(f"{ml / 1000:g} l" if ml >= 1000 else f"{ml} ml", float(ml))
    for ml in (100, 250, 500, 750, 1000, 1500, 2000, 3000, 5000, 10_000)
)
US_VESSELS: Final = (
    Vessel("half pint", _US_GALLON_ML / 16),
    Vessel("pint", _US_GALLON_ML / 8),
    Vessel("quart", _US_GALLON_ML / 4),
    Vessel("half gallon", _US_GALLON_ML / 2),
    Vessel("gallon", _US_GALLON_ML),
)


class Filling(msgspec.Struct, frozen=True):
    """Herb and menstruum that belong together: the room they fill, and their ratio."""

    form: Form
    herb_g: float
    menstruum_ml: float
    by: Displacement

    @property
    def filled_ml(self) -> float:
        """The room both take up, ml."""
        return self.menstruum_ml + self.herb_g * self.by.ml_per_g

    @property
    def filled_band_ml(self) -> tuple[float, float]:
        """That room, for herb that packs well and for herb that packs badly."""
        low, high = self.by.low_ml_per_g, self.by.high_ml_per_g
        return self.menstruum_ml + self.herb_g * low, self.menstruum_ml + self.herb_g * high

    @property
    def ratio(self) -> float:
        """R of 1:R by menstruum poured, ml per g."""
        return self.menstruum_ml / self.herb_g


def filling_of_room(
    room_ml: float, ratio: float, form: Form, by: Displacement | None = None
) -> Filling:
    """Herb and menstruum that fill a room at a ratio.

    Args:
        room_ml: what is to be filled, above 0.
        ratio: R of 1:R, ml of menstruum per g of herb, above 0.
        form: fresh or dried.
        by: the room a gram takes up; the form's default if it is not given.

    Returns:
        herb_g = room / (R + displacement), and R times as much menstruum.
    """
    by = by or default_displacement(form)
    herb_g = room_ml / (ratio + by.ml_per_g)
    return Filling(form, herb_g, herb_g * ratio, by)


def herb_band_g(
    room_ml: float, ratio: float, form: Form, by: Displacement | None = None
) -> tuple[float, float]:
    """The least and the most herb that room takes at that ratio, by how the herb packs, g."""
    by = by or default_displacement(form)
    return room_ml / (ratio + by.high_ml_per_g), room_ml / (ratio + by.low_ml_per_g)


def filling_of_herb(
    herb_g: float, ratio: float, form: Form, by: Displacement | None = None
) -> Filling:
    """That herb with the menstruum for its ratio."""
    return Filling(form, herb_g, herb_g * ratio, by or default_displacement(form))


def filling_round_herb(
    room_ml: float, herb_g: float, form: Form, by: Displacement | None = None
) -> Filling:
    """That herb with as much menstruum as fills up the room.

    Raises:
        TrackerError: the herb alone fills it.
    """
    by = by or default_displacement(form)
    menstruum_ml = room_ml - herb_g * by.ml_per_g
    if menstruum_ml <= 0.0:
        raise TrackerError(
            f"{herb_g:.0f} g of {form} herb alone fill {room_ml:.0f} ml.",
            where="the jar and the herb",
            do="take a larger jar or less herb.",
        )
    return Filling(form, herb_g, menstruum_ml, by)


class Housed(msgspec.Struct, frozen=True):
    """The jars a filling goes into: how many of one size, all filled alike."""

    vessel: Vessel
    count: int = 1


def vessels_for(filled_ml: float, sizes: Sequence[Vessel], headspace: float = 0.0) -> Housed:
    """The smallest standard jar that takes it, or as few as possible of the largest.

    Args:
        filled_ml: room the herb and the menstruum take up.
        sizes: the jars to choose from, smallest first.
        headspace: share of a jar that stays empty, 0 to below 1.
    """
    for vessel in sizes:
        if fits(filled_ml, vessel.ml, headspace):
            return Housed(vessel)
    largest = sizes[-1]
    return Housed(largest, math.ceil(filled_ml / (largest.ml * (1.0 - headspace)) - 1e-9))


def fits(filled_ml: float, jar_ml: float, headspace: float = 0.0) -> bool:
    """Whether a jar takes it and keeps its headspace."""
    return filled_ml <= jar_ml * (1.0 - headspace) * (1.0 + 1e-9)


def ratio_in_ounces(ratio: float, units: UnitSystem) -> float:
    """R of 1:R in oz:fl oz, from ml per g."""
    return ratio * OUNCE_G / FLUID_OUNCE_ML[units]


def ratio_of_ounces(ratio_oz: float, units: UnitSystem) -> float:
    """R of 1:R in ml per g, from oz:fl oz: US 1:5 is 1:5.22."""
    return ratio_oz * FLUID_OUNCE_ML[units] / OUNCE_G
