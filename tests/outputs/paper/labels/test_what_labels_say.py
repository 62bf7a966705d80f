"""What a label says of a jar, an extract and a bottle, worked out by hand beside each."""

import re
from datetime import date

import pytest

from tests.lives import OneJar, on, spirit
from tests.outputs.paper.jars import PRACTICE, TODAY, jar_of, label_of, lid_of, thing_of
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import HerbAdded, LookedAt, Split, SplitPart, SteepedAgain
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.cautions_table import CAUTIONS
from tracker.core.practice.label_rules import LabelRules
from tracker.core.practice.practice import Practice
from tracker.core.shelf.thing import Thing, things
from tracker.outputs.paper.labels.label_cautions import CHILDREN
from tracker.outputs.paper.labels.label_lines import Label
from tracker.outputs.paper.labels.label_text import label, lid, short


def said(one: Label) -> list[str]:
    return [line.text for line in one.every_line]


def life() -> OneJar:
    """Pressed on 3 June 2025; good for twelve months; three bottles."""
    one = OneJar.charged(lots=("north bed",))
    one.press("2025-06-03")
    one.bottle("2025-06-05", (3, 100.0))
    return one


def test_a_jar_on_the_herb():
    assert said(label_of(lots=("north bed", "Ilse Brand"))) == [
        "Calendula officinalis",
        "flower, dried · marigold",
        "1:5 by menstruum poured 45 % vol",  # 500 ml on 100 g
        "in spirit 45 % vol",
        "charged 3 Mar 2025 · press from 3 Jun 2025",  # three months to the day
        "From: north bed, Ilse Brand",
        "Asteraceae allergy. Keep from children.",
        "CAOF-25-01",
    ]


def test_without_the_recipe_the_label_keeps_what_is_safe():
    own = Practice(label=LabelRules(lines=("Elm House, Ashby", "Not for sale"), recipe=False))
    one = label(thing_of(herb="Aconitum napellus", pours=(spirit(500, 70),)), own, TODAY)

    assert said(one) == [
        "Aconitum napellus",
        "flower, dried",
        "charged 3 Mar 2025 · press from 3 Jun 2025",
        "Elm House, Ashby",
        "Not for sale",
        "CAUTION: Aconitum napellus, monkshood: aconitine; lethal in milligrams.",
        "Flammable: no flame or spark near it. Keep from children. "
        "Ask a licensed practitioner or pharmacist; local law decides.",
        "EXTERNAL USE ONLY",
        "CAOF-25-01",
    ]


@pytest.mark.parametrize(
    ("herb", "upright"),
    [
        ("Calendula officinalis", []),
        ("Sambucus nigra subsp. canadensis", ["subsp. "]),
        ("Thymus vulgaris var. capitatus", ["var. "]),
        ("Mentha × piperita", ["× "]),
        ("Achillea millefolium L.", ["L."]),
        ("yarrow", ["yarrow"]),
    ],
)
def test_the_name_is_the_largest_line_and_only_latin_words_of_it_are_in_italics(herb, upright):
    name = label_of(herb=herb).lines[0]

    assert name.role == "name"
    assert [run.text for run in name.runs if run.style != "I"] == upright


def test_fresh_and_dried_herb_of_one_plant_is_one_name():
    one = OneJar.charged()
    one.then(HerbAdded(about=one.jar, herb="Calendula officinalis", part="flower", form="fresh",
                       herb_g=50.0), "2025-03-04")  # fmt: skip

    assert said(label(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY))[:2] == [
        "Calendula officinalis",
        "flower, fresh and dried · marigold",
    ]


def test_of_several_herbs_each_is_named_with_its_own_part_and_form():
    one = OneJar.charged()
    one.then(HerbAdded(about=one.jar, herb="Taraxacum officinale", part="root", form="fresh",
                       herb_g=50.0), "2025-03-04")  # fmt: skip
    made = label(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY)

    assert made.lines[0].role == "names"
    assert said(made)[:2] == [
        "Calendula officinalis + Taraxacum officinale",
        "marigold flower, dried + dandelion root, fresh",
    ]
    assert "Calendula officinalis: Asteraceae allergy." in made.foot[0].text
    assert "Taraxacum officinale: Asteraceae allergy" in made.foot[0].text


def test_the_same_label_on_another_day_says_the_same():
    """A label stays on for years: nothing on it may go stale tomorrow."""
    one = life()
    for thing in [Thing("CAOF-25-01", jar_of()), *things(one.now())]:
        for write in (label, lid, short):
            days = (date(2025, 6, 10), date(2025, 6, 11), date(2028, 1, 1))
            assert len({write(thing, PRACTICE, day) for day in days}) == 1


