"""Amounts, ratios, strengths and spans of days, as people say them."""

import re
from datetime import date

from tracker.core.reckoning import amounts
from tracker.core.reckoning.ratios import Ratio
from tracker.core.shelf.contents import Basis
from tracker.core.shelf.jar import Jar
from tracker.core.values.few_digits import few_digits, trimmed

_LITRES = re.compile(r"\d(?:[.,]\d+)? *l(?:it(?:er|re)s?)?\.?$", re.IGNORECASE)


def ml(volume_ml: float, written: str | None = None) -> str:
    """`118 ml`; as it was written where that was another unit, `4 fl oz (118 ml)` or `1 l`."""
    text = f"{few_digits(volume_ml)} ml"
    if written is None or "ml" in written.replace(" ", "").lower():
        return text
    if _LITRES.search(written.strip()):
        return f"{trimmed(volume_ml / 1000, 3)} l"
    return f"{written} ({text})"


def grams(weight_g: float, written: str | None = None) -> str:
    """`100 g`; as it was written where that was another unit, `4 oz (113 g)`."""
    text = f"{few_digits(weight_g)} g"
    is_other = written is not None and not written.strip().lower().endswith("g")
    return f"{written} ({text})" if is_other else text


def plain(amount: float, unit: str) -> str:
    """An amount of a lot, `850 g`."""
    return f"{few_digits(amount)} {unit}"


def days_text(jar: Jar, today: date) -> str:
    """`33`, `10 to 39` or a dash."""
    days = amounts.days_on_herb(jar, today)
    if days is None:
        return "–"
    least, most = days
    return str(most) if least == most else f"{least} to {most}"


def ratio_number(ratio: Ratio, digits: int = 1) -> str:
    """`1:5` or `1:5.2`, without what it is counted by."""
    return f"1:{trimmed(ratio.r, digits if ratio.r < 100 else 0)}"


def basis_said(basis: Basis) -> str:
    """What a ratio is counted by: it is never said without."""
    return "menstruum poured" if basis == "poured" else "finished volume"


def ratio_text(ratio: Ratio | None) -> str:
    """`1:5` by menstruum poured, `1:5 by finished volume`, or a dash where it is not known."""
    if ratio is None:
        return "–"
    by = f" by {basis_said(ratio.basis)}" if ratio.basis == "finished" else ""
    return f"{ratio_number(ratio)}{by}"


def meant_text(ratio: str | None, basis: Basis) -> str:
    """`1:5 by finished volume`; what is meant is only ever said with what it is meant by."""
    return f"{ratio} by {basis_said(basis)}" if ratio else f"by {basis_said(basis)}"


def strength_text(made: amounts.Made) -> str:
    """`45.0`, or a dash; `~45` by a default for the herb's water, or by the simple sum."""
    # Mixing loads slowly, and most amounts are millilitres.
    from tracker.core.reckoning.strength import may_be_steamed_off, strength_pct_vol

    known = strength_pct_vol(made)
    if known is not None:
        water = amounts.herb_water(made)
        is_guess = (water is not None and water.is_default) or may_be_steamed_off(made)
        return "–" if not known else f"~{known:.0f}" if is_guess else f"{known:.1f}"
    simple = amounts.simple_strength_pct_vol(made)
    return f"~{simple:.0f}" if simple else "–"
