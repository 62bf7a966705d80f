"""How strong a pour is said to be: every way a strength is written, and what it comes to."""

import re
from collections.abc import Iterator
from functools import cache
from typing import Final, Literal

import msgspec

from tracker.core.menstruum.ethanol_water import volume_fraction
from tracker.core.menstruum.proof import BRITISH_PROOF_PER_PCT, US_PROOF_PER_PCT
from tracker.core.practice.practice import UnitSystem
from tracker.core.values.errors import AmbiguousAmountError, QuantityError, Reading
from tracker.pours.plain_text import plain

Basis = Literal["%", "% vol", "% mass", "US proof", "British proof", "degrees"]

_NUMBER = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
_PCT = r"(?:%|per ?cent\b|pct\b\.?|percent\b)"
_BY_VOL = (
    r"(?:by vol(?:ume)?\b\.?|vol ?/ ?vol\b\.?|vol(?:ume)?\b\.?|abv\b|a\.b\.v\.|v/v"
    r"|alc\.? ?/ ?vol\b\.?"
    r"|alc(?:ohol)?\.? by vol(?:ume)?\b\.?|ethanol by vol(?:ume)?\b\.?|alc\b\.? vol\b\.?"
    r"|alc\b\.?)"
)
_BY_MASS = (
    r"(?:by (?:weight|mass|wt)\b\.?|w/w|m/m|wt\b\.?|weight\b|mass\b|mas\b\.?"
    r"|alc(?:ohol)?\.? by (?:weight|mass)\b|abw\b)"
)
_WHOSE = (
    r"(?:(?P<us>us|u\.s\.|american)|(?P<british>british|brit\.|uk|u\.k\.|gb|imperial|imp\.?"
    r"|english|sikes'?s?|sykes'?s?))"
)
_BEFORE_PROOF = rf"(?:{_WHOSE}\s*)?"
# Whose proof it is may stand behind in brackets, or as the last word of all.
_WHOSE_BEHIND = _WHOSE.replace("us>", "us2>").replace("british>", "british2>")
_AFTER_PROOF = rf"(?:\s*(?:\(|(?=[a-z.']+\s*$)){_WHOSE_BEHIND}\)?)?"
_RANGE = re.compile(
    rf"(?P<low>{_NUMBER})\s*(?:{_PCT}|°)?\s*(?:-|to|or)\s*(?P<high>{_NUMBER})\s*"
    rf"(?P<mark>{_PCT}|°(?! ?[cf]\b)|(?:us |british |uk |imperial )?proof\b|vol\.? ?%|wt\.? ?%)",
    re.I,
)
_BOTH = rf"(?P<number>{_NUMBER})\s*{_PCT}\s*(?:us |british |uk )?proof\b"
_LOOSE = re.compile(
    r"(?:[<>≤≥~≈±]|\b(?:min|max|minimum|maximum|at least|at most|about|approx|approximately|around"
    rf"|ca|circa|up to)\b\.?)\s*(?P<said>{_NUMBER}\s*(?:{_PCT}|°|(?:us |uk |british )?proof\b))",
    re.I,
)
_NEGATIVE = re.compile(rf"(?:^|\s)-\s?{_NUMBER}\s*(?:{_PCT}|°|proof\b)", re.I)
_NOT_KNOWN = re.compile(
    r"(?:^|\s)[-?]\s?%(?:\s?vol\b\.?)?"
    r"|\b(?:of unknown strength|strength (?:is )?(?:unknown|not known))\b",
    re.I,
)
_PER_VOLUME_OF_MASS = re.compile(
    rf"{_NUMBER}\s*{_PCT}\s*\(?(?:w/v|m/v|mass/vol)|[gw]\s?/\s?(?:100 ?ml|l)\b", re.I
)
_TEMPERATURE = re.compile(rf"{_NUMBER}\s*(?:°|degrees?|deg\.?)\s*[cf]\b", re.I)
_SCALES = r"\b(?:cartier|baum[eé]|brix|plato|oechsle|be)\b"

# Pure ethanol on the Sikes scale, from memory; four parts in seven make it 175.
_MOST_BRITISH_PROOF: Final = 175.2

