"""What a liquid is made of as outputs read it: herbs, ratio, strength."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import msgspec
from msgspec.structs import replace

from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import BasisOfAll, Contents, Herb, Poured
from tracker.core.shelf.thing import Batch

if TYPE_CHECKING:  # a list that names what is in things reckons no strength
    from tracker.core.herbs.water import HerbWater
    from tracker.core.menstruum.mixture import Mixture

_SUREST = ("weighed", "measured", "by eye", "reckoned", "unknown")


class HerbView(msgspec.Struct, frozen=True):
    """One herb of a liquid, however often it was put in.

    Attributes:
        common: its common name as the maker wrote it; None where nobody did.
        g: None where any of it was not weighed.
        known: how the weight is known.
    """

    herb: str
    form: str
    part: str | None
    common: str | None
    g: float | None
    known: str


class Strength(msgspec.Struct, frozen=True):
    """Ethanol, % vol at 20 °C, by mass balance.

    Attributes:
        is_guess: whether it rests on a default for the herb's water, or spirit was simmered.
    """

    pct_vol: float
    is_guess: bool


class Makeup(msgspec.Struct, frozen=True):
    """Everything reckoned of what is in a liquid; None is not known, never 0.

    Attributes:
        pours: as they went in, each with the day.
        glycerin_pct_vol: before mixing, by volume of the mixture.
        of_unknown_strength: the names of the pours whose strength nobody knows.
        mixed: the liquid by mass balance, which says why where it has no strength.
        allowance_pct_vol: how far its strength may be off either way.
        dry_herb_g, dry_ratio: the herb without its water, and R by volume of the extract.
        liquid_ml: all of it, volumes simply added where nobody measured it.
        basis: what its ratio can be counted by; None of a liquid without herb.
        again: whether some of it stood on old marc, so that no ratio is said.
    """

    pours: tuple[Poured, ...]
    poured_ml: float
    herb_g: float | None
    herb_known: str
    herb_water: "HerbWater | None"
    glycerin_pct_vol: float | None
    of_unknown_strength: tuple[str, ...]
    mixed: "Mixture | None"
    allowance_pct_vol: float | None
    dry_herb_g: float | None
    dry_ratio: float | None
    liquid_ml: float
    basis: BasisOfAll | None
    again: bool


def herbs_of(batch: Batch, made: Contents) -> tuple[HerbView, ...]:
    """Every herb of a liquid, the heaviest first; those nobody weighed come last."""
    found: dict[tuple[str, str | None, str], HerbView] = {}
    for one in made.herbs or (Herb(batch.id, batch.herb, batch.form, part=batch.part),):
        key = (one.herb, one.part, one.form)
        same = found.get(key)
        found[key] = _herb(batch, one) if same is None else _more(same, one)
    return tuple(sorted(found.values(), key=lambda one: (one.g is None, -(one.g or 0.0))))


def _herb(batch: Batch, one: Herb) -> HerbView:
    common = batch.common if one.herb == batch.herb else None
    return HerbView(one.herb, one.form, one.part, common, one.g, one.known)


def _more(same: HerbView, one: Herb) -> HerbView:
    g = None if same.g is None or one.g is None else same.g + one.g
    return replace(same, g=g, known=_least_sure((same.known, one.known)))


def _least_sure(ways: Iterable[str]) -> str:
    """How a sum is known whose parts are known in these ways."""
    return max(ways, key=_SUREST.index, default="unknown")


def strength_of(made: Contents, mixed: "Mixture | None") -> Strength | None:
    """The strength of a liquid that was mixed; None where it cannot be known."""
    if mixed is None or not mixed.reckoned or mixed.ethanol_pct_vol is None:
        return None
    from tracker.core.reckoning.strength import may_be_steamed_off

    water = amounts.herb_water(made)
    is_guess = (water is not None and water.is_default) or may_be_steamed_off(made)
    return Strength(mixed.ethanol_pct_vol, is_guess)


def makeup_of(made: Contents) -> Makeup:
    """Everything reckoned of what is in a liquid."""
    from tracker.core.reckoning.strength import allowance_pct_vol, mixture_in

    mixed, dry_g = mixture_in(made), amounts.dry_herb_g(made)
    volume_ml = None if mixed is None else mixed.volume_ml
    return Makeup(
        pours=made.pours,
        poured_ml=amounts.poured_ml(made),
        herb_g=amounts.herb_g(made),
        herb_known=_least_sure(one.known for one in made.herbs),
        herb_water=amounts.herb_water(made),
        glycerin_pct_vol=None if mixed is None else mixed.glycerin_pct_vol,
        of_unknown_strength=amounts.of_unknown_strength(made),
        mixed=mixed,
        allowance_pct_vol=None if mixed is None else allowance_pct_vol(made, mixed),
        dry_herb_g=dry_g,
        dry_ratio=volume_ml / dry_g if dry_g and volume_ml is not None else None,
        liquid_ml=made.volume_ml,
        basis=made.basis,
        again=made.again,
    )
