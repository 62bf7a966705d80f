"""The batch record from outside: as fields, and as text of 80 columns."""

import json

import pytest

from tests.cli.verbs.test_tracing import House
from tests.journal.on_disk import write
from tests.lives import Pen
from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.fields import About


@pytest.fixture
def house():
    return House()


@pytest.fixture
def told(command, house):
    return house.in_book(command)


@pytest.fixture
def data(told):
    return told.json("record CAOF-25-01")


def test_components_say_what_how_much_of_which_lot_and_by_whom(data):
    herb, spirit = data["components"]

    assert (herb["what"], herb["amount"], herb["unit"], herb["known"]) == (
        "Calendula officinalis flower, dried", 100.0, "g", "weighed",
    )  # fmt: skip
    assert (herb["lot"], herb["where"], herb["their_lot"], herb["by"]) == (
        "HERB-1", "Hollow Lane Herbs", "HL-88", None,
    )  # fmt: skip
    assert (spirit["what"], spirit["amount"], spirit["lot"]) == (
        "45 % vol spirit", 500.0, "SPIRIT-1",
    )  # fmt: skip


def test_a_yield_is_a_share_of_what_there_was_and_every_millilitre_is_somewhere(data):
    (one,) = data["yields"]

    assert (one["ml"], one["possible_ml"], one["pct_of_possible"]) == (370.0, 500.0, 74.0)
    went = ("filter_loss_ml", "lees_ml", "passed_on_ml", "dispensed_ml", "discarded_ml")
    there = ("unaccounted_ml", "bulk_ml", "bottled_ml")
    assert one["ml"] + one["added_ml"] == sum(one[name] for name in (*went, *there))
    assert [bottle["left_ml"] for bottle in one["bottles"]] == [70.0, 80.0]


def test_what_was_given_out_by_way_of_a_blend_is_given_out(data):
    assert [(one["on"], one["code"], one["ml"], one["reference"]) for one in data["given"]] == [
        ("2025-06-09", "CAOF-25-01A/1", 30.0, "C03"),
        ("2025-06-20", "BLEND-1", 25.0, "C07"),
    ]


def test_a_blend_has_its_parts_with_the_lots_behind_each(told):
    parts = told.json("record BLEND-1")["parts"]

    assert [(one["code"], one["ml"], one["lots"]) for one in parts] == [
        ("CAOF-25-01A", 50.0, ["HERB-1", "SPIRIT-1"]),
        ("MEOF-25-01A", 70.0, ["SPIRIT-1"]),
    ]


def test_a_correction_shows_both_readings_and_a_strike_stays(told, house):
    told.ok(f"correct {house.one.pressing.id} --set volume=330ml --why misread --by Bo")
    told.ok(f"strike {house.thrown.id} --why 'another bottle'")

    data = told.json("record CAOF-25-01A/2")
    steps = {one["id"]: one for one in data["steps"]}
    pressed, thrown = steps[house.one.pressing.id], steps[house.thrown.id]
    text = " ".join(told.ok("record CAOF-25-01").split())

    assert pressed["said"].startswith("pressed 370 ml")
    assert "pressed 330 ml" in pressed["now"]
    assert (pressed["amended"][0]["why"], pressed["amended"][0]["by"]) == ("misread", "Bo")
    assert not thrown["in_force"]
    assert "was: 3 Jun 2025 CAOF-25-01 pressed 370 ml" in text
    assert "now: 3 Jun 2025 CAOF-25-01 pressed 330 ml" in text
    assert "volume 370 ml → 330 ml" in text
    assert "STRUCK by Bo on " in text
    assert "another bottle" in text
    assert data["yields"][0]["ml"] == 330.0


def test_a_correction_taken_back_holds_no_longer(told, house):
    told.ok(f"correct {house.one.pressing.id} --set volume=330ml --why misread")
    told.ok(f"strike {told.event('corrected')} --why 'it was right'")

    steps = {one["id"]: one for one in told.json("record CAOF-25-01")["steps"]}
    pressed = steps[house.one.pressing.id]

    assert pressed["now"] is None
    assert not pressed["amended"][0]["in_force"]
    assert "taken back" in told.ok("record CAOF-25-01")


def test_holds_and_releases_and_recalls_stand_together(told, house):
    later = Pen("cellar-bo", house.pen.recorded)
    about = About(jar=house.one.charge.id)
    later.write(Held(about=about, why="cloudy"), "2025-06-15")
    later.write(Released(about=about, why="clear again"), "2025-06-16")
    write(told.book, later.entries)
    told.ok("recall HERB-1 --why 'called back'")

    data = told.json("record CAOF-25-01")

    assert [one["kind"] for one in data["holds"]] == ["held", "released", "recalled"]
    assert data["hold"].startswith("RECALLED, ON HOLD since ")
    assert any(lot.startswith("HERB-1") and lot.endswith("RECALLED") for lot in data["lots"])


def test_the_books_digest_is_that_of_check_and_of_the_last_line_of_each_file(told, data):
    last = {}
    for path in (told.book / "events").glob("*.jsonl"):
        lines = path.read_bytes().splitlines()
        last[path.name] = (len(lines), json.loads(lines[-1])["digest"])

    book = data["book"]

    assert book["whole"]
    assert book["digest"] == told.ok("check --digest").strip()
    assert {one["file"]: (one["lines"], one["digest"]) for one in book["files"]} == last


def test_a_book_that_is_not_whole_is_said_so_on_the_record(told):
    (path,) = (told.book / "events").glob("*.jsonl")
    path.write_bytes(path.read_bytes().replace(b'"spilt"', b'"split"'))

    answer = told.run("record CAOF-25-01")

    assert "NOT WHOLE" in answer.out
    assert "INCOMPLETE" in answer.err


def test_the_text_fits_80_columns_and_has_lines_to_sign(told):
    lines = told.ok("record CAOF-25-01").splitlines()

    assert lines[0] == "BATCH RECORD  CAOF-25-01"
    assert max(map(len, lines)) <= 80
    assert any(line.startswith("  Verified by") and "______" in line for line in lines)
    assert "anything compliant" in " ".join(line.strip() for line in lines)


@pytest.mark.parametrize("line", ["record CAOF-25-01 --pdf", "handout CAOF-25-01"])
def test_letters_that_no_font_has_are_named_before_the_file_is_written(told, line):
    told.ok("charge 'Mentha \U0001f33f' --dried 50g --pour '250 ml 45%' --code MESP-26-01 --sure")
    answer = told.run(line.replace("CAOF-25-01", "MESP-26-01"))

    assert answer.code == 0
    assert answer.err.startswith("Caution: no font has \U0001f33f (U+1F33F)")
    assert "Wrote " in answer.err


def test_equal_bottles_and_the_hour_of_printing_stand_in_the_text_as_well(told):
    text = " ".join(told.ok("record CAOF-25-01").split())

    assert "printed " in text
    assert "every hour is that of this zone" in text
    assert "CAOF-25-01A/1 100 ml 70 ml 4 Jun 2025 expired 3 Jun 2026" in text


def test_a_lot_has_no_batch_record(told):
    err = told.refused("record HERB-1", code=2)

    assert "stillroom trace HERB-1" in err
