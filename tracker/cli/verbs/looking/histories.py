"""What was recorded: of one thing, or lately in the whole book: `history`."""

from collections.abc import Sequence
from datetime import date, tzinfo
from typing import Annotated

import typer

from tracker.bench.bench import Bench
from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsJson, Desk, On
from tracker.cli.find import once_told, taken_out
from tracker.cli.given.code_asked import code_asked
from tracker.cli.printing import echo_json, echo_lines
from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.replay.former_codes import together
from tracker.core.replay.in_force import settle
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, whole
from tracker.core.values.command_words import command
from tracker.core.values.errors import AmbiguousCodeError, UnknownCodeError
from tracker.core.values.text import shown

app = typer.Typer(rich_markup_mode=None)

LAST = 20  # commands


@app.command()
def history(
    context: typer.Context,
    code: Annotated[
        str | None,
        typer.Argument(help="A jar, extract, bottle or lot; the whole book where left out."),
    ] = None,
    every: Annotated[
        bool,
        typer.Option("--all", help="All that happened to its jar, every shake and label apart."),
    ] = False,
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """What was recorded about a thing, or lately in the book.

    Without a code it shows the last commands of the whole book. A bottle or an extract has a
    thread of its own: what led to it, and then what became of it.
    """
    desk = Desk(context.obj, as_json=as_json)
    context.with_resource(desk.bench.asking())
    is_broken = say_broken_practice(desk)
    day = desk.day(on, "past")
    if code is None:
        _diary(desk, day, every=every, as_json=as_json)
    else:
        _of_thing(desk, code, day, every=every, as_json=as_json, is_broken=is_broken)
    damaged(desk)


def _of_thing(
    desk: Desk, code: str, day: date | None, *, every: bool, as_json: bool, is_broken: bool
) -> None:
    from tracker.outputs.terminal import history_table
    from tracker.outputs.view.history import Telling
    from tracker.outputs.view.own_thread import has_own_thread, own_thread

    name, thing, entries = told_of(desk.bench, code_asked(desk, code))
    all_of_it = len(entries)
    if isinstance(thing, Thing) and has_own_thread(thing) and not every:
        name, entries = thing.code, own_thread(entries, thing)
    entries = entries if day is None else through(entries, day)
    names = desk.bench.names_of(entries)
    # Till when a thing is good, the practice decides.
    late = {} if is_broken else _late(desk.bench, entries)
    if is_broken:
        typer.echo("What was past its date when it was used is not said here.", err=True)
    if as_json:
        echo_json(history_table.history_fields(entries, names, late))
        return
    from tracker.outputs.terminal.history_head import head_of

    telling = Telling(
        _zone(desk), names, late, is_folded=not every, hemisphere=desk.bench.practice.hemisphere
    )
    herbs = desk.bench.practice.names
    head = head_of(name, thing, day, herbs, total=desk.columns, colour=desk.colour)
    lines = history_table.history(entries, name, telling, total=desk.columns, colour=desk.colour)
    echo_lines([*head, *lines], desk.colour)
    if isinstance(thing, Thing) and len(entries) < all_of_it and not every and day is None:
        more = command("history", thing.batch.code, options="--all")
        typer.echo(shown(f"All {all_of_it} lines of {thing.batch.code}: {more}"), err=True)


def through(entries: Sequence[Entry], day: date) -> list[Entry]:
    """What had happened by a day, with all that was said of it since."""
    settled = {one.id: one for one in settle(entries).entries}
    kept = {
        one.id
        for one in entries
        if not isinstance(one.fact, Amendment) and settled.get(one.id, one).when.earliest <= day
    }
    for one in entries:  # an amendment is written after what it amends
        if isinstance(one.fact, Amendment) and one.fact.event in kept:
            kept.add(one.id)
    return [one for one in entries if one.id in kept]


def _diary(desk: Desk, day: date | None, *, every: bool, as_json: bool) -> None:
    from tracker.outputs.terminal import diary, history_table

    commands = diary.commands_of(desk.bench.entries())
    if day is not None:
        commands = diary.on_day(commands, day, _zone(desk))
    elif not every:
        commands = commands[-LAST:]
    entries = [entry for one in commands for entry in one.entries]
    names = desk.bench.names_of(entries)
    if as_json:
        echo_json(history_table.history_fields(entries, names, {}))
    elif not commands:
        where = "Nothing was recorded" + (" yet." if day is None else " on that day, or of it.")
        typer.echo(where, err=True)
    else:
        zone = _zone(desk)
        words = diary.Words(names, _plants(desk, entries))
        lines = diary.diary(commands, words, zone, total=desk.columns, colour=desk.colour)
        echo_lines(lines, desk.colour)


def _plants(desk: Desk, entries: Sequence[Entry]) -> dict[str, str]:
    """What is in each jar that these entries are about."""
    from tracker.outputs.words.plant_names import batch_called

    found = {jar: desk.bench.batch(jar) for one in entries for jar in one.jars}
    names = desk.bench.practice.names
    return {jar: batch_called(one, names) for jar, one in found.items() if one is not None}


def _zone(desk: Desk) -> tzinfo:
    zone = desk.bench.now().tzinfo
    assert zone is not None
    return zone


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
