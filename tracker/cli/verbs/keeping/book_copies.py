"""`backup`: a verified copy of the book, compared later, and made a book again."""

import shlex
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from tracker.bench.copies_made import note_copy
from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json
from tracker.cli.verbs.keeping.damages_said import damage_fields, say_damages
from tracker.core.values.errors import BookError, MisusedError
from tracker.core.values.text import shown
from tracker.journal import backup as copies
from tracker.journal import restored_copy

app = typer.Typer(rich_markup_mode=None)

Folder = Annotated[Path, typer.Argument(metavar="DIR", help="Where the copy is, or goes.")]


@app.command()
def backup(
    context: typer.Context,
    folder: Folder,
    verify: Annotated[
        bool, typer.Option("--verify", help="Copy nothing; compare an earlier copy.")
    ] = False,
    restore: Annotated[
        Path | None,
        typer.Option(metavar="NEW", help="Make a book of the copy, in a new folder."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Make a verified copy of the book, or a book of a copy."""
    desk = Desk(context.obj, as_json=as_json)
    if restore is not None:
        if verify:
            raise MisusedError(
                "--verify and --restore are two things.",
                where="the command line",
                do="take one of them; --restore verifies as well.",
            )
        _restore(desk, folder, restore)
        return
    desk.bench.must_exist()
    say_broken_practice(desk)
    if verify and not (folder / "events").is_dir():
        raise MisusedError(
            "There is no copy of a book there.",
            where=str(folder),
            do="leave --verify out to make one.",
        )
    if not verify:
        with desk.bench.locked():
            copies.back_up(desk.bench.book, folder)
    left = [] if verify else copies.left_out(desk.bench.book)
    damages = [*copies.damages_of(folder), *left]
    files = copies.compare(desk.bench.book, folder)
    contained = not any(one.only_copy for one in files)
    if contained and not damages:
        _note(desk, folder, sum(one.lines for one in files), made=not verify)
    if as_json:
        echo_json(
            {
                "folder": str(folder),
                "whole": not damages,
                "contained": contained,
                "files": [asdict(one) for one in files],
                "damages": [damage_fields(one) for one in damages],
            }
        )
    else:
        say_damages(damages)
        _say_compared(files, folder, is_new=not verify)
    if damages or not contained:
        raise typer.Exit(1)


def _note(desk: Desk, folder: Path, lines: int, *, made: bool) -> None:
    """Keep when it was, for `check` and `practice`; what fails takes nothing back."""
    bench = desk.bench
    try:
        note_copy(bench.state, bench.now(), folder, lines, made=made)
    except OSError as reason:
        why = shown(reason.strerror or str(reason))
        typer.echo(f"`check` will not know of it: {why}.", err=True)


def _restore(desk: Desk, copy: Path, place: Path) -> None:
    """Make a book of a copy that is whole, and say how it differs from the one at hand."""
    restored_copy.must_be_a_copy(copy)
    damages = [*copies.damages_of(copy), *copies.left_out(copy)]
    if damages:
        say_damages(damages, err=True)
        raise _damaged(copy, restored_copy.saved(copy, damages))
    lines = restored_copy.restore(copy, place)
    at_hand = desk.bench.book
    has_other = (at_hand / "events").is_dir() and at_hand.resolve() != place.resolve()
    apart = restored_copy.against(at_hand, place) if has_other else None
    if desk.as_json:
        missing, more = apart or (None, None)
        echo_json(
            {
                "folder": str(place.resolve()),
                "lines": lines,
                "only_at_hand": missing,
                "only_restored": more,
            }
        )
        return
    typer.echo(shown(f"Restored and read back: {_lines(lines)} to {place.resolve()}."))
    if apart is not None:
        typer.echo(shown(f"{_apart(*apart)} The one at hand is {at_hand}; it was left alone."))
    typer.echo(f"To use it: stillroom begin --at {shlex.quote(shown(str(place.resolve())))}")


def _apart(missing: int, more: int) -> str:
    """How a restored book differs from the one at hand."""
    match missing, more:
        case 0, 0:
            return "It is the same as the book at hand."
        case _, 0:
            return f"It is older: the book at hand has {_lines(missing)} more."
        case 0, _:
            return f"It has {_lines(more)} that the book at hand does not have."
        case _:
            return (
                f"The two went different ways: {_lines(missing)} only in the book at hand, "
                f"{_lines(more)} only in the restored one."
            )


def _damaged(copy: Path, whole: int) -> BookError:
    named = shlex.quote(str(copy))
    return BookError(
        "The copy is damaged, and nothing was restored.",
        where=f"{copy}; {_lines(whole)} of it are as they were written",
        do=f"take another copy. What is whole of this one is read where it is: "
        f"stillroom --book {named} shelf",
    )


def _say_compared(files: list[copies.Compared], folder: Path, *, is_new: bool) -> None:
    for one in files:
        name = shown(one.file)
        if one.only_copy:
            typer.echo(
                f"{name}: {_lines(one.only_copy)} of the copy NOT in the book; removed or "
                "changed there since."
            )
        if one.only_book:
            typer.echo(f"{name}: {_lines(one.only_book)} only in the book.")
    total = _lines(sum(one.lines for one in files))
    if is_new:
        typer.echo(f"Copied and read back: {total} to {shown(str(folder))}.")
    elif not any(one.only_copy for one in files):
        typer.echo(f"The book contains all of the copy, {total}.")


def _lines(count: int) -> str:
    return "1 line" if count == 1 else f"{count} lines"
