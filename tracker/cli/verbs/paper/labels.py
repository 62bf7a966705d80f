"""Labels on paper: `label` prints them and records what they say."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.several_codes import All, codes_or_all
from tracker.cli.named_file import Force, Paper, missing_letters
from tracker.cli.options import Codes, recording
from tracker.core.facts.amendments import Labelled
from tracker.core.practice.label_sheets import LabelSheet, parse_size, single
from tracker.core.practice.practice import Practice
from tracker.core.rules.checks.jar_state import not_gone
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.thing import Thing, things
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.garbage import no_garbage_collection

if TYPE_CHECKING:
    from tracker.outputs.paper.labels.label_pdf import Printed
    from tracker.outputs.paper.labels.label_text import Label

app = typer.Typer(rich_markup_mode=None)

To = Annotated[
    Path | None,
    typer.Option("--to", help="The PDF to write; else labels.pdf, with a number if taken."),
]


@app.command()
@recording
@no_garbage_collection()
def label(
    desk: Desk,
    codes: Codes = None,
    every: All = False,
    to: To = None,
    force: Force = False,
    sheet: Annotated[
        str | None, typer.Option(help="A sheet of the practice: a4, letter, lids, your own.")
    ] = None,
    size: Annotated[
        str | None, typer.Option(help="One label a page, for a roll printer: 70x37mm.")
    ] = None,
    start: Annotated[int, typer.Option(help="The first position on the sheet to print.")] = 1,
    copies: Annotated[int, typer.Option(help="Of each label.")] = 1,
    lid: Annotated[bool, typer.Option("--lid", help="Short, for a lid.")] = False,
    bottles: Annotated[
        bool, typer.Option("--bottles", help="For every bottle of what is named.")
    ] = False,
    no_record: Annotated[
        bool, typer.Option("--no-record", help="Write the PDF; record nothing.")
    ] = False,
) -> Recorded:
    """Print labels as a PDF, and record what they say."""
    from tracker.outputs.paper.labels import label_text
    from tracker.outputs.paper.labels.label_pdf import printed

    named, practice = codes_or_all(desk, codes, every), desk.bench.practice
    name, page = _sheet(practice, sheet, size, lid=lid)
    found, now = _things(desk, named, bottles=bottles), desk.book.now
    write = label_text.lid if lid else label_text.label
    not_held = desk.book.not_held()
    labels = [write(thing, practice, now.date(), not_held) for thing in found]
    made = printed(labels, page, now, start=start, copies=copies)
    count = f"{made.labels} label{'s' * (made.labels != 1)}"
    desk.papers.append(Paper(to, "labels.pdf", made.pdf, count, made.pages, force))
    desk.warnings += _left_off(labels, made)
    if no_record:
        return desk.record_all(())
    return desk.record_all(
        (
            thing.code,
            Labelled(about=about_of(thing), lines=lines, copies=copies, qr=one.qr, sheet=name),
        )
        for thing, one, lines in zip(found, labels, made.lines, strict=True)
    )


def _left_off(labels: Sequence["Label"], made: "Printed") -> list[str]:
    """What there was no room for on each label, and letters that no font has."""
    cut = [
        f"no room on {one.code} for: {'; '.join(missing)}"
        for one, missing in zip(labels, made.left_off, strict=True)
        if missing
    ]
    return [*cut, *missing_letters(made.missing)]


def _sheet(
    practice: Practice, name: str | None, size: str | None, *, lid: bool
) -> tuple[str, LabelSheet]:
    """What to print on, and how it is called."""
    if name and size:
        raise MisusedError(
            "Both a sheet and a size.", where="--sheet and --size", do="use one of them."
        )
    if size:
        page = single(*parse_size(size), is_round=lid)
        if why := page.wrong():
            raise MisusedError(f"{size}: {why}.", where="--size", do="give another size.")
        return f"{page.label_mm[0]:g} x {page.label_mm[1]:g} mm", page
    name = name or ("lids" if lid else practice.label_sheet)
    if name not in practice.sheets:
        raise MisusedError(
            f"The practice has no sheet {name}.",
            where="--sheet, or [labels] in practice.toml",
            do=f"use one of {', '.join(practice.sheets)}, or describe it as [sheets.{name}].",
        )
    return name, practice.sheets[name]


def _things(desk: Desk, codes: Sequence[str], *, bottles: bool) -> list[Thing]:
    """What labels are for: what is named, or every bottle of it; never what is gone."""
    found: dict[str, Thing] = {}
    for code in codes:
        thing = desk.find(code)
        mine = _bottles(thing) if bottles else [thing]
        if not mine:
            raise RefusedError(thing.code, "it has no bottles", do="`stillroom bottle` it first.")
        for one in mine:
            verdict = Verdict.of(not_gone(one))
            if verdict.refusals:
                raise refusal(verdict.refusals)
            found[one.code] = one
    return list(found.values())


def _bottles(thing: Thing) -> list[Thing]:
    return [
        one
        for one in things(thing.batch)
        if one.bottle is not None
        and not one.bottle.discarded
        and (thing.extract is None or one.extract is thing.extract)
        and thing.bottle in (None, one.bottle)
    ]
