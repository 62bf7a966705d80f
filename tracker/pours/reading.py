"""A pour as written, read: the amount, how strong it is, and what it is."""

import re

import msgspec

from tracker.core.facts.fields import Known, Liquid, Pour
from tracker.core.menstruum import ethanol_water, glycerin, liquids
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.sizing import FLUID_OUNCE_ML, OUNCE_G
from tracker.core.values.errors import (
    AmbiguousAmountError,
    AmbiguousPourError,
    QuantityError,
    Reading,
)
from tracker.outputs.words.ingredients import poured as echoed
from tracker.pours import liquid_meant
from tracker.pours.liquid_meant import Meant
from tracker.pours.plain_text import plain
from tracker.pours.strengths import strengths_in
from tracker.quantities import Amount, in_each_way, leading, must_be_some

# kg/m3 at 20 °C, for a liquid that was weighed.
_KG_M3 = {
    "water": ethanol_water.density_kg_m3(0.0),
    "vinegar": liquids.VINEGAR_KG_M3,
    "oil": liquids.OIL_KG_M3,
} | liquids.VOLUMES_ADDED_KG_M3
# Sold by weight as often as by volume, and far from as heavy as water.
_BY_EITHER = ("honey", "syrup", "glycerin")
_OUNCES = re.compile(r"\d ?(?:oz\b\.?|ounces?)$", re.IGNORECASE)
_TIMES = re.compile(r"(\d{1,3}) ?[x*] ?(?=\d)", re.IGNORECASE)
_AMOUNT = re.compile(r"(?:about |around |by eye |[~≈] ?)?[+-]?[.,]?\d", re.IGNORECASE)
_SECOND_AMOUNT = re.compile(
    r"(?<![\w.,/])\d+(?:[.,]\d+)? ?(?:ml|millilit\w+|cl|dl|l|lit\w+|kg|mg|g|gram\w*|oz|ounces?"
    r"|fl ?oz"
    r"|cups?|pints?|quarts?|gal(?:lons?)?|lbs?|pounds?|tsp|tbsp|drops?)\b(?! ?/)",
    re.IGNORECASE,
)


class _Amount(msgspec.Struct, frozen=True):
    """How much: g or ml, as weighed or measured, and the words it was written in."""

    value: float
    is_mass: bool
    unit: str
    known: Known
    words: str


def begins_a_pour(text: str) -> bool:
    """Whether the text begins with an amount, as a pour does."""
    return _AMOUNT.match(plain(text)) is not None


def pour(text: str, units: UnitSystem = "us") -> Pour:
    """An amount and then what: `500 ml 45%`, `24 fl oz 190 proof`, `1 l cider vinegar`.

    Raises:
        AmbiguousPourError: it may be read in more than one way.
        QuantityError: it cannot be read.
    """
    try:
        with in_each_way(lambda one: echoed(_read(one, plain(one), units))):
            return _read(text.strip(), plain(text), units)
    except AmbiguousAmountError as asked:
        raise AmbiguousPourError(asked.text, asked.why, asked.readings) from None


def amount_of(
    text: str, meant: Meant, units: UnitSystem = "us", *, may_be_none: bool = False
) -> Amount:
    """So much of a liquid that is known, measured or weighed, as millilitres.

    Raises:
        AmbiguousAmountError: it may be read in more than one way.
        QuantityError: it cannot be read, or there is more than an amount.
    """

    def read(words: str) -> tuple[float, Known]:
        amount, rest = _amount(words, units, may_be_none=may_be_none)
        if rest:
            raise QuantityError(
                text,
                f"{rest!r} is not a unit of volume",
                do="write an amount and the code: 500 ml LOT-26-01.",
            )
        value = _volume_ml(amount, meant, words, units)
        if not (may_be_none and value == 0):
            must_be_some(value, words)
        return value, "weighed" if amount.is_mass and amount.known == "measured" else amount.known

    with in_each_way(lambda one: f"{read(one)[0]:g} ml"):
        value, known = read(plain(text))
    return Amount(value, text.strip(), known)


def without_amount(text: str, units: UnitSystem = "us") -> str:
    """The words of a pour behind its amount; all of them where no amount can be read."""
    words = plain(text)
    try:
        return _amount(words, units)[1]
    except QuantityError:
        return words


