"""Labels on paper: `label` prints them and records what they say."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal, NamedTuple

import typer

from tracker.cli.damaged_book import missing_of
from tracker.cli.desk import Desk, about_of
from tracker.cli.given.several_codes import All, codes_or_all
from tracker.cli.logo_file import logo_bytes
from tracker.cli.named_file import Force, Paper, would_write
from tracker.cli.options import Codes, recording
from tracker.cli.print_anyway import print_anyway
from tracker.core.facts.amendments import Labelled
from tracker.core.practice.label_sheets import LabelSheet, parse_size, single
from tracker.core.practice.practice import Practice
from tracker.core.rules.checks.jar_state import not_gone
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.thing import Thing, things
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.garbage import no_garbage_collection
from tracker.outputs.paper.hyphens import hyphenates
from tracker.outputs.words.not_whole import incomplete_kept
from tracker.outputs.words.things_said import codes_said

if TYPE_CHECKING:
    from tracker.outputs.paper.labels.label_lines import Label
    from tracker.outputs.paper.labels.label_pdf import Printed

app = typer.Typer(rich_markup_mode=None)

Kind = Literal["whole", "lid", "short"]
# The sheet of what is not printed on the maker's usual one.
_USUAL: Final[Mapping[Kind, str]] = {"lid": "lids", "short": "short"}

# Of more stretches of bottles than these it is said how many there are, and no code.
_MOST_RANGES: Final = 4

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
    lid: Annotated[bool, typer.Option("--lid", help="For a lid: round, and short.")] = False,
    short: Annotated[
        bool, typer.Option("--short", help="For a small bottle: from 25 x 15 mm.")
    ] = False,
    bottles: Annotated[
        bool, typer.Option("--bottles", help="For every bottle of what is named.")
    ] = False,
    recipe: Annotated[
        bool | None,
        typer.Option("--recipe/--no-recipe", help="With ratio, strength and what was poured."),
    ] = None,
    logo: Annotated[
        Path | None, typer.Option(help="A PNG or JPEG file to print on each; none for no logo.")
    ] = None,
    no_record: Annotated[
        bool, typer.Option("--no-record", help="A trial: write the PDF, record nothing.")
    ] = False,
) -> Recorded:
    """Print labels as a PDF, and record what they say."""
    kind = _kind(lid=lid, short=short)
    named = codes_or_all(desk, codes, every)
    name, page = _sheet(desk.bench.practice, sheet, size, kind)
    picture = logo_bytes(desk.bench.book, desk.bench.practice, logo)
    found = _things(desk, named, bottles=bottles)
    run = _Run(page, start, copies, picture, is_trial=no_record)
    labels, made = _made(desk, found, kind, recipe, run)
    file = "labels-trial.pdf" if no_record else "labels.pdf"
    _to_print(desk, Paper(to, file, made.pdf, _what(found, made), made.pages, force), run)
    if no_record:
        return desk.record_all(())
    return desk.record_all(
        (
            thing.code,
            Labelled(about=about_of(thing), lines=lines, copies=copies, qr=one.qr, sheet=name),
        )
        for thing, one, lines in zip(found, labels, made.lines, strict=True)
    )


class _Run(NamedTuple):
    """What is printed in one go: on what, from which position, how often, with which logo."""

    sheet: LabelSheet
    start: int
    copies: int
    logo: bytes | None
    is_trial: bool


def _kind(*, lid: bool, short: bool) -> Kind:
    if lid and short:
        raise MisusedError(
            "Both a lid and a short label.", where="--lid and --short", do="use one of them."
        )
    return "lid" if lid else "short" if short else "whole"


def _made(
    desk: Desk, found: Sequence[Thing], kind: Kind, recipe: bool | None, run: _Run
) -> tuple[list["Label"], "Printed"]:
    """What each label says, and the PDF of them; what is in doubt is asked before it is written."""
    from tracker.outputs.paper.labels.label_pdf import printed
    from tracker.outputs.paper.labels.left_off import no_room

    now = desk.book.now
    labels = _worded(desk, found, kind, recipe)
    made = printed(
        labels,
        run.sheet,
        now,
        start=run.start,
        copies=run.copies,
        logo=run.logo,
        title="Labels, a trial" if run.is_trial else "Labels",
        foot=incomplete_kept(missing_of(desk.damages)),
    )
    missing = no_room(labels, made.left_off)
    desk.warnings += [
        *([missing] if missing else []),
        *print_anyway(desk, made.missing, desk.damages),
    ]
    return labels, made


def _worded(desk: Desk, found: Sequence[Thing], kind: Kind, recipe: bool | None) -> list["Label"]:
    from tracker.outputs.paper.labels import label_text

    practice, today, not_held = desk.bench.practice, desk.book.now.date(), desk.book.not_held()
    match kind:
        case "lid":
            return [label_text.lid(one, practice, today, not_held) for one in found]
        case "short":
            return [label_text.short(one, practice, today, not_held) for one in found]
        case "whole":
            return [
                label_text.label(one, practice, today, not_held, recipe=recipe) for one in found
            ]


def _to_print(desk: Desk, paper: Paper, run: _Run) -> None:
    """Have the PDF written with the record, and say what becomes of it."""
    desk.papers.append(paper)
    language = desk.bench.practice.label.language
    if language and not hyphenates(language):
        desk.warnings.append(f"words cannot be hyphenated in the language {language}")
    if desk.dry_run:
        desk.remarks.append(would_write(paper))
    if run.is_trial:
        desk.remarks.append("A trial: nothing is recorded.")


def _what(found: Sequence[Thing], made: "Printed") -> str:
    """`labels for 110 bottles: CAOF-26-01A/1..110`; of what is of several kinds, how many."""
    if len(found) < 2 or any(one.bottle is None for one in found):
        return f"{made.labels} label{'s' * (made.labels != 1)}"
    copies = made.labels // len(found)
    what = f"{copies} labels each" if copies > 1 else "labels"
    codes = codes_said([one.code for one in found])
    return (
        f"{what} for {len(found)} bottles{f': {codes}' if codes.count(',') < _MOST_RANGES else ''}"
    )


def _sheet(
    practice: Practice, name: str | None, size: str | None, kind: Kind
) -> tuple[str, LabelSheet]:
    """What to print on, and how it is called."""
    if name and size:
        raise MisusedError(
            "Both a sheet and a size.", where="--sheet and --size", do="use one of them."
        )
    if size:
        page = single(*parse_size(size), is_round=kind == "lid")
        if why := page.wrong():
            raise MisusedError(f"{size}: {why}.", where="--size", do="give another size.")
        return f"{page.label_mm[0]:g} x {page.label_mm[1]:g} mm", page
    name = name or _USUAL.get(kind, practice.label_sheet)
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
