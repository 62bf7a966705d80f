"""Writes docs/stillroom.1, the manual page, from the verbs, their help and their examples.

python scripts/make_man.py
"""

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from textwrap import wrap

import typer
from typer.core import TyperCommand

from tracker import __version__
from tracker.cli.help.verb_help import Row, examples, paragraphs, takes, usage
from tracker.cli.help.verb_table import SECTIONS, VERBS

FILE = Path(__file__).resolve().parent.parent / "docs" / "stillroom.1"
DAY = "2026-11-28"  # of this version

HEAD = """\
.SH NAME
stillroom \\- knows every jar on a tincture shelf
.SH SYNOPSIS
.B stillroom
[\\fB\\-\\-book\\fR \\fIFOLDER\\fR] \\fIVERB\\fR [\\fIoptions\\fR]
.SH DESCRIPTION
A book is a folder of lines that are only ever added to: what was put in which jar, and what became
of it. Each verb records something in it or answers from it. What the shelf looks like is calculated
from all of it, so a mistake is taken back or corrected by another line, and nothing is lost.
.PP
Alone it says what it is; \\fBstillroom \\-\\-help\\fR lists the verbs, and
\\fBstillroom\\fR \\fIVERB\\fR \\fB\\-\\-help\\fR says what one takes.
At a terminal what is missing is asked; in a script it is not, and the verb ends with 2."""
FOOT = """\
.SH ENVIRONMENT
.TP
.B STILLROOM_BOOK
The folder of the book, where \\-\\-book is not given.
.TP
.B NO_COLOR
Where it is set, nothing is coloured.
.SH EXIT STATUS
.TP
.B 0
Done.
.TP
.B 1
Refused by a rule of the trade or of the book.
.TP
.B 2
The line cannot be read, or something is missing in it.
.TP
.B 130
Stopped by Ctrl\\-C."""


def page() -> str:
    """The manual page as the file holds it."""
    lines = [
        f'.TH STILLROOM 1 "{DAY}" "stillroom {__version__}" "User Commands"',
        *HEAD.split("\n"),
    ]
    shared: dict[str, Row] = {}
    for section, rows in SECTIONS.items():
        lines.append(f'.SH "{section.upper()}"')
        for verb, _, _ in rows:
            command = command_of(verb)
            shared |= {row[0]: row for row in takes(command)["shared"]}
            lines += _verb(command)
    lines.append('.SH "OPTIONS OF SEVERAL VERBS"')
    for row in sorted(shared.values()):
        lines += _row(row)
    return "\n".join([*lines, *FOOT.split("\n")]) + "\n"


def command_of(verb: str) -> TyperCommand:
    """A verb as typer knows it."""
    module = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
    found = typer.main.get_group(module.app).commands[verb]
    assert isinstance(found, TyperCommand)
    return found


def _verb(command: TyperCommand) -> Iterator[str]:
    """One verb: what is typed, what it is for, what it takes, examples."""
    taken = takes(command)
    yield ".TP"
    yield f".B {_text(usage(command, 'stillroom ' + (command.name or '')))}"
    for number, paragraph in enumerate(paragraphs(command)):
        if number:
            yield ".IP"
        yield from _wrapped(paragraph)
    own = [*taken["arguments"], *taken["own"]]
    if own:
        yield ".RS"
        for row in own:
            yield from _row(row)
        yield ".RE"
    for line, what in examples()[command.name or ""]["examples"]:
        yield ".IP"
        yield f"\\fBstillroom {_text(line)}\\fR"
        yield ".br"
        yield _text(what)


def _row(row: Row) -> Iterator[str]:
    yield ".TP"
    yield f".B {_text(row[0])}"
    yield from _wrapped(row[1])


def _wrapped(text: str) -> Iterator[str]:
    """A text in lines that are short enough to be read in the file."""
    return map(_text, wrap(text, 72, break_on_hyphens=False, break_long_words=False))


def _text(text: str) -> str:
    """Text of which nothing is taken for a request or an escape."""
    safe = text.replace("\\", "\\e").replace("-", "\\-").replace('"', "\\(dq")
    ascii_only = "".join(one if one.isascii() else f"\\[u{ord(one):04X}]" for one in safe)
    return f"\\&{ascii_only}" if ascii_only[:1] in (".", "'") else ascii_only


def main() -> None:
    """Write the file."""
    FILE.write_text(page(), encoding="ascii")
    print(f"{FILE}: {len(VERBS)} verbs")


if __name__ == "__main__":
    main()
