"""The contents of the page as plain data, from the shelf, the practice and the day."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing, things, whole
from tracker.core.values.day_words import short_day
from tracker.outputs.page.history_lines import HistoryLine, history_lines
from tracker.outputs.pictures.jar_life import Life, life
from tracker.outputs.pictures.season import Season, season
from tracker.outputs.terminal.show import account
from tracker.outputs.terminal.stock_table import bottles_text, in_stock
from tracker.outputs.view.day import day_of, group_of, questions_of, with_steps
from tracker.outputs.view.liquid import BottleView, ExtractView, HoldView
from tracker.outputs.view.made import herbs_of
from tracker.outputs.view.thing_view import ThingView, row_of, view_of
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.due.due_names import with_names
from tracker.outputs.words.due.steps import step_text
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.plant_names import herbs_apart, the_common
from tracker.outputs.words.standing import ending, ratio_said, strength_said
from tracker.outputs.words.thing_codes import thing_codes

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
    """A code, the id that a link to it ends in, and each herb with its part and form."""

    code: str
    anchor: str
    herbs: tuple[tuple[str, str], ...]


class DueOnPage(msgspec.Struct, frozen=True):
    """One line of what is due."""

    code: str
    name: str
    group: str
    why: str


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
    marks: str


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
    """The whole page, to be set once.

    Attributes:
        anchors: by each code the id of what it names.
        live: how many jars and blends there is anything of.
        entire: each of those, made when its turn comes: of all at once they are most of it.
    """

    today: date
    anchors: dict[str, str]
    due: tuple[DueOnPage, ...]
    jars: tuple[JarLine, ...]
    stock: tuple[StockLine, ...]
    season: Season
    live: int
    entire: Iterator[Entire]
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
    anchors, names = _anchors(batches), _names(histories.values(), batches)
    live = [one for one in batches if one.is_live]
    alike, late = _pressed_of_a_herb(batches), days_late_of(batches, practice)
    views = {
        one.id: view_of(whole(one), practice, today, alike=alike(one), flags=not_held)
        for one in live
    }
    return ShelfPage(
        today,
        {code: anchor for (_, code), anchor in reversed(anchors.items())},
        tuple(
            DueOnPage(one.line.code, one.name, group_of(one.line.what), why_due(one.line, today))
            for one in with_names(
                day_of(live, practice, today, not_held).lines, live, practice.names
            )
        ),
        tuple(_jar_lines(live, views, practice, today, anchors)),
        tuple(_stock_lines(live, views, practice, today, anchors)),
        season([*views.values()], today),
        len(live),
        (
            _entire(one, views[one.id], today, anchors, histories.get(one.id, ()), names, late)
            for one in sorted(live, key=lambda batch: (batch.code, batch.id))
        ),
        tuple(_done(batches, practice, today, anchors)),
        tuple((code, flag_text(flag)) for code, flag in questions_of(batches, not_held)),
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
    live: Sequence[Batch],
    views: Mapping[str, ThingView],
    practice: Practice,
    today: date,
    anchors: Anchors,
) -> Iterator[JarLine]:
    jars = [one for one in live if isinstance(one, Jar) and one.is_macerating]
    for jar, step in with_steps(jars, practice, today):
        row = views[jar.id].row
        yield JarLine(
            _page_name(whole(jar), anchors),
            row.charged.iso if row.charged else "",
            ratio_said(row.ratio),
            strength_said(row),
            "" if step is None else step_text(step, today, row.steep_way),
        )


def _stock_lines(
    live: Sequence[Batch],
    views: Mapping[str, ThingView],
    practice: Practice,
    today: date,
    anchors: Anchors,
) -> Iterator[StockLine]:
    for thing in in_stock(live, practice):
        row, extract_id = row_of(thing, practice, today), thing.extract and thing.extract.id
        extract = next(one for one in views[thing.batch.id].extracts if one.id == extract_id)
        last = extract.first_to_end
        yield StockLine(
            _page_name(thing, anchors),
            strength_said(row),
            f"{extract.volume_ml:.0f}",
            f"{extract.left_ml:.0f}",
            bottles_text(extract.bottles),
            "not known" if last is None else str(last),
            None if last is None else (last - today).days,
            ", ".join(_marks(extract)),
        )


def _marks(extract: ExtractView) -> Iterator[str]:
    """What is said before its day: a hold, if only of a bottle, and that it is weak."""
    left = (one.hold for one in extract.bottles if one.volume_ml >= DROP_ML)
    if extract.hold is not None:
        yield hold_name(extract.hold)
    elif held := next((one for one in left if one is not None), None):
        yield f"{hold_name(held)}, some"
    if extract.is_some_weak:
        yield "weak, keep cold"


def _page_name(thing: Thing, anchors: Anchors) -> PageName:
    herbs = herbs_apart(herbs_of(thing.batch, thing.made))
    return PageName(thing.code, anchors[thing.batch.id, thing.code], tuple(herbs))


def _entire(
    batch: Batch,
    view: ThingView,
    today: date,
    anchors: Anchors,
    entries: Sequence[Entry],
    names: Mapping[str, str],
    late: Mapping[str, int],
) -> Entire:
    entries = [one for one in entries if one.when.earliest <= today]
    every = list(things(batch))
    return Entire(
        _page_name(every[0], anchors),
        the_common(view.row.herbs) or "",
        _gathered(account(view)),
        life(view, entries, today, names),
        tuple(_page_name(one, anchors) for one in every[1:] if one.kind == "extract"),
        tuple(_bottles(view, {one.code: _page_name(one, anchors) for one in every})),
        history_lines(entries, names, late),
    )


def _bottles(view: ThingView, named: Mapping[str, PageName]) -> Iterator[tuple[PageName, str]]:
    """Each bottle that was not thrown out, and what is left in it."""
    for extract in view.extracts:
        for one in extract.bottles:
            if one.state != "discarded":
                yield named[one.code], _left(one)


def _left(bottle: BottleView) -> str:
    last = f", good through {short_day(bottle.good_through)}" if bottle.good_through else ""
    left = f"{ml(bottle.volume_ml)} left of {ml(bottle.size_ml)}{last}"
    left += "; weak, keep cold" if bottle.weak is not None else ""
    return left if bottle.hold is None else f"{left}; {_hold(bottle.hold, bottle.code)}"


def _hold(hold: HoldView, code: str) -> str:
    return f"{hold_name(hold)} {hold_said(hold, code)}"


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
    batches: Iterable[Batch], practice: Practice, today: date, anchors: Anchors
) -> Iterator[tuple[PageName, str]]:
    """The jars and blends of which nothing is left, the newest first."""
    for batch in sorted(batches, key=lambda one: one.begun.start, reverse=True):
        if batch.is_live:
            continue
        row = row_of(whole(batch), practice, today)
        begun = "" if row.charged is None else f"charged {row.charged}, "
        held = "" if row.hold is None else f"; {_hold(row.hold, row.code)}"
        yield _page_name(whole(batch), anchors), f"{begun}{ending(row)}{held}"
