"""A jar's life as lines and as data: days against the calendar, steeps, holds, what is gone."""

import re
from datetime import date

import pytest

from tracker.outputs.pictures.life.moments import stacked

pytestmark = pytest.mark.thorough

CHARGE = 'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d --longest 90d'


def spans(answer, name):
    return [(one["from"], one["to"]) for one in answer[name]]


def test_every_mark_stands_on_its_day(told):
    """396 days from 1 January 2025 to the last good day, 1 February 2026, on columns 0 to 79.

    Day 28 and day 31 both fall on column 6, so that the later letter stands above.
    """
    above, marks, herb, shakes, liquid, given = told.ok("timeline A1 --on 2025-07-01").splitlines()[
        2:8
    ]

    assert (date(2026, 2, 1) - date(2025, 1, 1)).days == 396
    assert round(28 * 79 / 396) == round(31 * 79 / 396) == 6
    assert above == " " * 6 + "P"
    assert marks == "C" + " " * 5 + "R" + " " * 29 + "T" + " " * 42 + "G"
    assert herb == "-" * 7
    assert shakes == "' '"  # days 1 and 11: columns 0.2 and 2.2
    assert liquid == " " * 6 + "=" * 31 + "." * 43
    assert given == " " * 20 + "," + " " * 11 + ","  # days 99 and 160: columns 19.8 and 31.9


def test_a_correction_moves_a_shake_and_a_strike_takes_it_out(told):
    told.ok(f'strike {told.event("shaken", 0)} --why "wrong jar"')
    told.ok(f'correct {told.event("shaken", 1)} --set when=2025-01-20 --why "misread"')
    answer = told.asked("timeline A1 --on 2025-07-01")

    assert [one["from"] for one in answer["moments"] if one["what"] == "shaken"] == ["2025-01-20"]


def test_its_days_are_those_of_show(told):
    jar, extract = told.asked("show A1 --on 2025-07-01"), told.asked("show A1A --on 2025-07-01")
    days = {
        one["what"]: one["from"]
        for one in told.asked("timeline A1 --on 2025-07-01")["moments"]
        if one["what"] not in ("shaken", "dispensed")
    }

    assert days == {
        "charged": jar["charged"],
        "ready": jar["earliest_press"],
        "pressed": extract["pressed"],
        "today": "2025-07-01",
        "good through": extract["good_through"],
    }


def test_an_inexact_charge_is_a_span_and_an_unknown_one_does_not_begin_in_1970(told):
    charge = 'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d'
    told.ok(f"{charge} --code C1 --when 2024-summer")
    told.ok(f"{charge} --code C2 --when unknown")
    season = told.ok("timeline C1 --on 2025-07-01")

    assert "1 Jun 2024 to 31 Aug 2024" in season
    assert re.search("^~{15,25}-+$", season, re.MULTILINE)
    assert "1970" not in told.ok("timeline C2")


def test_letters_that_would_cover_each_other_are_in_rows():
    assert stacked([0, 10, 10, 11, 30], 1) == [0, 0, 1, 0, 0]
    assert stacked([0, 1, 2], 5) == [0, 1, 2]
    assert stacked([], 1) == []


# What was drawn wrong


def test_a_jar_steeped_again_has_herb_in_it_again(command):
    """One that is pressed twice has herb in it twice, and none in between."""
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok("press A1 400ml --with hand --when 2025-02-01")
    command.ok('steep-again A1 --pour "300 ml 45%" --least 28d --when 2025-02-10')
    answer = command.asked("timeline A1 --on 2025-03-01")
    marks, herb, liquid = command.ok("timeline A1 --on 2025-03-01").splitlines()[2:5]

    assert spans(answer, "steeps") == [("2025-01-01", "2025-02-01"), ("2025-02-10", None)]
    assert "N" in marks
    assert re.fullmatch(r"-+ +-+\.*", herb)
    assert re.fullmatch(r" +=+\.+", liquid)
    command.ok("press A1 250ml --with hand --when 2025-04-01")
    later = command.asked("timeline A1 --on 2025-05-01")
    assert spans(later, "steeps") == [("2025-01-01", "2025-02-01"), ("2025-02-10", "2025-04-01")]
    assert [one["code"] for one in later["liquids"]] == ["A1A", "A1B"]


def test_what_is_drawn_off_leaves_the_herb_in(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok("draw A1 50ml --when 2025-01-20")
    answer = command.asked("timeline A1 --on 2025-03-01")

    assert spans(answer, "steeps") == [("2025-01-01", None)]
    assert ("drawn", "2025-01-20") in [(one["what"], one["from"]) for one in answer["moments"]]


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("split A1 --into 2 --when 2025-02-01", "split"),
        ('discard A1 --why "mould" --when 2025-02-01', "discarded"),
        ("dispense A1 --for C01 --when 2025-02-01 --sure", "given out"),
    ],
)
def test_herb_is_out_of_a_jar_that_is_no_more(command, line, kind):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok(line)
    answer = command.asked("timeline A1 --on 2025-03-01")

    assert spans(answer, "steeps") == [("2025-01-01", "2025-02-01")]
    assert kind in [one["what"] for one in answer["moments"]]
    assert "longest" not in [one["what"] for one in answer["moments"]]


