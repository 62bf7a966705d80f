"""What a label says of a jar, an extract and a bottle, worked out by hand beside each."""

import re
from datetime import date

import pytest

from tests.lives import OneJar, on, spirit
from tests.outputs.paper.jars import PRACTICE, TODAY, jar_of, label_of, lid_of, thing_of
from tracker.core.facts.extracts import Dispensed
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import LookedAt, Split, SplitPart, SteepedAgain
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.cautions_table import CAUTIONS
from tracker.core.shelf.thing import Thing, things
from tracker.outputs.paper.labels.label_cautions import CHILDREN
from tracker.outputs.paper.labels.label_text import Label, label, lid


def said(one: Label) -> list[str]:
    return [line.text for line in (*one.lines, *one.foot)]


def life() -> OneJar:
    """Pressed on 3 June 2025; good for twelve months; three bottles."""
    one = OneJar.charged(lots=("north bed",))
    one.press("2025-06-03")
    one.bottle("2025-06-05", (3, 100.0))
    return one


def test_a_jar_on_the_herb():
    assert said(label_of(lots=("north bed", "Ilse Brand"))) == [
        "CAOF-25-01",
        "Marigold",
        "Calendula officinalis flower, dried",
        "1:5 (menstruum poured), spirit 45 % vol",  # 500 ml on 100 g
        "charged 3 Mar 2025",
        # daily for 14 days, not shaken yet; three months to the day
        "Next: shake 10 Mar 2025; press from 3 Jun 2025",
        "From: north bed, Ilse Brand",
        "Asteraceae allergy. Keep from children.",
    ]


def test_the_latin_binomial_alone_is_in_italics():
    (latin,) = (line for line in label_of().lines if line.role == "latin")

    assert [(run.text, run.style) for run in latin.runs] == [
        ("Calendula officinalis", "I"),
        (" flower, dried", ""),
    ]


@pytest.mark.parametrize("herb", ["yarrow", "Yarrow", "BLEND no. 3"])
def test_a_name_that_is_not_latin_is_not_in_italics(herb):
    assert not [run for line in label_of(herb=herb).lines for run in line.runs if run.style == "I"]


def test_a_bottle_says_which_it_is_when_it_was_pressed_and_how_long_it_is_good():
    jar = life().now()
    bottle = next(one for one in things(jar) if one.code == "CAOF-25-01A/2")

    assert said(label(bottle, PRACTICE, date(2025, 6, 10))) == [
        "CAOF-25-01A/2, 100 ml",
        "Marigold",
        "Calendula officinalis flower, dried",
        "1:5 (menstruum poured), spirit 45 % vol",
        "charged 3 Mar 2025, pressed 3 Jun 2025",
        "Next: use up from 4 May 2026",  # 30 days before it ends
        "Good through 3 Jun 2026",
        "From: north bed",
        "Asteraceae allergy. Keep from children.",
    ]


def test_what_is_past_its_time_says_so():
    extract = next(one for one in things(life().now()) if one.kind == "extract")

    assert "Next: take it off the shelf, past 3 Jun 2026" in said(
        label(extract, PRACTICE, date(2026, 6, 4))
    )


@pytest.mark.parametrize(
    ("when", "dated"),
    [
        (on("2023-06-01", "month"), "charged Jun 2023"),
        (on("2023-01-01", "year"), "charged 2023"),
        (on("2023-06-01", "season"), "charged Jun to Aug 2023"),
        (on("2025-03-03", "unknown"), "charged on a day not known, by 3 Mar 2025"),
    ],
)
def test_an_inexact_day_is_said_as_exactly_as_it_is_known(when, dated):
    jar = OneJar.charged(when).now()

    assert dated in said(label(Thing(jar.code, jar), PRACTICE, TODAY))


def test_fresh_herb_in_strong_spirit_says_what_was_poured_and_what_that_comes_to():
    (line,) = (
        text
        for text in said(
            label_of(form="fresh", herb_g=200.0, herb_water_pct_mass=80.0, pours=(spirit(400, 95),))
        )
        if text.startswith("1:2")
    )

    # 380 ml of ethanol and 160 ml of water more: about 380 / 560, a little more by contraction.
    found = re.fullmatch(r"1:2 \(menstruum poured\), spirit 95 % vol; ([\d.]+) % vol in all", line)
    assert found
    assert float(found[1]) == pytest.approx(69.5, abs=1.0)


def test_what_is_no_spirit_is_named():
    pours = (
        Pour(liquid="glycerin", volume_ml=300.0),
        Pour(liquid="vinegar", volume_ml=200.0, name="cider vinegar"),
    )

    assert "1:5 (menstruum poured), glycerin and cider vinegar" in said(label_of(pours=pours))


def test_herb_that_was_not_weighed_has_no_ratio():
    assert any(text.startswith("herb not weighed, ") for text in said(label_of(herb_g=None)))


def test_oil_is_strained_and_has_a_last_day():
    one = label_of(
        pours=(Pour(liquid="oil", volume_ml=500.0, name="olive oil"),),
        preparation="oil", least="P1M", longest="P2M", shake=(),
    )  # fmt: skip

    assert "Next: strain from 3 Apr 2025, 3 May 2025 at the latest" in said(one)


