"""The parts of a batch record in words, the same on the screen and on paper."""

import re
from datetime import UTC, datetime, timedelta, tzinfo

from tracker.core.values.day_words import short_day
from tracker.core.values.times import Precision, When
from tracker.outputs.records.batch_parts import (
    Amended,
    BlendPart,
    Component,
    ExtractYield,
    GivenOut,
    Step,
)
from tracker.outputs.words.amount_words import ml

_AMENDED = {"struck": "STRUCK", "same_as": "COUNTS AS ANOTHER"}
# What is written down so soon after it happened, as a line for the present is.
_AT_ONCE = timedelta(minutes=15)
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


def zone_said(zone: tzinfo, at: datetime) -> str:
    """`Europe/Berlin`; of a machine's own zone its letters and how far it is from UTC."""
    name = getattr(zone, "key", None) or zone.tzname(at.astimezone(zone).replace(tzinfo=None))
    offset = _offset(at.astimezone(zone))
    return f"{name}, {offset}" if name and "/" not in name and name != offset else name or offset


def day_and_hour(iso: str, at: datetime | None, zone: tzinfo) -> str:
    """`3 Mar 2025, 09:12`; with its zone where that was another than `zone` then."""
    if at is None:
        return day(iso)
    is_usual = at.utcoffset() == at.astimezone(zone).utcoffset()
    return f"{day(iso)}, {at:%H:%M}" + ("" if is_usual else f" {_offset(at)}")


def _offset(at: datetime) -> str:
    """`UTC+2`, `UTC-3:30`."""
    minutes = int((at.utcoffset() or timedelta()).total_seconds() // 60)
    hours, rest = divmod(abs(minutes), 60)
    if not minutes:
        return "UTC"
    return f"UTC{'+' if minutes > 0 else '-'}{hours}{f':{rest:02d}' if rest else ''}"


def much(one: Component) -> str:
    """How much went in, how that is known, and as it was written where that is another unit."""
    if one.amount is None:
        return f"not known{_written(one)}"
    return f"{one.amount:g} {one.unit}, {one.known}{_written(one)}"


def _written(one: Component) -> str:
    if not one.written:
        return ""
    said = one.written.replace(" ", "").lower()
    is_same = one.amount is not None and said.startswith(f"{one.amount:g}{one.unit}")
    return "" if is_same else f" (written {one.written})"


def lot(one: Component) -> str:
    """The lot or extract it came from, with whose it was and their own lot."""
    if one.what == "extract":
        return f"out of {one.lot}"
    if one.lot is None:
        return "no lot"
    said = f"lot {one.lot}" + (f" from {one.where}" if one.where else "")
    said += f", their lot {one.their_lot}" if one.their_lot else ""
    return said if one.lot_in_book else f"{said}, not in the book"


def dates(one: BlendPart) -> list[str]:
    """When a source was charged and pressed, and till when it is good; a line each."""
    known = (("charged", one.charged), ("pressed", one.pressed))
    said = [f"{word} {day(iso)}" for word, iso in known if iso]
    return [*said, good_through(one.good_through)] if one.pressed else said


def gave(one: ExtractYield) -> str:
    """What it gave, how and when, and what share of the possible that is."""
    known = "" if one.known == "measured" else f", {one.known}"
    later = f", {ml(one.later_ml)} of it pressed again later" if one.later_ml else ""
    said = f"{one.how} {day(one.on)}: {ml(one.ml)}{later}{known}"
    if one.possible_ml is None or one.how.startswith("blended"):
        return said
    return f"{said}; {one.pct_of_possible:g} % of {ml(one.possible_ml)} of liquid before it"


def accounted(one: ExtractYield, *, with_strength: bool = False) -> list[str]:
    """Where every millilitre is, and what was kept; a line each."""
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
    added = f" + {ml(one.added_ml)} added" if one.added_ml else ""
    kept = [one.strength] if with_strength else []
    kept += [f"marc {one.marc}"] if one.marc else []
    kept.append(good_through(one.good_through))
    kept += [one.hold] if one.hold else []
    return [f"{ml(one.ml)}{added} = {' + '.join(out) or 'nothing'}", "; ".join(kept)]


def good_through(last: str | None) -> str:
    """`good through 3 Jun 2026`, or that it is not known."""
    return f"good through {day(last)}" if last else "good through: not known"


def volume(one: GivenOut) -> str:
    """How much was given out."""
    return "not known" if one.ml is None else ml(one.ml)


def recorded(one: Step, zone: tzinfo) -> str:
    """When it was written down: the hour alone where that was on the day it happened."""
    if one.at is not None and abs(one.recorded - one.at) < _AT_ONCE:
        return "at once"
    local = one.recorded.astimezone(zone)
    if local.date().isoformat() == one.when:
        return f"{local:%H:%M}"
    return f"{short_day(local.date())}, {local:%H:%M}"


def amended(one: Amended, zone: tzinfo) -> str:
    """What was done to a step later, by whom, when, in which line, and why."""
    back = "" if one.in_force else ", and that was taken back"
    why = f": {one.why}" if one.why else ""
    was = _AMENDED.get(one.kind, "CORRECTED")
    who = f" by {one.by}" if one.by else ""
    on = short_day(one.recorded.astimezone(zone).date())
    return f"{was}{who} on {on}, line {one.number}{back}{why}"


def wholeness(*, whole: bool) -> str:
    """Whether the book is as it was written."""
    return "every line is as it was written" if whole else "NOT WHOLE: see check"


def counted(lines: int) -> str:
    """`1 line`, `12 lines`."""
    return "1 line" if lines == 1 else f"{lines} lines"
