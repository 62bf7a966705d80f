"""What is due next for a thing and when, as the handout says it."""

from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.reckoning.signs import spoiling
from tracker.core.rules.reminders import next_shake
from tracker.core.shelf.end import ended_word
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import short_day
from tracker.outputs.paper.labels.label_days import press_from
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.due.due_lines import signs_said
from tracker.outputs.words.holds import hold_text
from tracker.outputs.words.short_days import when_in_full


def next_step_line(thing: Thing, view: ThingView, practice: Practice, today: date) -> str:
    """What is due next and when, with the day in full: a label stays for months."""
    row = view.row
    if wrong := _not_safe(view):
        return wrong
    if view.extract is None:
        if row.end is not None:
            return f"{ended_word(row.end)} {when_in_full(row.end.on)}"
        return _next_of_jar(thing, row, today)
    if (view.bottle or view.extract).state == "empty":
        return "empty"
    if row.good_through is None:
        return "find out when it was pressed"
    if today > row.good_through:
        return f"take it off the shelf, past {short_day(row.good_through)}"
    look = _look_again(row, today)
    if row.weak is not None:
        return f"{look}make it stronger or use it up"
    return f"{look}use up from {short_day(practice.expiring_before.before(row.good_through))}"


def _not_safe(view: ThingView) -> str | None:
    """What comes before anything else: a hold, mould, a lid that is eaten."""
    if view.row.hold is not None:
        return hold_text(view.row.hold)
    if (recalled := _recalled_inside(view)) is not None:
        return f"put it on hold: lot {recalled.lot} was called back"
    seen = view.steep if view.extract is None else view.extract
    look = None if seen is None else seen.look
    if look is not None and look.verdict == "watch" and (found := spoiling(look.signs)):
        return f"{signs_said(found)} was found: look again"
    lid = next((one for one in view.cautions if one.kind == "lid"), None)
    return None if lid is None else f"{lid.text}: {lid.do}"


def _next_of_jar(thing: Thing, row: RowView, today: date) -> str:
    assert thing.jar is not None
    shake, ready = next_shake(thing.jar, today), row.press_from
    look = _look_again(row, today)
    if row.is_ready or shake is None or (ready is not None and shake >= ready):
        return f"{look}{press_from(row)}"
    return f"{look}shake {short_day(max(shake, today))}; {press_from(row)}"


def _look_again(row: RowView, today: date) -> str:
    """`look again 12 Mar 2025; `, or nothing."""
    return "" if row.look_again is None else f"look again {short_day(max(row.look_again, today))}; "


def _recalled_inside(view: ThingView) -> NotHeld | None:
    """A lot that was called back, of which some is in it while nothing holds it."""
    found = (flag.misfit for flag in view.flags if isinstance(flag.misfit, NotHeld))
    return next((one for one in found if view.row.code in one.codes), None)
