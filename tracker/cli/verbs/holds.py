"""What may not be given out: `hold`, `release`."""

from functools import partial
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.core.facts.amendments import Held, Released
from tracker.core.shelf.lot import Lot

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[
    list[str] | None, typer.Argument(help="Jars, extracts or lots: CAOF-26-01A, LOT-26-01.")
]
Why = Annotated[str | None, typer.Option(help="Why.")]


@app.command()
@recording
def hold(desk: Desk, codes: Codes = None, why: Why = None) -> None:
    """Put jars, extracts or lots on hold: nothing of them is used until they are released."""
    named = desk.need(codes or None, "Which jar, extract or lot", read=str.split)
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        for code in named:
            thing = sheet.find_any(code)
            fact = Held(by=desk.by, note=desk.note, about=about_of(thing), why=reason)
            sheet.add(thing.code, fact)
            sheet.tell_fact(thing.code, fact)


@app.command()
@recording
def release(desk: Desk, codes: Codes = None, why: Why = None) -> None:
    """Set jars, extracts or lots on hold free again, and say why."""
    named = desk.need(codes or None, "Which jar, extract or lot", read=str.split)
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        for code in named:
            thing = sheet.find_any(code)
            fact = Released(by=desk.by, note=desk.note, about=about_of(thing), why=reason)
            sheet.add(thing.code, fact)
            sheet.tell_fact(thing.code, fact)
            if isinstance(thing, Lot) and (still := _held_with(sheet, thing)):
                sheet.tell(partial("Still on hold with it: {}.".format, ", ".join(still)))


def _held_with(sheet: Sheet, lot: Lot) -> list[str]:
    """What the recall of a lot put on hold, and that stays so."""
    if lot.recalled is None:
        return []
    event = lot.recalled.event
    return [one.code for one in sheet.book.batches() if one.hold and one.hold.event == event]
