"""Contents against the jar, and herb and menstruum against each other: far off is asked about.

Nobody is refused here: a jar filled to the brim, a syrup of a handful of herb, all of it may
be. But a slip of a unit or a digit shows in these before it shows anywhere else.
"""

from collections.abc import Iterable, Iterator

from tracker.core.facts.fields import Form, HerbFact, Pour
from tracker.core.facts.jars import (
    Charged,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Split,
    SteepedAgain,
)
from tracker.core.reckoning import amounts
from tracker.core.reckoning.displacement import DISPLACEMENT_BAND
from tracker.core.rules.checks import jar_state
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing

# All common practice, no source. A jar holds a little more to the brim than it is sold as.
_TO_THE_BRIM = 1.05
_HARDLY_FILLED = 0.1
# R of 1:R below which hardly any herb is covered, and above which it is hardly a tincture.
_LEAST_RATIO: dict[str, float] = {"fresh": 0.5, "dried": 1.0}
_MOST_RATIO = 50.0
# How many times what is there a top-up and more herb usually stay below.
_MOST_TOP_UP, _MOST_MORE_HERB = 5.0, 10.0
# A gram of the fluffiest herb takes up less room than this, ml.
_MOST_ROOM_ML_PER_G = 3.0
_MISREAD = 0.95

AGAIN = "read the amounts and the unit again: ml or oz?"


def charged(fact: Charged) -> Iterator[Finding]:
    """Ask where a charge does not fit its jar, hardly fills it, or is of an odd ratio."""
    menstruum_ml, form = sum(one.volume_ml for one in fact.pours), fact.form
    herb_g = fact.herb_g or 0.0
    if fact.filled_ml is not None:
        yield from filled(fact.code, fact.filled_ml, fact.jar_ml, menstruum_ml, fact.herb_g)
    else:
        least_ml = menstruum_ml + herb_g * DISPLACEMENT_BAND[form][0]
        yield from in_jar(fact.code, least_ml, fact.jar_ml)
    most_ml = menstruum_ml + herb_g * DISPLACEMENT_BAND[form][1]
    if fact.jar_ml is not None and fact.herb_g and most_ml < fact.jar_ml * _HARDLY_FILLED:
        what = f"{most_ml:,.0f} ml of herb and menstruum hardly fill a {fact.jar_ml:,.0f} ml jar"
        yield _question(fact.code, what, "read the size of the jar and the amounts again")
    # Herb is layered in sugar by weight, and hardly covered at first.
    if menstruum_ml > herb_g or all(one.liquid != "sugar" for one in fact.pours):
        yield from ratio(fact.code, form, menstruum_ml, fact.herb_g)


def in_jar(code: str, least_ml: float, jar_ml: float | None) -> Iterator[Finding]:
    """Ask about more than fits a jar even where the herb packs well."""
    if jar_ml is not None and least_ml > jar_ml * _TO_THE_BRIM:
        what = f"herb and menstruum fill at least {least_ml:,.0f} ml in a {jar_ml:,.0f} ml jar"
        yield _question(code, what, "read the size of the jar and the amounts again")


def least_ml(jar: Jar) -> float:
    """What herb and menstruum in a jar fill, where the herb packs well."""
    low = min((DISPLACEMENT_BAND[form][0] for form in _forms(jar)), default=0.0)
    return amounts.poured_on_ml(jar) + (jar.marc_g or 0.0) * low


def ratio(code: str, form: str, menstruum_ml: float, herb_g: float | None) -> Iterator[Finding]:
    """Ask about herb that hardly anything covers, or that is lost in its menstruum."""
    if not herb_g or menstruum_ml <= 0:
        return
    found = menstruum_ml / herb_g
    if not _LEAST_RATIO[form] <= found <= _MOST_RATIO:
        both = f"{_amount(herb_g)} g of {form} herb in {_amount(menstruum_ml)} ml"
        yield _question(code, f"{both} is 1:{_amount(found)}", AGAIN)


def topped_up(jar: Jar, pours: Iterable[Pour]) -> Iterator[Finding]:
    """Ask about a top-up many times what is in the jar, or more than fits it."""
    poured_ml, there_ml = sum(one.volume_ml for one in pours), amounts.poured_on_ml(jar)
    yield from in_jar(jar.code, least_ml(jar) + poured_ml, jar.jar_ml)
    if there_ml > 0 and poured_ml > there_ml * _MOST_TOP_UP:
        what = f"{_amount(poured_ml)} ml is many times the {_amount(there_ml)} ml in it"
        yield _question(jar.code, what, AGAIN)
    elif jar.marc_g and (there_ml + poured_ml) / jar.marc_g > _MOST_RATIO:
        yield from ratio(jar.code, jar.form, there_ml + poured_ml, jar.marc_g)


