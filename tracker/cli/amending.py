"""Strikes and corrections before they are recorded: what is meant, and what comes of it."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from tracker.cli.answer import answer_of
from tracker.cli.desk import Desk
from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.replay.in_force import settle
from tracker.core.rules.consequences import done_after
from tracker.core.rules.recorded import Recorded
from tracker.core.values.kind_words import kind_said
from tracker.core.values.text import shown
from tracker.outputs.words.answers.amendment_answers import meanwhile_lines
from tracker.outputs.words.answers.strike_hints import beyond_the_book_of_all, strike_hints
from tracker.outputs.words.fact_lines import entry_said
from tracker.outputs.words.past_moments import moment_said

Told = Callable[[Recorded], Sequence[str]]

# Of a command with more lines the rest is counted.
_LINES_SAID = 8


def meant_beside(desk: Desk, targets: Sequence[Entry]) -> list[str]:
    """What to know before these are taken out, and which other verb may be meant; each once."""
    found: dict[str, None] = {}
    for target in targets:
        if isinstance(target.fact, Amendment):
            continue
        standing = settle(desk.book.entries_about(target.jars)).entries
        names = desk.book.names_of([*standing, target])
        found |= dict.fromkeys(strike_hints(target, standing, names))
    return list(found)


def left_by(lines: Sequence[Entry]) -> list[str]:
    """What `undo` leaves as it is beside the book, each once."""
    return beyond_the_book_of_all(lines)


def told_before(desk: Desk, hints: Sequence[str], of: Entry | None = None) -> Told:
    """What a person sees before a correction or strike: its answer, and what is done already."""

    def told(would: Recorded) -> list[str]:
        answer = answer_of(desk, would)
        after = [] if of is None else list(_fits_still(desk, of, would))
        return [*_few(answer.lines), *_beside(desk, would), *after, *hints]

    return told


def told_of_undo(desk: Desk, lines: Sequence[Entry], hints: Sequence[str]) -> Told:
    """What `undo` takes back, and what comes of that."""
    about = desk.book.entries_about(jar for one in lines for jar in one.jars)
    names = desk.book.names_of({one.id: one for one in (*about, *lines)}.values())
    present = desk.bench.present

    def told(would: Recorded) -> list[str]:
        return [
            *undone_lines(desk, lines, names),
            *_few(meanwhile_lines(would, present)),
            *_beside(desk, would),
            *hints,
        ]

    return told


def undone_lines(desk: Desk, lines: Sequence[Entry], names: dict[str, str]) -> Iterator[str]:
    """`Undo: MEOF-26-02 shaken, recorded today at 18:02.`; of many, each on a line."""
    at = moment_said(lines[0].recorded, desk.bench.now())
    if (by := lines[0].fact.by) not in (None, desk.by):
        at += f" by {shown(by)}"
    if len(lines) == 1:
        yield f"Undo: {entry_said(lines[0], names)}, recorded {at}."
        return
    yield f"Undo {len(lines)} lines, recorded {at}:"
    for one in lines[:_LINES_SAID]:
        yield f"  {entry_said(one, names)}"
    if len(lines) > _LINES_SAID:
        yield f"  and {len(lines) - _LINES_SAID} more"


def _few(lines: Sequence[str]) -> Iterator[str]:
    """The lines, of a long list of things the first and how many more there are."""
    listed = 0
    for line in lines:
        listed += line.startswith("  ")
        if listed <= _LINES_SAID or not line.startswith("  "):
            yield line
    if listed > _LINES_SAID:
        yield f"  and {listed - _LINES_SAID} more"


def _beside(desk: Desk, would: Recorded) -> list[str]:
    answer = answer_of(desk, would)
    warned = [f"Caution: {one}." for one in answer.warnings]
    asked = [f"{one.code}: {one.what}." for one in would.findings if one.weight == "question"]
    return [*desk.remarks, *warned, *answer.cautions] if not asked else [*desk.remarks, *warned]


def _fits_still(desk: Desk, root: Entry, would: Recorded) -> Iterator[str]:
    """What was done after an event and is right as it stands; shakes are not named."""
    now = would.roots[would.entries[0].id][1] or root
    odd = {flag.event for flag in would.misfits} | {one.id for one in would.meanwhile}
    after = done_after(now, desk.book.entries_about(root.jars))
    kinds = Counter(
        kind_said(one.kind)
        for one in after
        if one.id not in odd and not isinstance(one.fact, Shaken)
    )
    if kinds:
        words = (f"{kind} {many} times" if many > 1 else kind for kind, many in kinds.items())
        yield f"Done after it, and still right: {', '.join(words)}."
