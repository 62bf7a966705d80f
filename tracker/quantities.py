"""What people write for an amount, in any unit of its kind, as grams or millilitres."""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from tracker.core.facts.extracts import BottleRun
from tracker.core.facts.fields import Known, Liquid, Pour
from tracker.core.menstruum import ethanol_water, glycerin, liquids
from tracker.core.menstruum.proof import BRITISH_PROOF_PER_PCT, US_PROOF_PER_PCT
from tracker.core.practice.practice import UnitSystem
from tracker.core.values.errors import QuantityError
from tracker.core.values.money import is_money

if TYPE_CHECKING:
    from pint import UnitRegistry

# Exact by definition: the international pound (0.45359237 kg, 1959), the US gallon
# (231 cubic inches; NIST Handbook 44, Appendix C) and the British gallon (4.54609 l; Units
# of Measurement Regulations 1995). A short registry of our own loads in a tenth of the time
# of the full one, and has no unit that is not of the bench.
_DEFINITIONS = """
milli- = 1e-3 = m-
centi- = 1e-2 = c-
deci- = 1e-1 = d-
kilo- = 1e3 = k-
gram = [mass] = g
pound = 453.59237 * gram = lb
ounce = pound / 16 = oz
litre = [volume] = l
cubic_centimetre = 1e-3 * litre = cc
drop = 0.05e-3 * litre
us_gallon = 3.785411784 * litre
us_quart = us_gallon / 4
us_pint = us_gallon / 8
us_cup = us_gallon / 16
us_fluid_ounce = us_gallon / 128
us_tablespoon = us_fluid_ounce / 2
us_teaspoon = us_fluid_ounce / 6
us_fluid_dram = us_fluid_ounce / 8
british_gallon = 4.54609 * litre
british_quart = british_gallon / 4
british_pint = british_gallon / 8
british_cup = british_gallon / 16
british_fluid_ounce = british_gallon / 160
british_tablespoon = 17.7581640625e-3 * litre
british_teaspoon = british_tablespoon / 3
british_fluid_dram = british_fluid_ounce / 8
"""

# How a unit may be written, beside the metric ones with their prefixes.
_WRITTEN = {
    "gram": ("gram", "grams", "gramme", "grammes", "gr.", "gm"),
    "kilogram": ("kilo", "kilos", "kilogram", "kilograms"),
    "pound": ("lb", "lbs", "lb.", "pound", "pounds"),
    "litre": ("litre", "litres", "liter", "liters"),
    "millilitre": ("millilitre", "millilitres", "milliliter", "milliliters"),
    "drop": ("drop", "drops"),
    "_gallon": ("gallon", "gallons", "gal", "gal."),
    "_quart": ("quart", "quarts", "qt", "qt."),
    "_pint": ("pint", "pints", "pt", "pt."),
    "_cup": ("cup", "cups"),
    "_fluid_ounce": (
        "fl oz", "fl. oz.", "fl.oz.", "floz", "fl.oz", "fluid ounce", "fluid ounces",
    ),
    "_tablespoon": ("tablespoon", "tablespoons", "tbsp"),
    "_teaspoon": ("teaspoon", "teaspoons", "tsp"),
    "_fluid_dram": ("fl dr", "fluid dram", "fluid drams"),
    # An ounce is of weight where a weight is wanted and of fluid where a volume is.
    "ounce": ("oz", "oz.", "ounce", "ounces"),
}  # fmt: skip
_METRIC = ("g", "kg", "mg", "l", "ml", "cl", "dl", "cc", "L", "mL")
_BY_WORDS = {words: unit for unit, ways in _WRITTEN.items() for words in ways} | {
    unit: unit.lower() for unit in _METRIC
}

_NUMBER = re.compile(r"\s*([+-]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]?\d+))\s*")
_BY_EYE = re.compile(r"(?:about|around|by eye|~|≈)\s*", re.IGNORECASE)
_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3"}

_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*%\s*(?:(?:vol|abv|v/v|alcohol)\b\.?)?", re.IGNORECASE)
_PROOF = re.compile(r"(\d+(?:[.,]\d+)?)\s*(us|british)?\s*proof", re.IGNORECASE)
_LIQUID_WORDS: dict[str, Liquid] = {
    "water": "water",
    "glycerin": "glycerin",
    "glycerine": "glycerin",
    "glycerol": "glycerin",
    "vinegar": "vinegar",
    "honey": "honey",
    "oil": "oil",
    "syrup": "syrup",
}
_SPIRITS = (
    "spirit",
    "alcohol",
    "ethanol",
    "vodka",
    "brandy",
    "rum",
    "gin",
    "whisky",
    "whiskey",
)

