"""The parts of a batch record in words, the same on the screen and on paper."""

import re
from datetime import UTC, datetime, tzinfo

from tracker.core.values.day_words import short_day
from tracker.core.values.times import Precision, When
from tracker.outputs.records.batch_parts import (
    Amended,
    BlendPart,
    BottleLeft,
    Component,
    ExtractYield,
    GivenOut,
    Step,
)
from tracker.outputs.words.amount_words import ml

_AMENDED = {"struck": "STRUCK", "same_as": "COUNTS AS ANOTHER"}
_DAY = re.compile(r"(unknown, by )?(\d{4})(?:-(\d\d))?(?:-(\d\d))?( to .+)?")


def day(text: str) -> str:
    """A day in words that the data of a record have as ISO 8601 has it."""
    found = _DAY.fullmatch(text)
    if found is None:
        return text
    unknown, year, month, of_month, season = found.groups()
    precision: Precision = "day" if of_month else "month" if month else "year"
    precision = "unknown" if unknown else "season" if season else precision
    start = datetime(int(year), int(month or 1), int(of_month or 1), tzinfo=UTC)
    return str(When(start, precision))


def moment(at: datetime, zone: tzinfo) -> str:
    """`3 Mar 2025 at 09:12`, as the clock there showed it."""
    local = at.astimezone(zone)
    return f"{short_day(local.date())} at {local:%H:%M}"


def much(one: Component) -> str:
    """How much went in, how that is known, and as it was written."""
    said = "not known" if one.amount is None else f"{one.amount:g} {one.unit}, {one.known}"
    return said + (f" (written {one.written})" if one.written else "")


def lot(one: Component) -> str:
    """The lot or extract it came from, with whose it was and their own lot."""
    if one.what == "extract":
        return f"out of {one.lot}"
    said = f"lot {one.lot}" if one.lot else "no lot"
    said += f" from {one.where}" if one.where else ""
    return said + (f", their lot {one.their_lot}" if one.their_lot else "")


def part(one: BlendPart) -> str:
    """A part without its code: how much of what came how and when, and the lots behind it."""
    quantity = "" if one.ml is None else f"{ml(one.ml)} "
    lots = f"; lots {', '.join(one.lots)}" if one.lots else ""
    return f"{one.what}: {quantity}{one.how} {day(one.on)}{lots}"


def gave(one: ExtractYield) -> str:
    """What it gave, how and when."""
    known = "" if one.known == "measured" else f", {one.known}"
    later = f", {ml(one.later_ml)} of it pressed again later" if one.later_ml else ""
    return f"{one.how} {day(one.on)}: {ml(one.ml)}{later}{known}"


def accounted(one: ExtractYield) -> list[str]:
    """Its share of the possible, where every millilitre is, and what was kept; a line each."""
    lines = []
    if one.possible_ml is not None:
        lines.append(f"{one.pct_of_possible:g} % of {ml(one.possible_ml)} of liquid before it")
    out = [
        f"{name} {ml(volume)}"
        for name, volume in (
            ("filter", one.filter_loss_ml),
            ("lees", one.lees_ml),
            ("into others", one.passed_on_ml),
            ("given out", one.dispensed_ml),
            ("thrown out", one.discarded_ml),
            ("unaccounted", one.unaccounted_ml),
            ("in bulk", one.bulk_ml),
            ("in bottles", one.bottled_ml),
        )
        if abs(volume) >= 0.05
    ]
    into = f"in: {ml(one.ml)} + {ml(one.added_ml)} added"
    lines.append(f"{into}; out: {' + '.join(out) or 'nothing'}")
    kept = [f"marc {one.marc}"] if one.marc else []
    kept.append(_good_through(one.good_through))
    kept += [one.hold] if one.hold else []
    return [*lines, "; ".join(kept)]


def _good_through(last: str | None) -> str:
    return f"good through {day(last)}" if last else "good through: not known"


def bottle(one: BottleLeft) -> str:
    """A bottle without its code: what is left, when filled, its state, how long it keeps."""
    said = f"{ml(one.left_ml)} left of {ml(one.size_ml)}, filled {day(one.filled)}, {one.state}"
    held = f", {one.hold}" if one.hold else ""
    return f"{said}, {_good_through(one.good_through)}{held}"


def volume(one: GivenOut) -> str:
    """How much was given out."""
    return "–" if one.ml is None else ml(one.ml)


def by(person: str | None) -> str:
    """`; by Ines`; nothing where no person was named."""
    return f"; by {person}" if person else ""


def recorded(one: Step, zone: tzinfo, *, machine: bool = True) -> str:
    """When it was written down, local, and on which machine."""
    on = f" on {one.writer}" if machine else ""
    return f"{moment(one.recorded, zone)}{on}"


def amended(one: Amended) -> str:
    """What was done to a step later, by whom, in which event, and why."""
    back = "" if one.in_force else ", and that was taken back"
    why = f": {one.why}" if one.why else ""
    was = _AMENDED.get(one.kind, "CORRECTED")
    who = f" by {one.by}" if one.by else ""
    return f"{was}{who}, {one.number}{back}{why}"


def wholeness(*, whole: bool) -> str:
    """Whether the book is as it was written."""
    return "every line is as it was written" if whole else "NOT WHOLE: see check"


def counted(lines: int) -> str:
    """`1 line`, `12 lines`."""
    return "1 line" if lines == 1 else f"{lines} lines"
