"""Paper: `label` prints labels and records what they say, `handout` a page of many jars."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.desk import Desk, On
from tracker.cli.pdf_file import missing_letters, tell_written, write_pdf
from tracker.cli.sheet import Sheet as Recording
from tracker.cli.sheet import about_of, recording
from tracker.core.facts.amendments import Labelled
from tracker.core.practice.label_sheets import LabelSheet, parse_size, single
from tracker.core.practice.practice import Practice
from tracker.core.shelf.thing import Thing, things
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.text import shown
from tracker.outputs.view.thing import row_of

if TYPE_CHECKING:
    from tracker.outputs.paper.labels.label_pdf import Printed

app = typer.Typer(rich_markup_mode=None)

Codes = Annotated[list[str] | None, typer.Argument(help="Codes, such as CAOF-26-01.")]
To = Annotated[Path | None, typer.Option("--to", help="The PDF to write.")]


@app.command()
@recording
def label(
    desk: Desk,
    codes: Codes = None,
    to: To = None,
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
) -> None:
    """Print labels as a PDF, and record what they say."""
    codes = desk.need(codes or None, "Which jars", read=str.split)
    practice = desk.bench.practice
    name, page = _sheet(practice, sheet, size, lid=lid)
    with desk.recording() as record:
        from tracker.outputs.paper.labels import label_text
        from tracker.outputs.paper.labels.label_pdf import printed

        found = _things(record, codes, bottles=bottles)
        today = record.now.date()
        say = label_text.lid if lid else label_text.label
        labels = [say(thing, practice, today) for thing in found]
        made = printed(labels, page, record.now, start=start, copies=copies)
        # Before the record: what is printed and not recorded can be printed again.
        record.before_writing.append(partial(_print, to or Path("labels.pdf"), made))
        for one, left_off in zip(labels, made.left_off, strict=True):
            if left_off:
                record.warnings.append(f"no room on {one.code} for: {'; '.join(left_off)}")
        record.warnings += missing_letters(made.missing)
        for thing, one, lines in zip(found, labels, made.lines, strict=True):
            many = f", {copies} copies" if copies > 1 else ""
            record.tell(partial("{} labelled on {}{}.".format, thing.code, name, many))
            if not no_record:
                fact = Labelled(
                    by=desk.by,
                    note=desk.note,
                    about=about_of(thing),
                    lines=lines,
                    copies=copies,
                    qr=one.qr,
                    sheet=name,
                )
                record.add(thing.code, fact)


@app.command()
def handout(
    context: typer.Context,
    codes: Codes = None,
    to: To = None,
    title: Annotated[str, typer.Option(help="What stands at its head.")] = "Jars",
    on: On = None,
) -> None:
    """Many jars on one page, with the next date of each; without codes, those on the herb."""
    from tracker.outputs.paper.handouts import handout as handout_pdf
    from tracker.outputs.paper.handouts import lying_page_mm, row

    desk = Desk(context.obj)
    bench = desk.bench
    day = desk.day(on)
    today, practice = day or bench.today(), bench.practice
    if codes:
        found = [bench.find(code, day) for code in codes]
    else:
        jars = bench.jars(live_only=True, on=day)
        found = [Thing(jar.code, jar) for jar in jars if jar.is_macerating]
    page = lying_page_mm(_sheet(practice, None, None, lid=False)[1].page_mm)
    rows = [row(thing, practice, today) for thing in found]
    made = handout_pdf(rows, bench.now(), day=today, title=title, page_mm=page)
    file = to or Path("handout.pdf")
    write_pdf(file, made.pdf)
    for warning in missing_letters(made.missing):
        typer.echo(f"Look again: {shown(warning)}.", err=True)
    tell_written(file, f"{len(rows)} jar{'s' * (len(rows) != 1)}", made.pages)


def _print(file: Path, made: "Printed") -> None:
    write_pdf(file, made.pdf)
    tell_written(file, f"{made.labels} label{'s' * (made.labels != 1)}", made.pages)


def _sheet(
    practice: Practice, name: str | None, size: str | None, *, lid: bool
) -> tuple[str, LabelSheet]:
    """What to print on, and how it is called."""
    if name and size:
        raise MisusedError(
            "Both a sheet and a size.", where="--sheet and --size", do="say one of them."
        )
    if size:
        page = single(*parse_size(size), is_round=lid)
        if why := page.wrong():
            raise MisusedError(f"{size}: {why}.", where="--size", do="say another size.")
        return f"{page.label_mm[0]:g} x {page.label_mm[1]:g} mm", page
    name = name or ("lids" if lid else practice.label_sheet)
    if name not in practice.sheets:
        raise MisusedError(
            f"The practice has no sheet {name}.",
            where="--sheet, or [labels] in practice.toml",
            do=f"say one of {', '.join(practice.sheets)}, or describe it as [sheets.{name}].",
        )
    return name, practice.sheets[name]


def _things(record: Recording, codes: Sequence[str], *, bottles: bool) -> list[Thing]:
    found: dict[str, Thing] = {}
    for code in codes:
        thing = record.find(code)
        mine = _bottles(thing) if bottles else [thing]
        if not mine:
            raise RefusedError(thing.code, "it has no bottles", do="`stillroom bottle` it first.")
        for one in mine:
            if row_of(one, record.now.date()).state == "discarded":
                raise RefusedError(one.code, "it was discarded", do="name what is still there.")
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
