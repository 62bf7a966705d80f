"""Facts by outputs: what the terminal says of a thing, JSON, CSV, page, calendar and digest say.

A cell is what the output says, or why it does not belong there. Paper and pictures are in
`test_paper_matrix.py`.
"""

import csv
import io
import json
import re
from collections.abc import Callable
from contextlib import redirect_stdout
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

import pytest

from tests.lives import KITCHEN
from tests.outputs import shelves
from tests.outputs.reading import page_tree
from tests.outputs.shelves import Told
from tracker.cli.printing import echo_csv
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.practice.practice import Practice
from tracker.core.rules.morning import Told as Marks
from tracker.core.rules.morning import lines_to_say
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing, things, whole
from tracker.daemon.deliver import notice
from tracker.outputs.answer_fields import in_columns, thing_fields
from tracker.outputs.calendar_file import calendar
from tracker.outputs.page.render import whole_page
from tracker.outputs.page.sections import shelf_page
from tracker.outputs.terminal.due_groups import due_groups
from tracker.outputs.terminal.history_table import history
from tracker.outputs.terminal.shelf_table import done_table, shelf_fields, shelf_table
from tracker.outputs.terminal.show import show
from tracker.outputs.terminal.stock_table import in_stock, stock_fields, stock_table
from tracker.outputs.view.day import day_of
from tracker.outputs.view.history import Telling
from tracker.outputs.view.thing_view import view_of
from tracker.outputs.words.due.due_names import with_names

TODAY = date(2025, 9, 2)  # the day after the older bottle was last good
NOW = datetime(2025, 9, 2, 9, tzinfo=UTC)
PRACTICE = Practice()
WIDE = 200


class NotMeant(NamedTuple):
    """A cell that is empty, and why."""

    why: str


def _show(told: Told) -> str:
    return "\n".join(show(view_of(told.thing, PRACTICE, TODAY), colour=False))


def _shelf(told: Told) -> str:
    jars = [one for one in told.batches if isinstance(one, Jar)]
    return "\n".join(shelf_table(jars, PRACTICE, TODAY, total=WIDE, colour=False))


def _done(told: Told) -> str:
    return "\n".join(done_table(told.batches, Practice(), TODAY, total=WIDE, colour=False))


def _stocked(told: Told) -> list[Thing]:
    return in_stock(told.batches, PRACTICE)


def _stock(told: Told) -> str:
    return "\n".join(
        stock_table(in_stock(told.batches, PRACTICE), PRACTICE, TODAY, total=WIDE, colour=False)
    )


def _due(told: Told) -> str:
    lines = day_of(told.batches, PRACTICE, TODAY).lines
    items = with_names(lines, told.batches, PRACTICE.names)
    return "\n".join(due_groups(items, TODAY, PRACTICE.names, total=WIDE, colour=False))


def _show_json(told: Told) -> str:
    return json.dumps(thing_fields(view_of(told.thing, PRACTICE, TODAY)), ensure_ascii=False)


def _shelf_json(told: Told) -> str:
    return json.dumps(shelf_fields(told.batches, PRACTICE, TODAY), ensure_ascii=False)


def _stock_json(told: Told) -> str:
    return json.dumps(stock_fields(_stocked(told), PRACTICE, TODAY), ensure_ascii=False)


def _shelf_csv(told: Told) -> str:
    out = io.StringIO()
    with redirect_stdout(out):
        echo_csv(in_columns(shelf_fields(told.batches, PRACTICE, TODAY)))
    rows = list(csv.DictReader(io.StringIO(out.getvalue())))
    assert all(None not in row and None not in row.values() for row in rows)
    return json.dumps(rows, ensure_ascii=False)


def _page(told: Told) -> str:
    histories = {one.id: _own(told, one.id) for one in told.batches}
    page = whole_page(shelf_page(told.batches, PRACTICE, TODAY, histories))
    return " ".join(" ".join(page_tree(page).itertext()).split())


def _own(told: Told, batch_id: str) -> list:
    return [one for one in told.entries if batch_id in one.jars or one.id == batch_id]


