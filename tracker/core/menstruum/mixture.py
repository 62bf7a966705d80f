"""What a number of pours comes to, by mass balance: volume, strength, density, mass.

Masses add up and volumes do not: every pour is turned into grams of ethanol, water and
glycerin, these are added, and the volume of the sum is looked up. Textbook alligation adds
volumes and so misses the contraction: 4 parts of 95 % and 5 of 50 % are 70.55 % vol, not 70.
What a herb dissolves into the extract is left out, as nobody can know it; its own water is a
pour of water.
"""

import math
from collections.abc import Iterable, Sequence

import msgspec

from tracker.core.menstruum import ethanol_water, glycerin, liquids, ternary

# Even pure ethanol-water is not said closer than one decimal: tables of different offices
# differ by up to 0.13 kg/m3 off 20 °C, which is 0.1 % vol.
_LEAST_ALLOWANCE_PCT_VOL = 0.1

_NOTHING_ML = 1e-9  # what rounding may leave of a pour that was drawn off completely


class Part(msgspec.Struct, frozen=True):
    """One pour: a liquid, its volume, and its strength if it is a spirit.

    Attributes:
        liquid: one of `liquids.LIQUIDS`; "ethanol" is an ethanol-water spirit of the given
            strength.
        volume_ml: at the reference temperature, 0 or more.
        ethanol_pct_vol: 0 to 100, at the reference temperature; None where it is not known.
            Other liquids than "ethanol" may carry one, which is then not reckoned with
            anything else.
        glycerin_pct_mass: of a glycerin that holds water, above 0; None is pure.
        name: what it goes by; wine holds more than ethanol and water.

    Raises:
        ValueError: an unknown liquid, or a number outside its range.
    """

    liquid: str
    volume_ml: float
    ethanol_pct_vol: float | None = 0.0
    glycerin_pct_mass: float | None = None
    name: str | None = None

    def __post_init__(self) -> None:
        if self.liquid not in liquids.LIQUIDS:
            raise ValueError(f"liquid must be one of {sorted(liquids.LIQUIDS)}, got {self.liquid}")
        if not 0.0 <= self.volume_ml < math.inf:
            raise ValueError(f"volume_ml must be 0 or more, got {self.volume_ml}")
        for share in ("ethanol_pct_vol", "glycerin_pct_mass"):
            pct = getattr(self, share)
            if pct is not None and not 0.0 <= pct <= 100.0:
                raise ValueError(f"{share} must be within 0 to 100, got {pct}")


class Mixture(msgspec.Struct, frozen=True):
    """What the pours come to. None is "cannot be known", never zero.

    Attributes:
        volume_ml: with contraction, at the reference temperature.
        ethanol_pct_vol: ethanol by volume of the mixture.
        ethanol_pct_mass: ethanol by mass.
        glycerin_pct_vol: glycerin, before mixing, by volume of the mixture.
        density_kg_m3: at the reference temperature.
        mass_g: true mass of all pours.
        ethanol_ml: pure ethanol in it, as a volume of its own; None where the strength of a
            pour is not known.
        simple_volume_ml: the pours' volumes simply added up.
        simple_ethanol_pct_vol: the strength by simple addition; 0 if there is nothing.
        allowance_pct_vol: how far the strength may be off either way for the mixing model;
            errors of measuring and of a herb's moisture come on top.
        reckoned: whether volume and strength are known.
        why: why not, or what was taken for granted; empty when there is nothing to say.
    """

    volume_ml: float | None
    ethanol_pct_vol: float | None
    ethanol_pct_mass: float | None
    glycerin_pct_vol: float | None
    density_kg_m3: float | None
    mass_g: float | None
    ethanol_ml: float | None
    simple_volume_ml: float
    simple_ethanol_pct_vol: float | None
    allowance_pct_vol: float | None
    reckoned: bool
    why: str = ""


class _Contents(msgspec.Struct, frozen=True):
    """The pours taken apart. Sums are exact, so that their order leaves no trace."""

    ethanol_g: float
    water_g: float  # also the water vinegar is made of
    glycerin_g: float
    wine_ml: float
    vinegar_ml: float
    sweet_ml: float  # honey and syrup, whose volume is simply added
    dissolved_g: float  # mass that takes up no volume of its own, or one already counted

    @property
    def mass_g(self) -> float:
        return self.ethanol_g + self.water_g + self.glycerin_g + self.dissolved_g


def mixture(parts: Iterable[Part], reference_c: float = ethanol_water.REFERENCE_C) -> Mixture:
    """What the given pours come to when they are all in one vessel.

    Args:
        parts: the pours, herb water among them as "water"; in any order.
        reference_c: temperature at which all volumes and strengths are meant, °C.

    Returns:
        The mixture. `reckoned` is false where nothing sound can be said: a strength that is
        not known, oil with anything else, a liquid of unknown make with anything else, or
        nothing at all.

    Raises:
        ValueError: reference temperature outside -20 to 40 °C, or 15 to 25 with glycerin.

    Source:
        Ethanol-water OIML R 22 (1975); glycerin-water Lange's Handbook, table 5.13; all
        three together as `ternary` says; vinegar as water of its own density; honey and
        syrup by adding their volume.
    """
    poured = [part for part in parts if part.volume_ml > _NOTHING_ML]
    why_not = _why_not(poured)
    if why_not:
        return _not_reckoned(poured, why_not, reference_c)
    if poured[0].liquid in ("oil", "other"):
        return _one_liquid(poured, reference_c)
    return _reckoned(poured, reference_c)


