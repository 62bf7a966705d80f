"""What a pour comes out of, where it is written with a code: `200 ml CAOF-26-01A`."""

import re
from collections.abc import Callable

from tracker.cli.find import extract_of
from tracker.core.menstruum.mixture import Mixture, Part, scaled
from tracker.core.reckoning.amounts import herb_water_ml
from tracker.core.reckoning.strength import mixture_in, parts_with
from tracker.core.rules.checks.jar_state import must_come_off
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.thing import Thing
from tracker.core.values.command_words import command
from tracker.core.values.errors import AmbiguousCodeError, RefusedError, UnknownCodeError

Find = Callable[[str], Thing]

# Whatever has the shape of a code is never read as the name of a liquid.
_SHAPE = re.compile(r"(?<![\w-])(?:[A-Za-z]{2,4}-\d|[A-Za-z]{2,6}-\d{2}-\d)[\w-]*(?:/\d+)?")


def code_shaped(text: str) -> str | None:
    """What in a pour looks like the code of something of the book, but of no lot."""
    found = _SHAPE.search(text)
    return None if found is None or is_lot_code(found[0]) else found[0]


def to_pour_from(thing: Thing) -> Thing:
    """The extract or bottle a code names, or the only extract of a jar that was pressed.

    Raises:
        RefusedError: there is none, or there are several, or the herb is still in the jar.
    """
    if thing.extract is None and thing.jar is not None and thing.jar.is_macerating:
        raise refusal(Verdict.of(must_come_off(thing)).refusals)
    return extract_of(thing, "poured out")


def own_code(text: str, find: Find) -> str | None:
    """The last word, where something goes by just that: a maker gives codes of any shape."""
    word = text.split()[-1] if text.split() else ""
    try:
        return word if find(word).code.upper() == word.upper() else None
    except (UnknownCodeError, AmbiguousCodeError):
        return None


def parts_of(thing: Thing, volume_ml: float) -> list[Part]:
    """So much of an extract as pours that come to the same volume and strength.

    Raises:
        RefusedError: how strong it is is not known.
    """
    mixed, liquids = made_up_of(thing)
    if liquids <= {"ethanol", "water"}:
        return [Part("ethanol", volume_ml, mixed.ethanol_pct_vol or 0.0)]
    parts = parts_with(thing.made, herb_water_ml(thing.made) or 0.0)
    return scaled(parts, volume_ml / mixed.volume_ml) if mixed.volume_ml else []


def made_up_of(thing: Thing) -> tuple[Mixture, set[str]]:
    """What an extract is by mass balance, and the liquids it is made of.

    Raises:
        RefusedError: how strong it is is not known.
    """
    mixed = mixture_in(thing.made)
    if mixed is None or not mixed.reckoned or mixed.ethanol_pct_vol is None:
        why = f": {mixed.why}" if mixed is not None and mixed.why else ""
        raise RefusedError(
            thing.code,
            f"its strength is not known, so nothing can be reckoned with it{why}",
            do=f"leave it out; `{command('show', thing.code)}` shows what it was made of.",
        )
    return mixed, {pour.liquid for pour in thing.made.pours}