def _history(told: Told) -> str:
    batch = told.thing.batch
    names = entry_names(told.entries, {KITCHEN})
    told_as = Telling(UTC, names, is_folded=False)
    return " ".join(" ".join(history(_own(told, batch.id), batch.code, told_as)).split())


def _calendar(told: Told) -> str:
    lines = calendar(told.batches, Practice(), NOW, timedelta(hours=8)).decode()
    return lines.replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")


def _digest(told: Told) -> str:
    lines = lines_to_say(told.batches, PRACTICE, TODAY, Marks())
    items = with_names(lines, told.batches, PRACTICE.names)
    return notice(items, TODAY).body if items else ""


OUTPUTS: dict[str, Callable[[Told], str]] = {
    "show": _show,
    "shelf": _shelf,
    "done": _done,
    "stock": _stock,
    "due": _due,
    "show --json": _show_json,
    "shelf --json": _shelf_json,
    "stock --json": _stock_json,
    "shelf --csv": _shelf_csv,
    "page": _page,
    "history": _history,
    "calendar": _calendar,
    "digest": _digest,
}

HERB_OUT = NotMeant("its herb is out: it stands under done and in stock")
HERB_IN = NotMeant("its herb is in: nothing is done or in stock")
NARROW = NotMeant("a row has no room for cautions; show and the label have")
BY_CODE = NotMeant("it says what is to be done, by the code")
EVENTS = NotMeant("it tells events, and what came of them is in show")
OF_BOTTLES = NotMeant("a bottle stands in the stock")
NO_JAR = NotMeant("it is no jar")
NOTHING_TO_DO = NotMeant("nothing is to be done about it that day")

NO_RATIO = NotMeant("a row of the stock has no room for a ratio")
DAY_OVER = NotMeant("its day has come, and what is open of it is due")
GONE = NotMeant("it is no longer in the house, and nothing about it is due")

ACONITE = "Aconitum napellus, monkshood:"
BOTH = "Calendula officinalis flower, dried + Aconitum napellus root, fresh"
BOTH_CALLED = "marigold flower, dried + Aconitum napellus root, fresh"
POURED = "Calendula officinalis flower, dried + Aconitum napellus root, dried"
BOTH_LISTED = "marigold flower + Aconitum napellus root, fresh"
POURED_LISTED = "marigold flower + Aconitum napellus root"
LISTED_IN_FULL = "marigold flower + lemon balm herb"
BLENDED = "Calendula officinalis + Melissa officinalis"
RECALLED = "recalled with lot CAOF-25-01: wrong plant"

