"""What `undo` takes back: the last command of a writer of which anything still stands."""

from collections.abc import Sequence

from tracker.core.facts.amendments import SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Recorded

_UNDONE = "undone"


def why_undone(why: str | None) -> str:
    """The reason of a strike by `undo`, which later ones know it by."""
    return f"{_UNDONE}: {why.strip()}" if why and why.strip() else _UNDONE


def is_undo(fact: Recorded) -> bool:
    """Whether a strike was recorded by `undo`."""
    return isinstance(fact, Struck) and (fact.why == _UNDONE or fact.why.startswith(f"{_UNDONE}: "))


def left_to_undo(command: Sequence[Entry], standing: frozenset[str]) -> list[Entry]:
    """What of a command can still be taken back, the last line first; of an undo nothing.

    What it took out of its own lines stays out.

    Args:
        command: the lines that one command recorded.
        standing: the ids of what counts.
    """
    if all(is_undo(one.fact) for one in command):
        return []
    own = {one.id for one in command}
    return [
        one
        for one in reversed(command)
        if one.id in standing
        and not (isinstance(one.fact, Struck | SameAs) and one.fact.event in own)
    ]
