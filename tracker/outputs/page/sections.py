"""The contents of the page as plain data, from the shelf, the practice and the day."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, things, whole
from tracker.outputs.page.page_herbs import (
    Letter,
    Telling,
    herb_letters,
    letter_anchor,
    letters_of,
)
from tracker.outputs.page.page_marks import heeded
from tracker.outputs.page.page_names import SECTIONS, Anchors, PageName, anchors_of, page_name
from tracker.outputs.page.page_rows import JarRow, StockRow, jar_rows, stock_rows
from tracker.outputs.page.page_season import MonthOnPage, months_on_page
from tracker.outputs.page.page_today import DueGroup, due_on_page
from tracker.outputs.view.day import day_of, questions_of
from tracker.outputs.view.thing_view import row_of, view_of
from tracker.outputs.words.due.due_message import counts_of
from tracker.outputs.words.due.due_names import with_names
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.standing import ending
from tracker.outputs.words.thing_codes import thing_codes

# A likely yield rests on at most this many earlier jars, the newest, as on `show`.
_MOST_ALIKE = 60


class DoneRow(msgspec.Struct, frozen=True):
    """A jar or blend of which nothing is left, what became of it, and what there was of it."""

    name: PageName
    ended: str
    parts: tuple[tuple[str, str], ...]


class ShelfPage(msgspec.Struct, frozen=True):
    """The whole page, to be set once.

    Attributes:
        anchors: by each code the id of what it names.
        counts: how many things there are to look at, to shake and so on.
        letters: those with a plant under them, and the id of each.
        herbs: the plants of each letter with their jars, made when their turn comes.
    """

    today: date
    anchors: dict[str, str]
    counts: tuple[tuple[int, str], ...]
    due: tuple[DueGroup, ...]
    questions: tuple[tuple[str, str], ...]
    jars: tuple[JarRow, ...]
    stock: tuple[StockRow, ...]
    season: tuple[MonthOnPage, ...]
    letters: tuple[tuple[str, str], ...]
    herbs: Iterator[Letter]
    done: tuple[DoneRow, ...]
    missing: int


def shelf_page(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    histories: Mapping[str, Sequence[Entry]],
    *,
    missing: int = 0,
    not_held: Sequence[Flag] = (),
) -> ShelfPage:
    """What the page shows about these jars and blends on a day.

    Args:
        batches: every one in the book, as it stood on that day.
        practice: the rules in force.
        today: the maker's day.
        histories: every line about each of them, by its id.
        missing: how many things of the book are not as they were written.
        not_held: what holds some of a lot called back and is on no hold.
    """
    live = [one for one in batches if one.is_live]
    alike = _pressed_of_a_herb(batches)
    views = {
        one.id: view_of(whole(one), practice, today, alike=alike(one), flags=not_held)
        for one in live
    }
    by_letter = letters_of(live, views, practice)
    letters = [(one, letter_anchor(one)) for one in by_letter]
    anchors = anchors_of(batches, [*SECTIONS, *(anchor for _, anchor in letters)])
    by_code = {code: anchor for (_, code), anchor in reversed(anchors.items())}
    heeds = heeded(live, views, practice, today, not_held)
    jars = tuple(jar_rows(live, views, heeds, practice, today, anchors))
    lines = day_of(live, practice, today, not_held).lines
    items = with_names(lines, live, practice.names)
    telling = Telling(
        practice,
        today,
        anchors,
        heeds,
        histories,
        _names(histories.values(), batches),
        days_late_of(batches, practice),
        {one.name.code: one.next for one in jars},
    )
    return ShelfPage(
        today,
        by_code,
        tuple(counts_of(items)),
        tuple(due_on_page(items, views.values(), by_code, heeds, practice.names, today)),
        tuple((code, flag_text(flag)) for code, flag in questions_of(batches, not_held)),
        jars,
        tuple(stock_rows(live, views, heeds, practice, today, anchors)),
        tuple(months_on_page([*views.values()], by_code, heeds, practice.names, today)),
        tuple(letters),
        herb_letters(by_letter, views, telling),
        tuple(_done(batches, practice, today, anchors)),
        missing,
    )


def _pressed_of_a_herb(batches: Iterable[Batch]) -> Callable[[Batch], Sequence[Jar]]:
    """Finds the newest jars of a jar's herb that were pressed, for what it may give."""
    by_herb: dict[str, list[Jar]] = defaultdict(list)
    for jar in batches:
        if isinstance(jar, Jar) and jar.extracts:
            by_herb[jar.herb].append(jar)

    def alike(batch: Batch) -> Sequence[Jar]:
        is_steeping = isinstance(batch, Jar) and batch.is_macerating
        return by_herb[batch.herb][-_MOST_ALIKE:] if is_steeping else ()

    return alike


def _names(histories: Iterable[Sequence[Entry]], batches: Iterable[Batch]) -> dict[str, str]:
    """What every entry of the book is called, and all that one takes from."""
    every = [entry for own in histories for entry in own]
    by_id = {one.id: one for one in batches}
    return entry_names(every, {one.source for one in every}) | thing_codes(every, by_id.get)


def _done(
    batches: Iterable[Batch], practice: Practice, today: date, anchors: Anchors
) -> Iterator[DoneRow]:
    """The jars and blends of which nothing is left, the newest first."""
    for batch in sorted(batches, key=lambda one: one.begun.start, reverse=True):
        if batch.is_live:
            continue
        row = row_of(whole(batch), practice, today)
        begun = "" if row.charged is None else f"charged {row.charged}, "
        hold = row.hold
        held = "" if hold is None else f"; {hold_name(hold)} {hold_said(hold, row.code)}"
        parts = [(one.code, anchors[batch.id, one.code]) for one in things(batch)]
        name = page_name(whole(batch), anchors, practice.names)
        yield DoneRow(name, f"{begun}{ending(row)}{held}", tuple(parts[1:]))
