"""The line of the book that a correction or a strike is about: by its number, or by a code."""

import re
from collections.abc import Sequence
from functools import partial

from tracker.cli.desk import Desk, about_of
from tracker.cli.reasking import answer_to, is_asked, say, typed
from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import bears_on, things_of
from tracker.core.replay.in_force import in_force, settle
from tracker.core.shelf.acted_on import any_of
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import (
    AmbiguousEntryError,
    MisusedError,
    UnknownCodeError,
    UnknownEntryError,
)
from tracker.outputs.terminal.numbered_lines import numbered_lines
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.plant_names import called

_MORE = "more"
# A line of this machine, or of another: 214, k9.
_NUMBER = re.compile(r"[a-z]{0,2}\d+", re.IGNORECASE)


def line_meant(
    desk: Desk, text: str, *, with_amendments: bool = False, question: str = "Which line?"
) -> Entry:
    """The line of a number; of a code the one that a person at a terminal chooses.

    Args:
        desk: where the verb is run.
        text: a number, an id or a code.
        with_amendments: whether corrections and strikes can be chosen as well.
        question: what is asked below the lines of a code; its answer is kept under it.

    Raises:
        UnknownEntryError, UnknownCodeError: neither a line nor a thing is called so.
        MisusedError: it is a code, and nobody can be asked; its lines are listed.
    """
    try:
        return desk.book.entry(text)
    except AmbiguousEntryError:
        raise
    except UnknownEntryError as unknown:
        try:
            thing = desk.find_any(desk.code(text, "Which line"), any_of)
        except UnknownCodeError as no_code:
            raise unknown if _NUMBER.fullmatch(text.strip()) else no_code from None
    return _chosen(desk, thing, question, with_amendments=with_amendments)


def _chosen(desk: Desk, thing: Thing | Lot, question: str, *, with_amendments: bool) -> Entry:
    entries = _lines_about(desk, thing, with_amendments=with_amendments)
    family = desk.book.entries_of(_family_of(thing))
    names = desk.book.names_of({one.id: one for one in (*family, *entries)}.values())
    listed = partial(
        numbered_lines,
        entries,
        names,
        desk.columns,
        desk.bench.today(),
        desk.bench.practice.hemisphere,
    )
    every, few = listed(folded=False), listed()
    if not is_asked(desk):
        raise MisusedError(
            f"{thing.code} has {len(entries)} lines.",
            where="the command line: name one of them by its number",
            do="\n".join(["write the number of one of these.", *every[-40:]]),
        )
    by_name = {names[one.id].lower(): one for one in entries}
    heading = f"{_called(desk, thing)}, {thing.code}"

    def prompt() -> str:
        for line in (heading, *few):
            say(line)
        while (text := typed(question).lower()) not in by_name:
            if text == _MORE:
                for line in every:
                    say(line)
            else:
                say(f"{text} is none of these. `{_MORE}` shows every shake.")
        return text

    return answer_to(desk, f"{question} {thing.code}", prompt, by_name.__getitem__)


def _called(desk: Desk, thing: Thing | Lot) -> str:
    """`Lemon balm leaf, dried`."""
    if isinstance(thing, Lot):
        return thing.what
    batch = thing.batch
    name = called(herbs_of(batch, batch.contents), desk.bench.practice.names)
    return name[:1].upper() + name[1:]


def _family_of(thing: Thing | Lot) -> str:
    return thing.id if isinstance(thing, Lot) else thing.batch.id


def _lines_about(desk: Desk, thing: Thing | Lot, *, with_amendments: bool) -> Sequence[Entry]:
    """What counts of a thing, with the values in force, in the order it happened."""
    family = _family_of(thing)
    lines = desk.book.entries_of(family)
    found = [one for one in settle(lines).entries if family in one.jars]
    if isinstance(thing, Thing) and thing.extract is not None:
        own = [one for one in found if _is_of(one, about_of(thing))]
        found = own or found
    if with_amendments:
        standing = in_force(lines)
        found += [one for one in lines if isinstance(one.fact, Amendment) and one.id in standing]
    return found


def _is_of(entry: Entry, about: About) -> bool:
    """Whether an event opened an extract or a bottle, or is about it."""
    named = (*things_of(entry.fact), *bears_on(entry.id, entry.fact))
    if about.bottle is not None and isinstance(entry.fact, Bottled):
        first, last = entry.fact.bottles[0], entry.fact.bottles[-1]
        is_filled = first.first <= about.bottle < last.first + last.count
        return entry.fact.about.extract == about.extract and is_filled
    if about.bottle is not None:
        return about in named
    return any(one.extract == about.extract for one in named)