Cell = str | NotMeant
MATRIX: dict[Callable[[], Told], dict[str, Cell]] = {
    shelves.held_by_a_look: {
        "show": "on hold           since 9 Jun 2025: mould",
        "shelf": HERB_OUT,
        "done": "ON HOLD",
        "stock": "ON HOLD",
        "due": "on hold: mould",
        "show --json": '"hold": {"kind": "look", "since": "2025-06-09", "why": "mould"',
        "shelf --json": '"on_hold": true',
        "stock --json": '"on_hold": true, "recalled": false, "hold": {"kind": "look"',
        "shelf --csv": '"on_hold": "True"',
        "page": "on hold since 9 Jun 2025: mould",
        "history": "mould",
        "calendar": "On hold, do not use: marigold flower, good through 3 Jun 2026 · CAOF-25-01A",
        "digest": "Marigold flower CAOF-25-01A: on hold: mould",
    },
    shelves.to_look_at_again: {
        "show": "look again        12 Jun 2025",
        "shelf": "look, ready",
        "done": HERB_IN,
        "stock": HERB_IN,
        "due": "look again: flecks 9 Jun",
        "show --json": '"look_again": "2025-06-12"',
        "shelf --json": '"look_again": "2025-06-12"',
        "stock --json": HERB_IN,
        "shelf --csv": '"look_again": "2025-06-12"',
        "page": "look again: flecks 9 Jun",
        "history": "looked at: flecks, watch, again 12 Jun 2025",
        "calendar": DAY_OVER,
        "digest": "Marigold flower CAOF-25-01: look again: flecks 9 Jun",
    },
    shelves.under_bare_metal: {
        "show": "bare metal lid: spirit and vinegar eat it",
        "shelf": "bare metal lid",
        "done": HERB_IN,
        "stock": HERB_IN,
        "due": "bare metal lid: change it, or put parchment under it",
        "show --json": "bare metal lid: spirit and vinegar eat it",
        "shelf --json": "bare metal lid",
        "stock --json": HERB_IN,
        "shelf --csv": "bare metal lid",
        "page": "bare metal lid: spirit and vinegar eat it",
        "history": EVENTS,
        "calendar": NotMeant("it has the days to come, and a lid is for today"),
        "digest": "Marigold flower CAOF-25-01: bare metal lid",
    },
    shelves.found_and_guessed_at: {
        "show": "Jun to Aug 2024, a guess",
        "shelf": "summer 24",
        "done": HERB_IN,
        "stock": HERB_IN,
        "due": NOTHING_TO_DO,
        "show --json": '"to": "2024-08-31"}, "charge_guessed": true',
        "shelf --json": '"earliest_press": "2024-10-12"',
        "stock --json": HERB_IN,
        "shelf --csv": '"charged": "2024-06-01/2024-08-31"',
        "page": "Jun to Aug 2024, a guess",
        "history": "as a guess charged Jun to Aug 2024, at least 42 days",
        "calendar": DAY_OVER,
        "digest": NOTHING_TO_DO,
    },
    shelves.recalled: {
        "show": f"recalled          since 9 Jun 2025: {RECALLED} (put on CAOF-25-01)",
        "shelf": HERB_OUT,
        "done": "RECALLED",
        "stock": "RECALLED",
        "due": RECALLED,
        "show --json": '"recalled": true, "hold": {"kind": "recall", "since": "2025-06-09"',
        "shelf --json": '"recalled": true',
        "stock --json": '"recalled": true',
        "shelf --csv": '"recalled": "True"',
        "page": f"recalled since 9 Jun 2025: {RECALLED}",
        "history": "wrong plant",
        "calendar": "Recalled, do not use: marigold flower, good through 3 Jun 2026 · CAOF-25-01A",
        "digest": "Marigold flower CAOF-25-01A: on hold, recalled with lot CAOF-25-01",
    },
    shelves.of_a_named_lot: {
        "show": "lots              Batch 7",
        "shelf": NARROW,
        "done": HERB_IN,
        "stock": HERB_IN,
        "due": BY_CODE,
        "show --json": '"lots": ["Batch 7"]',
        "shelf --json": '"lots": ["Batch 7"]',
        "stock --json": HERB_IN,
        "shelf --csv": NotMeant("a list has no column"),
        "page": "lots Batch 7",
        "history": "; lot Batch 7",
        "calendar": BY_CODE,
        "digest": BY_CODE,
    },
    shelves.of_a_harmful_plant: {
        "show": ACONITE,
        "shelf": HERB_OUT,
        "done": NARROW,
        "stock": NARROW,
        "due": BY_CODE,
        "show --json": ACONITE,
        "shelf --json": ACONITE,
        "stock --json": ACONITE,
        "shelf --csv": ACONITE,
        "page": ACONITE,
        "history": EVENTS,
        "calendar": "Aconitum napellus root, dried.",
        "digest": BY_CODE,
    },
    shelves.of_two_herbs: {
        "show": BOTH_CALLED,
        "shelf": HERB_OUT,
        "done": BOTH_LISTED,
        "stock": BOTH_LISTED,
        "due": BY_CODE,
        "show --json": '"herb": "Aconitum napellus", "common": null, "part": "root"',
        "shelf --json": '"herb": "Calendula officinalis + Aconitum napellus"',
        "stock --json": '"herb": "Calendula officinalis + Aconitum napellus"',
        "shelf --csv": '"herb": "Calendula officinalis + Aconitum napellus"',
        "page": BOTH_CALLED,
        "history": "20 g Aconitum napellus root, fresh",
        "calendar": f"{BOTH}.",
        "digest": BY_CODE,
    },
    shelves.of_a_poured_extract: {
        "show": ACONITE,
        "shelf": HERB_OUT,
        "done": POURED_LISTED,
        "stock": POURED_LISTED,
        "due": BY_CODE,
        "show --json": ACONITE,
        "shelf --json": ACONITE,
        "stock --json": ACONITE,
        "shelf --csv": ACONITE,
        "page": ACONITE,
        "history": "in 300 ml 45 % vol + 200 ml ACNA-25-01A",
        "calendar": f"{POURED}.",
        "digest": BY_CODE,
    },
    # Not known to keep: good for half the time that a strong one is, till 3 September 2025.
    shelves.of_unknown_strength: {
        "show": "strength          – (how strong the vodka was is not known)",
        "shelf": HERB_OUT,
        "done": "spirit –    3 Mar  1:5      92",
        "stock": "–      370  –        3 Sep, 1 d",
        "due": "marigold flower  CAOF-25-01A  good through 3 Sep",
        "show --json": '"strength_unknown_of": ["vodka"]',
        "shelf --json": '"strength_unknown_of": ["vodka"]',
        "stock --json": '"strength_unknown_of": ["vodka"]',
        "shelf --csv": '"strength_pct_vol": "", "strength_allowance_pct_vol": ""',
        "page": "how strong the vodka was is not known",
        "history": "450 ml – % vol vodka + 50 ml 60 % vol",
        "calendar": "Good through this day.",
        "digest": "Marigold flower CAOF-25-01A: use soon, good through 3 Sep",
    },
    shelves.a_bottle_good_for_less_long: {
        "show": "bottle till       1 Sep 2025",
        "shelf": OF_BOTTLES,
        "done": OF_BOTTLES,
        "stock": "1 Sep PAST",
        "due": "bottle 1: its date was 1 Sep",
        "show --json": '"good_through": "2025-09-01", "days_left": -1',
        "shelf --json": OF_BOTTLES,
        "stock --json": '"state": "expired", "good_through": "2025-09-01"',
        "shelf --csv": OF_BOTTLES,
        "page": "CAOF-25-01A/1 past 1 Sep 100 ml, full · its date was 1 Sep 2025",
        "history": "refilled",
        "calendar": "marigold flower (past 1 Sep 2025, some) · CAOF-25-01A",
        "digest": "Marigold flower CAOF-25-01A: bottle 1: its date was 1 Sep",
    },
    shelves.a_struck_pressing: {
        "show": "state             ready",
        "shelf": "1:5    ready",
        "done": HERB_IN,
        "stock": HERB_IN,
        "due": NOTHING_TO_DO,
        "show --json": '"state": "ready"',
        "shelf --json": '"state": "ready"',
        "stock --json": HERB_IN,
        "shelf --csv": '"state": "ready"',
        "page": "state ready",
        "history": "STRUCK by",
        "calendar": DAY_OVER,
        "digest": NOTHING_TO_DO,
    },
    shelves.a_blend: {
        "show": "blended           10 Jun 2025",
        "shelf": NO_JAR,
        "done": "blended 10 Jun",
        "stock": LISTED_IN_FULL,
        "due": NOTHING_TO_DO,
        "show --json": f'"kind": "blend", "state": "in stock", "herb": "{BLENDED}"',
        "shelf --json": '"blended": "2025-06-10", "charged": null',
        "stock --json": f'"herb": "{BLENDED}"',
        "shelf --csv": '"kind": "blend"',
        "page": "marigold flower, dried + lemon balm herb, dried",
        "history": "blended",
        "calendar": "marigold flower + lemon balm herb · BLND-25-01",
        "digest": NOTHING_TO_DO,
    },
    shelves.a_percolate: {
        "show": "1:5 by finished volume",
        "shelf": HERB_OUT,
        "done": "1:5 finished",
        "stock": NO_RATIO,
        "due": NOTHING_TO_DO,
        "show --json": '"ratio": 5.0, "ratio_basis": "finished"',
        "shelf --json": '"way": "percolation"',
        "stock --json": '"belongs_to": "P03"',
        "shelf --csv": '"ratio_basis": "finished"',
        "page": "belongs to P03",
        "history": "pressed again 20 ml",
        "calendar": "Good through 3 Jun 2026: marigold flower · CAOF-25-01A",
        "digest": NOTHING_TO_DO,
    },
    shelves.given_out_whole: {
        "show": "ended             given out 2 Jun 2025 for P03",
        "shelf": GONE,
        "done": "given out 2 Jun for P03",
        "stock": GONE,
        "due": GONE,
        "show --json": '"state": "given out"',
        "shelf --json": '"state": "given out"',
        "stock --json": GONE,
        "shelf --csv": '"state": "given out"',
        "page": "given out 2 Jun 2025 for P03",
        "history": "given out whole, with its herb, for P03",
        "calendar": GONE,
        "digest": GONE,
    },
}


