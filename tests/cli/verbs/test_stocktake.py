"""`stocktake`: all that stands on the shelf in one go, by a walk at a terminal or from a sheet."""

import json
import re
from datetime import date
from zoneinfo import ZoneInfo

import pytest

from tests.lives import on
from tracker import clock
from tracker.cli.desk import Desk
from tracker.cli.given.counts_given import found_of
from tracker.cli.verbs.stock.stocktake import record_counts
from tracker.core.reckoning.shelf_count import to_count
from tracker.core.rules.verdict import AskedError
from tracker.core.shelf.hold import Hold
from tracker.outputs.terminal.stocktake_lines import question, sheet_fields, sheet_lines, summary


@pytest.fixture
def stocked(command):
    """An extract in bulk and in bottles at one place, another beside it, and two lots."""
    command.practice('currency = "EUR"\n[reminders]\n"count every" = "3 months"\n')
    command.ok('buy "1000 ml 96% grain spirit" --paid 20.00 --when 2025-01-01')
    command.ok('gather "Calendula officinalis" --part flower --dried 300g --when 2025-01-02')
    for code, plant in (("CA", "Calendula officinalis"), ("ME", "Melissa officinalis")):
        command.ok(
            f'charge "{plant}" --dried 100g --pour "400 ml 45% @ 8.00" --pour "100 ml LOT-25-01" '
            f"--when 2025-03-03 --code {code}"
        )
        command.ok(f"press {code} 400ml --when 2025-06-10")
    command.ok("bottle CAA 3x100ml --when 2025-06-11")
    command.ok("dispense CAA/3 40ml --when 2025-06-12 --for C01")
    command.ok("move CAA --to 'shelf 1' --when 2025-06-12")
    return command


def counted(book):
    """The counts in the book: the code, and what was there."""
    return [
        (one["subject"], one["data"].get("volume_ml", one["data"].get("herb_g")))
        for one in book.lines()
        if one["type"] == "counted"
    ]


def to_be_counted(book):
    """The codes of what is due to be counted on a day of that winter."""
    due = book.json("due --on 2025-12-01")
    return {one["code"] for one in due if one["what"] == "count"}


ENTER = "\n"
# The walk: CAA in bulk, two full bottles, the begun one, MEA in bulk, the spirit, the herb.
ALL_SIX = 6


def test_enter_all_the_way_says_that_all_is_as_the_book_says(stocked):
    seen = stocked.at_terminal("stocktake", typed=ENTER * ALL_SIX + ENTER)

    assert seen.code == 0, seen.out
    assert counted(stocked) == [
        ("CAA", 100),
        ("CAA/3", 60),
        ("MEA", 400),
        ("LOT-25-01", 800),
        ("LOT-25-02", 300),
    ]
    assert "as the book says: 6" in seen.out
    assert seen.out.index("shelf 1") < seen.out.index("place not known")
    assert seen.out.index("place not known") < seen.out.index("herb and spirit in store")


def test_what_was_counted_is_no_longer_due_to_be_counted(stocked):
    assert to_be_counted(stocked) == {"CAA", "MEA"}
    stocked.at_terminal("stocktake --when 2025-11-30", typed=ENTER * ALL_SIX + ENTER)

    assert to_be_counted(stocked) == set()


def test_bottles_alone_that_are_all_there_count_as_counted(stocked):
    seen = stocked.at_terminal("stocktake --kind bottles --when 2025-11-30", typed="\ns\n\n")

    assert seen.code == 0, seen.out
    assert counted(stocked) == [("CAA/1", 100)]
    assert to_be_counted(stocked) == {"MEA"}


def test_the_summary_says_what_is_unaccounted_and_what_it_cost(stocked):
    seen = stocked.at_terminal("stocktake", typed="110ml\n1\n-\n390\ns\n250 g\ny\n")

    assert seen.code == 0, seen.out
    said = " ".join(seen.out.split())
    assert "unaccounted" in said
    assert "MEA 10 ml 0.25 EUR" in said.split("beyond")[0]
    assert "CAA 1 bottle of 100 ml (number 1) 2.50 EUR" in said
    assert "CAA/3 60 ml 1.50 EUR" in said
    assert "in all 170 ml, 50 g, 1 bottle, 4.25 EUR as far as known" in said
    assert "found beyond the book" in said
    assert "CAA 10 ml 0.25 EUR" in said.split("beyond")[1]
    assert "not counted: 1 (LOT-25-01)" in said
    assert counted(stocked) == [
        ("CAA", 110),
        ("CAA/1", 0),
        ("CAA/3", 0),
        ("MEA", 390),
        ("LOT-25-02", 250),
    ]


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("lots", "number"),
        ("12 g", "a weight"),
        ("/7 20 ml, 1", ""),
    ],
)
def test_a_slip_is_said_and_the_same_thing_asked_once_more(stocked, typed, why):
    seen = stocked.at_terminal("stocktake", typed=f"{typed}\n" + ENTER * ALL_SIX + ENTER)

    assert seen.code == 0, seen.out
    assert why in seen.out
    assert seen.out.count("1/6") == 2
    assert len(counted(stocked)) == 5


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("3", "The book has 2 full, not 3."),
        ("2, /9 10 ml", "CAA has no bottle 9."),
        ("1, /2 120 ml", "CAA/2 holds 100 ml."),
        ("some", "'some' is not a number of bottles."),
        ("2, /3 10 ml", "CAA/3 is counted by itself."),
    ],
)
def test_bottles_that_cannot_be_are_asked_once_more(stocked, typed, why):
    seen = stocked.at_terminal("stocktake --kind bottles", typed=f"{typed}\n2\n\n\n")

    assert seen.code == 0, seen.out
    assert why in seen.out
    assert counted(stocked) == [("CAA/3", 60)]