def test_a_hold_has_the_day_it_began_whenever_it_is_printed():
    """The day of printing would be read as the day of the hold."""
    one = OneJar.charged()
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")
    thing = Thing("CAOF-25-01", one.now())
    first, second = (said(label(thing, PRACTICE, date(2025, 4, day))) for day in (1, 2))

    assert first == second
    assert "ON HOLD SINCE 9 MAR 2025 · DO NOT USE" in first


@pytest.mark.parametrize(
    ("size_ml", "measures", "units", "size"),
    [
        (100.0, "metric", "us", "100 ml"),
        (118.294, "metric", "us", "4 fl oz (118 ml)"),  # 1 US fl oz = 29.5735 ml
        (59.147, "metric", "us", "2 fl oz (59.1 ml)"),
        (118.294, "metric", "british", "118 ml"),
        (113.652, "metric", "british", "4 fl oz (114 ml)"),  # 1 imperial fl oz = 28.4131 ml
        (100.0, "ounces", "us", "3.38 fl oz (100 ml)"),
    ],
)
def test_a_bottle_is_as_large_as_it_was_measured(size_ml, measures, units, size):
    one = OneJar.charged()
    one.press("2025-06-03")
    one.bottle("2025-06-05", (1, size_ml))
    bottle = next(thing for thing in things(one.now()) if thing.bottle is not None)

    made = label(bottle, Practice(measures=measures, units=units), TODAY)
    assert [line.text for line in made.mark] == ["CAOF-25-01A/1", size]


@pytest.mark.parametrize("herb", ["yarrow", "Yarrow", "BLEND no. 3"])
def test_a_name_that_is_not_latin_is_not_in_italics(herb):
    assert not [run for line in label_of(herb=herb).lines for run in line.runs if run.style == "I"]


def test_a_bottle_says_which_it_is_when_it_was_pressed_and_how_long_it_is_good():
    jar = life().now()
    bottle = next(one for one in things(jar) if one.code == "CAOF-25-01A/2")

    assert said(label(bottle, PRACTICE, date(2025, 6, 10))) == [
        "Calendula officinalis",
        "flower, dried · marigold",
        "1:5 by menstruum poured 45 % vol",
        "in spirit 45 % vol",
        "charged 3 Mar 2025 · pressed 3 Jun 2025",
        "Good through 3 Jun 2026",
        "From: north bed",
        "Asteraceae allergy. Keep from children.",
        "CAOF-25-01A/2",
        "100 ml",
    ]


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

    (line,) = (text for text in said(label(Thing(jar.code, jar), PRACTICE, TODAY)) if dated in text)
    assert line.startswith(f"{dated} · press")


def test_fresh_herb_in_strong_spirit_says_what_was_poured_and_what_that_comes_to():
    lines = said(
        label_of(form="fresh", herb_g=200.0, herb_water_pct_mass=80.0, pours=(spirit(400, 95),))
    )

    # 380 ml of ethanol and 160 ml of water more: about 380 / 560, a little more by contraction.
    found = re.fullmatch(r"1:2 by menstruum poured ([\d.]+) % vol", lines[2])
    assert found
    assert float(found[1]) == pytest.approx(69.5, abs=1.0)
    assert lines[3] == "in spirit 95 % vol"


def test_what_is_no_spirit_is_named():
    pours = (
        Pour(liquid="glycerin", volume_ml=300.0),
        Pour(liquid="vinegar", volume_ml=100.0, name="cider vinegar"),
        Pour(liquid="water", volume_ml=100.0),
    )

    assert said(label_of(pours=pours))[2:4] == [
        "1:5 by menstruum poured",
        "in glycerin, cider vinegar and water",
    ]


def test_herb_that_was_not_weighed_has_no_ratio():
    assert "45 % vol herb not weighed" in said(label_of(herb_g=None))


def test_oil_is_strained_and_has_a_last_day():
    one = label_of(
        pours=(Pour(liquid="oil", volume_ml=500.0, name="olive oil"),),
        preparation="oil", least="P1M", longest="P2M", shake=(),
    )  # fmt: skip

    latest = "strain from 3 Apr 2025, 3 May 2025 at the latest"
    assert f"charged 3 Mar 2025 · {latest}" in said(one)


@pytest.mark.parametrize("write", [label, lid, short])
def test_what_is_on_hold_says_so_in_its_bar_and_not_when_to_press(write):
    one = OneJar.charged()
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")
    made = write(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY)

    assert made.bar is not None
    assert made.bar.text == "ON HOLD SINCE 9 MAR 2025 · DO NOT USE"
    assert not [text for text in said(made) if "press from" in text]