def cells() -> list[object]:
    return [
        pytest.param(shelf, output, id=f"{shelf.__name__}-{output}")
        for shelf, row in MATRIX.items()
        for output, cell in row.items()
        if not isinstance(cell, NotMeant)
    ]


@pytest.mark.parametrize(("shelf", "output"), cells())
def test_what_one_output_says_of_a_thing_all_of_them_say(shelf, output):
    assert str(MATRIX[shelf][output]) in OUTPUTS[output](shelf())


@pytest.mark.parametrize("shelf", MATRIX, ids=lambda one: one.__name__)
def test_every_cell_is_filled_or_has_its_reason(shelf):
    assert MATRIX[shelf].keys() == OUTPUTS.keys()
    assert all(one.why for one in MATRIX[shelf].values() if isinstance(one, NotMeant))


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_strength_that_is_not_known_is_never_nothing(output):
    said = OUTPUTS[output](shelves.of_unknown_strength())

    assert not re.search(r'\b0(?:\.0)? ?% vol|\bNone\b|strength\w*_pct_vol": "?0', said)


@pytest.mark.parametrize("output", OUTPUTS)
def test_what_is_well_is_said_to_be_well(output):
    """The cells above would pass on an output that cries wolf; these would not."""
    said = OUTPUTS[output](shelves.a_blend()).lower()

    for word in ("on hold", "recalled ", "past", "aconitum", '"recalled": true', "struck"):
        assert word not in said.replace('"on_hold": false', "")