_N = rf"(?P<n>{_NUMBER})\s*"
_DEGREES = r"(?:°|degrees?\b|deg\b\.?)\s*"
_LUSSAC = r"(?:gl\b|g\.l\.|gay[- ]lussac\b|vol\b\.?)"
_END = r"(?![\d,.]|\s*%)"
_MASS = ("w/w", "m/m", "wt", "weight", "mas", "abw")
_VOLUME = ("vol", "abv", "a.b.v.", "v/v", "alc")
# A way of writing: letters of which any has to be there, its pattern, and its basis. The longer
# ones first; what a whole match leaves is the name. A pattern takes longer to make than to search
# with, so one is made when a pour has its letters.
_WAYS: Final = (
    # 30 under proof is 70 British proof: the Sikes scale counts from proof spirit.
    (("proof",), rf"{_N}(?:{_DEGREES})?(?P<side>under|over)[ -]proof\b", "side"),
    (("u.p.", "o.p."), rf"{_N}(?P<side>u\.p\.|o\.p\.)", "side"),
    (("proof",), rf"{_N}(?:{_DEGREES})?{_BEFORE_PROOF}proof\b{_AFTER_PROOF}", "proof"),
    (("proof",), rf"{_BEFORE_PROOF}proof\s*:?\s*{_N}(?!%|°|\d)", "proof"),
    (_MASS, rf"{_N}{_PCT}\s*\(?{_BY_MASS}\)?", "% mass"),
    (_MASS, rf"{_N}(?:wt|w/w|m/m|mass)\.?\s*-?{_PCT}", "% mass"),
    (_MASS, rf"(?:wt|w/w|m/m|mass)\.?\s*{_PCT}\s*:?\s*(?P<n>{_NUMBER}){_END}", "% mass"),
    (_VOLUME, rf"(?:\balc\b\.?\s*)?{_N}{_PCT}\s*\(?{_BY_VOL}\)?", "% vol"),
    (_VOLUME, rf"{_N}(?:vol|v/v|abv)\.?\s*-?{_PCT}", "% vol"),
    (
        _VOLUME,
        rf"\b(?:vol|abv|alc\.?|v/v)\.?\s*{_PCT}?\s*:?\s*{_N}{_PCT}?(?![\d,.])"
        r"(?:\s*vol\b\.?)?",
        "% vol",
    ),
    (_VOLUME, rf"{_N}(?:abv\b|vol\b)", "% vol"),
    (("%", "cent", "pct"), rf"{_N}{_PCT}", "%"),
    # Degrees of Gay-Lussac are % vol (his alcoholometer of 1824, at 15 °C; from memory).
    (("°", "deg"), rf"{_N}{_DEGREES}{_LUSSAC}?", "degrees"),
    (("gl", "g.l."), rf"{_N}(?:gl\b|g\.l\.)", "degrees"),
)


@cache
def _made(pattern: str) -> "re.Pattern[str]":
    return re.compile(pattern, re.IGNORECASE)


def _has(letters: tuple[str, ...], text: str) -> bool:
    """Whether any of these may be in a text: beyond ASCII other letters count as some."""
    lower = text.lower()
    return not text.isascii() or any(one in lower for one in letters)


class Stated(msgspec.Struct, frozen=True):
    """A strength as it was stated.

    Attributes:
        value: the number, in its own basis.
        written: the words of it alone.
    """

    value: float
    basis: Basis
    written: str

    @property
    def pct_vol(self) -> float:
        """Ethanol, % vol at 20 °C; the tenth of a degree between 60 °F and 20 °C is left alone."""
        match self.basis:
            case "US proof":
                return self.value / US_PROOF_PER_PCT
            case "British proof":
                return round(self.value / BRITISH_PROOF_PER_PCT, 2)
            case "% mass":
                return round(100.0 * volume_fraction(min(self.value, 100.0) / 100.0), 2)
        return self.value

    @property
    def is_too_much(self) -> bool:
        """Whether it is more than pure."""
        match self.basis:
            case "% mass":
                return self.value > 100.0
            case "British proof":
                return self.value > _MOST_BRITISH_PROOF
        return self.pct_vol > 100.0


class Strengths(msgspec.Struct, frozen=True):
    """What a pour says of its strength, and the words that are left."""

    stated: tuple[Stated, ...]
    is_unknown: bool  # it says that nobody knows
    rest: str


