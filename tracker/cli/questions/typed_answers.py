"""An answer as a person types it: a choice by its number, a bare number, Enter, `?` or `back`."""

import re
from collections.abc import Sequence

import msgspec
import typer

from tracker.cli.asking import explain
from tracker.cli.given.typed_words import TypedWords
from tracker.cli.questions.asked import Asked
from tracker.cli.typed_line import typed_line
from tracker.core.values.text import shown
from tracker.quantities import counted_in

_BACK = ("back", "<")
_LEFT_OUT = "-"
_MORE = "And then"


class BackError(Exception):
    """The question before is to be asked again."""


class Put(msgspec.Struct, frozen=True):
    """A question as it is put.

    Attributes:
        one: the question.
        chosen: what the numbers shown stand for.
        usual: what Enter takes.
        is_default: whether Enter leaves it to the verb.
        such_as: an example.
        unit: what a bare number is counted in.
    """

    one: Asked
    chosen: Sequence[str]
    usual: str | None
    is_default: bool
    such_as: str
    unit: str

    @property
    def question(self) -> str:
        """As it stands on the screen."""
        text = f"{self.one.words}, in {self.unit}" if self.unit else self.one.words
        if self.usual is not None:
            return f"{text} [{shown(self.usual)}]"
        return f"{text}, such as {self.such_as}" if self.such_as else text


def typed(put: Put, *, is_more: bool) -> tuple[list[str], bool]:
    """The answers a person types, and whether Enter took what is usual.

    Args:
        put: the question.
        is_more: whether it was answered already, and may be so once more.

    Raises:
        BackError: the question before is meant.
    """
    one, usual = put.one, None if is_more else put.usual
    while True:
        text = _line(_MORE if is_more else put.question)
        if text and text == usual:
            text = ""
        if text.lower() in _BACK:
            raise BackError
        if text == "?":
            explain(f"{one.help} < goes back, Ctrl-C stops.")
        elif text not in ("", _LEFT_OUT):
            return _parts(put, text), False
        elif text == "" and usual is not None:
            return [] if put.is_default else usual.split(" + "), True
        elif text == _LEFT_OUT and one.left_out:
            return [one.left_out], False
        elif is_more or one.may_skip:
            return [], False
        else:
            typer.echo("This one is needed; ? explains it.", err=True)


def _line(question: str) -> str:
    words = TypedWords()
    text = words.text(str(typed_line(question, show_default=False)))
    for remark in words.remarks:
        typer.echo(remark, err=True)
    return " ".join(text.split())


def _parts(put: Put, text: str) -> list[str]:
    """The answers in a text: one, or the words of it where it takes several."""
    many = put.one.many
    is_apart = many == "words" or (many == "codes" and not _is_name(text))
    texts = re.split(r"[,\s]+", text) if is_apart else [text]
    return [_meant(put, each) for each in texts if each]


def _is_name(text: str) -> bool:
    """Whether it is the name of one plant, and no row of codes or numbers."""
    return "," not in text and not any(map(str.isdecimal, text))


def _meant(put: Put, text: str) -> str:
    before, _, number = text.rpartition(" ") if put.one.is_part else ("", "", text)
    if number.isdecimal() and 1 <= int(number) <= len(put.chosen):
        return f"{before} {put.chosen[int(number) - 1]}".strip()
    return counted_in(put.unit, text) if put.unit else text