@pytest.mark.parametrize("output", ["shelf", "stock", "due", "calendar", "digest"])
def test_what_left_whole_is_spoken_of_where_it_stood_and_nowhere_else(output):
    assert "CAOF-25-01" not in OUTPUTS[output](shelves.given_out_whole())


@pytest.mark.parametrize("shelf", MATRIX, ids=lambda one: one.__name__)
def test_the_fields_of_every_thing_are_the_same_and_say_the_dates_of_its_view(shelf):
    """A row of the shelf, the stock and `show` are one mapping."""
    told = shelf()
    every = [view_of(one, PRACTICE, TODAY) for batch in told.batches for one in things(batch)]
    fields = [thing_fields(one) for one in every]

    assert len({tuple(one) for one in fields}) == 1
    for view, answer in zip(every, fields, strict=True):
        said = answer["good_through"]
        assert (said and date.fromisoformat(said)) == view.row.good_through
        assert answer["on_hold"] == (view.row.hold is not None)
    shown = {one["code"]: one["state"] for one in shelf_fields(told.batches, PRACTICE, TODAY)}
    wholes = {one.code: view_of(whole(one), PRACTICE, TODAY).row.state for one in told.batches}
    assert shown == wholes


def test_a_narrow_screen_says_how_many_plants_there_are_and_a_wide_one_names_each_with_its_part():
    told = shelves.of_two_herbs()

    narrow = stock_table(_stocked(told), PRACTICE, TODAY, total=61, colour=False)[1]
    assert "A. napellus +1 more" in narrow  # the one that could harm somebody
    assert BOTH_LISTED in _stock(told)