def _read(text: str, words: str, units: UnitSystem) -> Pour:
    amount, what = _amount(words, units)
    _one_amount(words, amount, what)
    said = strengths_in(what, amount.words, units)
    meant = liquid_meant.of(said, amount.words, what)
    value = _volume_ml(amount, meant, words, units)
    must_be_some(value, words)
    return Pour(
        liquid=meant.liquid,
        volume_ml=value,
        ethanol_pct_vol=meant.ethanol_pct_vol,
        glycerin_pct_mass=meant.glycerin_pct_mass,
        name=meant.name,
        written=text,
        known="weighed" if amount.is_mass and amount.known == "measured" else amount.known,
    )


def _amount(words: str, units: UnitSystem, *, may_be_none: bool = False) -> tuple[_Amount, str]:
    times, many = _TIMES.match(words), 1
    if times is not None:
        many = int(times[1])
    value, is_mass, unit, known, rest = leading(words[times.end() if times else 0 :], units)
    if not (may_be_none and value == 0):
        must_be_some(value * many, words)
    before = words[: len(words) - len(rest)].strip() if words.endswith(rest) else ""
    what = re.sub(r"^of\b ?|^[,:] ?", "", rest)
    return _Amount(value * many, is_mass, unit, known, before or f"{value * many:g} ml"), what


def _one_amount(words: str, amount: _Amount, what: str) -> None:
    """Refuse a second amount.

    Raises:
        AmbiguousAmountError: there is one.
    """
    second = _SECOND_AMOUNT.search(what)
    if second is None:
        return
    sides = [one.strip(" +&,") for one in (what[: second.start()], what[second.end() :])]
    if all(sides):
        each = f'"{amount.words} {sides[0]}" and "{second[0]} {sides[1]}"'
        raise QuantityError(
            words, "there are two amounts", do=f"give each a pour of its own: {each}."
        )
    named = [one for one in sides if one]
    why = "there are two amounts, and a pour is one of one liquid"
    ways = (amount.words, second[0])
    readings = [Reading(" ".join([one, *named]), "") for one in ways]
    raise AmbiguousAmountError(words, why, readings)


def _volume_ml(amount: _Amount, meant: Meant, words: str, units: UnitSystem) -> float:
    """Millilitres at 20 °C of what was measured or weighed.

    Raises:
        QuantityError: sugar by volume, or a liquid whose density is not known by weight.
        AmbiguousAmountError: ounces, where they may be of weight or of fluid.
    """
    if _OUNCES.search(amount.words) and meant.liquid in (*_BY_EITHER, "sugar"):
        fluid = amount.value / FLUID_OUNCE_ML[units]
        if meant.liquid == "sugar":
            return fluid * OUNCE_G / _KG_M3["sugar"] * 1000.0
        why = "are these ounces of weight or of fluid?"
        rest = words[len(amount.words) :].strip()
        ways = (f"{fluid:g} fl oz {rest}", f"{round(fluid * OUNCE_G, 2):g} g {rest}")
        raise AmbiguousAmountError(words, why, [Reading(one, "") for one in ways])
    if not amount.is_mass:
        if meant.liquid == "sugar":
            raise QuantityError(words, "sugar is weighed", do="write it like 650 g sugar.")
        return amount.value
    return amount.value / _kg_m3(meant, words) * 1000.0


def _kg_m3(meant: Meant, words: str) -> float:
    liquid: Liquid = meant.liquid
    if meant.ethanol_pct_vol is None:
        raise QuantityError(
            words,
            "its strength is not known, so its weight is not either",
            do="measure it by volume, or write its strength.",
        )
    if liquid == "ethanol":
        return ethanol_water.density_kg_m3(
            ethanol_water.mass_fraction(meant.ethanol_pct_vol / 100.0)
        )
    if liquid == "glycerin":
        share = 100.0 if meant.glycerin_pct_mass is None else meant.glycerin_pct_mass
        return glycerin.density_kg_m3(share / 100.0)
    if liquid not in _KG_M3:
        raise QuantityError(
            words, "what a litre of it weighs is not known", do="measure it by volume."
        )
    return _KG_M3[liquid]
