"""From herb to bottle: `press`, `filter`, `bottle`."""

from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.options import ExtractCode, JarCode, one_of, recording
from tracker.cli.verbs.making.steeps import rules_in
from tracker.core.facts.extracts import Bottled, Filtered, Pressed
from tracker.core.facts.fields import About, Marc
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.codes import letter
from tracker.core.values.times import parse_period
from tracker.quantities import bottles as bottle_run

app = typer.Typer(rich_markup_mode=None)

Volume = Annotated[str | None, typer.Argument(help="How much: 370 ml, 28.5 fl oz.")]

_METHODS = ("hand", "cloth", "ricer", "screw press", "hydraulic press")


@app.command()
@recording
def press(
    desk: Desk,
    code: JarCode = None,
    volume: Volume = None,
    how: Annotated[str | None, typer.Option("--with", help=f"How: {', '.join(_METHODS)} …")] = None,
    marc: Annotated[str | None, typer.Option(help="What becomes of it: kept, composted.")] = None,
    keeps: Annotated[str | None, typer.Option(help="How long it keeps: 12 months.")] = None,
) -> Recorded:
    """Record a pressing: what came out opens an extract."""
    named, amount = desk.code(code, "Which jar"), desk.volume(volume, "How much came out")
    jar = desk.jar(named, "pressed")
    rule = parse_period(keeps) if keeps else rules_in(desk, jar).keeps
    fact = Pressed(
        about=About(jar=jar.id),
        letter=letter(len(jar.extracts) + 1),
        volume_ml=amount.value,
        written=amount.written,
        known=amount.known,
        how=how,
        marc=cast("Marc", one_of(marc, Marc, "--marc")) if marc else None,
        keeps=rule.iso,
    )
    return desk.record(jar.code, fact)


@app.command("filter")
@recording
def filter_(
    desk: Desk,
    code: ExtractCode = None,
    volume: Volume = None,
    before: Annotated[str | None, typer.Option(help="How much there was before.")] = None,
    through: Annotated[str | None, typer.Option(help="Through what: paper, cloth …")] = None,
) -> Recorded:
    """Record that an extract was filtered, and what there is of it now."""
    named = desk.code(code, "Which extract")
    amount = desk.volume(volume, "How much is there after the filter")
    was = desk.volume_if(before)
    thing = desk.extract(named, "filtered")
    fact = Filtered(
        about=about_of(thing),
        volume_ml=amount.value,
        before_ml=was.value if was else None,
        written=amount.written,
        known=amount.known,
        through=through,
    )
    return desk.record(thing.code, fact)


@app.command()
@recording
def bottle(
    desk: Desk,
    code: ExtractCode = None,
    sizes: Annotated[
        list[str] | None, typer.Argument(help="Sizes and counts: 3x100ml 1x50ml.")
    ] = None,
) -> Recorded:
    """Record bottles filled from an extract; the rest stays in it."""
    named = desk.code(code, "Which extract")
    texts = desk.need(sizes or None, "Which bottles, such as 3x100ml 1x50ml", read=str.split)
    thing = desk.extract(named, "bottled")
    filled = thing.extract.bottles if thing.extract else []
    first, runs = max((one.number for one in filled), default=0) + 1, []
    for text in texts:
        run = bottle_run(text, first, desk.bench.practice.units)
        runs.append(run)
        first += run.count
    return desk.record(thing.code, Bottled(about=about_of(thing), bottles=tuple(runs)))
