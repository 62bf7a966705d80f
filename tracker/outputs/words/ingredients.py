"""What was put into a vessel, in words: herbs and pours."""

import re
from typing import TYPE_CHECKING

from tracker.core.menstruum.liquids import SUGAR_ML_PER_G, called, called_plainly
from tracker.core.shelf.contents import Poured
from tracker.core.shelf.extract import NOBODY
from tracker.outputs.words.amount_words import grams, ml

if TYPE_CHECKING:
    from tracker.core.facts.fields import HerbFact, Pour
    from tracker.core.facts.jars import Charged, Found, Moved
    from tracker.core.facts.lots import Bought

_IN_ML = re.compile(r"ml", re.IGNORECASE)
_IN_OTHER_TERMS = re.compile(r"proof|w/w|m/m|mass|weight|wt|°|º|degree", re.IGNORECASE)


def herb(fact: "HerbFact") -> str:
    """The herb with its weight, as known and as written."""
    name = f"{fact.herb}{f' {fact.part}' if fact.part else ''}, {fact.form}"
    if fact.herb_g is None:
        return f"an unknown weight of {name}"
    return f"{_weight(fact.herb_g, fact)} {name}"


def herb_alone(fact: "HerbFact") -> str:
    """The same where the plant is named beside it: `100 g dried`."""
    if fact.herb_g is None:
        return f"an unknown weight, {fact.form}"
    return f"{_weight(fact.herb_g, fact)} {fact.form}"


def _weight(herb_g: float, fact: "HerbFact") -> str:
    by_eye = " by eye" if fact.herb_known == "by eye" else ""
    return f"{grams(herb_g, fact.herb_written)}{by_eye}"


def whose(fact: "Charged | Found | Moved") -> str:
    """`; belongs to P03`, or nothing where nobody is named."""
    if fact.belongs_to is None:
        return ""
    return f"; belongs to {'nobody' if fact.belongs_to == NOBODY else fact.belongs_to}"


def pours(poured: "tuple[Pour, ...]") -> str:
    """What was poured, as a list in words."""
    return " + ".join(_pour(one) for one in poured)


def poured(pour: "Pour | Poured | Bought") -> str:
    """So much of what: `500 ml 45 % vol vodka`; sugar by its weight."""
    what = called(pour.liquid, pour.ethanol_pct_vol, pour.glycerin_pct_mass, pour.name)
    return f"{amount_poured(pour)} {what}"


def amount_poured(pour: "Pour | Poured | Bought") -> str:
    """How much it is, sugar by its weight."""
    if pour.liquid == "sugar":
        return grams(pour.volume_ml / SUGAR_ML_PER_G)
    return ml(pour.volume_ml)


def _pour(pour: "Pour") -> str:
    text = poured(pour)
    if pour.liquid == "ethanol" and pour.name is None and pour.ethanol_pct_vol is not None:
        text = text.removesuffix(f" {called_plainly(pour.liquid)}")
    is_plain = not pour.written or _is_plain(pour.written) or pour.written == text
    written = "" if is_plain else f" ({pour.written})"
    return f"{text}{written}"


def _is_plain(written: str) -> bool:
    """Whether what was written is in the units of the book already."""
    return _IN_ML.search(written) is not None and _IN_OTHER_TERMS.search(written) is None
