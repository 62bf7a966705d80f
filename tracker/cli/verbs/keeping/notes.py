"""Remarks: `note`."""

from typing import Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.options import recording
from tracker.core.facts.amendments import Noted
from tracker.core.rules.recorded import Recorded

app = typer.Typer(rich_markup_mode=None)


@app.command()
@recording
def note(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="What it is about.")] = None,
    text: Annotated[str | None, typer.Argument(help="The remark.")] = None,
) -> Recorded:
    """Write down a remark about a jar, extract, bottle or lot."""
    named = desk.code(code, "About which jar")
    remark = desk.need((text or "").strip() or desk.note, "What is to be noted", read=str.strip)
    thing = desk.find_any(named)
    return desk.record(thing.code, Noted(note=remark, about=about_of(thing)))
