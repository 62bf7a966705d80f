"""What a strike means of an event, and which other verb may be meant: said before it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from tracker.core.facts.amendments import Labelled, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Discarded, Dispensed
from tracker.core.facts.jars import Charged, Found, Shaken
from tracker.core.facts.kinds import Unknown, codes_of, traits_of
from tracker.core.values.command_words import command
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.things_said import codes_said, runs_of_codes

_MOST_RUNS: Final = 6


def strike_hints(
    target: Entry, standing: Iterable[Entry], names: Mapping[str, str]
) -> Iterator[str]:
    """One line for each thing to know before an event is taken out.

    Args:
        target: the event.
        standing: every event in force of the same things.
        names: what the events are called, by their ids.
    """
    fact = target.fact
    if isinstance(fact, Charged | Found):
        yield (
            f"Strike it only if {codes_of(fact)[0]} never existed. "
            f"If it was thrown out: `{command('discard', codes_of(fact)[0])}`."
        )
    yield from beyond_the_book(target)
    yield from _twins(target, standing, names)


def beyond_the_book(target: Entry) -> Iterator[str]:
    """What taking an event out does not change, or leaves free, beside what the book says."""
    fact, code = target.fact, target.subject
    match fact:
        case Discarded():
            yield (
                "That says it was never thrown out. "
                f"If it was, and is back: `{command('restore', code)}`."
            )
        case Dispensed():
            yield "That does not bring back what was given out; only the book no longer says so."
        case Labelled():
            yield f"The labels of {code} are printed already: throw them away."
        case Released():
            yield f"That puts {code} back on hold."
        case _:
            return


def beyond_the_book_of_all(targets: Sequence[Entry]) -> list[str]:
    """The same of several events, the last first, each once; printed labels in one line."""
    printed = [one.subject for one in reversed(targets) if isinstance(one.fact, Labelled)]
    hints = [
        hint
        for one in targets
        if len(printed) < 2 or not isinstance(one.fact, Labelled)
        for hint in beyond_the_book(one)
    ]
    if len(printed) > 1:
        hints.append(f"The labels of {_codes(printed)} are printed already: throw them away.")
    return list(dict.fromkeys(hints))


def _codes(codes: Sequence[str]) -> str:
    """`MEOF-26-01..03`, or how many things where the codes would fill the screen."""
    alike = list(dict.fromkeys(codes))
    is_short = len(runs_of_codes(alike)) <= _MOST_RUNS
    return codes_said(alike) if is_short else f"{len(alike)} things"


def _twins(target: Entry, standing: Iterable[Entry], names: Mapping[str, str]) -> Iterator[str]:
    """Another event that says the same of the same day: recorded twice, it seems."""
    fact = target.fact
    if isinstance(fact, Unknown | Charged | Shaken) or traits_of(fact).twice != "more":
        return
    for one in standing:
        if one.id != target.id and _is_alike(one, target):
            pair = [names.get(id_, id_) for id_ in (one.id, target.id)]
            yield f"The same thing recorded twice? `{command('same', *pair)}` keeps both to read."
            return


def _is_alike(one: Entry, other: Entry) -> bool:
    return (
        type(one.fact) is type(other.fact)
        and (one.subject, one.when.earliest) == (other.subject, other.when.earliest)
        and said(one.fact) == said(other.fact)
    )