def mass_g(part: Part, reference_c: float = ethanol_water.REFERENCE_C) -> float | None:
    """True mass of one pour, g, or None where its density is not known.

    Densities of vinegar, honey, syrup and oil are those at 20 °C; at 60 °F they are off by
    0.3 % at most, less than one honey from another.
    """
    if part.liquid == "other" or part.ethanol_pct_vol is None or _is_odd(part):
        return None
    if part.liquid == "oil":
        return part.volume_ml * liquids.OIL_KG_M3 / 1000.0
    return _contents([part], reference_c).mass_g


def scaled(parts: Iterable[Part], factor: float) -> list[Part]:
    """The same pours, each times `factor`: a share of a jar, or what a draw-off leaves."""
    return [msgspec.structs.replace(part, volume_ml=part.volume_ml * factor) for part in parts]


def _is_odd(part: Part) -> bool:
    """Whether it holds ethanol though its kind does not."""
    return part.liquid not in ("ethanol", "other") and bool(part.ethanol_pct_vol)


def _why_not(poured: Sequence[Part]) -> str:
    if not poured:
        return "nothing was poured"
    unknown = [one for one in poured if one.ethanol_pct_vol is None]
    if unknown:
        names = sorted({one.name or liquids.called_plainly(one.liquid) for one in unknown})
        return f"the strength of {' and '.join(names)} is not known"
    kinds = {(part.liquid, part.ethanol_pct_vol) for part in poured}
    odd = min((part.liquid for part in poured if _is_odd(part)), default="")
    if odd:
        return f"what {odd} with alcohol in it is made of is not known"
    if len(kinds) > 1 and any(liquid == "oil" for liquid, _ in kinds):
        return "oil does not mix with the other liquids; it stays a layer of its own"
    if len(kinds) > 1 and any(liquid == "other" for liquid, _ in kinds):
        return "what one of the liquids is made of is not known, so how they mix is not either"
    return ""


def _simple_sums(poured: Sequence[Part]) -> tuple[float, float | None]:
    """Volume and pure ethanol, ml, by simple addition; None where a strength is not known."""
    volume_ml = math.fsum(part.volume_ml for part in poured)
    strengths = [part.ethanol_pct_vol for part in poured]
    if any(pct_vol is None for pct_vol in strengths):
        return volume_ml, None
    return volume_ml, math.fsum(
        part.volume_ml * (pct_vol or 0.0) / 100.0
        for part, pct_vol in zip(poured, strengths, strict=True)
    )


def _simple_pct_vol(volume_ml: float, ethanol_ml: float | None) -> float | None:
    if ethanol_ml is None:
        return None
    return 100.0 * ethanol_ml / volume_ml if volume_ml else 0.0


def _not_reckoned(poured: Sequence[Part], why: str, reference_c: float) -> Mixture:
    volume_ml, ethanol_ml = _simple_sums(poured)
    masses_g = [mass_g(part, reference_c) for part in poured]
    known_g = [mass for mass in masses_g if mass is not None]
    return Mixture(
        volume_ml=None,
        ethanol_pct_vol=None,
        ethanol_pct_mass=None,
        glycerin_pct_vol=None,
        density_kg_m3=None,
        mass_g=math.fsum(known_g) if poured and len(known_g) == len(poured) else None,
        ethanol_ml=ethanol_ml,
        simple_volume_ml=volume_ml,
        simple_ethanol_pct_vol=_simple_pct_vol(volume_ml, ethanol_ml),
        allowance_pct_vol=None,
        reckoned=False,
        why=why,
    )


def _one_liquid(poured: Sequence[Part], reference_c: float) -> Mixture:
    """Oil alone, or a single liquid of unknown make alone: nothing mixes, all just adds up."""
    alone = _not_reckoned(poured, "", reference_c)
    is_oil = poured[0].liquid == "oil"
    return msgspec.structs.replace(
        alone,
        volume_ml=alone.simple_volume_ml,
        ethanol_pct_vol=poured[0].ethanol_pct_vol,
        ethanol_pct_mass=0.0 if is_oil else None,
        glycerin_pct_vol=0.0 if is_oil else None,
        density_kg_m3=liquids.OIL_KG_M3 if is_oil else None,
        allowance_pct_vol=0.0,
        reckoned=True,
    )


