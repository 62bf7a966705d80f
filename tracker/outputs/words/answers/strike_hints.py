"""What a strike means of an event, and which other verb may be meant: said before it."""

from collections.abc import Iterable, Iterator, Mapping

from tracker.core.facts.amendments import Labelled, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Discarded, Dispensed
from tracker.core.facts.jars import Charged, Found, Shaken
from tracker.core.facts.kinds import Unknown, codes_of, traits_of
from tracker.core.values.command_words import command
from tracker.outputs.words.fact_lines import said


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


def _twins(target: Entry, standing: Iterable[Entry], names: Mapping[str, str]) -> Iterator[str]:
    """Another event that says the same of the same day: recorded twice, it seems."""
    fact = target.fact
    if isinstance(fact, Unknown | Charged | Shaken) or traits_of(fact).twice != "more":
        return
    for one in standing:
        if one.id != target.id and _is_alike(one, target):
            pair = [names.get(id_, id_) for id_ in (one.id, target.id)]
            yield (f"The same thing recorded twice? `{command('same', *pair)}` keeps both to read.")
            return


def _is_alike(one: Entry, other: Entry) -> bool:
    return (
        type(one.fact) is type(other.fact)
        and (one.subject, one.when.earliest) == (other.subject, other.when.earliest)
        and said(one.fact) == said(other.fact)
    )