def test_one_of_the_full_ones_may_be_begun(stocked):
    stocked.at_terminal("stocktake --kind bottles", typed="1, /1 70 ml\n\n\n")

    assert counted(stocked) == [("CAA/1", 70), ("CAA/3", 60)]


def test_back_asks_about_the_one_before(stocked):
    stocked.at_terminal("stocktake --kind extracts", typed="90\n<\n95 ml\n\n\n")

    assert counted(stocked) == [("CAA", 95), ("MEA", 400)]


def test_stopping_keeps_what_was_counted_so_far(stocked):
    seen = stocked.at_terminal("stocktake", typed="90 ml\nq\n\n")

    assert "not counted: 5" in seen.out
    assert counted(stocked) == [("CAA", 90)]


@pytest.mark.parametrize("answers", range(ALL_SIX + 1))
def test_ctrl_c_at_any_question_records_nothing(stocked, answers):
    before = stocked.written()
    seen = stocked.at_terminal("stocktake", typed=ENTER * answers + "\x03")

    assert seen.code != 0
    assert stocked.written() == before


def test_a_no_at_the_end_records_nothing_and_leaves_a_sheet(stocked):
    before = stocked.written()
    seen = stocked.at_terminal("stocktake", typed="90 ml\n1\n\nq\nn\n")
    sheet = "\n".join(re.findall(r"^[A-Z/0-9]+(?: 100 ml)? = [^\r]+", seen.out, re.MULTILINE))

    assert seen.code == 1
    assert stocked.written() == before
    assert sheet == "CAA = 90 ml\nCAA 100 ml = 1\nCAA/3 = ok"
    assert stocked.run("stocktake -", typed=sheet).code == 0
    assert counted(stocked) == [("CAA", 90), ("CAA/1", 0), ("CAA/3", 60)]


def test_a_sheet_filled_in_is_taken_back(stocked):
    sheet = stocked.ok("stocktake --sheet")
    assert re.search(r"^CAA 100 ml +=  +# 2 × 100 ml \(1–2\) ", sheet, re.MULTILINE)
    assert max(map(len, sheet.splitlines())) <= 90
    stocked.env["COLUMNS"] = "60"
    assert stocked.ok("stocktake --sheet") == sheet
    filled = re.sub(r"^(CAA +=)", r"\1 95 ml", sheet, flags=re.MULTILINE)
    filled = re.sub(r"^(LOT-25-01 +=)", r"\1 ok", filled, flags=re.MULTILINE)
    answer = stocked.run("stocktake -", typed=filled)

    assert answer.code == 0, answer.err
    assert counted(stocked) == [("CAA", 95), ("LOT-25-01", 800)]
    assert answer.out == "Recorded 2 counts.\n"


def test_an_empty_sheet_counts_nothing(stocked):
    before = stocked.written()
    answer = stocked.run("stocktake -", typed=stocked.ok("stocktake --sheet"))

    assert (answer.code, answer.out) == (0, "")
    assert "Nothing was counted." in answer.err
    assert stocked.written() == before


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("CAA 95 ml", "There is no = in it."),
        ("CAX = 95 ml", "did you mean CAA"),
        ("CAA = 95 g", "a weight, and it needs a volume"),
        ("CAA 100 ml = 7", "The book has 2 full, not 7."),
        ("LOT-25-01 = 1 l\nCAA = 90 ml", "It is counted twice."),
    ],
)
def test_a_slip_on_a_sheet_names_its_line_and_records_nothing(stocked, line, why):
    sheet = stocked.home / "sheet.txt"
    before = "LOT-25-01 = ok\n" if "twice" in why else ""
    sheet.write_text(f"# shelf\n{before}{line}\n")
    said = stocked.refused(f"stocktake {sheet}", code=2)

    assert why in said
    assert "nothing of the page was recorded" in said
    assert "line " in said


def test_a_dry_run_records_nothing(stocked):
    before = stocked.written()
    answer = stocked.run("stocktake - --dry-run", typed="CAA = 90 ml\n")

    assert answer.out == "Would record 1 count.\n"
    assert stocked.written() == before


def test_the_json_answer_says_what_is_unaccounted(stocked):
    answer = stocked.run("stocktake - --json", typed="CAA = 90 ml\nMEA = ok\n")
    found = {one["code"]: one for one in json.loads(answer.out)["counted"]}

    assert (found["CAA"]["book"], found["CAA"]["there"]) == (100, 90)
    assert (found["CAA"]["unaccounted"], found["CAA"]["cost"]) == (10, "0.25")
    assert found["MEA"]["unaccounted"] == 0


