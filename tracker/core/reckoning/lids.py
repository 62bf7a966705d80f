"""Lids: what is between the liquid and the metal, out of the words a maker has for it."""

import re
from collections.abc import Collection
from typing import Literal

from tracker.core.shelf.contents import Poured
from tracker.core.shelf.jar import Jar

# Bare metal over what eats it, no metal or something between, or words that do not say.
LidState = Literal["bare", "safe", "unknown"]

# What eats metal. Common practice, no source.
EATING = frozenset({"ethanol", "vinegar"})
# What nobody can say that of: a found jar, wine or a juice by its own name, an extract.
PERHAPS_EATING = frozenset({"other", "extract"})

_WORDS = {
    "nothing": "none no nothing without bare not missing off open uncovered uncoated unlined",
    "metal": "metal metallic tin tinned tinplate tinplated steel stainless inox zinc galvanised "
    "galvanized aluminium aluminum alu iron brass bronze copper nickel chrome pewter foil tinfoil",
    # Of a two-piece lid: of metal, unless the words say of what else.
    "metal part": "ring band mason canning piece disc dome screwband lug twist",
    "no metal": "glass cork corked plastic bakelite silicone rubber wood wooden ceramic porcelain "
    "stoneware earthenware clay nonmetal polypropylene polyethylene pp pe hdpe ptfe teflon",
    # It covers a jar and is no metal, but soaks through where it lies under some.
    "cloth": "cloth cheesecloth muslin linen cotton fabric",
    # What lies in a lid of metal or on it.
    "coated": "coated coating lined liner lining plastisol enamel enamelled enameled lacquer "
    "lacquered insert inlay painted",
    "between": "parchment paper baking waxed wax beeswax cling clingfilm film wrap",
}
_OF = {name: frozenset(text.split()) for name, text in _WORDS.items()}
_NOTHING, _METAL, _METAL_PARTS = _OF["nothing"], _OF["metal"], _OF["metal part"]
_NO_METAL, _CLOTH, _COATED = _OF["no metal"], _OF["cloth"], _OF["coated"]
_BARRIER = _COATED | _NO_METAL | _OF["between"]
_KNOWN = frozenset[str]().union(*_OF.values())


def _words(text: str) -> set[str]:
    """The words of a text, in small letters and without the s of a plural."""
    joined = re.sub(r"\b(?:non|not|no)[\s-]+metal(?:lic)?s?\b", "nonmetal", text.lower())
    found = re.findall(r"[^\W\d_]+", joined)
    return {one if one in _KNOWN else one.removesuffix("s") for one in found}


def is_nothing(text: str) -> bool:
    """Whether the words say that there is none: `none`, `no`, `without`, `-`."""
    words = _words(text)
    return words <= _NOTHING | {"lid", "barrier"} if words else not text.strip(" -–—.")


def _of_lid(text: str) -> LidState:
    """What the words for a lid alone say of it."""
    words = _words(text)
    if is_nothing(text):
        return "safe"
    if words & _METAL:
        if words & _COATED:
            return "bare" if words & _NOTHING else "safe"
        return "unknown" if words & _NO_METAL else "bare"
    if words & (_BARRIER | _CLOTH):
        return "safe"
    return "bare" if words & _METAL_PARTS else "unknown"


def _of_barrier(text: str) -> LidState:
    """Whether the words for what lies under the lid keep the liquid off it."""
    words = _words(text)
    if is_nothing(text):
        return "bare"
    if words & _METAL and not words & _BARRIER:
        return "bare"
    if words & _NOTHING:
        return "bare" if words & _BARRIER else "unknown"
    if words & _METAL and not words & _COATED:
        return "unknown"
    return "safe" if words & _BARRIER else "unknown"


def lid_state(lid: str | None, barrier: str | None) -> LidState | None:
    """Whether a lid is bare metal, as far as its words and those of the barrier say.

    Returns:
        None where no lid was named.
    """
    if lid is None:
        return None
    state = _of_lid(lid)
    if state == "safe" or barrier is None:
        return state
    under = _of_barrier(barrier)
    if state == "bare":
        return under
    return "safe" if under == "safe" else "unknown"


def _may_eat(pours: Collection[Poured]) -> bool:
    """Whether spirit or vinegar was poured, or something of which nobody can say it is neither."""
    liquids = {one.liquid for one in pours}
    return not liquids or bool(liquids & (EATING | PERHAPS_EATING))


def lid_in_doubt(jar: Jar) -> LidState | None:
    """`bare` or `unknown` where what is in the jar would eat bare metal; else None."""
    state = lid_state(jar.lid, jar.barrier)
    return None if state in (None, "safe") or not _may_eat(jar.pours) else state
