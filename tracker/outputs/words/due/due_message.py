"""What is due as a message: a head line, and at most six short lines, the plants first."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import Final, assert_never

import msgspec

from tracker.core.rules.reminders import Due, What
from tracker.outputs.view.day import Group
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.due.due_names import DueItem, grouped
from tracker.outputs.words.due.message_names import (
    Called,
    ShelfNames,
    called_in_message,
    cut_at_words,
    names_within,
    with_code,
)
from tracker.outputs.words.due.message_reasons import (
    gravity,
    is_recall,
    why_in_message,
    why_shortly,
)

MOST_LINES: Final = 6
# Letters: desktops cut what is longer.
MOST_OF_LINE: Final = 78
MOST_OF_HEAD: Final = 62
_LEAST_NAMES: Final = 26  # letters that no reason takes from the names
_MOST_COUNTS: Final = 3
# Each thing of these is a line of its own while there is room.
_ONE_BY_ONE: Final[frozenset[Group]] = frozenset(
    ("look first", "past its longest", "past its date", "while you are away")
)


# Why a line is due on a day, in so many letters.
Why = Callable[[Due, date, int], str]


class Message(msgspec.Struct, frozen=True):
    """A head and lines; `groups` are those that have a line."""

    title: str
    lines: tuple[str, ...]
    groups: frozenset[Group]


class _Line(msgspec.Struct, frozen=True):
    """A line, and how many things it is about."""

    group: Group
    text: str
    number: int


def message_of(
    items: Sequence[DueItem],
    today: date,
    shelf: ShelfNames | None = None,
    *,
    most: int = MOST_LINES,
) -> Message:
    """The most pressing first; how many things there is no line for is the last.

    Args:
        items: what is due, the most pressing first.
        today: the maker's day.
        shelf: what else goes by the same names; None where nobody has to be told which is meant.
        most: the lines there is room for.
    """
    writer = _Writer(today, shelf or ShelfNames())
    lines = list(writer.lines(items, why_in_message))
    if len(lines) > most:  # fewer and shorter: every hold in one line, every lid in another
        lines = list(writer.lines(items, why_shortly))
    if len(lines) > most:
        kept, left = lines[: most - 1], lines[most - 1 :]
        more = f"and {sum(one.number for one in left)} more · stillroom due"
    else:
        kept, more = lines, ""
    texts = [one.text for one in kept] + ([more] if more else [])
    return Message(message_title(items), tuple(texts), frozenset(one.group for one in kept))


def message_title(items: Sequence[DueItem]) -> str:
    """`Stillroom · 3 to look at, 4 to shake`."""
    said = [f"{number} {words}" for number, words in counts_of(items)][:_MOST_COUNTS]
    while len(said) > 1 and len(_head(said)) > MOST_OF_HEAD:
        said.pop()
    return _head(said)


def counts_of(items: Sequence[DueItem]) -> list[tuple[int, str]]:
    """How many there are of each to do, the most pressing first: `3`, `to look at`."""
    counts: dict[str, int] = {}
    for one in items:
        words = _to_do(one.line.what)
        counts[words] = counts.get(words, 0) + 1
    return [(number, words) for words, number in counts.items()]


def _head(said: Sequence[str]) -> str:
    return f"Stillroom · {', '.join(said)}"


def _to_do(what: What) -> str:
    match what:
        case "safety" | "weak" | "past-longest" | "expired" | "look" | "undated":
            return "to look at"
        case "away":
            return "while you are away"
        case "shake" | "count":
            return f"to {what}"
        case "ready":
            return "ready"
        case "expiring":
            return "to use soon"
        case _:
            assert_never(what)


class _Writer(msgspec.Struct, frozen=True):
    """Puts what is due into lines, by the day and by what else is on the shelf."""

    today: date
    shelf: ShelfNames

    def lines(
        self, items: Sequence[DueItem], why: Callable[[Due, date, int], str]
    ) -> Iterator[_Line]:
        """One for each reason among the dangers, one for each group of the rest."""
        for group, own in grouped(items).items():
            if group not in _ONE_BY_ONE:
                yield _Line(group, self._of_group(group, own), len(own))
                continue
            by_reason: dict[str, list[DueItem]] = {}
            for one in sorted(own, key=lambda one: gravity(one.line)):
                by_reason.setdefault(why(one.line, self.today, self._room(one)), []).append(one)
            for reason, same in by_reason.items():
                if len(same) == 1:  # it has the line to itself, however short the others are
                    reason = why_in_message(same[0].line, self.today, self._room(same[0]))
                yield _Line(group, self._of_reason(reason, same), len(same))

    def _room(self, item: DueItem) -> int:
        """The letters there are for why one thing is due."""
        name = with_code(called_in_message(item, self.shelf), MOST_OF_LINE)
        return MOST_OF_LINE - len(": ") - min(len(name), _LEAST_NAMES)

    def _of_reason(self, reason: str, same: Sequence[DueItem]) -> str:
        """`Burdock root ARLA-26-02: bare metal lid`."""
        called, room = self._called(same), MOST_OF_LINE - len(": ")
        # What a recall holds is told from the rest by its lot.
        of_lot = all(any(map(is_recall, one.line.reasons)) for one in same)
        is_one = len(called) == 1

        def names(letters: int) -> str:
            if is_one:
                return with_code(called[0], letters)
            return names_within(called, letters, counted=of_lot)

        said = cut_at_words(reason, room - min(len(names(room)), _LEAST_NAMES))
        return f"{_capital(names(room - len(said)))}: {said}"

    def _of_group(self, group: Group, own: Sequence[DueItem]) -> str:
        """`Shake 4: valerian, nettle, ginger, coneflower`."""
        if len(own) == 1:
            return self._of_reason(_to_do_first(group) + why_due(own[0].line, self.today), own)
        heading = _heading(group, len(own))
        # In one line there is no room for a day of each; that one is ready as well is still said.
        ready = self._called([one for one in own if one.line.also is not None])
        if not ready:
            return heading + names_within(self._called(own), MOST_OF_LINE - len(heading))
        also = f"; ready too: {names_within(ready, _LEAST_NAMES)}"
        return heading + names_within(self._called(own), MOST_OF_LINE - len(heading + also)) + also

    def _called(self, items: Sequence[DueItem]) -> list[Called]:
        return [called_in_message(one, self.shelf) for one in items]


def _heading(group: Group, number: int) -> str:
    match group:
        case "shake" | "count":
            return f"{_capital(group)} {number}: "
        case "look":
            return f"Look at {number}: "
        case "ready when you want it":
            return f"{number} ready: "
        case "use soon":
            return f"{number} to use soon: "
        case _:
            return f"{number} with {group}: "


def _to_do_first(group: Group) -> str:
    """What is to be done, where the reason alone does not say it."""
    if group in ("shake", "count"):
        return f"{group} it, "
    return "use soon, " if group == "use soon" else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
