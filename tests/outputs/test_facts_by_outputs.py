"""Facts by outputs: what one output says of a thing, every other says, or says why not.

A cell is the words that stand in the output, in any order and setting, or why it does not belong
there. Of a lot: `test_lot_matrix.py`.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from typing import NamedTuple

import pytest

from tests.outputs import shelves
from tests.outputs.every_output import OUTPUTS, House
from tests.outputs.shelves import Told
from tracker.cli.help.verb_table import SECTIONS

pytestmark = pytest.mark.thorough


class NotMeant(NamedTuple):
    """A cell that is empty, and why."""

    why: str


# What has to be said: words, or a day as anybody may write it.
Word = str | date
Cell = tuple[Word, ...] | NotMeant
Outputs = tuple[str, ...]

SHOW: Outputs = ("show", "show json", "page")
RECORD: Outputs = ("record", "record json", "record on paper")
LIFE: Outputs = ("timeline", "timeline json", "timeline svg", "timeline html")
STORY: Outputs = ("history", "history json")
TRACE: Outputs = ("trace", "trace json")
BATCHES: Outputs = ("batches", "batches json", "batches csv")
SHELF: Outputs = ("shelf",)
DONE: Outputs = ("done",)
SHELF_DATA: Outputs = ("shelf json", "shelf csv")
STOCK: Outputs = ("stock",)
STOCK_DATA: Outputs = ("stock json", "stock csv")
DUE: Outputs = ("due", "due json", "due csv", "message")
MESSAGE: Outputs = ("message",)
SEASON: Outputs = ("season", "season json", "season svg", "season html")
SUPPLY: Outputs = ("supply", "supply json", "supply svg", "supply html")
GAVE: Outputs = ("pressings", "pressings json", "pressings svg", "pressings html")
YIELDS: Outputs = ("yields", "yields json", "yields csv")
CALENDAR: Outputs = ("calendar",)
LABEL: Outputs = ("label",)
LID: Outputs = ("lid", "short label")
SHEET: Outputs = ("sheet", "sheet json")
HANDOUT: Outputs = ("handout",)
OFFER: Outputs = ("completion",)

HERB_OUT = NotMeant("its herb is out: it stands under done and in stock")
HERB_IN = NotMeant("its herb is in: nothing is done or in stock")
NO_JAR = NotMeant("it is no jar")
NARROW = NotMeant("a row has no room for it; show, label and page have")
TO_DO = NotMeant("it says what is to be done, and there is nothing to do about it that day")
EVENTS = NotMeant("it tells events, and what came of them is in show")
FLOWS = NotMeant("it tells what came from what")
SUMS = NotMeant("it adds up amounts by herb and way, whatever became of each thing")
PRESSED = NotMeant("it compares what jars gave; show has the rest")
NOT_PRESSED = NotMeant("nothing is pressed from it")
NO_STOCK = NotMeant("nothing is in stock")
A_WORD = NotMeant("it has a name and an amount to tell codes apart, and what is on hold")
DAYS = NotMeant("it has days to come")
PLANTS = NotMeant("of many things together it says holds and what a plant does")
ON_THE_JAR = NotMeant("the label of the jar has it")
LIFE_ONLY = NotMeant("it has the days of one life, its holds and its cautions")
NO_AMOUNT = NotMeant("what pressing gave is not on it")
STEEP_NOT_OVER = NotMeant("a jar is counted once its last steep is over")
GONE = NotMeant("it is no longer in the house")

IN_STOCK = {SHELF: HERB_OUT}
WITH_HERB = {
    DONE: HERB_IN,
    STOCK: HERB_IN,
    STOCK_DATA: HERB_IN,
    SUPPLY: NO_STOCK,
    GAVE: NOT_PRESSED,
}

JUN_9 = date(2025, 6, 9)


def held(*why: Word) -> dict[Outputs, Cell]:
    """What every output says of a hold."""
    on_hold = ("on hold",)
    full = (*on_hold, *why)
    return {
        SHOW: (*full, JUN_9), RECORD: (*full, JUN_9), LIFE: (*full, JUN_9), STORY: (*why, JUN_9),
        TRACE: on_hold, BATCHES: on_hold, DONE: on_hold, SHELF_DATA: on_hold, STOCK: on_hold,
        STOCK_DATA: on_hold, DUE: full, MESSAGE: on_hold, SEASON: on_hold, SUPPLY: on_hold,
        GAVE: on_hold, YIELDS: SUMS, CALENDAR: full, LABEL: on_hold, LID: on_hold, HANDOUT: on_hold,
        OFFER: on_hold, SHELF: HERB_OUT, SHEET: on_hold,
    }  # fmt: skip


# What stands on the sheet for a count, unless a fact says more of it.
ON_SHEET: dict[Outputs, Cell] = {SHEET: NotMeant("it has what there is to count, and holds")}


def careful(*said: Word, short: Word) -> dict[Outputs, Cell]:
    """What every output says of a plant that can harm; `short`, where there is little room."""
    return {
        SHOW: said, RECORD: said, LIFE: said, STORY: EVENTS, TRACE: FLOWS, BATCHES: PRESSED,
        SHELF: HERB_OUT, DONE: NARROW, SHELF_DATA: said, STOCK: NARROW, STOCK_DATA: said,
        DUE: TO_DO, SEASON: said, SUPPLY: said, GAVE: said, YIELDS: SUMS, CALENDAR: said,
        LABEL: said, LID: (short,), HANDOUT: said, OFFER: A_WORD,
    }  # fmt: skip


class Fact(NamedTuple):
    """A shelf with one fact, what each output says of it, and the day it is asked."""

    shelf: Callable[[], Told]
    cells: Mapping[Outputs, Cell]
    today: str = "2025-09-02"  # the day after the older bottle was last good


def recalled(*why: Word) -> dict[Outputs, Cell]:
    """What every output says of a recall; a life and a message name it as a hold as well."""
    cells = {
        outputs: cell if isinstance(cell, NotMeant) else ("recalled", *cell[1:])
        for outputs, cell in held(*why).items()
    }
    return cells | {STORY: why, SHEET: ("on hold",)}  # for a count all holds are alike


def all_over(*words: Word) -> dict[Outputs, Cell]:
    """The same words everywhere but where nothing of a liquid stands."""
    return {
        SHOW: words, RECORD: words, LIFE: words, STORY: EVENTS, TRACE: FLOWS, BATCHES: PRESSED,
        SHELF: HERB_OUT, DONE: NARROW, SHELF_DATA: words, STOCK: words, STOCK_DATA: words,
        DUE: words, SEASON: words, SUPPLY: words, GAVE: SUMS, YIELDS: SUMS, CALENDAR: words,
        LABEL: words, LID: words, HANDOUT: words, OFFER: A_WORD,
    }  # fmt: skip


# A jar with its herb in, of which nothing is in stock.
STEEPING: dict[Outputs, Cell] = {
    DONE: HERB_IN, STOCK: HERB_IN, STOCK_DATA: HERB_IN, SUPPLY: NO_STOCK, GAVE: NOT_PRESSED,
    YIELDS: NOT_PRESSED, TRACE: FLOWS, OFFER: A_WORD,
}  # fmt: skip

ACONITE = ("aconitum napellus", "monkshood")
BOTTLE_1 = "caof-25-01a/1"
ALLERGY = ("asteraceae allergy",)
FACTS = {
    "held by a look": Fact(shelves.held_by_a_look, held("mould")),
    "a bottle held": Fact(
        shelves.a_held_bottle,
        held("a loose lid")
        | {
            SHOW: ("on hold", "a loose lid", date(2025, 6, 5)),
            RECORD: ("on hold", "a loose lid", date(2025, 6, 5)),
            LIFE: ("on hold", BOTTLE_1, date(2025, 6, 5)),
            STORY: ("a loose lid", date(2025, 6, 5)),
            TRACE: FLOWS,
            BATCHES: PRESSED,
            DUE: ("on hold", "a loose lid", BOTTLE_1),
            MESSAGE: ("on hold", BOTTLE_1),
            SHEET: ("on hold",),
            SEASON: ("on hold", BOTTLE_1),
            SUPPLY: ("on hold", BOTTLE_1),
            GAVE: ("on hold", BOTTLE_1),
            CALENDAR: NotMeant("the rest of it is on no hold, and is good through that day"),
            LABEL: NotMeant("it is for the rest; the bottle has its own"),
            LID: NotMeant("it is for the rest; the bottle has its own"),
            HANDOUT: NotMeant("its row is for the rest; the bottle has its own"),
            OFFER: ("on hold", BOTTLE_1),
        },
    ),
    "recalled": Fact(shelves.recalled, recalled("wrong plant")),
    "a recalled lot in it, on no hold": Fact(
        shelves.recalled_and_not_held,
        {
            SHOW: ("lot-25-01", "not on hold"),
            RECORD: ("lot-25-01", "not on hold"),
            LIFE: ("recalled", "lot-25-01"),
            STORY: EVENTS,
            TRACE: ("lot-25-01", "not on hold"),
            BATCHES: PRESSED,
            SHELF: HERB_OUT,
            DONE: ("recalled lot in it",),
            SHELF_DATA: ("recalled lot",),
            STOCK: ("recalled lot in it",),
            STOCK_DATA: ("recalled lot",),
            DUE: ("lot-25-01", "recalled", "not on hold"),
            MESSAGE: ("lot-25-01", "recalled"),
            SEASON: ("recalled lot", "caof-25-01"),
            SUPPLY: ("recalled lot", "caof-25-01a"),
            GAVE: ("recalled lot", "caof-25-01"),
            YIELDS: SUMS,
            CALENDAR: ("recalled",),
            LABEL: ("recalled",),
            LID: ("recalled",),
            HANDOUT: ("recalled",),
            OFFER: A_WORD,
        },
    ),
    "a blend recalled": Fact(
        shelves.a_blend_recalled,
        recalled("wrong plant")
        | {
            BATCHES: NotMeant("a blend is no batch of a herb"),
            SHOW: ("recalled", "wrong plant", date(2025, 6, 12)),
            RECORD: ("recalled", "wrong plant", date(2025, 6, 12)),
            LIFE: ("recalled", "wrong plant", date(2025, 6, 12)),
            STORY: ("wrong plant", date(2025, 6, 12)),
            GAVE: NotMeant("a blend is not pressed"),
        },
    ),
    "poison": Fact(shelves.of_a_poison, careful("digitalis purpurea", "foxglove", short="poison")),
    "external only": Fact(shelves.of_a_harmful_plant, careful(*ACONITE, short="external use only")),
    "a second plant, which harms": Fact(
        shelves.of_two_herbs,
        careful(*ACONITE, short="external use only")
        | {
            LABEL: (*ACONITE, *ALLERGY),
            HANDOUT: (*ACONITE, *ALLERGY),
            DONE: ("a. napellus",),
            STOCK: ("a. napellus",),
            STORY: ("aconitum napellus",),
            CALENDAR: ("aconitum napellus",),
            LID: ("external use only", "aconitum napellus"),
        },
    ),
    "an extract of a harmful plant poured in": Fact(
        shelves.of_a_poured_extract,
        careful(*ACONITE, short="external use only")
        | {STORY: ("acna-25-01a",), TRACE: ("acna-25-01a",)},
    ),
    "a bottle refilled with something harmful": Fact(
        shelves.a_bottle_of_something_harmful,
        careful(*ACONITE, short="external use only")
        | {STORY: ("acna-25-01a",), TRACE: ("acna-25-01a",)},
    ),
    "an allergy": Fact(
        shelves.a_plain_one,
        careful(*ALLERGY, short="read the jar") | dict.fromkeys((SEASON, SUPPLY, GAVE), PLANTS),
    ),
    "weak": Fact(
        shelves.weak,
        all_over("weak")
        | {
            SHOW: ("weak", date(2025, 6, 13)),
            STORY: ("900 ml",),
            DUE: ("weak",),
            SEASON: ("expires",),
            SUPPLY: DAYS,
        },
        today="2025-06-11",
    ),
    "past its date": Fact(
        shelves.a_plain_one,
        all_over(date(2026, 6, 3))
        | {
            SHELF_DATA: ("past",),
            STOCK: ("past",),
            STOCK_DATA: ("past", date(2026, 6, 3)),
            SEASON: ("expires",),
            SUPPLY: NotMeant("it counts what is in date"),
            CALENDAR: NotMeant("that day is over; `due` has it"),
        },
        today="2026-07-01",
    ),
    "no date known": Fact(
        shelves.pressed_nobody_knows_when,
        all_over("not known")
        | {
            SEASON: NotMeant("it has days; `due` says every day that there is none"),
            ("supply json",): ("volume ml",),
            ("show", "page"): ("no date is known",),
            ("show json",): ("no date",),
            RECORD: ("good through not known",),
            SHELF_DATA: ("no date",),
            STOCK_DATA: ("no date",),
            CALENDAR: NotMeant("it has no day of it; `due` has it every day"),
            LID: ("not known",),
        },
    ),
    "mould to be watched": Fact(
        shelves.mould_to_be_watched,
        STEEPING
        | {
            ("show", "page"): ("mould", "watch", JUN_9),
            ("show json",): ("spoilage", "mould", JUN_9),
            RECORD: ("mould", "watch", JUN_9),
            LIFE: ("mould",),
            STORY: ("mould", "watch", JUN_9),
            BATCHES: ("mould",),
            SHELF: ("mould found",),
            SHELF_DATA: ("spoilage",),
            DUE: ("mould",),
            SEASON: ("mould", "caof-25-01"),
            ("season json",): ("spoilage", "caof-25-01"),
            CALENDAR: NotMeant("it has days to come"),
            LABEL: NotMeant("a label stays on, and the next look says more"),
            LID: NotMeant("a label stays on, and the next look says more"),
            HANDOUT: ("mould",),
        },
    ),
    "of unknown strength": Fact(
        shelves.of_unknown_strength,
        {
            SHOW: ("vodka", "not known"),
            RECORD: ("vodka",),
            LIFE: ("vodka", "not known"),
            STORY: ("vodka",),
            TRACE: FLOWS,
            BATCHES: ("caof-25-01",),
            SHELF: HERB_OUT,
            DONE: ("spirit –",),
            SHELF_DATA: ("strength unknown of vodka",),
            STOCK: ("–",),
            STOCK_DATA: ("strength unknown of vodka",),
            DUE: TO_DO,
            SEASON: DAYS,
            SUPPLY: SUMS,
            GAVE: SUMS,
            YIELDS: SUMS,
            CALENDAR: DAYS,
            LABEL: ("vodka",),
            LID: NotMeant("a lid has no strength"),
            HANDOUT: ("vodka",),
            OFFER: A_WORD,
        },
    ),
    "a bottle good for less long": Fact(
        shelves.a_bottle_good_for_less_long,
        {
            SHOW: (date(2025, 9, 1),),
            RECORD: (date(2025, 9, 1), BOTTLE_1),
            LIFE: (BOTTLE_1, date(2025, 9, 1)),
            STORY: ("refilled",),
            TRACE: ("refilled",),
            BATCHES: PRESSED,
            SHELF: HERB_OUT,
            DONE: NARROW,
            SHELF_DATA: NARROW,
            STOCK: ("1 sep", "past"),
            STOCK_DATA: ("2025-09-01", "past"),
            DUE: ("bottle 1", date(2025, 9, 1)),
            SEASON: DAYS,
            SUPPLY: SUMS,
            GAVE: SUMS,
            YIELDS: SUMS,
            CALENDAR: NotMeant("that day is over; `due` has it"),
            LABEL: (date(2025, 9, 1),),
            LID: (date(2025, 9, 1),),
            HANDOUT: (date(2025, 9, 1),),
            OFFER: A_WORD,
        },
    ),
    "a struck pressing": Fact(
        shelves.a_struck_pressing,
        STEEPING
        | {
            SHOW: ("ready",),
            RECORD: ("struck",),
            LIFE: ("may be pressed from",),
            STORY: ("struck",),
            BATCHES: ("caof-25-01",),
            SHELF: ("ready",),
            SHELF_DATA: ("state ready",),
            DUE: TO_DO,
            SEASON: ("ready",),
            CALENDAR: DAYS,
            LABEL: (date(2025, 6, 3),),
            LID: ("caof-25-01",),
            HANDOUT: (date(2025, 6, 3),),
        },
        today="2025-07-01",
    ),
    "a corrected pressing": Fact(
        shelves.a_corrected_pressing,
        {
            SHOW: ("350",),
            RECORD: ("350", "370"),
            LIFE: ("350 ml",),
            STORY: ("350", "370"),
            TRACE: ("350",),
            BATCHES: ("350",),
            SHELF: HERB_OUT,
            DONE: NARROW,
            SHELF_DATA: ("350",),
            STOCK: ("350",),
            STOCK_DATA: ("350",),
            DUE: TO_DO,
            SEASON: PLANTS,
            SUPPLY: ("350",),
            GAVE: ("70",),
            YIELDS: ("1.5",),
            CALENDAR: DAYS,
            LABEL: NO_AMOUNT,
            LID: NO_AMOUNT,
            HANDOUT: NO_AMOUNT,
            OFFER: ("350 ml",),
        },
    ),
    "new liquid on its marc": Fact(
        shelves.a_second_steep,
        {
            SHOW: ("caof-25-01a", date(2025, 7, 4)),
            ("show json",): (date(2025, 7, 4),),
            RECORD: ("steeped again", "caof-25-01a"),
            LIFE: ("caof-25-01a", date(2025, 7, 4)),
            STORY: ("steeped again",),
            TRACE: ("caof-25-01a",),
            BATCHES: ("caof-25-01",),
            SHELF: (date(2025, 3, 3),),
            DONE: HERB_IN,
            SHELF_DATA: ("state macerating",),
            STOCK: ("caof-25-01a",),
            STOCK_DATA: ("caof-25-01a",),
            DUE: TO_DO,
            SEASON: ("ready",),
            SUPPLY: ("370",),
            GAVE: STEEP_NOT_OVER,
            YIELDS: STEEP_NOT_OVER,
            CALENDAR: ("20250704",),
            LABEL: (date(2025, 7, 4),),
            LID: ("caof-25-01",),
            HANDOUT: (date(2025, 7, 4),),
            OFFER: ("caof-25-01a",),
        },
        today="2025-06-20",
    ),
    "a blend": Fact(
        shelves.a_blend,
        {
            SHOW: ("blend", date(2025, 6, 10)),
            ("show json",): ("blend", "melissa officinalis", date(2025, 6, 10)),
            RECORD: ("melissa officinalis", date(2025, 6, 10)),
            LIFE: ("blended", date(2025, 6, 10)),
            STORY: ("blended", "meof-25-01a"),
            TRACE: ("meof-25-01a",),
            BATCHES: NotMeant("a blend is no batch of a herb"),
            SHELF: NO_JAR,
            DONE: ("blended",),
            SHELF_DATA: ("blend",),
            STOCK: ("lemon balm",),
            STOCK_DATA: ("melissa officinalis",),
            DUE: TO_DO,
            SEASON: ("blnd-25-01",),
            ("season svg",): ("expire",),
            SUPPLY: ("200",),
            GAVE: NotMeant("a blend is not pressed"),
            YIELDS: NotMeant("a blend is not pressed"),
            CALENDAR: ("blnd-25-01", "20260603"),
            LABEL: ("melissa officinalis", date(2025, 6, 10)),
            LID: ("melissa officinalis",),
            HANDOUT: ("melissa officinalis",),
            OFFER: ("lemon balm",),
        },
    ),
    "whose it is": Fact(
        shelves.a_percolate,
        {
            SHOW: ("p03",),
            RECORD: ("p03",),
            LIFE: LIFE_ONLY,
            STORY: ("p03",),
            TRACE: FLOWS,
            BATCHES: PRESSED,
            SHELF: HERB_OUT,
            DONE: NARROW,
            SHELF_DATA: ("p03",),
            STOCK: NARROW,
            STOCK_DATA: ("p03",),
            DUE: TO_DO,
            SEASON: DAYS,
            SUPPLY: SUMS,
            GAVE: SUMS,
            YIELDS: SUMS,
            CALENDAR: DAYS,
            LABEL: ("p03",),
            LID: NARROW,
            HANDOUT: NotMeant("it is for a class"),
            OFFER: A_WORD,
        },
    ),
    "given out whole": Fact(
        shelves.given_out_whole,
        {
            SHOW: ("given out",),
            RECORD: ("given out", date(2025, 6, 2)),
            LIFE: ("given out", date(2025, 6, 2)),
            STORY: ("given out", "p03"),
            TRACE: ("p03",),
            BATCHES: ("given out",),
            SHELF: GONE,
            DONE: ("given out",),
            SHELF_DATA: ("given out",),
            STOCK: GONE,
            STOCK_DATA: GONE,
            DUE: GONE,
            SEASON: GONE,
            SUPPLY: GONE,
            GAVE: NOT_PRESSED,
            YIELDS: NOT_PRESSED,
            CALENDAR: GONE,
            LABEL: NotMeant("what is gone is refused"),
            LID: NotMeant("what is gone is refused"),
            HANDOUT: ("given out",),
            OFFER: ("caof-25-01",),
        },
    ),
    "to be looked at again": Fact(
        shelves.to_look_at_again,
        STEEPING
        | {
            SHOW: (date(2025, 6, 12), "flecks"),
            ("show json",): ("2025-06-12",),
            RECORD: (date(2025, 6, 12), "flecks"),
            LIFE: LIFE_ONLY,
            STORY: ("flecks", date(2025, 6, 12)),
            BATCHES: ("flecks",),
            SHELF: ("look",),
            SHELF_DATA: ("2025-06-12",),
            DUE: ("look", "flecks"),
            SEASON: DAYS,
            CALENDAR: DAYS,
            LABEL: NotMeant("a label has what stays true"),
            LID: NotMeant("a label has what stays true"),
            HANDOUT: NotMeant("the day to press is what matters to a class"),
        },
    ),
    "bare metal over spirit": Fact(
        shelves.under_bare_metal,
        STEEPING
        | {
            SHOW: ("bare metal lid",),
            RECORD: ("bare metal lid",),
            LIFE: ("bare metal lid",),
            STORY: EVENTS,
            BATCHES: PRESSED,
            SHELF: ("bare metal lid",),
            SHELF_DATA: ("bare metal lid",),
            DUE: ("bare metal lid",),
            SEASON: PLANTS,
            CALENDAR: NotMeant("it has days to come, and a lid is for today"),
            LABEL: NotMeant("a label stays on; the lid is changed"),
            LID: NotMeant("a label stays on; the lid is changed"),
            HANDOUT: NotMeant("the day to press is what matters to a class"),
        },
    ),
    "found, its days a guess": Fact(
        shelves.found_and_guessed_at,
        STEEPING
        | {
            SHOW: ("a guess",),
            ("show json",): ("charge guessed",),
            RECORD: ("guess",),
            LIFE: (date(2024, 10, 12),),
            STORY: ("guess",),
            BATCHES: ("caof-25-01",),
            SHELF: ("summer 24",),
            SHELF_DATA: ("2024-06-01",),
            DUE: TO_DO,
            SEASON: ("ready",),
            CALENDAR: DAYS,
            LABEL: ("a guess",),
            LID: ("caof-25-01",),
            HANDOUT: (date(2024, 10, 12),),
        },
        today="2025-07-01",
    ),
    "of a lot that is not in the book": Fact(
        shelves.of_a_named_lot,
        STEEPING
        | {
            SHOW: ("batch 7",),
            RECORD: ("batch 7",),
            LIFE: ON_THE_JAR,
            STORY: ("batch 7",),
            TRACE: ("batch 7",),
            BATCHES: PRESSED,
            SHELF: NARROW,
            ("shelf json",): ("batch 7",),
            ("shelf csv",): ("batch 7",),
            DUE: ("caof-25-01",),
            SEASON: ON_THE_JAR,
            CALENDAR: ON_THE_JAR,
            LABEL: ("batch 7",),
            LID: ON_THE_JAR,
            HANDOUT: ON_THE_JAR,
        },
    ),
}


@cache
def houses() -> dict[str, House]:
    """All of them before any is asked: days made while the clock stands are not for a book."""
    return {name: House(fact.shelf(), fact.today) for name, fact in FACTS.items()}


@cache
def said(fact: str, output: str) -> str:
    return houses()[fact].says(output)


def row(fact: str) -> dict[str, Cell]:
    """The cell of each output; of one that has a cell of its own that one."""
    by_size = sorted((ON_SHEET | FACTS[fact].cells).items(), key=lambda pair: -len(pair[0]))
    return {output: cell for outputs, cell in by_size for output in outputs}


def cells() -> list[object]:
    return [
        pytest.param(fact, output, cell, id=f"{fact}-{output}")
        for fact in FACTS
        for output, cell in row(fact).items()
        if not isinstance(cell, NotMeant)
    ]


def spellings(word: Word) -> tuple[str, ...]:
    """A day as data, a calendar and people write it; a word as it is."""
    if isinstance(word, str):
        return (word,)
    people = f"{word.day} {word:%b}".lower()
    return (word.isoformat(), f"{word:%Y%m%d}", people)


@pytest.mark.parametrize(("fact", "output", "cell"), cells())
def test_what_one_output_says_of_a_thing_all_of_them_say(fact, output, cell):
    found = said(fact, output)

    missing = [one for one in cell if not any(text in found for text in spellings(one))]
    assert not missing, f"{output} does not say {missing}: {found}"


@pytest.mark.parametrize("fact", FACTS)
def test_every_cell_is_filled_or_has_its_reason(fact):
    assert row(fact).keys() == OUTPUTS.keys()
    assert all(one.why for one in row(fact).values() if isinstance(one, NotMeant))


# Verbs and forms that show nothing of a thing, each with its reason.
SHOWS_NOTHING = {
    ("enter", ""): "it records, and says what each line would say alone",
    ("trace", "--csv"): "it is of a lot alone",
    ("label", "--json"): "it says what was recorded, and the PDF is here",
    ("handout", "--json"): "it names the file, which is here",
    ("page", "--json"): "it names the file, which is here",
    ("calendar", "--json"): "it names the file, which is here",
}
FORMS = ("--json", "--csv", ".svg", ".html")


def test_every_verb_that_shows_a_thing_is_here_in_each_of_its_forms():
    lines = [line.split() for line in OUTPUTS.values() if line]
    shown = [verb for name in ("looking", "paper and files") for verb, _, _ in SECTIONS[name]]
    command = houses()["a blend"].command
    wanted = [
        (verb, form)
        for verb in ("due", "shelf", "stocktake", *shown)
        for form in ("", *(one for one in FORMS if one in command.ok(f"{verb} --help")))
        if (verb, form) not in SHOWS_NOTHING and (verb, "") not in SHOWS_NOTHING
    ]

    assert [one for one in wanted if not is_here(*one, lines)] == []


def is_here(verb: str, form: str, lines: list[list[str]]) -> bool:
    return any(one[0] == verb and any(word.endswith(form) for word in one) for one in lines)


# What is well, and what is not so, is not said either


# What was struck and what was corrected stands there as that.
WITH_HISTORY = (*STORY, *RECORD, "page")


@pytest.mark.parametrize("output", [one for one in OUTPUTS if one not in WITH_HISTORY])
def test_what_was_struck_is_nowhere_a_fact(output):
    found = said("a struck pressing", output)

    assert "pressed 370" not in found
    assert "caof-25-01a" not in found


@pytest.mark.parametrize("output", [one for one in OUTPUTS if one not in WITH_HISTORY])
def test_what_was_corrected_is_nowhere_what_it_was(output):
    assert "370" not in said("a corrected pressing", output)


@pytest.mark.parametrize("output", OUTPUTS)
def test_what_is_well_is_said_to_be_well(output):
    """The cells above would pass on an output that cries wolf; these would not."""
    found = said("a blend", output)

    # The key of a picture says what its marks mean, the record what it has a place for.
    beside = {"season svg", "season html", "supply svg", "supply html", *RECORD}
    words = ("recalled", "aconitum", "weak:", "poison")
    for word in words if output in beside else (*words, "on hold", "past its", "struck"):
        assert word not in found


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_strength_that_is_not_known_is_never_nothing(output):
    found = said("of unknown strength", output)

    assert not re.search(r"\b(0|0\.0|none|null) ?% vol|strength pct vol 0", found)


@pytest.mark.parametrize("output", [*SHELF, *STOCK, *DUE, *CALENDAR])
def test_what_left_whole_is_spoken_of_where_it_stood_and_nowhere_else(output):
    assert "caof-25-01" not in said("given out whole", output)


def test_of_several_plants_each_caution_names_its_own():
    for output in ("label", "handout"):
        found = said("a second plant, which harms", output).replace(":", "")
        assert "calendula officinalis asteraceae allergy" in found
        assert "aconitum napellus, monkshood" in found


def test_a_bottle_past_its_own_day_is_no_supply():
    """340 ml of the older extract, 270 ml of the newer one, and its bottle of 100 ml.

    The older extract and the bottle are good through 1 September 2025.
    """
    command = houses()["a bottle good for less long"].command
    through = [command.json(f"supply --on 2025-09-0{day}") for day in (1, 2)]

    assert [[one["volume_ml"] for one in found] for found in through] == [[710.0], [270.0]]


def test_a_blend_is_not_pressed():
    found = houses()["a blend"].command.json("yields --by-method")

    codes = [press["code"] for one in found for press in one["pressings"]]
    assert codes == ["CAOF-25-01", "MEOF-25-01"]


def test_what_is_gone_has_no_label():
    assert "CAOF-25-01" in houses()["given out whole"].command.refused("label CAOF-25-01")
