"""Files of paper: a PDF written whole or not at all, and the line that reports it."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import typer

from tracker.core.values.errors import BookError
from tracker.journal.whole_file import SHARED, write_whole


@dataclass(frozen=True, slots=True)
class Paper:
    """A PDF that is to be written, what is on it, and how many pages it has."""

    file: Path
    pdf: bytes
    what: str
    pages: int


def write_paper(paper: Paper) -> str:
    """Write the PDF; returns the line that says so.

    Raises:
        BookError: it cannot be written, or something else stands there.
    """
    write_pdf(paper.file, paper.pdf)
    return _written_line(paper.file, paper.what, paper.pages)


def missing_letters(letters: Iterable[str]) -> list[str]:
    """A warning that names the letters no font has; none where there are none."""
    named = ", ".join(f"{one} (U+{ord(one):04X})" for one in sorted(letters))
    return [f"no font has {named}: \ufffd stands there instead"] if named else []


def tell_written(file: Path, what: str, pages: int) -> None:
    """Report what was written where, on standard error."""
    typer.echo(_written_line(file, what, pages), err=True)


def _written_line(file: Path, what: str, pages: int) -> str:
    return f"Wrote {file}: {what}, {pages} page{'s' * (pages != 1)}."


def write_pdf(file: Path, pdf: bytes) -> None:
    """Write a PDF whole or not at all, over nothing that is not one.

    Raises:
        BookError: it cannot be written, or something else stands there.
    """
    try:
        if file.is_dir() or (file.exists() and file.read_bytes()[:5] not in (b"%PDF-", b"")):
            raise BookError(
                "What stands there is no PDF, and stays.",
                where=str(file),
                do="name another file with --to.",
            )
        write_whole(file, pdf, mode=SHARED)
    except OSError as reason:
        raise BookError(
            f"The PDF cannot be written: {reason.strerror}.",
            where=str(file),
            do="name a file that is yours to write, with --to.",
        ) from reason
