"""`yields`, `batches`, and the old verbs on jars that split, joined and blended. Invented."""

import csv

import pytest
from msgspec.structs import replace
from wcwidth import wcswidth

from tests.books import written_down
from tests.command import Command
from tests.lives import Pen, a_charge, spirit
from tracker.core.facts.amendments import Noted
from tracker.core.facts.extracts import Blended, Bottled, BottleRun, Filtered, Pressed
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import (
    DrawnOff,
    Joined,
    LookedAt,
    Recharged,
    Split,
    SplitPart,
    SteepedAgain,
)


def a_crock_and_what_became_of_it() -> Pen:
    """1000 ml split in two and drawn off; one half pressed, filtered, blended and bottled."""
    pen = Pen()
    crock = pen.write(
        a_charge(code="CAOF-25-01", herb_g=200.0, pours=(spirit(1000.0),)), "2025-03-03"
    ).id
    halves = (
        SplitPart(code="CAOF-25-02", share=0.5),
        SplitPart(code="CAOF-25-03", share=0.5),
    )
    split = pen.write(Split(about=About(jar=crock), into=halves), "2025-03-04").id
    left, right = About(jar=f"{split}.1"), About(jar=f"{split}.2")
    drawn = DrawnOff(about=right, letter="A", volume_ml=100.0, keeps="P12M")
    off = replace(right, extract=pen.write(drawn, "2025-05-20").id)
    press = Pressed(about=left, letter="A", volume_ml=370.0, keeps="P12M", how="by hand")
    made = replace(left, extract=pen.write(press, "2025-06-03").id)
    pen.write(Filtered(about=made, volume_ml=359.0), "2025-06-04")
    pen.write(Noted(about=left, note="cut finer next time"), "2025-06-05")
    pen.write(LookedAt(about=made, verdict="watch", signs=("cloudy",)), "2025-06-06")
    parts = (Portion(about=made, volume_ml=200.0), Portion(about=off, volume_ml=50.0))
    blend = pen.write(Blended(code="BLEND-25-01", parts=parts, volume_ml=249.0), "2025-06-07")
    run = (BottleRun(size_ml=100.0, count=2, first=1),)
    of_blend = About(jar=blend.id, extract=blend.id)
    pen.write(Bottled(about=of_blend, bottles=run), "2025-06-08")
    one = pen.write(a_charge(code="CAOF-25-04"), "2025-06-10").id
    other = pen.write(a_charge(code="CAOF-25-05"), "2025-06-11").id
    pen.write(Joined(code="CAOF-25-06", parts=(one, other)), "2025-06-12")
    fresh = Recharged(
        about=made, herb="Calendula officinalis", form="dried", herb_g=30.0, least="P14D"
    )
    pen.write(fresh, "2025-06-20")
    return pen


@pytest.fixture
def crock(tmp_path):
    return written_down(Command(tmp_path), a_crock_and_what_became_of_it().entries)


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """The same, only asked."""
    command = Command(tmp_path_factory.mktemp("kept"))
    return written_down(command, a_crock_and_what_became_of_it().entries)


def test_the_jars_that_are_over_say_what_became_of_them(kept):
    done = kept.ok("shelf --done --on 2025-06-21").splitlines()
    rows = {code: line for line in done for code in line.split() if "-25-" in code}

    assert "split 4 Mar" in rows["CAOF-25-01"]
    assert "joined 12 Jun" in rows["CAOF-25-04"]
    assert "joined 12 Jun" in rows["CAOF-25-05"]
    assert "blended 7 Jun" in rows["BLEND-25-01"]
    states = {one["code"]: one["state"] for one in kept.json("shelf --done --on 2025-06-21")}
    assert states["CAOF-25-02"] == "macerating"  # recharged: herb is in it again
    assert states["CAOF-25-06"] == "macerating"
    assert max(map(wcswidth, rows.values())) <= 80


@pytest.mark.parametrize(
    ("code", "book_ml"), [("BLEND-25-01", 49), ("CAOF-25-03A", 50), ("BLEND-25-01/2", 100)]
)
def test_a_count_restates_blends_draw_offs_and_bottles_of_blends(crock, code, book_ml):
    """249 - 2 x 100; 100 - 50; a full bottle: each 6 ml short."""
    said = crock.ok(f"count {code} {book_ml - 6}ml --when 2025-07-01")
    answer = crock.json(f"show {code}")

    assert f"the book said {book_ml} ml: 6 ml unaccounted" in said
    assert answer["volume_ml"] == book_ml - 6
    assert answer["unaccounted_ml"] == pytest.approx(6)
    assert "unaccounted 6 ml" in crock.ok(f"show {code}")


