"""How a thing stands, in a word or two: its ratio, strength, days and end."""

from tracker.core.reckoning.ratios import Ratio
from tracker.core.shelf.end import End, GivenEnd, ended_word
from tracker.core.values.day_words import UNDATED, Present
from tracker.outputs.view.thing_view import Days, RowView
from tracker.outputs.words.amount_words import ratio_number


def ratio_said(ratio: Ratio | None) -> str:
    """`1:5` by menstruum poured, `1:5 finished`, or a dash where it is not known."""
    if ratio is None:
        return "–"
    return ratio_number(ratio) + (" finished" if ratio.basis == "finished" else "")


def strength_said(row: RowView) -> str:
    """`45.0`, or a dash; `~45` by a default for the herb's water, or by the simple sum."""
    if (known := row.strength) is not None:
        if not known.pct_vol:
            return "–"
        return f"~{known.pct_vol:.0f}" if known.is_guess else f"{known.pct_vol:.1f}"
    simple = row.simple_strength_pct_vol
    return f"~{simple:.0f}" if simple else "–"


def days_said(days: Days | None) -> str:
    """`33`, `10 to 39` or a dash."""
    if days is None:
        return "–"
    return str(days.most) if days.least == days.most else f"{days.least} to {days.most}"


def end_text(end: End, present: Present = UNDATED) -> str:
    """What became of a jar, and when: `pressed 5 Apr 2025`."""
    to = f" for {end.reference}" if isinstance(end, GivenEnd) and end.reference else ""
    return f"{ended_word(end)} {present.said(end.on)}{to}"


def ending(row: RowView) -> str:
    """What became of a jar whose herb is out, or when a blend was made; else nothing."""
    if row.end is not None:
        return end_text(row.end)
    return f"blended {row.begun}" if row.kind == "blend" else ""