def test_what_is_on_hold_says_so_in_the_first_place_of_its_foot():
    one = OneJar.charged()
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")
    thing = Thing("CAOF-25-01", one.now())

    for made in (label(thing, PRACTICE, TODAY), lid(thing, PRACTICE, TODAY)):
        assert made.foot[0].text == "ON HOLD on 10 Mar 2025: do not use."
    assert "Next: on hold: mould" in said(label(thing, PRACTICE, TODAY))


def test_a_jar_that_is_done_says_how_it_ended_and_not_when_to_press_it():
    one = OneJar.charged()
    parts = (SplitPart(code="CAOF-25-02", share=0.5), SplitPart(code="CAOF-25-03", share=0.5))
    one.then(Split(about=one.jar, into=parts), "2025-03-09")

    assert "Next: split 9 Mar 2025" in said(label(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY))


def test_an_empty_bottle_is_not_to_be_used_up():
    one = life()
    one.then(Dispensed(about=one.extract(bottle=2), volume_ml=100.0), "2025-06-06")
    bottle = next(thing for thing in things(one.now()) if thing.code == "CAOF-25-01A/2")

    assert "Next: empty" in said(label(bottle, PRACTICE, date(2025, 6, 10)))


@pytest.mark.parametrize(
    ("code", "ratio"),
    [("CAOF-25-01A", "1:5 (menstruum poured)"), ("CAOF-25-01B", "marc steeped again")],
)
def test_of_marc_steeped_again_the_second_extract_alone_has_no_ratio(code, ratio):
    one = life()
    again = SteepedAgain(about=one.jar, pours=(spirit(300.0),), least="P14D")
    one.then(again, "2025-06-04")
    one.press("2025-07-01", 250.0, letter="B")
    extract = next(thing for thing in things(one.now()) if thing.code == code)

    assert any(
        text.startswith(f"{ratio}, ") for text in said(label(extract, PRACTICE, date(2025, 7, 2)))
    )


def test_a_lid_says_the_code_the_name_and_the_next_step():
    assert said(lid_of()) == [
        "CAOF-25-01",
        "Marigold",
        "Calendula officinalis",
        "shake 10 Mar 2025; press from 3 Jun 2025",
        "Cautions: read the jar. Keep from children.",
    ]


# Cautions


def foot(**changes: object) -> str:
    return " ".join(line.text for line in label_of(**changes).foot)


def test_strong_spirit_is_flammable_and_weak_is_not():
    """Below a flash point of 23 °C: GHS category 2; 70 % vol at about 21 °C, 45 % at 26 °C."""
    assert "Flammable: no flame or spark near it." in foot(pours=(spirit(500, 70),))
    assert "Flammable" not in foot(pours=(spirit(500, 45),))
    assert "Flammable." in lid_of(pours=(spirit(500, 70),)).foot[-1].text


def test_a_plant_for_outside_says_so_first():
    text = foot(herb="Aconitum napellus", part="root")

    assert text.startswith("External use only. CAUTION: Aconitum napellus, monkshood: ")
    assert text.endswith("Ask a licensed practitioner or pharmacist; local law decides.")
    assert "Harmful plant: read the jar." in lid_of(herb="Aconitum napellus").foot[-1].text


def test_a_plant_forbidden_inside_says_so():
    assert foot(herb="Senecio jacobaea").startswith("Not for internal use. CAUTION: ")


def test_a_bare_metal_lid_is_for_the_shelf_and_not_for_the_label():
    assert "lid" not in foot(lid="metal")


DOSE = re.compile(r"\b\d[\d.,]*\s*(mg|g|ml|drops?|%)|\b(dose|daily|times a day|take)\b", re.I)


@pytest.mark.parametrize("row", CAUTIONS, ids=lambda row: row[0])
def test_every_plant_of_the_cautions_has_its_line_and_no_dose(row):
    latin = row[0].split(" (")[0].split(" / ")[0].replace("spp.", "vulgaris")
    thing = thing_of(herb=latin, common=row[1])
    text = " ".join(line.text for line in label(thing, PRACTICE, TODAY).foot)

    assert CHILDREN in text
    assert not DOSE.search(text), text
    if "CAUTION" in text:
        assert "law decides" in text


@pytest.mark.parametrize("row", CARE, ids=lambda row: row[0])
def test_every_note_of_handling_is_on_the_label_and_no_dose(row):
    latin, note = row
    text = foot(herb=latin, form="fresh")

    assert note[1:] in text
    assert not DOSE.search(text), text


def test_most_plants_of_the_cautions_are_found_by_their_own_name():
    """The test above would pass on an empty label; this one would not."""
    found = [
        row
        for row in CAUTIONS
        if "CAUTION" in foot(herb=row[0].split(" (")[0].split(" / ")[0], common=row[1])
    ]

    assert len(found) > 0.8 * len(CAUTIONS)


def test_the_jar_is_not_changed_by_being_read():
    jar = jar_of()
    before = repr(jar)
    label(Thing(jar.code, jar), PRACTICE, TODAY)

    assert repr(jar) == before
