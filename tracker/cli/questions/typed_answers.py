"""An answer as a person types it: a choice by its number, a bare number, Enter, `?` or `back`."""

import re
from collections.abc import Sequence

import typer

from tracker.cli.choosing import Choice
from tracker.cli.given.typed_words import TypedWords
from tracker.cli.questions.asked import Asked
from tracker.cli.screen import columns
from tracker.core.values.text import shown

# So many are offered by number: more would push the question off a small screen.
_MOST_OFFERED = 9
_BACK = ("back", "<")
BARE = re.compile(r"(?:about |~)?\d+(?:[.,]\d+)?", re.IGNORECASE)
_LEFT_OUT = "-"


class BackError(Exception):
    """The question before is to be asked again."""


def typed(
    one: Asked, chosen: Sequence[str], usual: str | None, *, is_more: bool
) -> tuple[list[str], bool]:
    """The answers a person types, and whether Enter took what is usual.

    Args:
        one: the question.
        chosen: what the numbers shown stand for.
        usual: what Enter takes.
        is_more: whether it was answered already, and may be so once more.

    Raises:
        BackError: the question before is meant.
    """
    usual = None if is_more else usual
    question = "And then" if is_more else _question(one, usual)
    while True:
        text = _line(question)
        if text and text == usual:
            text = ""
        if text.lower() in _BACK:
            raise BackError
        if text == "?":
            typer.echo(f"{one.help} < goes back, Ctrl-C stops.", err=True)
        elif text not in ("", _LEFT_OUT):
            return _parts(one, text, chosen), False
        elif text == "" and usual is not None:
            return [] if one.is_default else usual.split(" + "), True
        elif text == _LEFT_OUT and one.left_out:
            return [one.left_out], False
        elif is_more or one.may_skip:
            return [], False
        else:
            typer.echo("This one is needed; ? explains it.", err=True)


def _question(one: Asked, usual: str | None) -> str:
    unit = f", in {one.unit}" if one.unit else ""
    if usual is not None:
        return f"{one.words}{unit} [{shown(usual)}]"
    return f"{one.words}{unit}{f', such as {one.such_as}' if one.such_as else ''}"


def show(offers: Sequence[Choice]) -> list[str]:
    """What may be chosen by its number: words beside each other, things one a line.

    Returns:
        What each number shown stands for.
    """
    are_words = all(one.said == one.given for one in offers)
    listed = offers if are_words else offers[:_MOST_OFFERED]
    if are_words and offers:
        row = "  "
        for number, one in enumerate(offers, 1):
            cell = f"{number} {shown(one.said)}   "
            if len(row) + len(cell) > columns() and row.strip():
                typer.echo(row.rstrip(), err=True)
                row = "  "
            row += cell
        typer.echo(row.rstrip(), err=True)
    else:
        for number, one in enumerate(listed, 1):
            line = f"  {number}  {shown(one.said)}"
            cut = len(line) > columns()  # behind the name and the code, which come first
            typer.echo(f"{line[: columns() - 1]}…" if cut else line, err=True)
    if len(offers) > len(listed):
        typer.echo(f"     and {len(offers) - len(listed)} more, by their codes", err=True)
    return [one.given for one in listed]


def _line(question: str) -> str:
    words = TypedWords()
    text = words.text(str(typer.prompt(question, default="", show_default=False, err=True)))
    for remark in words.remarks:
        typer.echo(remark, err=True)
    return " ".join(text.split())


def _parts(one: Asked, text: str, chosen: Sequence[str]) -> list[str]:
    """The answers in a text: one, or the words of it where it takes several."""
    is_apart = one.many == "words" or (one.many == "codes" and not _is_name(text))
    texts = re.split(r"[,\s]+", text) if is_apart else [text]
    return [_meant(one, each, chosen) for each in texts if each]


def _is_name(text: str) -> bool:
    """Whether it is the name of one plant, and no row of codes or numbers."""
    return "," not in text and not any(map(str.isdecimal, text))


def _meant(one: Asked, text: str, chosen: Sequence[str]) -> str:
    before, _, number = text.rpartition(" ") if one.is_part else ("", "", text)
    if number.isdecimal() and 1 <= int(number) <= len(chosen):
        return f"{before} {chosen[int(number) - 1]}".strip()
    if one.unit and BARE.fullmatch(text):
        return f"{text} {one.unit}"
    return text
