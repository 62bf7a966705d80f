"""The contents of the page as plain data, from the shelf, the practice and the day."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.practice.practice import Practice
from tracker.core.rules.reminders import Due, due
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing, extract_of, things, whole
from tracker.outputs.page.history_lines import HistoryLine, history_lines
from tracker.outputs.pictures.jar_life import Life, life
from tracker.outputs.pictures.season import Season, season
from tracker.outputs.terminal import shelf_lists
from tracker.outputs.terminal.one_thing import account
from tracker.outputs.view.answers import ending, ratio_text, strength_text
from tracker.outputs.view.thing import view_of
from tracker.outputs.words.amounts import ml
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.plant_names import herb_name

# What the sections are called in an address; no jar's code takes one of these from them.
SECTIONS = (
    "what-is-due",
    "with-herb-in",
    "in-stock",
    "the-season",
    "one-by-one",
    "done-with",
)
# Whose charge, and which code of it: two things may have come to one code.
Anchors = dict[tuple[str, str], str]

# A likely yield rests on at most this many earlier jars, the newest, as on `show`.
_MOST_ALIKE = 60


class PageName(msgspec.Struct, frozen=True):
    """A code, the id that a link to it ends in, its herb, and the herb's part and form."""

    code: str
    anchor: str
    herb: str
    more: str


class JarLine(msgspec.Struct, frozen=True):
    """A jar with herb in it, in one line."""

    name: PageName
    charged: str
    ratio: str
    strength: str
    next: str


class StockLine(msgspec.Struct, frozen=True):
    """An extract in stock, in one line."""

    name: PageName
    strength: str
    bulk_ml: str
    left_ml: str
    bottles: str
    good_through: str
    days_left: int | None


class Entire(msgspec.Struct, frozen=True):
    """A jar with all that is known of it: what was reckoned, its extracts, bottles, history."""

    name: PageName
    common: str
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    life: Life
    extracts: tuple[PageName, ...]
    bottles: tuple[tuple[PageName, str], ...]
    history: tuple[HistoryLine, ...]

    def anchor_of(self, name: str, value: str) -> str:
        """The id of the row that names an extract; none for any other row."""
        if name != "extract":
            return ""
        return next((one.anchor for one in self.extracts if one.code == value), "")


class ShelfPage(msgspec.Struct, frozen=True):
    """The whole page; by each code the id of what it names."""

    today: date
    anchors: dict[str, str]
    due: tuple[Due, ...]
    jars: tuple[JarLine, ...]
    stock: tuple[StockLine, ...]
    season: Season
    entire: tuple[Entire, ...]
    done: tuple[tuple[PageName, str], ...]
    questions: tuple[tuple[str, str], ...]
    missing: int


def shelf_page(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    histories: Mapping[str, Sequence[Entry]],
    *,
    missing: int = 0,
) -> ShelfPage:
    """What the page shows about these jars and blends on a day.

    Args:
        batches: every one in the book, as it stood on that day.
        practice: the rules in force.
        today: the maker's day.
        histories: every line about each of them, by its id.
        missing: how many things of the book are not as they were written.
    """
    anchors, names = _anchors(batches), _names(histories.values())
    live = [one for one in batches if one.is_live]
    by_herb: dict[str, list[Jar]] = defaultdict(list)
    for jar in batches:
        if isinstance(jar, Jar) and jar.extracts:
            by_herb[jar.herb].append(jar)
    return ShelfPage(
        today,
        {code: anchor for (_, code), anchor in reversed(anchors.items())},
        tuple(due(live, practice, today)),
        tuple(_jar_lines(live, practice, today, anchors)),
        tuple(_stock_lines(live, today, anchors)),
        season([view_of(whole(one), practice, today) for one in live], today),
        tuple(
            _entire(
                one,
                practice,
                today,
                anchors,
                by_herb[one.herb][-_MOST_ALIKE:]
                if isinstance(one, Jar) and one.is_macerating
                else (),
                histories.get(one.id, ()),
                names,
            )
            for one in sorted(live, key=lambda batch: (batch.code, batch.id))
        ),
        tuple(_done(batches, today, anchors)),
        tuple((one.code, flag_text(flag)) for one in batches for flag in one.flags if flag.asks),
        missing,
    )


