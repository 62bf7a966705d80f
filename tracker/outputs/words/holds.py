"""What keeps a thing from being given out, in words: the same on every output."""

from typing import TYPE_CHECKING

from tracker.core.values.day_words import UNDATED, Present
from tracker.core.values.times import When
from tracker.outputs.words.amount_words import ml

if TYPE_CHECKING:
    from tracker.core.shelf.hold import Hold
    from tracker.outputs.view.liquid import HoldView


def hold_mark(hold: "HoldView") -> str:
    """`ON HOLD`, or `RECALLED, ON HOLD`."""
    return "RECALLED, ON HOLD" if hold.kind == "recall" else "ON HOLD"


def held_since(hold: "HoldView") -> str:
    """`ON HOLD since 9 Mar 2025: mould`."""
    return f"{hold_mark(hold)} {since_said(hold.since)}{_because(hold)}"


def _because(hold: "HoldView") -> str:
    """`: mould`, or `, with lot LOT-25-01: moths`: the word before it says it was recalled."""
    if hold.kind == "recall" and hold.why.startswith("recalled "):
        return f", {hold.why.removeprefix('recalled ')}"
    return f": {hold.why}" if hold.why else ""


def given_since(given_ml: float, last: When | None, present: Present = UNDATED) -> str:
    """`; 60 ml was given out since, last on 5 Apr 2025`; nothing where none was."""
    if last is None:
        return ""
    return f"; {ml(given_ml)} was given out since, last on {present.said(last)}"


def hold_name(hold: "HoldView | Hold") -> str:
    """What a hold is called: `recalled` where a lot was called back, else `on hold`."""
    return "recalled" if hold.kind == "recall" else "on hold"


def hold_said(hold: "HoldView", code: str, present: Present = UNDATED) -> str:
    """`since 9 Mar 2025: mould`, and what it was put on where that is not this code."""
    where = "" if hold.code == code else f" (put on {hold.code})"
    given = given_since(hold.given_ml, hold.given_on, present)
    return f"{since_said(hold.since, present)}{_because(hold)}{where}{given}"


def since_said(when: When, present: Present = UNDATED) -> str:
    """`since 9 Mar 2025`; of a day that nobody knows, by when it had begun."""
    said = present.said(when)
    return said if when.precision == "unknown" else f"since {said}"
