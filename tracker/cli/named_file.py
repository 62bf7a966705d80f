"""Files a person names, or has named: written whole or not at all, and over nothing."""

import os
from itertools import chain, count
from pathlib import Path
from typing import Annotated

import msgspec
import typer

from tracker.core.values.errors import BookError
from tracker.core.values.text import shown
from tracker.journal.regular_file import is_regular
from tracker.journal.whole_file import not_written, write_new

Force = Annotated[bool, typer.Option("--force", help="Replace the file that is there already.")]


class Paper(msgspec.Struct, frozen=True):
    """A PDF that is to be written, what is on it, and how many pages it has.

    `file` is what the person named; without it the first free name that `else_named` begins.
    """

    file: Path | None
    else_named: str
    pdf: bytes
    what: str
    pages: int
    force: bool = False


def write_paper(paper: Paper) -> str:
    """Write the PDF; returns the line that says so.

    Raises:
        BookError: it cannot be written, or something stands there.
    """
    file = write_named(paper.file, paper.pdf, else_named=paper.else_named, force=paper.force)
    return wrote(file, paper.what, paper.pages)


def would_write(paper: Paper) -> str:
    """What would be written: `Would write labels.pdf: 4 labels, 1 page`."""
    file = paper.file or Path(paper.else_named)
    return wrote(file, paper.what, paper.pages).replace("Wrote", "Would write", 1)


def wrote(file: Path, what: str, pages: int) -> str:
    """The line that says so: `Wrote labels.pdf: 4 labels, 1 page`."""
    return shown(f"Wrote {file}: {what}, {pages} page{'s' * (pages != 1)}.")


def write_named(
    file: Path | None, contents: bytes, *, else_named: str = "", force: bool = False
) -> Path:
    """Write a file for its maker alone; returns where.

    Args:
        file: what a person named; None for `else_named`, numbered where that is taken.
        contents: all of it.
        else_named: the name of what nobody named: `labels.pdf`, then `labels-2.pdf`.
        force: whether a regular file that stands there is replaced.

    Raises:
        BookError: it cannot be written, or something stands there; that is as it was.
    """
    if file == Path("-"):
        raise BookError("It is written to a file.", where="the name -", do="name a file.")
    if file is not None or force:
        named = file or Path(else_named)
        _write(named, contents, force=force)
        return named
    first = Path(else_named)
    numbered = (first.with_stem(f"{first.stem}-{number}") for number in count(2))
    free = next(one for one in chain([first], numbered) if not os.path.lexists(one))
    _write(free, contents, force=False)
    return free


def _in_the_way(file: Path) -> tuple[str, str]:
    """What stands where a file is to be written, and what to do about it."""
    if file.is_symlink():
        return (
            "There is a link there, which is left as it is.",
            "name the file it leads to.",
        )
    if file.is_dir():
        return "There is a folder there.", "name a file in it."
    if is_regular(file):
        do = "replace it with --force, or name another file."
        return "There is a file there already, and it is left as it is.", do
    return "What is there is not a file, and it is left as it is.", "name another file."


def _write(file: Path, contents: bytes, *, force: bool) -> None:
    try:
        write_new(file, contents, force=force)
    except FileExistsError as reason:
        what, do = _in_the_way(file)
        raise BookError(what, where=str(file), do=do) from reason
    except FileNotFoundError as reason:
        raise BookError(
            f"It cannot be written: there is no folder {shown(str(file.parent))}.",
            where=str(file),
            do="make that folder, or name a file in one that is there.",
        ) from reason
    except (OSError, ValueError) as reason:
        raise not_written(file, reason) from reason
