"""The lines of a batch as tables: holds, corrections, labels, and every step in its order."""

from collections.abc import Sequence
from datetime import tzinfo
from typing import Final

from tracker.core.values.day_words import short_day
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import Amended, Record, Step
from tracker.outputs.records.numbers_in_short import (
    codes_in_short,
    days_in_short,
    lines_in_short,
    span_in_short,
)
from tracker.outputs.records.record_table import (
    NOBODY,
    Para,
    RecordCell,
    RecordColumn,
    RecordRow,
    Section,
    Words,
    cell,
    led,
    para,
    plants_in,
    tabled,
)
from tracker.outputs.records.step_runs import days_late, days_of, is_of_a_day, runs_of

_DAY: Final = RecordColumn("DAY", 0.24)
_CODE: Final = RecordColumn("CODE", 0.2)
_WHAT: Final = RecordColumn("WHAT", 1.0, is_flexible=True)
_BY: Final = RecordColumn("BY", 0.16)
_LINE: Final = RecordColumn("LINE", 0.15)
# Letters that a narrow column takes on a few lines.
_SHORT: Final = 40
_BRIEF: Final = (_DAY, _CODE, _WHAT, _BY)
_STEPS: Final = (_DAY, _CODE, _WHAT, _BY, RecordColumn("WRITTEN DOWN", 0.2), _LINE)
_AMENDED: Final = (
    _LINE,
    _CODE,
    RecordColumn("WAS AND IS", 1.0, is_flexible=True),
    RecordColumn("WHY", 0.6, is_flexible=True),
    RecordColumn("DAY", 0.16),
    _BY,
)


def holds(record: Record) -> Section:
    """Holds, releases and recalls."""
    rows = [
        (
            cell(batch_words.day(one.when)),
            cell(_code(one, record)),
            _readings(one, record.latin),
            cell(one.by or ""),
        )
        for one in record.holds
    ]
    return tabled("Holds and releases", _BRIEF, rows, said_once=NOBODY)


def amended_section(record: Record, zone: tzinfo) -> Section:
    """Every correction and strike: what it was and is, why, when and by whom."""
    rows = [
        (
            cell(step.number),
            cell(_code(step, record)),
            _was_and_is(step, one),
            cell(one.why or ""),
            cell(short_day(one.recorded.astimezone(zone).date())),
            cell(one.by or ""),
        )
        for step in record.steps
        for one in step.amended
    ]
    return tabled("Corrections and strikes", _AMENDED, rows, said_once=NOBODY)


def _was_and_is(step: Step, one: Amended) -> RecordCell:
    taken_back = () if one.in_force else (para("this was taken back", "B"),)
    if one.kind == "struck":
        return (Para((Words("STRUCK ", "B"), Words(step.said))), *taken_back)
    if one.changed:
        return (*(para(text) for text in one.changed), *taken_back)
    return (para(one.said), *taken_back)


def labels(record: Record) -> Section:
    """What was printed: labels that say the same but for their code are one row."""
    alike: dict[tuple[object, ...], list[Step]] = {}
    for one in record.labels:
        # One that was amended stands by itself.
        key = one.id if one.amended or not one.in_force else one.said.replace(one.code, "\0")
        alike.setdefault((key, one.by), []).append(one)
    rows = [_label(some, record.latin) for some in alike.values()]
    return tabled("Labels", (*_BRIEF, _LINE), rows, said_once=NOBODY)


def _label(some: Sequence[Step], latin: Sequence[str]) -> RecordRow:
    last = max(some, key=lambda one: one.when)
    codes = dict.fromkeys(one.code for one in some)
    said = _readings(last, latin)
    if len(codes) > 1:
        said = (para(last.said.replace(last.code, "(its code)")),)
    if len(some) > 1:
        days = len({one.when for one in some})
        on = f"last {batch_words.day(last.when)}" if days > 1 else batch_words.day(last.when)
        said = (led(f"labelled {len(some)} times, {on}:", _text_of(said)),)
    more, line = _lines(some)
    return (
        cell(batch_words.day(last.when)),
        cell(codes_in_short(codes)),
        (*said, *more),
        cell(last.by or ""),
        line,
    )


