"""Which verbs are walked through at a terminal, and where their questions stand."""

from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tracker.cli.questions.asked import Asked

# Read by every recording verb, so only names: the questions themselves load when they are asked.
GUIDES = {
    "charge": "charge_questions",
    "press": "press_questions",
    "filter_": "press_questions",
    "bottle": "press_questions",
    "shake": "tending_questions",
    "look": "tending_questions",
    "move": "tending_questions",
    "top_up": "tending_questions",
    "label": "tending_questions",
    "note": "tending_questions",
    "dispense": "giving_questions",
    "count": "giving_questions",
    "discard": "giving_questions",
    "hold": "giving_questions",
    "release": "giving_questions",
    "buy": "lot_questions",
    "gather": "lot_questions",
    "dry": "lot_questions",
    "found": "lot_questions",
    "draw": "later_questions",
    "add_herb": "later_questions",
    "recharge": "later_questions",
    "steep_again": "later_questions",
    "split": "later_questions",
    "refill": "later_questions",
    "blend": "blend_questions",
    "dilute": "blend_questions",
}


def questions_of(verb: str) -> "Sequence[Asked]":
    """What a verb asks, in the order of the work."""
    asked: dict[str, Sequence[Asked]] = import_module(f"tracker.cli.questions.{GUIDES[verb]}").ASKED
    return asked[verb]
