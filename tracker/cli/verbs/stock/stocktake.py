"""All that stands on the shelf counted in one go: `stocktake`."""

import sys
from collections.abc import Sequence
from functools import partial
from typing import Annotated

import typer

from tracker.cli.answer import answered, kept_once_recorded
from tracker.cli.asking import decision, until_answered
from tracker.cli.counting_walk import Walked, walk
from tracker.cli.damaged_book import damaged, tell_damages
from tracker.cli.desk import AsJson, Desk
from tracker.cli.given.counts_given import found_of, label_key, labels
from tracker.cli.given.person_given import remember_for_the_evening, who_did_it
from tracker.cli.lines import LINE, Line, read_page
from tracker.cli.options import DryRun, Note, Sure, When_, Who, one_of
from tracker.cli.printing import echo_json, echo_lines
from tracker.cli.streams import print_data
from tracker.core.facts.extracts import Counted
from tracker.core.facts.fields import About
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.shelf_count import (
    Counting,
    CountKind,
    Found,
    ToCount,
    to_count,
    to_record,
)
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.outputs.terminal import stocktake_lines
from tracker.outputs.words.amount_words import plain

app = typer.Typer(rich_markup_mode=None)


@app.command()
def stocktake(
    context: typer.Context,
    file: Annotated[
        str | None, typer.Argument(help="A filled-in sheet, or - for standard input.")
    ] = None,
    place: Annotated[str | None, typer.Option(help="One place alone: 'cupboard, shelf 1'.")] = None,
    kind: Annotated[str | None, typer.Option(help="bottles, extracts or lots alone.")] = None,
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Print a sheet to fill in by hand.")
    ] = False,
    when: When_ = None,
    by: Who = None,
    note: Note = None,
    sure: Sure = False,
    as_json: AsJson = False,
    dry_run: DryRun = False,
) -> None:
    """Count all that stands on the shelf in one go.

    At a terminal it asks about one thing after the other, place by place, and shows what is
    unaccounted before anything is recorded; elsewhere it takes a sheet filled in by hand. All
    counts are recorded together, or none.
    """
    desk = Desk(context.obj, when, by, note, as_json, dry_run, sure)
    units = desk.bench.practice.units  # before anything is asked: nobody counts for nothing
    items = _wanted(_on_the_shelf(desk), place, kind)
    if sheet:
        _print_sheet(desk, items)
        damaged(desk)
        return
    with kept_once_recorded(desk):
        desk.by, remark = who_did_it(desk.bench, by)
        desk.remarks += [remark] if remark else []
        walked = _counted(desk, items, file, units)
        if not walked.counted:
            typer.echo("Nothing was counted.", err=True)
            return
        _show_and_ask(desk, walked)
        try:
            recorded = until_answered(desk, lambda: record_counts(desk, walked.counted))
        except (TrackerError, typer.Exit):
            if file is None:
                _keep(walked)
            raise
        if desk.is_recorded:
            remember_for_the_evening(desk.bench, by)
        _answer(desk, recorded, walked)
        tell_damages(desk.damages)


def _on_the_shelf(desk: Desk) -> list[ToCount]:
    """What there is to count now, or was by the day it was counted."""
    bench = desk.bench
    day = bench.when(desk.when).latest if desk.when else None
    batches, lots = bench.shelved(on=day)
    return to_count(batches, lots)


def _wanted(items: Sequence[ToCount], place: str | None, kind: str | None) -> list[ToCount]:
    """What there is to count of one place or kind, or of all.

    Raises:
        MisusedError: there is none.
    """
    wanted = None if kind is None else one_of(kind, CountKind, "--kind")
    found = [one for one in items if wanted is None or one.kind == wanted]
    if place is not None:
        said = place.strip().casefold()
        found = [one for one in found if said in (one.place or "").casefold()]
        if not found:
            near = dict.fromkeys(one.place for one in items if one.place)
            raise MisusedError(
                f"Nothing to count stands in {place!r}.",
                where="--place",
                do=f"name one of these: {'; '.join(near)}." if near else "leave it out.",
            )
    return found


def _print_sheet(desk: Desk, items: Sequence[ToCount]) -> None:
    if desk.as_json:
        echo_json(stocktake_lines.sheet_fields(items))
    else:
        names = desk.bench.practice.names
        print_data()  # a line parted in two would not be read again
        echo_lines(stocktake_lines.sheet_lines(items, names, desk.bench.today()), colour=False)


def _counted(desk: Desk, items: Sequence[ToCount], file: str | None, units: UnitSystem) -> Walked:
    """What was counted: by a sheet, or in a walk.

    Raises:
        MisusedError: there is neither a sheet nor a terminal to ask at.
    """
    if file is not None:
        return _read(desk, items, file, units)
    if desk.as_json or not sys.stdin.isatty():
        raise MisusedError(
            "Which sheet?",
            where="the command line: a stocktake asks at a terminal, and there is none",
            do="print a sheet with --sheet, fill it in, and give its file.",
        )
    return walk(desk.bench, items, desk.columns)


