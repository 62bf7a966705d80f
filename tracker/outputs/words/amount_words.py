"""Amounts, ratios, strengths and spans of days, as people say them."""

from datetime import date

from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import strength_pct_vol
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch


def ml(volume_ml: float, written: str | None = None) -> str:
    """Millilitres, with what was written where that was another unit."""
    text = f"{volume_ml:.1f}".removesuffix(".0") + " ml"
    if written is None or "ml" in written.replace(" ", "").lower():
        return text
    return f"{text} ({written})"


def plain(amount: float, unit: str) -> str:
    """An amount of a lot, `850 g`; a tenth at most."""
    return f"{round(amount, 1) + 0.0:.1f}".removesuffix(".0") + f" {unit}"


def days_text(jar: Jar, today: date) -> str:
    """`33`, `10 to 39` or a dash."""
    days = amounts.days_on_herb(jar, today)
    if days is None:
        return "–"
    least, most = days
    return str(most) if least == most else f"{least} to {most}"


def ratio_text(batch: Batch, made: amounts.Made | None = None) -> str:
    """`1:5.0`, or a dash where the herb was not weighed, or its marc steeped again."""
    is_again = isinstance(batch, Jar) and batch.again
    ratio = None if is_again else amounts.ratio(made or batch.contents)
    return "–" if ratio is None else f"1:{ratio:.1f}" if ratio < 100 else f"1:{ratio:.0f}"


def strength_text(made: amounts.Made) -> str:
    """`45.0`, or a dash; `~45` by a default for the herb's water, or by the simple sum."""
    known = strength_pct_vol(made)
    if known is not None:
        water = amounts.herb_water(made)
        is_guess = water is not None and water.is_default
        return "–" if not known else f"~{known:.0f}" if is_guess else f"{known:.1f}"
    simple = amounts.simple_strength_pct_vol(made)
    return f"~{simple:.0f}" if simple else "–"
