"""What stands above a history: what the thing is, and whether it may be given out."""

from datetime import date

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.outputs.terminal.lot_names import lot_called
from tracker.outputs.terminal.table import styled
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.liquid import HoldView, hold_of
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.holds import hold_mark, hold_said
from tracker.outputs.words.plant_names import called


def head_of(
    code: str,
    thing: Thing | Lot | None,
    day: date | None,
    names: PlantNames,
    *,
    total: int,
    colour: bool,
) -> list[str]:
    """Name and code, a hold as it is now, and what `day` leaves out."""
    name = _name(thing, names)
    title = shown(f"{name}  {code}" if name else code)
    lines = [styled(text, "bold", colour=colour) for text in wrapped(title, total)]
    hold = None if thing is None else _hold(thing)
    if hold is not None:
        style = "bad" if hold.kind == "recall" else "warn"
        text = shown(f"{hold_mark(hold)} {hold_said(hold, code)}")
        lines += [styled(one, style, colour=colour) for one in wrapped(text, total)]
    if day is not None:
        text = f"What happened through {short_day(day)}, as it is known now."
        lines += [styled(one, "faint", colour=colour) for one in wrapped(text, total)]
    return lines


def _name(thing: Thing | Lot | None, names: PlantNames) -> str:
    if thing is None:
        return ""
    if isinstance(thing, Lot):
        return lot_called(thing, names)
    return called(herbs_of(thing.batch, thing.made), names)


def _hold(thing: Thing | Lot) -> HoldView | None:
    if isinstance(thing, Thing):
        return hold_of(thing)
    hold = thing.hold
    return None if hold is None else HoldView(hold.kind, hold.on, hold.why, thing.code)
