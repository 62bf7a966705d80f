"""How an answer is printed: as lines, as JSON or as CSV."""

import sys
from collections.abc import Iterable, Sequence

import msgspec
import typer

from tracker.core.values.text import escaped_json, shown, utf16_escapes

# Of a list, so many things are put into words at once.
_AT_ONCE = 500


def echo_json(answer: object) -> None:
    """Print an answer as JSON, the same data whatever the encoding of the output."""
    if not isinstance(answer, list) or len(answer) < _AT_ONCE:
        typer.echo(_json(answer))
        return
    # Thousands of jars are put into words a few at a time: all at once would be held five times.
    for start in range(0, len(answer), _AT_ONCE):
        part = _json(answer[start : start + _AT_ONCE])
        typer.echo(("," if start else "[") + part[1:-2], nl=False)
    typer.echo("\n]")


def _json(answer: object) -> str:
    text = escaped_json(msgspec.json.format(msgspec.json.encode(answer), indent=2).decode())
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        text = "".join(one if one.isascii() else utf16_escapes(one) for one in text)
    return text


def echo_csv(answers: Iterable[dict[str, object]]) -> None:
    """Print answers as CSV, with text that a spreadsheet would run as a formula disarmed."""
    import csv

    rows = list(answers)
    if not rows:
        return
    names = [name for name, value in rows[0].items() if not isinstance(value, list)]
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([[_csv_cell(row[name]) for name in names] for row in rows])


def _csv_cell(value: object) -> object:
    if isinstance(value, dict):
        value = "/".join("" if part is None else str(part) for part in value.values())
    if isinstance(value, str):
        text = shown(value)
        return f"'{text}" if text.lstrip().startswith(("=", "+", "-", "@", "\t", "\r")) else text
    return value


def echo_lines(lines: Sequence[str], colour: bool) -> None:
    """Print lines that are already safe and styled."""
    typer.echo("\n".join(lines), color=colour)
