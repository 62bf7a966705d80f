"""From herb to bottle: `press`, `filter`, `bottle`."""

from typing import Annotated, cast

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.like import pressed_like, takes_like
from tracker.cli.options import ExtractCode, JarCode, one_of, recording
from tracker.cli.rules_of_jar import rules_in
from tracker.core.facts.extracts import Bottled, Filtered, Pressed, PressedAgain, Settled
from tracker.core.facts.fields import About, Marc
from tracker.core.rules.checks.jar_state import was_pressed
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.acted_on import with_marc
from tracker.core.shelf.codes import letter
from tracker.core.shelf.thing import extract_of
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import parse_period
from tracker.quantities import Amount
from tracker.quantities import bottles as bottle_run

app = typer.Typer(rich_markup_mode=None)

Volume = Annotated[str | None, typer.Argument(help="How much: 370 ml, 28.5 fl oz.")]

_METHODS = ("hand", "cloth", "ricer", "screw press", "hydraulic press")


@app.command()
@recording
@takes_like(pressed_like, "How, marc and keeps as that jar was pressed: CAOF-26-01.")
def press(
    desk: Desk,
    code: JarCode = None,
    volume: Volume = None,
    how: Annotated[str | None, typer.Option("--with", help=f"How: {', '.join(_METHODS)} …")] = None,
    marc: Annotated[str | None, typer.Option(help="What becomes of it: kept, composted.")] = None,
    keeps: Annotated[str | None, typer.Option(help="How long it keeps: 12 months.")] = None,
    again: Annotated[
        bool, typer.Option("--again", help="The same marc once more, into the same extract.")
    ] = False,
) -> Recorded:
    """Record a pressing: what came out opens an extract."""
    named, amount = desk.code(code, "Which jar"), desk.volume(volume, "How much came out")
    if again:
        return _once_more(desk, named, amount, how, only_first=bool(marc or keeps))
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


def _once_more(
    desk: Desk, named: str, amount: Amount, how: str | None, *, only_first: bool
) -> Recorded:
    """More of the last pressing's extract, or of the one that is named."""
    if only_first:
        raise MisusedError(
            "--marc and --keeps are said of the first pressing.",
            where="--again",
            do="leave them out, or correct the first pressing.",
        )
    thing = desk.find(named, with_marc)
    if thing.extract is None and thing.jar is not None:
        if thing.jar.pressing is None:
            raise refusal(Verdict.of(was_pressed(thing.jar, "pressed again")).refusals)
        thing = extract_of(thing.jar, thing.jar.pressing)
    fact = PressedAgain(
        about=about_of(thing),
        volume_ml=amount.value,
        written=amount.written,
        known=amount.known,
        how=how,
    )
    return desk.record(thing.code, fact)


@app.command("filter")
@recording
def filter_(
    desk: Desk,
    code: ExtractCode = None,
    volume: Volume = None,
    before: Annotated[str | None, typer.Option(help="How much there was before.")] = None,
    through: Annotated[str | None, typer.Option(help="Through what: paper, cloth …")] = None,
    poured_off: Annotated[
        bool, typer.Option("--poured-off", help="It stood and was poured off its lees instead.")
    ] = False,
) -> Recorded:
    """Record an extract filtered, or poured off its lees.

    VOLUME is what there is of it now.
    """
    if poured_off and through:
        raise MisusedError(
            "What is poured off its lees goes through nothing.",
            where="--through",
            do="leave out --through or --poured-off; for both, record one after the other.",
        )
    named = desk.code(code, "Which extract")
    amount = desk.volume(volume, "How much is there of it now")
    was = desk.volume_if(before)
    if poured_off:
        return _poured_off(desk, named, amount, was)
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


def _poured_off(desk: Desk, named: str, amount: Amount, was: Amount | None) -> Recorded:
    thing = desk.extract(named, "poured off its lees")
    fact = Settled(
        about=about_of(thing),
        volume_ml=amount.value,
        before_ml=was.value if was else None,
        written=amount.written,
        known=amount.known,
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
