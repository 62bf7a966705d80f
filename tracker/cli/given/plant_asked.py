"""The plant nearest to an unknown name: a yes, a no, or another name in its place."""

from typing import TYPE_CHECKING

from tracker.cli.asking import AnotherAnswerError, explain
from tracker.cli.typed_line import typed_line
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.cli.desk import Desk
    from tracker.core.herbs.written_names import Named

_HELP = "Enter or y: that plant. n: the name stays as you typed it."
_OR_ANOTHER = "Or type another name."


def is_meant(desk: "Desk", typed: str, meant: "Named") -> bool:
    """Whether a person at a terminal means the nearest plant; the name stays as typed if not.

    Raises:
        AnotherAnswerError: another name was typed in answer.
    """
    part = f"; part: {meant.part_named}" if meant.part_named else ""
    names = ", ".join(filter(None, (meant.common, meant.herb)))
    question = f"Did you mean {shown(names + part)}?"
    another = desk.is_guided

    def prompt() -> str:
        return _yes_no_or_another(question, "herb" if another else "")

    unasked = MisusedError(question, where=typed, do="write the name as it is meant.")
    return desk.answer(f"plant meant by {typed}", prompt, unasked) == "yes"


def _yes_no_or_another(question: str, replaces: str) -> str:
    while True:
        text = str(typed_line(f"{question} [Y/n]", show_default=False))
        match " ".join(text.split()).lower():
            case "" | "y" | "yes":
                return "yes"
            case "n" | "no":
                return "no"
            case name if replaces and len(name) > 1 and not name.isdecimal():
                raise AnotherAnswerError(replaces, text.strip())
            case _:
                explain(f"{_HELP} {_OR_ANOTHER}" if replaces else _HELP)
