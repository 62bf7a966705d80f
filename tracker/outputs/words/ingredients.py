"""What was put into a vessel, in words: herbs and pours."""

from tracker.core.facts.fields import HerbFact, Pour
from tracker.core.facts.jars import Charged, Found, Moved
from tracker.core.shelf.extract import NOBODY
from tracker.outputs.words.amount_words import ml


def herb(fact: HerbFact) -> str:
    """The herb with its weight, as known and as written."""
    name = f"{fact.herb}{f' {fact.part}' if fact.part else ''}, {fact.form}"
    if fact.herb_g is None:
        return f"an unknown weight of {name}"
    grams = f"{fact.herb_g:.1f}".removesuffix(".0") + " g"
    if fact.herb_written and not fact.herb_written.strip().lower().endswith("g"):
        grams += f" ({fact.herb_written})"
    grams += " by eye" if fact.herb_known == "by eye" else ""
    return f"{grams} {name}"


def whose(fact: Charged | Found | Moved) -> str:
    """`; belongs to P03`, or nothing where nobody is named."""
    if fact.belongs_to is None:
        return ""
    return f"; belongs to {'nobody' if fact.belongs_to == NOBODY else fact.belongs_to}"


def pours(poured: tuple[Pour, ...]) -> str:
    """What was poured, as a list in words."""
    return " + ".join(_pour(one) for one in poured)


def _pour(pour: Pour) -> str:
    if pour.liquid == "ethanol":
        what = f"{pour.ethanol_pct_vol:g} % vol" + (f" {pour.name}" if pour.name else "")
    else:
        what = pour.name or pour.liquid
    written = f" ({pour.written})" if pour.written and not _is_metric(pour.written) else ""
    return f"{ml(pour.volume_ml)} {what}{written}"


def _is_metric(written: str) -> bool:
    return "ml" in written.lower() and "proof" not in written.lower()
