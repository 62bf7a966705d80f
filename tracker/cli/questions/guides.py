"""Which verbs are walked through at a terminal, and where their questions stand."""

from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tracker.cli.questions.asked import Asked

# Read by every recording verb, so only names: the questions themselves load when they are asked.
# A verb's questions stand in the file of its section of the help page.
_SECTIONS = {
    "every_day": ("shake", "look", "note", "later", "away"),
    "making": (
        "charge",
        "top_up",
        "add_herb",
        "move",
        "draw",
        "recharge",
        "steep_again",
        "split",
        "join",
        "found",
    ),
    "press_day": ("press", "filter_", "bottle", "dilute", "blend"),
    "giving_out": ("dispense", "refill", "count", "discard", "restore", "hold", "release"),
    "lots": ("gather", "buy", "dry", "recall"),
    "mistakes": ("same",),
    "paper": ("label",),
}
GUIDES = {verb: section for section, verbs in _SECTIONS.items() for verb in verbs}


def questions_of(verb: str) -> "Sequence[Asked]":
    """What a verb asks, in the order of the work."""
    section = import_module(f"tracker.cli.questions.{GUIDES[verb]}_questions")
    asked: dict[str, Sequence[Asked]] = section.ASKED
    return asked[verb]