# kg/m3 at 20 °C, for a liquid that was weighed.
_KG_M3 = {
    "water": ethanol_water.density_kg_m3(0.0),
    "glycerin": glycerin.pure_density_kg_m3(),
    "vinegar": liquids.VINEGAR_KG_M3,
    "honey": liquids.HONEY_KG_M3,
    "oil": liquids.OIL_KG_M3,
    "syrup": liquids.SYRUP_KG_M3,
}


@dataclass(frozen=True, slots=True)
class Amount:
    """Grams or millilitres, as the parsing function says; the text; and how it is known."""

    value: float
    written: str
    known: Known


@lru_cache(maxsize=1)
def _registry() -> "UnitRegistry[float]":
    import pint

    registry: UnitRegistry[float] = pint.UnitRegistry(None, on_redefinition="raise")
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry


def grams(text: str, units: UnitSystem = "us", *, may_be_none: bool = False) -> Amount:
    """A mass such as `100g`, `12 oz`, `1 1/2 lb`; `about 100g` is by eye."""
    value, rest, known = _leading(text, "g", units, may_be_none=may_be_none)
    if rest:
        raise _misread(text, f"{rest!r} is not a unit of mass", "g")
    return Amount(value, text.strip(), "weighed" if known == "measured" else known)


def millilitres(text: str, units: UnitSystem = "us", *, may_be_none: bool = False) -> Amount:
    """A volume such as `500 ml`, `24 fl oz`, `1 pint`, `0.5 l`; `about 1 cup` is by eye."""
    value, rest, known = _leading(text, "ml", units, may_be_none=may_be_none)
    if rest:
        raise _misread(text, f"{rest!r} is not a unit of volume", "ml")
    return Amount(value, text.strip(), known)


def pour(text: str, units: UnitSystem = "us") -> Pour:
    """An amount and then what: `500 ml 45%`, `24 fl oz 190 proof`, `1 l cider vinegar`."""
    amount, words, known = _number(text)
    unit, what = _unit(words, text, "ml", units)
    pct_vol, name = _strength(what, text, units)
    liquid = _liquid(name, pct_vol, text)
    if liquid != "ethanol":
        pct_vol = None  # the % of a vinegar is its acid, of a glycerin its purity
    if pct_vol is not None and pct_vol > 100:
        raise QuantityError(text, f"{pct_vol:g} % vol is more than pure", do="read the label.")
    grams_or_ml, is_mass = _converted(amount, unit, text)
    if is_mass:
        grams_or_ml = _poured_by_weight(grams_or_ml, liquid, pct_vol, text)
        known = "weighed" if known == "measured" else known
    _positive(grams_or_ml, text)
    return Pour(
        liquid=liquid,
        volume_ml=grams_or_ml,
        ethanol_pct_vol=pct_vol or 0.0,
        name=name if name and name.lower() not in _LIQUID_WORDS else None,
        written=text.strip(),
        known=known,
    )


def bottles(text: str, first: int, units: UnitSystem = "us") -> BottleRun:
    """Bottles of one size: `3x100ml`, `6 x 4 oz`, `50ml`, numbered from `first`.

    What each empty bottle cost may follow: `3x100ml@0.90`.
    """
    words, at, price = text.partition("@")
    price = price.strip().replace(",", ".")
    if at and not is_money(price):
        raise QuantityError(text, "no price of a bottle follows the @", do="write 3x100ml@0.90.")
    run = re.fullmatch(r"\s*(?:(\d{1,5})\s*[x×*]\s*)?(.+)", words, re.IGNORECASE)
    if run is None:
        raise _misread(text, "no size", "ml")
    count = int(run[1] or 1)
    if not 1 <= count <= 10_000:
        raise QuantityError(text, f"{count} bottles cannot be filled", do="write 1 to 10000.")
    size = millilitres(run[2], units)
    return BottleRun(
        size_ml=size.value,
        count=count,
        first=first,
        written=text.strip(),
        paid_each=price if at else None,
    )


def percent(text: str) -> float:
    """A share such as `75%` or `75`, 0 to 100."""
    found = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*%?\s*", text)
    value = float(found[1].replace(",", ".")) if found else -1.0
    if not 0 <= value <= 100:
        raise QuantityError(text, "not a share of 0 to 100 %", do="write it like 75%.")
    return value


def _leading(
    text: str, wanted: str, units: UnitSystem, *, may_be_none: bool = False
) -> tuple[float, str, Known]:
    """The amount at the start of the text in the wanted unit, and what is left of the text."""
    amount, words, known = _number(text)
    unit, rest = _unit(words, text, wanted, units)
    value, is_mass = _converted(amount, unit, text)
    if is_mass != (wanted == "g"):
        is_a, needed = ("mass", "volume") if is_mass else ("volume", "mass")
        raise _misread(text, f"that is a {is_a}, and a {needed} is wanted", wanted)
    if not (may_be_none and value == 0):
        _positive(value, text)
    return value, rest, known