def _reckoned(poured: Sequence[Part], reference_c: float) -> Mixture:
    inside = _contents(poured, reference_c)
    simple_volume_ml, ethanol_ml = _simple_sums(poured)
    mixed_ml = ternary.volume_ml(inside.ethanol_g, inside.water_g, inside.glycerin_g, reference_c)
    volume_ml = mixed_ml + inside.sweet_ml
    glycerin_ml = 0.0
    if inside.glycerin_g:
        glycerin_ml = 1000.0 * inside.glycerin_g / glycerin.pure_density_kg_m3(reference_c)
    assert ethanol_ml is not None  # a strength that is not known is not reckoned
    ethanol_pct_vol = min(100.0, 100.0 * ethanol_ml / volume_ml)
    off_ml = _uncertainty_ml(inside, reference_c)
    return Mixture(
        volume_ml=volume_ml,
        ethanol_pct_vol=ethanol_pct_vol,
        ethanol_pct_mass=100.0 * inside.ethanol_g / inside.mass_g,
        glycerin_pct_vol=min(100.0, 100.0 * glycerin_ml / volume_ml),
        density_kg_m3=1000.0 * inside.mass_g / volume_ml,
        mass_g=inside.mass_g,
        ethanol_ml=ethanol_ml,
        simple_volume_ml=simple_volume_ml,
        simple_ethanol_pct_vol=_simple_pct_vol(simple_volume_ml, ethanol_ml),
        allowance_pct_vol=_allowance_pct_vol(ethanol_pct_vol, off_ml / volume_ml),
        reckoned=True,
        why=_taken_for_granted(inside),
    )


def _taken_for_granted(inside: _Contents) -> str:
    if not inside.ethanol_g:
        return ""
    said = ["honey, syrup and sugar are added by volume"] if inside.sweet_ml else []
    said += ["wine is taken as ethanol and water"] if inside.wine_ml else []
    return "; ".join(said)


def _contents(poured: Sequence[Part], reference_c: float) -> _Contents:
    water_kg_m3 = ethanol_water.density_kg_m3(0.0, reference_c)
    ethanol_g, water_g, glycerin_g = [], [], []
    wine_ml, vinegar_ml, sweet_ml, dissolved_g = [], [], [], []
    for part in poured:
        litres = part.volume_ml / 1000.0
        match part.liquid:
            case "ethanol":
                of_it_g, water_of_it_g = _spirit_g(part, reference_c)
                ethanol_g.append(of_it_g)
                water_g.append(water_of_it_g)
                wine_ml.append(part.volume_ml if liquids.is_wine(part.name) else 0.0)
            case "water":
                water_g.append(litres * water_kg_m3)
            case "glycerin":
                of_it_g, water_of_it_g = _glycerin_g(part, reference_c)
                glycerin_g.append(of_it_g)
                water_g.append(water_of_it_g)
            case "vinegar":
                water_g.append(litres * water_kg_m3)
                vinegar_ml.append(part.volume_ml)
                dissolved_g.append(litres * (liquids.VINEGAR_KG_M3 - water_kg_m3))
            case sweet:
                sweet_ml.append(part.volume_ml)
                dissolved_g.append(litres * liquids.VOLUMES_ADDED_KG_M3[sweet])
    return _Contents(
        ethanol_g=math.fsum(ethanol_g),
        water_g=math.fsum(water_g),
        glycerin_g=math.fsum(glycerin_g),
        wine_ml=math.fsum(wine_ml),
        vinegar_ml=math.fsum(vinegar_ml),
        sweet_ml=math.fsum(sweet_ml),
        dissolved_g=math.fsum(dissolved_g),
    )


def _spirit_g(part: Part, reference_c: float) -> tuple[float, float]:
    """Ethanol and water, g, in a pour of spirit."""
    ethanol_ww = ethanol_water.mass_fraction((part.ethanol_pct_vol or 0.0) / 100.0, reference_c)
    spirit_g = part.volume_ml * ethanol_water.density_kg_m3(ethanol_ww, reference_c) / 1000.0
    return spirit_g * ethanol_ww, spirit_g * (1.0 - ethanol_ww)


def _glycerin_g(part: Part, reference_c: float) -> tuple[float, float]:
    """Glycerin and water, g, in a pour of glycerin."""
    if part.glycerin_pct_mass is None:
        return part.volume_ml * glycerin.pure_density_kg_m3(reference_c) / 1000.0, 0.0
    glycerin_ww = part.glycerin_pct_mass / 100.0
    all_g = part.volume_ml * glycerin.density_kg_m3(glycerin_ww, reference_c) / 1000.0
    return all_g * glycerin_ww, all_g * (1.0 - glycerin_ww)


def _uncertainty_ml(inside: _Contents, reference_c: float) -> float:
    if inside.ethanol_g <= 0.0:
        return 0.0
    return (
        ternary.uncertainty_ml(inside.ethanol_g, inside.water_g, inside.glycerin_g, reference_c)
        + liquids.SWEET_UNCERTAINTY_SHARE * inside.sweet_ml
        + liquids.VINEGAR_UNCERTAINTY_SHARE * inside.vinegar_ml
        + liquids.WINE_UNCERTAINTY_SHARE * inside.wine_ml
    )


def _allowance_pct_vol(ethanol_pct_vol: float, volume_off_share: float) -> float:
    """Strength times the share by which the volume may be off, up to the next 0.1."""
    off_pct_vol = _LEAST_ALLOWANCE_PCT_VOL + ethanol_pct_vol * volume_off_share
    return math.ceil(off_pct_vol * 10.0 - 1e-9) / 10.0