def test_why_it_is_on_hold_stands_among_the_cautions():
    one = OneJar.charged()
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")

    made = label(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY)
    assert made.foot[0].text.startswith("On hold: mould. Asteraceae allergy.")


@pytest.mark.parametrize("write", [label, lid, short])
def test_a_poison_on_hold_says_both_and_the_hold_has_the_bar(write):
    """Who crosses out the hold must still read that it is a poison."""
    one = OneJar.charged(herb="Atropa belladonna", part="leaf")
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")
    made = write(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY)

    assert made.bar is not None
    assert made.bar.text.startswith("ON HOLD ")
    assert made.foot[0].role == "grave"
    assert made.foot[0].text.startswith("Poisonous.")


def test_mould_that_is_watched_is_on_every_label():
    one = OneJar.charged()
    one.then(LookedAt(about=one.jar, verdict="watch", signs=("mould",)), "2025-03-09")
    thing = Thing("CAOF-25-01", one.now())

    for write in (label, lid, short):
        assert (
            write(thing, PRACTICE, TODAY).foot[0].text == "Mould was found 9 Mar 2025: look again."
        )


def test_what_is_weak_says_so_beside_its_day():
    made = label_of(pours=(Pour(liquid="water", volume_ml=500.0),))

    assert "Weak, keep cold: good through 6 Mar 2025" in said(made)


def test_a_jar_that_is_done_says_how_it_ended_and_not_when_to_press_it():
    one = OneJar.charged()
    parts = (SplitPart(code="CAOF-25-02", share=0.5), SplitPart(code="CAOF-25-03", share=0.5))
    one.then(Split(about=one.jar, into=parts), "2025-03-09")

    lines = said(label(Thing("CAOF-25-01", one.now()), PRACTICE, TODAY))
    assert "charged 3 Mar 2025 · split 9 Mar 2025" in lines


@pytest.mark.parametrize(
    ("code", "ratio"),
    [
        ("CAOF-25-01A", r"1:5 by menstruum poured [\d.]+ % vol"),
        ("CAOF-25-01B", r"[\d.]+ % vol marc steeped again"),
    ],
)
def test_of_marc_steeped_again_the_second_extract_alone_has_no_ratio(code, ratio):
    one = life()
    again = SteepedAgain(about=one.jar, pours=(spirit(300.0),), least="P14D")
    one.then(again, "2025-06-04")
    one.press("2025-07-01", 250.0, letter="B")
    extract = next(thing for thing in things(one.now()) if thing.code == code)

    lines = said(label(extract, PRACTICE, date(2025, 7, 2)))
    assert any(re.fullmatch(ratio, text) for text in lines)


def test_a_lid_says_the_plant_its_year_its_last_day_and_the_code():
    extract = next(one for one in things(life().now()) if one.kind == "extract")

    assert said(lid(extract, PRACTICE, TODAY)) == [
        "Calendula officinalis",
        "flower, dried · marigold",
        "pressed 2025",
        "Good through 3 Jun 2026",
        "Cautions: read the jar. Keep from children.",
        "CAOF-25-01A",
    ]


def test_a_short_label_says_the_plant_its_last_day_and_the_code():
    extract = next(one for one in things(life().now()) if one.kind == "extract")

    assert said(short(extract, PRACTICE, TODAY)) == [
        "Calendula officinalis",
        "flower, dried · marigold",
        "Good through 3 Jun 2026",
        "Read the jar. Keep from children.",
        "CAOF-25-01A",
    ]
    assert "press from 3 Jun 2025" in said(short(thing_of(), PRACTICE, TODAY))


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

    assert label_of(herb="Aconitum napellus", part="root").bar.text == "EXTERNAL USE ONLY"
    assert text.startswith("CAUTION: Aconitum napellus, monkshood: ")
    assert text.endswith("Ask a licensed practitioner or pharmacist; local law decides.")
    assert lid_of(herb="Aconitum napellus").foot[0].text == "Harmful plant: read the jar."
    assert lid_of(herb="Aconitum napellus").bar.text == "EXTERNAL USE ONLY"


def test_a_plant_forbidden_inside_says_so():
    assert label_of(herb="Senecio jacobaea").bar.text == "NOT FOR INTERNAL USE"


def test_of_a_bare_metal_lid_a_label_says_what_is_true_of_the_next_lid_too():
    assert "No bare metal lid: put a barrier under it." in foot(lid="metal")
    assert "lid" not in foot(lid="plastic")


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
