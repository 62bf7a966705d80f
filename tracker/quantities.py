"""What people write for an amount, in any unit of its kind, as grams or millilitres."""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec

from tracker.core.facts.extracts import BottleRun
from tracker.core.facts.fields import Known
from tracker.core.practice.practice import UnitSystem
from tracker.core.values.errors import AmbiguousAmountError, QuantityError, Reading
from tracker.core.values.money import is_money

if TYPE_CHECKING:
    from pint import UnitRegistry

# Exact by definition: the international pound (0.45359237 kg, 1959), the US gallon
# (231 cubic inches; NIST Handbook 44, Appendix C) and the British gallon (4.54609 l; Units
# of Measurement Regulations 1995), the grain (1/7000 of the pound). A short registry of our
# own loads in a tenth of the time of the full one, and has no unit that is not of the bench.
_DEFINITIONS = """
milli- = 1e-3 = m-
centi- = 1e-2 = c-
deci- = 1e-1 = d-
kilo- = 1e3 = k-
gram = [mass] = g
pound = 453.59237 * gram = lb
ounce = pound / 16 = oz
grain = pound / 7000
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
    "gram": ("gram", "grams", "gramme", "grammes", "gm"),
    "grain": ("grain", "grains"),
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
# What is metric already is counted by a power of ten, and the registry is not loaded for it.
_METRIC_G = {"g": 1, "gram": 1, "kg": 1000, "kilogram": 1000}
_METRIC_ML = {"ml": 1, "millilitre": 1, "cl": 10, "dl": 100, "l": 1000, "litre": 1000}
_METRIC = ("g", "kg", "mg", "l", "ml", "cl", "dl", "cc", "L", "mL")
_BY_WORDS = {words: unit for unit, ways in _WRITTEN.items() for words in ways} | {
    unit: unit.lower() for unit in _METRIC
}

MOST_LETTERS = 200
# A space of thousands is one before a group that starts with a nought: 1 500 may be two numbers.
_NUMBER = re.compile(
    r"\s*([+-]?(?:\d+\s+\d+/\d+|\d+/\d+|[1-9]\d{0,2} 0\d{2}(?![\d.,/])|\d*[.,]?\d+))\s*"
)
_SPACED = re.compile(r"[1-9]\d{0,2} 0\d{2}")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
# Scales show 1.250 kg, and nobody at a bench has the 316 litres that 315.789 ml might be.
_SCALE = re.compile(r"(?:kg|l|kilo\w*|lit\w+)\b", re.IGNORECASE)
_RANGE = re.compile(r"(?:-|–|—|to\b|or\b)\s*(\d+(?:[.,/]\d+)?)(?=\s*[a-z])", re.IGNORECASE)
_GR = re.compile(r"grs?\b\.?", re.IGNORECASE)
_BY_EYE = re.compile(r"\A(?:about|around|by eye|~|≈)\s*", re.IGNORECASE)
_BY_EYE_BEHIND = re.compile(r",?\s*by eye\s*$", re.IGNORECASE)
_BARE = re.compile(
    r"((?:(?:about|around|by eye|~|≈)\s*)?"
    r"(?:(?:\d+\s+)?\d+/\d+|[1-9]\d{0,2} 0\d{2}|\d*[.,]?\d+|(?:\d+\s*)?[½¼¾⅓⅔]))"
    r"(,?\s*by eye)?",
    re.IGNORECASE,
)
_HALVES = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3"}


class Amount(msgspec.Struct, frozen=True):
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
    with in_each_way(lambda one: f"{_leading(one, 'g', units, may_be_none=may_be_none)[0]:g} g"):
        value, rest, known = _leading(text, "g", units, may_be_none=may_be_none)
    if rest:
        raise _misread(text, f"{rest!r} is not a unit of mass", "g")
    return Amount(value, text.strip(), "weighed" if known == "measured" else known)


def millilitres(text: str, units: UnitSystem = "us", *, may_be_none: bool = False) -> Amount:
    """A volume such as `500 ml`, `24 fl oz`, `1 pint`, `0.5 l`; `about 1 cup` is by eye."""
    with in_each_way(lambda one: f"{_leading(one, 'ml', units)[0]:g} ml"):
        value, rest, known = _leading(text, "ml", units, may_be_none=may_be_none)
    if rest:
        raise _misread(text, f"{rest!r} is not a unit of volume", "ml")
    return Amount(value, text.strip(), known)


@contextmanager
def in_each_way(come_to: Callable[[str], str]) -> Iterator[None]:
    """Say beside each reading of an ambiguous amount what it comes to; leave off what is none.

    Raises:
        AmbiguousAmountError: with the readings that can be read.
        QuantityError: none of them can.
    """
    try:
        yield
    except AmbiguousAmountError as asked:
        ways = [one.written for one in asked.readings if one.written != asked.text]
        readings = [one for written in ways for one in _comes_to(written, come_to)]
        if not readings:
            raise QuantityError(asked.text, asked.why, do="write it in another way.") from None
        raise type(asked)(asked.text, asked.why, readings) from None


def _comes_to(written: str, come_to: Callable[[str], str]) -> Iterator[Reading]:
    try:
        yield Reading(written, come_to(written))
    except AmbiguousAmountError:
        yield Reading(written, "")
    except QuantityError:
        return


def counted_in(unit: str, text: str) -> str:
    """A bare number in the unit it was asked for in; whatever else was written as it is."""
    bare = _BARE.fullmatch(text.strip())
    return f"{bare[1]} {unit}{bare[2] or ''}" if bare else text


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


def leading(text: str, units: UnitSystem) -> tuple[float, bool, str, Known, str]:
    """What a text begins with: g or ml of it, whether that is g, the unit; how known; the rest.

    Raises:
        QuantityError: it does not begin with an amount that can be read in one way.
    """
    amount, words, known = _number(text)
    unit, rest = _unit(words, text, "ml", units)
    value, is_mass = _converted(amount, unit, text)
    return value, is_mass, unit, known, rest


def _leading(
    text: str, wanted: str, units: UnitSystem, *, may_be_none: bool = False
) -> tuple[float, str, Known]:
    """The amount at the start of the text in the wanted unit, and what is left of the text."""
    amount, words, known = _number(text)
    unit, rest = _unit(words, text, wanted, units)
    value, is_mass = _converted(amount, unit, text)
    if is_mass != (wanted == "g"):
        is_a, needed = ("weight", "volume") if is_mass else ("volume", "weight")
        raise _misread(text, f"that is a {is_a}, and it needs a {needed}", wanted)
    if not (may_be_none and value == 0):
        must_be_some(value, text)
    return value, rest, known


def must_be_some(value: float, text: str) -> None:
    """Refuse an amount of nothing, and one that no vessel holds.

    Raises:
        QuantityError: it is one of these.
    """
    if not 0 < value <= 1_000_000:
        why = "there must be some of it" if value <= 0 else "nobody has a vessel that large"
        raise QuantityError(text, why, do="write an amount above 0 and below a million g or ml.")


def _number(text: str) -> tuple[float, str, Known]:
    words = text
    if _BY_EYE.match(text.strip()) or _BY_EYE_BEHIND.search(text):
        words = _BY_EYE_BEHIND.sub("", _BY_EYE.sub("", text.strip(), count=1))
    known: Known = "measured" if words is text else "by eye"
    for mark, fraction in _HALVES.items():
        words = words.replace(mark, fraction)
    if len(words) > MOST_LETTERS:
        raise QuantityError(text[:60] + "…", "that is too long to read", do="write it shorter.")
    found = _NUMBER.match(words)
    if found is None:
        raise QuantityError(
            text[:60], "it does not begin with a number", do="write it like 100 g or 24 fl oz."
        )
    written, rest = found[1], words[found.end() :]
    _in_one_way(text, words, found, known)
    if _SPACED.fullmatch(written):
        written = written.replace(" ", "")
    if written.isdecimal():
        return float(written), rest, known
    from fractions import Fraction

    try:
        whole = sum(Fraction(part.replace(",", ".")) for part in written.split())
    except ZeroDivisionError as reason:
        raise QuantityError(text, "that is divided by 0", do="write 1/2.") from reason
    return float(whole), rest, known


def _in_one_way(text: str, words: str, found: "re.Match[str]", known: Known) -> None:
    """Refuse a number that may be read in two ways.

    Raises:
        AmbiguousAmountError: a separator of thousands or decimals, a range, a gram or grain.
    """
    written, rest = found[1], words[found.end() :]
    before = "about " if known == "by eye" else ""
    of_a_scale = _SCALE.match(rest) or len(written.partition(".")[0]) > 2
    if _THOUSANDS.fullmatch(written) and not ("." in written and of_a_scale):
        plain = re.sub(r"[.,]", "", written), re.sub(r"[.,]0*$|[.,](\d*?)0*$", r".\1", written)
        why = f"does {written} mean thousands or decimals?"
        raise _in_two_ways(text, why, [f"{before}{one.rstrip('.')} {rest}" for one in plain])
    if run := _RANGE.match(rest):
        why = "that is a range, and what was measured is one amount"
        other, end = run[1], rest[run.end() :].strip()
        raise _in_two_ways(text, why, [f"{before}{one} {end}" for one in (written, other)])
    if grains := _GR.match(rest):
        end = rest[grains.end() :]
        why = "gr is short for grams and for grains"
        raise _in_two_ways(
            text, why, [f"{before}{written} {unit}{end}" for unit in ("g", "grains")]
        )


def _in_two_ways(text: str, why: str, texts: Sequence[str]) -> AmbiguousAmountError:
    return AmbiguousAmountError(text, why, [Reading(" ".join(one.split()), "") for one in texts])


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
    why = "no unit that is known here follows the number" if parts else "it has no unit"
    raise _misread(text, why, wanted)


def _converted(amount: float, unit: str, text: str) -> tuple[float, bool]:
    """The amount in grams or millilitres, and whether it is a mass."""
    if unit in _METRIC_G:
        return amount * _METRIC_G[unit], True
    if unit in _METRIC_ML:
        return amount * _METRIC_ML[unit], False
    quantity = _registry().Quantity(amount, unit)
    is_mass = quantity.check("[mass]")
    if not is_mass and not quantity.check("[volume]"):
        raise _misread(text, f"{unit} is neither a weight nor a volume", "ml")
    return float(quantity.to("gram" if is_mass else "millilitre").magnitude), is_mass


def _misread(text: str, why: str, wanted: str) -> QuantityError:
    examples = "100 g, 12 oz, 1 lb" if wanted == "g" else "500 ml, 0.5 l, 24 fl oz, 1 pint"
    return QuantityError(text[:60], why, do=f"write it like {examples}.")