def test_yields_are_a_line_for_each_herb_and_method_within_80_cells(worked):
    """The worked book: 370 of 500 ml from 100 g, 12 ml lost of 370, 33 days."""
    lines = worked.ok("yields").splitlines()
    row = next(line for line in lines if line.startswith("marigold")).split()

    assert row == ["marigold", "1", "–", "1.3", "3", "33", "0", "of", "1"]
    assert max(map(wcswidth, lines)) <= 80
    (answer,) = worked.json("yields marigold")
    assert answer["held_ml_per_g"] == {"n": 1, "low": 1.3, "median": 1.3, "high": 1.3}
    assert answer["lost_pct"]["median"] == 3.2
    (of_csv,) = csv.DictReader(worked.ok("yields calendula --csv").splitlines())
    assert (of_csv["days_median"], of_csv["thrown_out"]) == ("33.0", "0")


def test_yields_on_a_day_know_nothing_of_what_was_pressed_later(worked):
    assert worked.json("yields --on 2025-04-04") == []
    assert "Nothing was pressed yet" in worked.run("yields --on 2025-04-04").err


def test_a_jar_that_was_pressed_and_steeps_again_is_not_said_to_be_unpressed(command):
    pen = Pen()
    about = About(jar=pen.write(a_charge(code="CAOF-25-01"), "2025-03-03").id)
    press = Pressed(about=about, letter="A", volume_ml=370.0, keeps="P12M", how="by hand")
    pen.write(press, "2025-06-03")
    pen.write(SteepedAgain(about=about, pours=(spirit(200.0),), least="P14D"), "2025-06-03")
    written_down(command, pen.entries)
    picture = command.home / "yields.svg"

    said = "Only a jar's last pressing counts, and CAOF-25-01 is steeping again."
    for line in ("yields", "yields --by-method"):
        answer = command.run(f"{line} --on 2025-06-09")
        assert said in answer.err.replace("\n", " ")
        assert "Nothing was pressed" not in answer.err
    command.ok(f"yields --by-method --on 2025-06-09 --to {picture}")
    assert "is steeping again." in " ".join(picture.read_text().split())


def test_batches_stand_side_by_side_with_what_was_noted_of_them(kept):
    text = kept.ok("batches calendula --on 2025-06-09")
    rows = {line[:10].strip(): line[10:].split() for line in text.splitlines()}

    assert text.splitlines()[0] == "marigold"
    assert text.splitlines()[1].split() == ["CAOF-25-03", "CAOF-25-02"]
    assert rows["pressed ml"] == ["–", "370"]
    assert rows["ratio"] == ["1:5", "1:5"]
    assert rows["left ml"] == ["50", "159"]  # 100 - 50; 359 - 200
    assert "CAOF-25-02  5 Jun 2025 cut finer next time" in text
    assert max(map(wcswidth, text.splitlines())) <= 80


def test_batches_as_fields_carry_the_notes_and_the_verdict(kept):
    answers = {one["code"]: one for one in kept.json("batches marigold --on 2025-06-09")}
    told = answers["CAOF-25-02"]

    assert told["notes"] == ["2025-06-05 cut finer next time"]
    assert (told["pressed_ml"], told["held_ml_per_g"], told["days_on_herb"]) == (370, 1.3, 92)
    assert told["lost_pct"] == 3.0  # 11 of 370
    assert told["looked_at"] == "watch, cloudy"
    assert "CAOF-25-01" not in answers
    (row, *_) = csv.DictReader(kept.ok("batches marigold --csv").splitlines())
    assert row["code"] == "CAOF-25-06"


def test_no_more_batches_stand_side_by_side_than_there_is_room_for(command):
    charge = "charge Urtica --dried 100g --pour '500 ml 45%' --count 9 --when 2025-03-03"
    command.ok(charge)

    lines = command.ok("batches urtica --last 9").splitlines()

    assert max(map(wcswidth, lines)) <= 80
    assert len(command.json("batches urtica --last 9")) == 9


def test_a_herb_nobody_charged_is_refused_with_the_nearest_name(kept):
    assert "did you mean Calendula officinalis?" in kept.refused("batches 'Calendola officinalis'")