def _read(desk: Desk, items: Sequence[ToCount], file: str, units: UnitSystem) -> Walked:
    """The lines of a sheet, each `LABEL = WHAT IS THERE`; an empty one was not counted."""
    by_label = labels(items)
    places = {label_key(one.label): at for at, one in enumerate(items)}
    walked = Walked(items)
    for line in read_page(file):
        with line.named():
            key, said = _taken(line, by_label)
            if not said:
                continue
            if places[key] in walked.found:
                raise MisusedError("It is counted twice.", where=LINE, do="take one of them out.")
            read = partial(found_of, by_label[key], units=units)
            walked.found[places[key]] = read(desk.settled(said, read))
    return walked


def _taken(line: Line, by_label: dict[str, ToCount]) -> tuple[str, str]:
    label, sign, rest = line.text.partition("=")
    key = label_key(label)
    if not sign:
        raise MisusedError(
            "There is no = in it.", where=LINE, do="write it like CAOF-26-01A = 640 ml."
        )
    if key not in by_label:
        near = near_names(label.strip(), [one.label for one in by_label.values()])
        hint = f"did you mean {near[0]}? " if near else ""
        raise MisusedError(
            f"{label.strip()!r} is not among what there is to count.",
            where=LINE,
            do=f"{hint}`stillroom stocktake --sheet` lists it.",
        )
    return key, rest.partition("#")[0].strip()


def _show_and_ask(desk: Desk, walked: Walked) -> None:
    """Say what is unaccounted, and go on only if the person says so."""
    practice = desk.bench.practice
    lines = stocktake_lines.summary(
        walked.counted,
        walked.skipped,
        practice.names,
        practice.currency,
        total=desk.columns,
        colour=desk.colour,
    )
    if not desk.as_json:
        typer.echo("\n".join(lines), err=True, color=desk.colour)
    if desk.sure or desk.as_json or desk.dry_run or not sys.stdin.isatty():
        return
    count = len(to_record(walked.counted))
    if decision(f"Record {count} count{'' if count == 1 else 's'}?", usual="yes") != "yes":
        typer.echo("Nothing was recorded.", err=True)
        _keep(walked)
        raise typer.Exit(1)


def _keep(walked: Walked) -> None:
    """What was counted as a sheet, so that no walk is made for nothing."""
    typer.echo("What you counted, as a sheet that `stillroom stocktake FILE` takes:", err=True)
    for line in stocktake_lines.as_sheet(walked.counted):
        typer.echo(line, err=True)


def record_counts(desk: Desk, found: Sequence[Found]) -> Recorded:
    """Record the counts, all or none; what changed in the book meanwhile is asked about."""
    counts = to_record(found)
    if desk.when is None:  # what happened after another day changes nothing of what was found
        now = _as_it_is(desk)
        for one in counts:
            there = now.get(one.of.about, 0.0)
            if abs(there - one.of.book) >= DROP_ML:
                desk.ask_about(_changed(one, there))
    return desk.record_all((one.of.code, _fact(one)) for one in counts)


def _as_it_is(desk: Desk) -> dict[About, float]:
    """What the book has of each thing now."""
    items = to_count(desk.book.batches(), desk.book.lots())
    return {one.about: one.book for item in items for one in item.own}


def _changed(one: Counting, there: float) -> Finding:
    unit = one.of.unit
    what = (
        f"the book had {plain(one.of.book, unit)} when it was counted, and has "
        f"{plain(there, unit)} now; {plain(one.there, unit)} was counted"
    )
    return Finding("order", one.of.code, what, "count it once more", "question")


def _fact(one: Counting) -> Counted:
    gram = one.of.ml_of_gram
    is_herb = one.of.unit == "g" and gram is None
    known = "weighed" if is_herb and one.known == "measured" else one.known
    return Counted(
        about=one.of.about,
        volume_ml=None if is_herb else one.there * (gram or 1.0),
        herb_g=one.there if is_herb else None,
        written=one.written,
        known=known,
    )


def _answer(desk: Desk, recorded: Recorded, walked: Walked) -> None:
    answer = answered(desk, recorded)
    for remark in answer.beside:
        typer.echo(remark, err=True)
    if desk.as_json:
        echo_json(
            {
                "recorded": [
                    {"id": one.id, "kind": one.kind, "code": one.subject}
                    for one in recorded.entries
                ],
                "dry_run": desk.dry_run,
                "flags": answer.warnings,
                "said": answer.lines,
                "counted": stocktake_lines.found_fields(walked.counted),
                "not_counted": [one.label for one in walked.skipped],
            }
        )
        return
    count = len(recorded.entries)
    would = "Would record" if desk.dry_run else "Recorded"
    typer.echo(shown(f"{would} {count} count{'' if count == 1 else 's'}."))