def test_one_place_alone(stocked):
    seen = stocked.at_terminal("stocktake --place 'shelf 1'", typed=ENTER * 4)

    assert seen.code == 0, seen.out
    assert "MEA" not in seen.out
    assert "name one of these: shelf 1." in stocked.refused("stocktake --place attic", code=2)


def test_without_a_terminal_it_says_how_to_do_it(stocked):
    assert "--sheet" in stocked.refused("stocktake", code=2)


def test_what_is_on_hold_is_counted_and_stays_on_hold(stocked):
    stocked.ok("hold CAA --why cloudy --when 2025-07-01")
    seen = stocked.at_terminal("stocktake --kind extracts", typed="90\n\n\n")

    assert "ON HOLD: counted, and stays on hold" in seen.out
    assert stocked.asked("show CAA")["on_hold"]
    assert ("CAA", 90) in counted(stocked)


def test_of_equal_bottles_the_one_on_hold_is_named(stocked):
    """A bottle is on hold by itself by what was poured into it."""
    bench = stocked.bench()
    batches = list(bench.batches())
    bottle = next(one for batch in batches for each in batch.extracts for one in each.bottles)
    bottle.hold = Hold("1", on("2025-07-01"), "cloudy", "word")
    items = to_count(batches, bench.lots())
    full = next(one for one in items if one.size_ml is not None)
    above, _ = question(full, "both", "1/1", 80)
    sheet = "\n".join(sheet_lines(items, "both", date(2025, 8, 1)))
    (fields,) = [one for one in sheet_fields(items) if one["bottles"] == 2]

    assert "    NUMBER 1 ON HOLD: counted, and stays on hold" in above
    assert ", number 1 on hold" in sheet
    assert sheet.count("on hold") == 1
    assert (fields["on_hold"], fields["bottles_on_hold"]) == (True, [1])


def test_a_day_gone_by_is_counted_against_what_there_was_then(stocked):
    stocked.ok("dispense MEA 50ml --for C02 --when 2025-08-02")
    answer = stocked.run("stocktake - --when 2025-08-01", typed="MEA = ok\n")

    assert answer.code == 0, answer.err
    assert counted(stocked) == [("MEA", 400)]
    assert stocked.asked("show MEA")["volume_ml"] == 350


def test_more_than_ever_went_in_is_asked_about(stocked):
    no = stocked.at_terminal("stocktake --kind extracts", typed="\n500\n\nn\n")
    assert "more than the 400 ml that ever went into it" in no.out
    assert "MEA = 500 ml" in no.out
    assert counted(stocked) == []
    yes = stocked.at_terminal("stocktake --kind extracts", typed="\n500\n\ny\n")
    assert yes.code == 0, yes.out
    assert counted(stocked) == [("CAA", 100), ("MEA", 500)]


def test_what_changed_while_it_was_counted_is_asked_about(stocked):
    """Two at once: what was given out after it was counted is not written over in silence."""
    bench = stocked.bench()
    desk = Desk(bench)
    items = to_count(bench.batches(), bench.lots())
    found = [found_of(one, "", "metric") for one in items if one.kind == "extracts"]
    stocked.ok("discard MEA 50ml --why spilt")

    with pytest.raises(AskedError) as asked:
        record_counts(desk, found)
    desk.close()
    [question] = asked.value.questions
    assert question.code == "MEA"
    assert "had 400 ml when it was counted, and has 350 ml now" in question.what
    assert counted(stocked) == []


@pytest.mark.parametrize("columns", [60, 80, 200])
def test_no_line_is_wider_than_the_screen(stocked, columns):
    seen = stocked.at_terminal("stocktake", typed="q\n" * 2, columns=columns)
    bench = stocked.bench()
    items = to_count(bench.batches(), bench.lots())
    asked = [question(one, "both", "12/99", columns) for one in items]
    lines = [line for above, last in asked for line in (*above, f"{last}: 1000 ml")]
    lines += summary(
        [found_of(one, "-", "metric") for one in items],
        items,
        "both",
        "EUR",
        total=columns,
        colour=False,
    )

    assert max(len(one.rstrip("\r")) for one in [*seen.out.split("\n"), *lines]) <= columns


def test_a_day_without_its_year_is_the_last_one_for_shelf_and_record_alike(stocked):
    """Looked at on the coming one, the shelf had less in it than on the day of the count."""
    stocked.ok("dispense CAA 50ml --for C02 --sure")
    sheet = stocked.home / "sheet"
    sheet.write_text("CAA = ok\n")
    month = clock.now(ZoneInfo(stocked.zone)).month
    stocked.ok(f"stocktake {sheet} --when", "1 Feb" if month in (12, 1) else "1 Jan", "--sure")

    assert counted(stocked) == [("CAA", 100)]


def test_a_count_says_who_counted(stocked):
    stocked.at_terminal("stocktake --kind extracts --by RW", typed="\n\n\n\n\n\n")
    counted = [one for one in stocked.lines() if one["type"] == "counted"]

    assert counted
    assert {one["data"].get("by") for one in counted} == {"RW"}
