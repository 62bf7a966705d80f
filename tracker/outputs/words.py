"""Each fact as a person would say it, in one line."""

from typing import assert_never

from tracker.core.events import (
    Away,
    Bottled,
    Charged,
    Corrected,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Later,
    LookedAt,
    Moved,
    Noted,
    Pour,
    Pressed,
    Recorded,
    Restored,
    SameAs,
    Shaken,
    Struck,
    ToppedUp,
    Unknown,
)
from tracker.core.times import parse_period


def said(fact: Recorded) -> str:  # noqa: C901 - one arm per kind
    """The fact in words, without its subject, time or writer."""
    match fact:
        case Charged():
            text = _charged(fact)
        case Shaken():
            text = "shaken" + (
                f", with {len(fact.jars) - 1} more" if len(fact.jars) > 1 else ""
            )
        case ToppedUp():
            text = f"topped up with {pours(fact.pours)}"
        case LookedAt():
            text = _looked_at(fact)
        case Moved():
            text = "moved" + _where(fact.place, fact.lid, fact.barrier)
            text += f", in a {fact.jar_ml:g} ml jar" if fact.jar_ml else ""
        case Pressed():
            text = f"pressed {ml(fact.volume_ml, fact.written)}"
            text += f" {_by(fact.how)}" if fact.how else ""
            text += f", marc {fact.marc}" if fact.marc else ""
            text += f"; keeps {parse_period(fact.keeps)}"
        case Filtered():
            text = f"filtered to {ml(fact.volume_ml, fact.written)}"
            text += f" through {fact.through}" if fact.through else ""
        case Bottled():
            runs = ", ".join(f"{run.count} × {ml(run.size_ml)}" for run in fact.bottles)
            first = fact.bottles[0].first
            last = fact.bottles[-1].first + fact.bottles[-1].count - 1
            text = f"bottled {runs}, numbered {first}–{last}"
        case Dispensed():
            text = "dispensed " + (
                ml(fact.volume_ml, fact.written) if fact.volume_ml else "all"
            )
            text += f" for {fact.reference}" if fact.reference else ""
        case Counted():
            text = f"counted {ml(fact.volume_ml, fact.written)}"
        case Discarded():
            much = ml(fact.volume_ml, fact.written) if fact.volume_ml else "all"
            text = f"discarded {much}: {fact.why}"
        case Restored():
            text = "restored" + (f": {fact.why}" if fact.why else "")
        case Noted():
            return f"note: {fact.note}"
        case Later():
            text = f"reminder put off: {fact.what} until {fact.until}"
        case Away():
            text = f"away from {fact.first} through {fact.last}"
        case Corrected():
            values = ", ".join(f"{name} = {_value(value)}" for name, value in fact.set.items())
            text = f"corrects {number(fact.event)}: {values} ({fact.why})"
        case Struck():
            text = f"strikes {number(fact.event)} ({fact.why})"
        case SameAs():
            text = f"the same happening: {number(fact.event)} is {number(fact.stands)}"
            text += f" ({fact.why})" if fact.why else ""
        case Unknown():
            text = f"{fact.kind.replace('_', ' ')}: a kind or version not known here"
        case _:
            assert_never(fact)
    return f"{text} – {fact.note}" if fact.note else text


def number(event_id: str) -> str:
    """How an event is named on screen: the end of its id, which `correct` understands."""
    return event_id[-8:]


def ml(volume_ml: float, written: str | None = None) -> str:
    """Millilitres, with what was written where that was another unit."""
    text = f"{volume_ml:.1f}".removesuffix(".0") + " ml"
    if written is None or "ml" in written.replace(" ", "").lower():
        return text
    return f"{text} ({written})"


def pours(poured: tuple[Pour, ...]) -> str:
    """What was poured, as a list in words."""
    return " + ".join(_pour(one) for one in poured)


def _pour(pour: Pour) -> str:
    if pour.liquid == "ethanol":
        what = f"{pour.ethanol_pct_vol:g} % vol" + (f" {pour.name}" if pour.name else "")
    else:
        what = pour.name or pour.liquid
    written = f" ({pour.written})" if pour.written and not _is_metric(pour.written) else ""
    return f"{pour.volume_ml:.1f}".removesuffix(".0") + f" ml {what}{written}"


def _is_metric(written: str) -> bool:
    return "ml" in written.lower() and "proof" not in written.lower()


def _charged(fact: Charged) -> str:
    herb = f"{fact.herb}{f' {fact.part}' if fact.part else ''}, {fact.form}"
    if fact.herb_g is None:
        grams = "an unknown weight of"
    else:
        grams = f"{fact.herb_g:.1f}".removesuffix(".0") + " g"
        if fact.herb_written and not fact.herb_written.strip().lower().endswith("g"):
            grams += f" ({fact.herb_written})"
        grams += " by eye" if fact.herb_known == "by eye" else ""
    longest = f", at most {parse_period(fact.longest)}" if fact.longest else ""
    return (
        f"charged {grams} {herb} in {pours(fact.pours)}; "
        f"at least {parse_period(fact.least)}{longest}"
    )


def _looked_at(fact: LookedAt) -> str:
    signs = f": {', '.join(fact.signs)}" if fact.signs else ""
    return f"looked at{signs}, {fact.verdict}" + _where(None, fact.lid, fact.barrier)


def _where(place: str | None, lid: str | None, barrier: str | None) -> str:
    text = f" to {place}" if place else ""
    text += f", {lid} lid" if lid else ""
    return text + (f", {barrier} under it" if barrier else "")


def _by(how: str) -> str:
    return how if how.startswith("by ") else f"by {how}" if how == "hand" else f"with {how}"


def _value(value: object) -> str:
    return (
        value
        if isinstance(value, str)
        else f"{value:g}"
        if isinstance(value, float)
        else str(value)
    )