def test_jars_joined_are_over_on_that_day(command):
    command.practice('zone = "Europe/Berlin"\n')
    for code in ("A1", "A2"):
        command.ok(f"{CHARGE} --code {code} --when 2025-01-01")
    command.ok("join A1 A2 --code A3 --when 2025-02-01")

    assert spans(command.asked("timeline A1 --on 2025-03-01"), "steeps") == [
        ("2025-01-01", "2025-02-01")
    ]


def test_a_jar_on_hold_is_not_said_to_be_ready(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok('hold A1 --why "smells odd" --when 2025-02-03')
    text = command.ok("timeline A1 --on 2025-03-01")

    assert "may be pressed" not in text
    assert re.search("^R +29 Jan 2025 +on hold; least time ends$", text, re.MULTILINE)
    assert re.search("^H +3 Feb 2025 +A1 on hold$", text, re.MULTILINE)
    assert "On hold since 3 Feb 2025: smells odd." in text


def test_a_struck_press_leaves_the_herb_in(told):
    told.ok(f'strike {told.event("dispensed", 0)} --why "x"')
    told.ok(f'strike {told.event("dispensed", 1)} --why "x"')
    told.ok(f'strike {told.event("pressed", 0)} --why "not yet"')
    answer = told.asked("timeline A1 --on 2025-07-01")

    assert spans(answer, "steeps") == [("2025-01-01", None)]
    assert answer["liquids"] == []


def test_what_is_gone_and_what_is_past_its_date_is_drawn_so(told):
    """The last of it is given out on 5 August 2025; that of B1 is there two months too long."""
    told.ok("dispense A1A 280ml --when 2025-08-05")
    (gone,) = told.asked("timeline A1 --on 2025-09-01")["liquids"]
    text = told.ok("timeline A1 --on 2025-09-01")

    assert gone["gone"] == "2025-08-05"
    assert re.search("^E +5 Aug 2025 +none of A1A was left$", text, re.MULTILINE)
    assert "good through" not in text
    late = told.ok("timeline B1 --on 2026-05-01").splitlines()
    assert any(re.fullmatch(" +=+o+", line) for line in late)
    assert any("o past its date" in line for line in late)


def test_no_sentence_is_cut_however_narrow_the_screen(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok("press A1 400ml --with hand --when 2025-02-01")
    command.ok('steep-again A1 --pour "300 ml 45%" --least 28d --when 2025-02-10')
    for columns in (40, 60, 80):
        command.env["COLUMNS"] = str(columns)
        text = command.ok("timeline A1 --on 2025-03-01")

        assert "…" not in text
        said = " ".join(text.split())
        assert "on the old marc; at least 28 days" in said
        assert max(map(len, text.splitlines())) <= columns


def test_nobody_counts_the_days_since_a_day_that_nobody_knows(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok('found "Inula helenium" --code A1 --when unknown')
    command.ok(f"{CHARGE} --code A2 --when 2025-06")
    unknown, month = command.ok("timeline A1"), command.ok("timeline A2 --on 2025-07-10")

    assert re.search(r"^C +by .*charged, on a day not known$", unknown, re.MULTILINE)
    assert re.search(r"^T .* today$", unknown, re.MULTILINE)
    assert "today, 10 to 39 days after the charge" in month


def test_bottles_of_one_last_day_are_one_mark(command):
    """What is left in bulk is weak; a hundred bottles would be a tower of a hundred letters."""
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok("press A1 400ml --with hand --when 2025-02-01")
    command.ok("bottle A1A 6x50ml --when 2025-02-02")
    command.ok('dilute A1A --pour "150 ml water" --when 2025-03-01')
    text = command.ok("timeline A1 --on 2025-04-01")

    assert len(re.findall("^G ", text, re.MULTILINE)) == 2
    assert re.search("^G .*A1A/1..6 good through$", text, re.MULTILINE)


def test_herb_on_hold_is_drawn_as_what_it_gave_would_be(command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{CHARGE} --code A1 --when 2025-01-01")
    command.ok('hold A1 --why "smells odd" --when 2025-01-20')
    held = command.ok("timeline A1 --on 2025-02-01")
    command.ok("timeline A1 --on 2025-02-01 --to a.svg")
    command.ok('release A1 --why "only the herb" --when 2025-02-02')

    assert re.search(r"^-+#+\.+$", held, re.MULTILINE)
    assert "# on hold" in held
    assert "herb in the jar, on hold" in (command.home / "a.svg").read_text()
    assert "#" not in command.ok("timeline A1 --on 2025-02-03")
