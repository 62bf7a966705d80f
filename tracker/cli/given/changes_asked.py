"""What was wrong with a line and what is right, asked at a terminal in the words of its verb."""

from collections.abc import Callable
from itertools import count

from tracker.cli.desk import Desk
from tracker.cli.given.fields_given import field_given, value_given
from tracker.cli.given.things_given import Changes
from tracker.cli.reasking import answer_to, say, stop, typed
from tracker.core.facts.entry import Entry
from tracker.core.facts.field_words import FieldWord, words_of
from tracker.core.facts.kinds import Recorded
from tracker.core.replay.in_force import with_values
from tracker.core.values.errors import MisusedError
from tracker.outputs.words.answers.field_values import value_of
from tracker.quantities import counted_in

# Answers that are asked for once more where the gate refuses what they come to.
ASKED = ("which field ", "its value ")
_OTHER = "other"
# So many words fit into the question; `other` lists all.
_FIRST_WORDS = 4


def changes_asked(desk: Desk, target: Entry) -> Changes:
    """Fields and their values, one after the other, until nothing more is wrong."""
    changes: Changes = {}
    for number in count():
        is_first = number == 0
        field = answer_to(
            desk,
            f"{ASKED[0]}{number}",
            _asks_what(target.fact, is_first=is_first),
            lambda text: _field(target, text) if text else None,
        )
        if field is None:
            if is_first:
                stop()
            return changes
        changes |= _value_asked(desk, target, changes, field, number)
    raise AssertionError  # nobody counts that far


def _asks_what(fact: Recorded, *, is_first: bool) -> Callable[[], str]:
    words = [one.said for one in words_of(fact)]
    first = words[:_FIRST_WORDS]
    more = f", {_OTHER}" if len(words) > len(first) else ""

    def ask() -> str:
        question = f"What was wrong: {', '.join(first)}{more}?" if is_first else _ELSE
        while (text := typed(question, may_be_blank=True)).lower() == _OTHER:
            say(f"It has: {', '.join(words)}.")
        return text

    return ask


_ELSE = "Anything else? (Enter: no)"


def _field(target: Entry, text: str) -> FieldWord:
    """The field a word means, or the only one that begins so."""
    begin = [one for one in words_of(target.fact) if one.said.startswith(text.lower())]
    return begin[0] if len(begin) == 1 else field_given(target, text, spoken=True)


def _value_asked(
    desk: Desk, target: Entry, changes: Changes, field: FieldWord, number: int
) -> Changes:
    """The value of a field, asked with the one it has now."""
    now = with_values(target, changes) if changes else target
    practice = desk.bench.practice
    unit = {"volume": practice.volume_unit, "weight": practice.weight_unit}.get(field.reads, "")
    # What stands in the line is in g and ml: another unit has to be said.
    counted = f", in {unit}" if unit and practice.measures != "metric" else ""
    question = f"{field.said}{counted}: {value_of(field, now, desk.bench.present)} → ?"

    def read(text: str) -> Changes:
        found = value_given(desk, now, field, counted_in(unit, text) if unit else text)
        with_values_given(target, changes | found, where="the answer")
        return found

    return answer_to(desk, f"{ASKED[1]}{number}", lambda: typed(question), read)


def with_values_given(target: Entry, changes: Changes, where: str) -> Entry:
    """The event with other values.

    Raises:
        MisusedError: it cannot have them.
    """
    try:
        return with_values(target, changes)
    except ValueError as reason:
        raise MisusedError(
            "That line cannot say that.", where=where, do="write the value as its verb takes it."
        ) from reason
