"""`shake`, said more often than all others."""

from collections.abc import Sequence
from typing import Annotated

import typer

from tracker.cli.desk import Desk
from tracker.cli.options import Codes, recording
from tracker.core.facts.jars import Shaken
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.acted_on import steeping
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import MisusedError

app = typer.Typer(rich_markup_mode=None)


@app.command()
@recording
def shake(
    desk: Desk,
    codes: Codes = None,
    every: Annotated[
        bool, typer.Option("--all", help="Every jar with herb in it on that day.")
    ] = False,
    only_due: Annotated[
        bool, typer.Option("--due", help="Every jar whose shake is due on that day.")
    ] = False,
) -> Recorded:
    """Record that jars were shaken."""
    if (every or only_due) and (codes or (every and only_due)):
        raise MisusedError(
            "Either jars are named, or --all, or --due.", where="shake", do="use one of them."
        )
    if every or only_due:
        found = _on_the_shelf(desk, only_due)
        if not found:
            what = "No shake is due" if only_due else "There is no jar to shake"
            desk.remarks.append(f"{what} on {desk.bench.present.said(desk.happened)}.")
            return desk.record_all(())
    else:
        found = [desk.jar(code, "shaken") for code in desk.codes(codes, fits=steeping)]
    jars = {jar.id: jar.code for jar in found}
    return desk.record(" ".join(jars.values()), Shaken(jars=tuple(jars)))


def _on_the_shelf(desk: Desk, only_due: bool) -> Sequence[Jar]:
    """The jars that could be shaken on the day, as they stood then; or those that were due."""
    if not desk.happened.is_exact:
        raise MisusedError(
            f"{desk.happened} is not one day.",
            where="--when",
            do="give the day the shelf was shaken, such as 2025-03-03, or name the jars.",
        )
    day = desk.happened.earliest
    shelf = desk.book.jars_on(day)
    if not only_due:
        return shelf
    from tracker.core.rules.reminders import every_line

    lines = every_line(shelf, desk.bench.practice, day)
    due = {line.code for line in lines if line.what == "shake"}
    return [jar for jar in shelf if jar.code in due]
