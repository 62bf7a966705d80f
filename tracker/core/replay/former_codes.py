"""Which lines were recorded under a code: what was struck is still found by the name it had."""

from collections.abc import Iterable

from tracker.core.facts.amendments import Corrected
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import codes_of


def is_told_under(code: str, entry: Entry) -> bool:
    """Whether a line names something by that code: its subject, or a code it gives."""
    wanted = code.strip().casefold()
    if isinstance(entry.fact, Shaken):  # of a round: codes parted by spaces, some with spaces
        return f" {wanted} " in f" {entry.subject.casefold()} "
    return any(one.strip().casefold() == wanted for one in _names(entry))


def _names(entry: Entry) -> Iterable[str]:
    fact = entry.fact
    names = [entry.subject, *codes_of(fact)]
    if isinstance(fact, Corrected):
        names += [str(fact.set[name]) for name in ("code", "subject") if name in fact.set]
    return names


def together(told: Iterable[Iterable[Entry]]) -> list[Entry]:
    """The entries of several jars as one history, each once, in replay order."""
    every = {(one.source, one.id): one for own in told for one in own}
    return sorted(every.values(), key=replay_order)
