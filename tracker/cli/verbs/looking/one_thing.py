"""Questions about one thing: `show`, `history`."""

from typing import Annotated

import typer

from tracker.bench.bench import Bench
from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsJson, Desk, On, desk_json, echo_lines
from tracker.cli.find import once_told, taken_out
from tracker.cli.given.code_asked import code_asked
from tracker.cli.verbs.looking import thing_shown
from tracker.core.facts.entry import Entry
from tracker.core.replay.former_codes import together
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, whole
from tracker.core.values.errors import AmbiguousCodeError, UnknownCodeError

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str, typer.Argument(help="A jar, extract, bottle or lot: CAOF-26-01A/3.")]


@app.command()
def show(
    context: typer.Context,
    code: Code,
    on: On = None,
    sources: Annotated[
        bool, typer.Option("--sources", help="Name the source of every caution.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Everything reckoned about one thing, and how."""
    thing_shown.show(context.obj, code, on, sources=sources, as_json=as_json)


def told_of(bench: Bench, code: str) -> tuple[str, Thing | Lot | None, list[Entry]]:
    """A code in full, what it names now, and every line ever recorded of it.

    What was struck or counts as another is shown along with what bears its code now, or by
    itself where nothing does.

    Raises:
        UnknownCodeError, AmbiguousCodeError: no line names it, or it fits several things.
    """
    bench.must_exist()
    gone = taken_out(bench, code)
    try:
        thing = bench.find_any(code)
    except UnknownCodeError as unknown:
        return _once_told(bench, code, unknown)
    except AmbiguousCodeError:
        if not gone:
            raise
        return code.strip(), None, together(gone.values())
    if gone and thing.code.casefold() != code.strip().casefold():
        return code.strip(), None, together(gone.values())
    owner = thing if isinstance(thing, Lot) else thing.batch
    gone |= taken_out(bench, owner.code)
    return owner.code, thing, together([bench.entries_of(owner.id), *gone.values()])


def _once_told(
    bench: Bench, code: str, unknown: UnknownCodeError
) -> tuple[str, Thing | Lot | None, list[Entry]]:
    """What goes by that code no longer: struck, or shown under another code since."""
    told = once_told(bench, code)
    if not told:
        raise unknown
    batch = bench.batch(next(iter(told))) if len(told) == 1 else None
    if batch is None:
        return code.strip(), None, together(told.values())
    return batch.code, whole(batch), together(told.values())


def _late(bench: Bench, entries: list[Entry]) -> dict[str, int]:
    """By how many days what each of these used was past its date."""
    from tracker.core.facts.kinds import things_of, traits_of
    from tracker.core.reckoning.keeps import days_late_of

    used = (one for one in entries if traits_of(one.fact).contents == "changed")
    ids = {about.jar for one in used for about in things_of(one.fact)}
    found = (bench.batch(one) for one in ids)
    return days_late_of((one for one in found if one is not None), bench.practice)


@app.command()
def history(context: typer.Context, code: Code, as_json: AsJson = False) -> None:
    """Everything that was recorded about a jar or lot.

    Corrections and what was struck are included.
    """
    desk = Desk(context.obj, as_json=as_json)
    context.with_resource(desk.bench.asking())
    is_broken = say_broken_practice(desk)
    name, _, entries = told_of(desk.bench, code_asked(desk, code))
    from tracker.outputs.terminal import history_table

    names = desk.bench.names_of(entries)
    # Till when a thing is good, the practice decides.
    late = {} if is_broken else _late(desk.bench, entries)
    if is_broken:
        typer.echo("What was past its date when it was used is not said here.", err=True)
    if as_json:
        desk_json(history_table.history_fields(entries, names, late))
    else:
        zone = desk.bench.now().tzinfo
        assert zone is not None
        lines = history_table.history(entries, name, zone, names, late, colour=desk.colour)
        echo_lines(lines, desk.colour)
    damaged(desk)