def _positive(value: float, text: str) -> None:
    if not 0 < value <= 1_000_000:
        why = "there must be some of it" if value <= 0 else "nobody has a vessel that large"
        raise QuantityError(text, why, do="write an amount above 0 and below a million g or ml.")


def _number(text: str) -> tuple[float, str, Known]:
    words = _BY_EYE.sub("", text.strip(), count=1) if _BY_EYE.match(text.strip()) else text
    known: Known = "measured" if words is text else "by eye"
    for mark, fraction in _HALVES.items():
        words = words.replace(mark, fraction)
    found = _NUMBER.match(words)
    if found is None or len(words) > 200:
        raise QuantityError(
            text[:60], "it does not begin with a number", do="write it like 100 g or 24 fl oz."
        )
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", found[1]):
        raise QuantityError(
            text, "is that comma for thousands or for decimals?", do="write 1000 or 1.0."
        )
    try:
        whole = sum(Fraction(part.replace(",", ".")) for part in found[1].split())
    except ZeroDivisionError as reason:
        raise QuantityError(text, "that is divided by nothing", do="write 1/2.") from reason
    return float(whole), words[found.end() :], known


def _unit(words: str, text: str, wanted: str, units: UnitSystem) -> tuple[str, str]:
    """The unit at the start of the words, and what follows it."""
    parts = words.split()
    for length in (2, 1):
        written = " ".join(parts[:length])
        unit = _BY_WORDS.get(written) or _BY_WORDS.get(written.lower())
        if len(parts) >= length and unit is not None:
            if unit == "ounce" and wanted == "ml":
                unit = "_fluid_ounce"
            name = units + unit if unit.startswith("_") else unit
            return name, " ".join(parts[length:])
    raise _misread(text, "no unit that is known here follows the number", wanted)


def _converted(amount: float, unit: str, text: str) -> tuple[float, bool]:
    """The amount in grams or millilitres, and whether it is a mass."""
    quantity = _registry().Quantity(amount, unit)
    is_mass = quantity.check("[mass]")
    if not is_mass and not quantity.check("[volume]"):
        raise _misread(text, f"{unit} is neither a mass nor a volume", "ml")
    return float(quantity.to("gram" if is_mass else "millilitre").magnitude), is_mass


def _misread(text: str, why: str, wanted: str) -> QuantityError:
    examples = "100 g, 12 oz, 1 lb" if wanted == "g" else "500 ml, 0.5 l, 24 fl oz, 1 pint"
    return QuantityError(text[:60], why, do=f"write it like {examples}.")


def _strength(what: str, text: str, units: UnitSystem) -> tuple[float | None, str]:
    """The strength in what was poured, % vol, and the rest of the words."""
    if proof := _PROOF.search(what):
        system = (proof[2] or units).lower()
        pct_vol = _pct_of_proof(float(proof[1].replace(",", ".")), system)
        return pct_vol, _around(what, proof)
    if share := _PERCENT.search(what):
        return float(share[1].replace(",", ".")), _around(what, share)
    return None, what.strip().removeprefix("of ")


def _pct_of_proof(degrees: float, system: str) -> float:
    """% vol of a proof; the tenth of a degree between 60 °F and 20 °C is left alone."""
    return degrees / (BRITISH_PROOF_PER_PCT if system == "british" else US_PROOF_PER_PCT)


def _around(what: str, found: "re.Match[str]") -> str:
    rest = what[: found.start()] + " " + what[found.end() :]
    return " ".join(rest.split()).removeprefix("of").strip()


def _liquid(name: str, pct_vol: float | None, text: str) -> Liquid:
    words = [word.strip(",.") for word in name.lower().split()]
    named = next((_LIQUID_WORDS[word] for word in reversed(words) if word in _LIQUID_WORDS), None)
    if named is not None and (pct_vol is None or named in ("vinegar", "glycerin")):
        return named
    if pct_vol is not None:
        return "ethanol"
    if any(word in _SPIRITS for word in words):
        raise QuantityError(text, "how strong is it?", do="add its strength: 45% or 90 proof.")
    if not name:
        raise QuantityError(text, "of what?", do="add the strength or the liquid: 45%, water.")
    return "other"


def _poured_by_weight(grams_: float, liquid: Liquid, pct_vol: float | None, text: str) -> float:
    if liquid == "ethanol" and pct_vol is not None:
        ethanol_ww = ethanol_water.mass_fraction(pct_vol / 100)
        return grams_ / ethanol_water.density_kg_m3(ethanol_ww) * 1000
    if liquid not in _KG_M3:
        raise QuantityError(text, "how heavy it is is not known", do="measure it by volume.")
    return grams_ / _KG_M3[liquid] * 1000