def strengths_in(what: str, before: str, units: UnitSystem) -> Strengths:
    """Every strength in what follows the amount of a pour.

    Args:
        what: the words, plain.
        before: the amount, for the readings of what is ambiguous.
        units: whose proof one is that does not say.

    Raises:
        AmbiguousAmountError: a range, or a percentage that is a proof as well.
        QuantityError: a number that is no strength: below nothing, a temperature.
    """
    text = f"{before} {what}"
    if loose := _LOOSE.search(what):
        why = "that is a limit or a guess, and a strength is one number"
        raise _asked(text, why, before, what, loose, [loose["said"]])
    if _has(("proof",), what) and (both := _made(_BOTH).search(what)):
        why = "is that a percentage or a proof?"
        raise _asked(
            text, why, before, what, both, [f"{both['number']}{end}" for end in ("%", " proof")]
        )
    if run := _RANGE.search(what):
        why = "that is a range, and a liquid has one strength"
        space = "" if run["mark"] in "%°" else " "
        raise _asked(
            text,
            why,
            before,
            what,
            run,
            [f"{run[end]}{space}{run['mark']}" for end in ("low", "high")],
        )
    _no_strength(what, text)
    without, unknown = _NOT_KNOWN.subn(" ", what)
    stated, rest = [], without
    for letters, way, basis in _WAYS:
        while _has(letters, rest) and (found := _made(way).search(rest)):
            stated.append(_stated(found, basis, units))
            rest = f"{rest[: found.start()]} {rest[found.end() :]}"
    return Strengths(tuple(stated), unknown > 0, " ".join(rest.split()))


def pct_vol_of(text: str, units: UnitSystem) -> float | None:
    """A strength alone, % vol: `60%`, `60`, `120 proof`, `52 % by mass`; None where it is none."""
    words = plain(text)
    found = strengths_in(f"{words}%" if re.fullmatch(_NUMBER, words) else words, "", units)
    if len(found.stated) != 1 or found.rest or found.stated[0].is_too_much:
        return None
    return found.stated[0].pct_vol


def _stated(found: "re.Match[str]", basis: str, units: UnitSystem) -> Stated:
    groups = found.groupdict()
    value, written = _value(groups["n"]), found[0].strip()
    match basis:
        case "side":
            over = groups["side"].lower() in ("over", "o.p.")
            return Stated(100.0 + (value if over else -value), "British proof", written)
        case "proof":
            is_us = groups["us"] or groups.get("us2")
            is_british = groups["british"] or groups.get("british2")
            whose = "us" if is_us else "british" if is_british else units
            return Stated(value, "British proof" if whose == "british" else "US proof", written)
        case "% mass" | "% vol" | "degrees":
            return Stated(value, basis, written)
    return Stated(value, "%", written)


def _value(number: str) -> float:
    parts = [part.split("/") for part in number.replace(",", ".").split()]
    bottoms = [float(one[1]) if len(one) > 1 else 1.0 for one in parts]
    if not all(bottoms):
        raise QuantityError(number, "that is divided by 0", do="write 1/2.")
    return sum(float(one[0]) / bottom for one, bottom in zip(parts, bottoms, strict=True))


def _no_strength(what: str, text: str) -> None:
    if _NEGATIVE.search(what):
        raise QuantityError(text, "a strength cannot be below 0", do="write it like 45%.")
    if _PER_VOLUME_OF_MASS.search(what):
        raise QuantityError(
            text, "grams in a volume are neither % vol nor % by mass", do="write it in % vol: 45%."
        )
    if _TEMPERATURE.search(what):
        raise QuantityError(text, "that is a temperature", do="leave it out, or write 40% vol.")
    if re.search(r"\d\s*°?\s*[a-zé]", what, re.I) and _made(_SCALES).search(what):
        raise QuantityError(
            text, "that way of giving a strength is not known here", do="write it in % vol: 45%."
        )


def _asked(
    text: str, why: str, before: str, what: str, found: "re.Match[str]", ways: list[str]
) -> AmbiguousAmountError:
    return AmbiguousAmountError(text, why, list(_readings(before, what, found, ways)))


def _readings(before: str, what: str, found: "re.Match[str]", ways: list[str]) -> Iterator[Reading]:
    for way in ways:
        words = f"{before} {what[: found.start()]} {way} {what[found.end() :]}"
        yield Reading(" ".join(words.split()), "")
