"""What may not be given out: `hold`, `release`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.sheet import about_of, recording
from tracker.core.facts.amendments import Held, Released
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import RefusedError

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
            _held(thing)
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
            if not _held(thing).on_hold:
                raise RefusedError(
                    thing.code, "it is not on hold", do="see `stillroom show` for what it is."
                )
            fact = Released(by=desk.by, note=desk.note, about=about_of(thing), why=reason)
            sheet.add(thing.code, fact)
            sheet.tell_fact(thing.code, fact)


def _held(thing: Thing | Lot) -> Batch | Extract | Bottle | Lot:
    """What a hold stands on; a bottle shares that of its extract."""
    if isinstance(thing, Lot):
        return thing
    if thing.bottle is not None:
        if thing.bottle.on_hold:  # of what it was refilled with
            return thing.bottle
        raise RefusedError(
            thing.code,
            "a bottle is held with its extract",
            do=f"name the extract: {thing.code.rpartition('/')[0]}.",
        )
    return thing.extract or thing.batch