def _names(histories: Iterable[Sequence[Entry]]) -> dict[str, str]:
    """What every entry of the book is called."""
    every = [entry for own in histories for entry in own]
    return entry_names(every, {one.source for one in every})


def _anchors(batches: Iterable[Batch]) -> Anchors:
    """The id of each thing on the page: its code, without blanks, which no id has."""
    anchors: Anchors = {}
    taken: set[str] = set(SECTIONS)
    for batch in batches:
        for thing in things(batch):
            wanted = anchor = "_".join(thing.code.split())
            number = 1
            while anchor in taken:
                number += 1
                anchor = f"{wanted}_{number}"
            taken.add(anchor)
            anchors[batch.id, thing.code] = anchor
    return anchors


def _jar_lines(
    live: Sequence[Batch], practice: Practice, today: date, anchors: Anchors
) -> Iterator[JarLine]:
    macerating = {one.code: one for one in live if isinstance(one, Jar) and one.is_macerating}
    for answer in shelf_lists.shelf_answers(macerating.values(), practice, today):
        jar = macerating[str(answer["code"])]
        yield JarLine(
            _page_name(whole(jar), anchors),
            str(jar.charged),
            ratio_text(jar),
            strength_text(jar),
            str(answer["next"]),
        )


def _stock_lines(live: Sequence[Batch], today: date, anchors: Anchors) -> Iterator[StockLine]:
    answers = shelf_lists.stock_answers(live, today)
    for (batch, extract), answer in zip(shelf_lists.in_stock(live), answers, strict=True):
        left = answer["days_left"]
        yield StockLine(
            _page_name(extract_of(batch, extract), anchors),
            strength_text(extract.made),
            f"{extract.volume_ml:.0f}",
            f"{extract.left_ml:.0f}",
            shelf_lists.bottles(extract),
            str(answer["good_through"] or "not known"),
            left if isinstance(left, int) else None,
        )


def _page_name(thing: Thing, anchors: Anchors) -> PageName:
    herb = thing.batch.herb
    more = herb_name(thing.batch).removeprefix(herb)
    return PageName(thing.code, anchors[thing.batch.id, thing.code], herb, more)


def _entire(
    batch: Batch,
    practice: Practice,
    today: date,
    anchors: Anchors,
    alike: Sequence[Jar],
    entries: Sequence[Entry],
    names: Mapping[str, str],
) -> Entire:
    entries = [one for one in entries if one.when.earliest <= today]
    every = list(things(batch))
    return Entire(
        _page_name(every[0], anchors),
        batch.common or "",
        _gathered(account(every[0], today, practice=practice, alike=alike)),
        life(view_of(every[0], practice, today), entries, today),
        tuple(_page_name(one, anchors) for one in every[1:] if one.kind == "extract"),
        tuple(
            (
                _page_name(one, anchors),
                f"{ml(one.bottle.volume_ml)} left of {ml(one.bottle.size_ml)}",
            )
            for one in every
            if one.bottle is not None and not one.bottle.discarded
        ),
        history_lines(entries, names),
    )


def _gathered(rows: Sequence[tuple[str, str]]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each name once, with all that follows under it."""
    gathered: list[tuple[str, list[str]]] = []
    for name, value in rows:
        if gathered and name in ("", gathered[-1][0]):
            gathered[-1][1].append(value)
        else:
            gathered.append((name, [value]))
    return tuple((name, tuple(values)) for name, values in gathered)


def _done(
    batches: Iterable[Batch], today: date, anchors: Anchors
) -> Iterator[tuple[PageName, str]]:
    """The jars and blends of which nothing is left, the newest first."""
    for batch in sorted(batches, key=lambda one: one.begun.start, reverse=True):
        if batch.is_live:
            continue
        begun = f"charged {batch.charged}, " if isinstance(batch, Jar) else ""
        yield _page_name(whole(batch), anchors), f"{begun}{ending(batch)}"