def _text_of(said: RecordCell) -> str:
    return said[0].text.removeprefix("labelled").removeprefix(": ").removeprefix(", ")


def steps(record: Record, zone: tzinfo) -> Section:
    """Every line in its order; runs of shakes, and what is listed above already, in one row."""
    listed = {one.event for one in record.given if one.event}
    listed |= {one.id for one in record.labels}
    rows = [
        _step(run[0], record, zone) if len(run) == 1 else _run(run, record, zone)
        for run in runs_of(record.steps, listed)
    ]
    return tabled("Every step", _STEPS, rows, said_once=NOBODY)


def _step(one: Step, record: Record, zone: tzinfo) -> RecordRow:
    later = (para(batch_words.amended(other, zone)) for other in one.amended)
    return (
        cell(batch_words.day_and_hour(one.when, one.at, zone)),
        cell(_code(one, record)),
        (*_readings(one, record.latin), *later),
        cell(one.by or ""),
        cell(batch_words.recorded(one, zone)),
        cell(one.number),
    )


def _run(run: Sequence[Step], record: Record, zone: tzinfo) -> RecordRow:
    more, line = _lines(run)
    return (
        cell(_run_days(run)),
        cell(codes_in_short(dict.fromkeys(_code(one, record) for one in run))),
        (para(_run_said(run)), *more),
        cell(_run_by(run)),
        cell(_run_recorded(run, zone)),
        line,
    )


def _lines(run: Sequence[Step]) -> tuple[tuple[Para, ...], RecordCell]:
    """What the lines of a row are called; very many of them stand where there is room."""
    said = lines_in_short(one.number for one in run)
    if len(said) <= _SHORT:
        return (), cell(said)
    return (para(f"lines {said}"),), cell(f"{run[0].number} …")


def _run_days(run: Sequence[Step]) -> str:
    """From the first day to the last; by what is known of each where one is not exact."""
    if all(is_of_a_day(one) for one in run):
        days = days_of(run)
        return span_in_short(min(days), max(days))
    ends = dict.fromkeys(batch_words.day(one.when) for one in (run[0], run[-1]))
    return " to ".join(ends)


def _run_said(run: Sequence[Step]) -> str:
    if run[0].kind == "shaken":
        return f"shaken {len(run)} times: {days_in_short(days_of(run))}"
    labels = sum(one.kind == "labelled" for one in run)
    printed = [f"labelled {_times(labels)}"] if labels else []
    gifts = len(run) - labels
    given = [f"given out {_times(gifts)}"] if gifts else []
    return f"{', '.join([*printed, *given])}, as listed above"


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _run_by(run: Sequence[Step]) -> str:
    people = {one.by for one in run}
    return run[0].by or "" if len(people) == 1 else "as listed"


def _run_recorded(run: Sequence[Step], zone: tzinfo) -> str:
    if not all(is_of_a_day(one) for one in run):
        return ""
    down = {one.recorded.astimezone(zone).date() for one in run}
    late = days_late(run, zone)
    if len(down) == 1 and late > 1:
        return short_day(min(down))
    return f"within {late} {'day' if late == 1 else 'days'}" if late > 0 else "the same day"


def _code(one: Step, record: Record) -> str:
    """What it was about; that other jars were shaken along with it is no news of this one."""
    return record.code if one.kind == "shaken" and " " in one.code else one.code


def _readings(one: Step, latin: Sequence[str]) -> RecordCell:
    """What was written, struck through where it no longer counts, and what holds instead.

    Said in words too: a line drawn through small type may be lost on a copy.
    """
    said = _said(one)
    if one.now:
        was = f"{batch_words.day(one.when)}  {one.code}  {one.said}"
        return led("was:", was, struck=True), led("now:", one.now)
    if one.in_force:
        return (plants_in(said, latin),)
    return para(said, struck=True), Para((Words("no longer counts", "B"),))


def _said(one: Step) -> str:
    """What it says; of a shake of several jars, that it was one."""
    if one.kind != "shaken" or " – " in one.said:
        return one.said
    return "shaken"