def more_herb(jar: Jar, fact: HerbFact) -> Iterator[Finding]:
    """Ask about many times the herb that is in the jar, or more than fits it."""
    herb_g = fact.herb_g or 0.0
    low = DISPLACEMENT_BAND[fact.form][0]
    yield from in_jar(jar.code, least_ml(jar) + herb_g * low, jar.jar_ml)
    if jar.marc_g and herb_g > jar.marc_g * _MOST_MORE_HERB:
        what = f"{_amount(herb_g)} g is many times the {_amount(jar.marc_g)} g in it"
        yield _question(jar.code, what, AGAIN)
    elif jar.marc_g and herb_g:
        together = (amounts.poured_on_ml(jar), jar.marc_g + herb_g)
        if together[0] / together[1] < _LEAST_RATIO[fact.form]:
            yield from ratio(jar.code, fact.form, *together)


def recharged(jar: Jar, fact: Recharged, there_ml: float) -> Iterator[Finding]:
    """Ask where new herb and the old extract do not fit the jar, or each other."""
    menstruum_ml = there_ml if fact.volume_ml is None else fact.volume_ml
    herb_ml = (fact.herb_g or 0.0) * DISPLACEMENT_BAND[fact.form][0]
    yield from in_jar(jar.code, menstruum_ml + herb_ml, jar.jar_ml)
    yield from ratio(jar.code, fact.form, menstruum_ml, fact.herb_g)


def steeped_again(jar: Jar, fact: SteepedAgain) -> Iterator[Finding]:
    """Ask where old marc and new menstruum do not fit the jar, or each other.

    Marc is wet already, so little menstruum is not asked about.
    """
    menstruum_ml, herb_g = sum(one.volume_ml for one in fact.pours), jar.marc_g or 0.0
    low = min((DISPLACEMENT_BAND[form][0] for form in _forms(jar)), default=0.0)
    yield from in_jar(jar.code, menstruum_ml + herb_g * low, jar.jar_ml)
    if herb_g and menstruum_ml / herb_g > _MOST_RATIO:
        yield from ratio(jar.code, jar.form, menstruum_ml, herb_g)


def split(fact: Split, thing: Thing | Lot | None) -> Iterator[Finding]:
    """Ask where a share does not fit its jar."""
    for jar in _jars((thing,)):
        for part in fact.into:
            yield from in_jar(part.code, least_ml(jar) * part.share, part.jar_ml)


def joined(fact: Joined, things: Iterable[Thing | Lot]) -> Iterator[Finding]:
    """Ask where the jars together do not fit the one they go into."""
    yield from in_jar(fact.code, sum(map(least_ml, _jars(things))), fact.jar_ml)


def stands(thing: Thing, fact: LookedAt | Moved) -> Iterator[Finding]:
    """Ask about a jar too small for what is moved into it, and about an odd reading."""
    jar = thing.jar if thing.extract is None else None
    if isinstance(fact, Moved):
        if jar is not None and jar.is_macerating:
            yield from in_jar(jar.code, least_ml(jar), fact.jar_ml)
    elif fact.filled_ml is not None:
        yield from jar_state.is_jar(thing, "read for how full it is")
        if jar is not None:
            yield from jar_state.steeps(jar, "read for how full it is")
            poured_ml = amounts.poured_on_ml(jar)
            yield from filled(jar.code, fact.filled_ml, jar.jar_ml, poured_ml, jar.marc_g)


def _jars(things: Iterable[Thing | Lot | None]) -> Iterator[Jar]:
    """Those of the things that are jars."""
    return (one.jar for one in things if isinstance(one, Thing) and one.jar is not None)


def _forms(jar: Jar) -> set[Form]:
    return {"fresh" if one.form == "fresh" else "dried" for one in jar.herbs}


def filled(
    code: str, filled_ml: float, jar_ml: float | None, poured_ml: float, herb_g: float | None
) -> Iterator[Finding]:
    """What is asked about how full a jar is."""
    do = "read the jar again: ml or oz? Is it herb and menstruum together?"
    if jar_ml is not None and filled_ml > jar_ml * _TO_THE_BRIM:
        yield _question(code, f"{filled_ml:,.0f} ml in a {jar_ml:,.0f} ml jar", do)
    if filled_ml < poured_ml * _MISREAD:
        what = f"it is filled to {filled_ml:,.0f} ml, less than the {poured_ml:,.0f} ml poured on"
        yield _question(code, what, do)
    elif herb_g and filled_ml - poured_ml > herb_g * _MOST_ROOM_ML_PER_G:
        each = (filled_ml - poured_ml) / herb_g
        what = f"it is filled to {filled_ml:,.0f} ml, so a gram of herb would take up {each:.1f} ml"
        yield _question(code, what, do)


def _amount(value: float) -> str:
    """Whole numbers from a hundred, else two places at most."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.2f}".rstrip("0").rstrip(".")


def _question(code: str, what: str, do: str) -> Finding:
    return Finding("room", code, what, do, "question")
