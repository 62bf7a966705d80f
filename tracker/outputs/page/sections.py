"""The contents of the page as plain data, from the shelf, the practice and the day."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.practice.practice import Practice
from tracker.core.rules.reminders import Due, due
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing, things
from tracker.outputs.page.history_lines import HistoryLine, history_lines
from tracker.outputs.pictures.jar_life import Life, life
from tracker.outputs.pictures.season import Season, season
from tracker.outputs.terminal import shelf_lists
from tracker.outputs.terminal.one_thing import account
from tracker.outputs.view.answers import ending, ratio_text, strength_text
from tracker.outputs.words.amounts import ml
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
    jars: Sequence[Jar],
    practice: Practice,
    today: date,
    histories: Mapping[str, Sequence[Entry]],
    *,
    missing: int = 0,
) -> ShelfPage:
    """What the page shows about these jars on a day.

    Args:
        jars: every jar of the book, as it was on that day.
        practice: the rules in force.
        today: the maker's day.
        histories: every line about each jar, by its id.
        missing: how many things of the book are not as they were written.
    """
    anchors = _anchors(jars)
    live = [jar for jar in jars if jar.is_live]
    by_herb: dict[str, list[Jar]] = defaultdict(list)
    for jar in jars:
        if jar.extracts:
            by_herb[jar.herb].append(jar)
    return ShelfPage(
        today,
        {code: anchor for (_, code), anchor in reversed(anchors.items())},
        tuple(due(live, practice, today)),
        tuple(_jar_lines(live, practice, today, anchors)),
        tuple(_stock_lines(live, today, anchors)),
        season(live, today),
        tuple(
            _entire(
                jar,
                practice,
                today,
                anchors,
                by_herb[jar.herb][-_MOST_ALIKE:] if jar.is_macerating else (),
                histories.get(jar.id, ()),
            )
            for jar in sorted(live, key=lambda one: (one.code, one.id))
        ),
        tuple(_done(jars, today, anchors)),
        tuple((jar.code, flag.why) for jar in jars for flag in jar.flags if flag.asks),
        missing,
    )


def _anchors(jars: Iterable[Jar]) -> Anchors:
    """The id of each thing on the page: its code, without blanks, which no id has."""
    anchors: Anchors = {}
    taken: set[str] = set(SECTIONS)
    for jar in jars:
        for thing in things(jar):
            wanted = anchor = "_".join(thing.code.split())
            number = 1
            while anchor in taken:
                number += 1
                anchor = f"{wanted}_{number}"
            taken.add(anchor)
            anchors[jar.id, thing.code] = anchor
    return anchors


def _jar_lines(
    live: Sequence[Jar], practice: Practice, today: date, anchors: Anchors
) -> Iterator[JarLine]:
    macerating = {jar.code: jar for jar in live if jar.is_macerating}
    for answer in shelf_lists.shelf_answers(macerating.values(), practice, today):
        jar = macerating[str(answer["code"])]
        yield JarLine(
            _page_name(Thing(jar.code, jar), anchors),
            str(jar.charged),
            ratio_text(jar),
            strength_text(jar),
            str(answer["next"]),
        )


def _stock_lines(live: Sequence[Jar], today: date, anchors: Anchors) -> Iterator[StockLine]:
    answers = shelf_lists.stock_answers(live, today)
    for (jar, extract), answer in zip(shelf_lists.in_stock(live), answers, strict=True):
        code = jar.extract_code(extract)
        left = answer["days_left"]
        yield StockLine(
            _page_name(Thing(code, jar, extract), anchors),
            strength_text(jar),
            f"{extract.volume_ml:.0f}",
            f"{extract.left_ml:.0f}",
            shelf_lists.bottles(extract),
            str(answer["good_through"] or "not known"),
            left if isinstance(left, int) else None,
        )


def _page_name(thing: Thing, anchors: Anchors) -> PageName:
    herb = thing.jar.herb
    more = herb_name(thing.jar).removeprefix(herb)
    return PageName(thing.code, anchors[thing.jar.id, thing.code], herb, more)


def _entire(
    jar: Jar,
    practice: Practice,
    today: date,
    anchors: Anchors,
    alike: Sequence[Jar],
    entries: Sequence[Entry],
) -> Entire:
    entries = [one for one in entries if one.when.earliest <= today]
    every = list(things(jar))
    return Entire(
        _page_name(every[0], anchors),
        jar.common or "",
        _gathered(account(every[0], today, practice=practice, alike=alike)),
        life(jar, entries, today),
        tuple(_page_name(one, anchors) for one in every[1:] if one.kind == "extract"),
        tuple(
            (
                _page_name(one, anchors),
                f"{ml(one.bottle.volume_ml)} left of {ml(one.bottle.size_ml)}",
            )
            for one in every
            if one.bottle is not None and not one.bottle.discarded
        ),
        history_lines(entries),
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


def _done(jars: Iterable[Jar], today: date, anchors: Anchors) -> Iterator[tuple[PageName, str]]:
    """The jars with nothing left, the newest first."""
    for jar in sorted(jars, key=lambda one: one.charged.start, reverse=True):
        if jar.is_live:
            continue
        begun = "" if jar.opened == "blended" else f"charged {jar.charged}, "
        yield _page_name(Thing(jar.code, jar), anchors), f"{begun}{ending(jar)}"
