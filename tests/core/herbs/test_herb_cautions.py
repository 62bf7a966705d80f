"""What a jar asks care for. Rows: `data/cautions.csv` and `data/care_notes.csv`."""

import re

import pytest

from tests.core.herbs.published import rows
from tests.lives import OneJar, a_charge, spirit
from tracker.core.facts.extracts import Blended, Diluted, Pressed
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import HerbAdded, Moved
from tracker.core.herbs.caution_rows import rows as caution_rows
from tracker.core.herbs.tables import caution_corrections_table as corrections
from tracker.core.reckoning.cautions import CLOSING, cautions
from tracker.core.replay.replay import replay
from tracker.core.shelf.jar import Jar
from tracker.outputs.words.caution_words import caution_lines, caution_text

CARE = rows("care_notes.csv")
FURTHER = [row for row in rows("cautions_more.csv") if "(family)" not in row["latin"]]


def of(**changes: object) -> dict[str, str]:
    """The cautions of a jar of yarrow in weak spirit, or with these changes, by their kind."""
    usual = {"herb": "Achillea millefolium", "part": "herb", "pours": (spirit(500.0, 40.0),)}
    return {
        one.kind: caution_text(one) for one in cautions(OneJar.charged(**usual | changes).now())
    }


def lines(jar: Jar) -> list[str]:
    return caution_lines(cautions(jar))


def oil() -> tuple[Pour, ...]:
    return (Pour(liquid="oil", volume_ml=500.0, name="olive oil"),)


# The plant


@pytest.mark.parametrize("row", rows("cautions.csv"), ids=lambda row: row["latin_name"])
def test_a_listed_plant_is_said_in_one_line_without_any_dose(row):
    name = re.sub(r"\(.*|/.*|spp\.| and allied.*| whole.*", "", row["latin_name"]).strip()
    jar = OneJar.charged(herb=name, part=None, pours=(spirit(500.0, 40.0),)).now()
    (caution,) = (
        one for one in cautions(jar) if row["latin_name"] == one.herb and one.kind == "plant"
    )
    reason = corrections.REASONS.get(row["latin_name"], row["reason_own_words"])

    assert caution.kind == "plant"
    assert caution.text.startswith(f"{row['latin_name']}, {row['common_name']}: {reason}")
    assert "\n" not in caution.text
    assert re.search(r"\d\s*m?g\b", caution_text(caution, sources=True)) is None
    assert lines(jar)[0] == caution_text(caution)
    assert lines(jar)[-1] == CLOSING


@pytest.mark.parametrize("row", FURTHER, ids=lambda row: f"{row['latin']} {row['part']}")
def test_every_further_row_is_said_with_its_level_its_groups_and_its_source(row):
    """Where a handling note says something of the plant as well, both are one."""
    name = re.sub(r" \(.*| /.*", "", row["latin"]).replace("spp.", "communis")
    jar = OneJar.charged(herb=name, part=row["part"], form="fresh", pours=(spirit(9.0, 40.0),))
    (said, *_) = (one for one in cautions(jar.now()) if row["what"].split("; ")[0] in one.text)

    assert said.level in (row["level"], "restricted")  # fresh bark of a restricted plant
    assert all(clause in said.text for clause in row["what"].split("; "))
    assert set(said.groups) >= set(row["groups"].split(";")) - {""}
    assert row["source"] in (said.source or "")
    assert said.checked <= (row["checked"] == "yes")
    assert (said.use is not None) == (
        "external-only" in row["groups"] or "no longer" in row["what"]
    )


@pytest.mark.parametrize(
    ("herb", "family"),
    # Families: `data/plants.csv`.
    [
        ("Taraxacum officinale", "daisy"),
        ("dandelion root", "daisy"),
        ("Artemisia annua", "daisy"),  # in no table, of a genus that is
        ("Artemisia", "daisy"),
        ("Foeniculum vulgare", "lookalikes"),
        ("Mentha spicata", None),
        ("Daucus carota", None),  # nothing is known of its genus
        ("fenmint", None),
    ],
)
def test_what_holds_for_a_family_is_said_of_every_plant_of_it(herb, family):
    texts = [one.text for one in cautions(OneJar.charged(herb=herb).now())]
    found = [text for text in texts if "daisy family" in text or "lookalikes" in text]

    assert len(found) == (family is not None)
    assert not family or family in found[0]


@pytest.mark.parametrize(
    "herb",
    ["Calendula officinalis", "Arnica montana", "Artemisia absinthium", "Echinacea angustifolia",
     "Angelica archangelica", "Angelica sinensis"],
)  # fmt: skip
def test_what_is_said_of_a_plant_is_not_said_of_its_family_once_more(herb):
    texts = [one.text for one in cautions(OneJar.charged(herb=herb).now())]

    assert not [text for text in texts if "family" in text or text.startswith("wild plants:")]
    assert any("allergy" in text or "light" in text for text in texts)


def test_a_row_and_a_handling_note_of_one_plant_are_one_caution():
    (said,) = cautions(OneJar.charged(herb="goldenseal", pours=(spirit(9.0, 40.0),)).now())

    assert said.text == (
        "Hydrastis canadensis, goldenseal: slows the breakdown of some medicines; pharmacy only "
        "in Germany; not in pregnancy; threatened in the wild: cultivated source"
    )
    assert said.text.count("pregnancy") == 1
    assert set(said.groups) == {"medicines", "pregnancy", "law"}


@pytest.mark.parametrize("herb", ["Cimicifuga racemosa", "Cimicifuga", "Cimicifuga racemosum"])
def test_an_old_or_misspelt_latin_name_has_the_cautions_of_the_accepted_plant(herb):
    assert of(herb=herb)["care"].startswith("Actaea racemosa: rare liver injury")


def test_a_poison_and_external_use_come_before_whatever_the_other_herbs_ask():
    one = OneJar.charged(herb="Hypericum perforatum", part="herb")
    for herb, part in (("Senna alexandrina", "leaf"), ("Arnica montana", "flower")):
        fact = HerbAdded(about=one.jar, herb=herb, part=part, form="dried", herb_g=1.0)
        one.then(fact, "2025-03-04")
    found = [caution.herb for caution in cautions(one.now()) if caution.kind == "plant"]

    assert found == [
        "Arnica montana", "Senna alexandrina (Cassia senna)", "Hypericum perforatum",
    ]  # fmt: skip


def test_a_guess_among_several_herbs_says_which_of_them_it_is():
    one = OneJar.charged()
    fact = HerbAdded(about=one.jar, herb="Datura metel", part="leaf", form="dried", herb_g=1.0)
    one.then(fact, "2025-03-04")

    assert cautions(one.now())[0].text.startswith("Datura metel: of the same genus as Datura str")


def test_a_guess_says_that_it_is_one():
    assert of(herb="Atropa beladonna")["plant"].startswith("if this is Atropa belladonna, ")
    assert of(herb="Datura metel")["plant"].startswith("of the same genus as Datura ")


def test_the_law_s_limits_on_external_use_stay_in_sight():
    assert "external use 1.3 % only" in of(herb="Aconitum napellus")["plant"]
    assert "not for internal use" in of(herb="Symphytum officinale", part="root")["plant"]


def test_the_part_decides_where_the_row_is_limited_to_one():
    assert "listed by law" in of(herb="Viscum album", part="berry")["plant"]
    assert "may slow heart" in of(herb="Viscum album", part="herb")["plant"]
    assert "plant" not in of(herb="Viscum album", part="root")


# Fire, by the liquid's own strength as far as that is known


@pytest.mark.parametrize(
    ("pct_vol", "is_said"),
    # Published flash points (`menstruum.fire`): 24 °C at 50 %, 22 at 60, 17 at 96. Highly
    # flammable is below 23 °C (GHS chapter 2.6, category 2, from memory).
    [(0.0, False), (40.0, False), (50.0, False), (60.0, True), (75.5, True), (96.0, True)],
)
def test_fire_is_a_caution_where_the_vapour_catches_in_a_cool_room(pct_vol, is_said):
    assert ("fire" in of(pours=(spirit(500.0, pct_vol),))) is is_said


def is_flammable(one: OneJar) -> bool:
    """Whether fire is a caution of the jar, or of the extract once that is out."""
    jar = one.now()
    made = jar.extracts[0].made if jar.extracts else None
    return "fire" in [caution.kind for caution in cautions(jar, made)]


def test_what_was_poured_together_counts_as_strong_as_it_is():
    """400 ml of 40 % and 100 ml of 96 % are some 52 % vol; 100 and 400 ml are 85."""
    assert "fire" not in of(pours=(spirit(400.0, 40.0), spirit(100.0, 96.0)))

    said = of(pours=(spirit(100.0, 40.0), spirit(400.0, 96.0)))["fire"]
    assert re.search(r"the vapour of spirit of up to 8[56](\.\d)? % vol", said)


def test_strong_spirit_in_a_glycerite_counts_as_weak_as_it_is():
    """18 % vol and less, out of 96 %: 90 ml of it in 480."""
    glycerin = Pour(liquid="glycerin", volume_ml=390.0)

    assert "fire" not in of(pours=(spirit(90.0, 96.0), glycerin))


def test_while_fresh_herb_is_in_the_liquid_counts_as_strong_as_what_was_poured():
    """Its water comes out slowly: 300 g of fresh herb make 500 ml of 70 % some 50 in the end."""
    fresh = {"form": "fresh", "herb_g": 300.0, "herb_water_pct_mass": 80.0}
    jar = OneJar.charged(pours=(spirit(500.0, 70.0),), **fresh)

    assert is_flammable(jar)
    jar.press()
    assert not is_flammable(jar)


def test_a_tincture_that_was_diluted_is_no_longer_flammable():
    """70 % vol, and twice as much water: 23 % vol."""
    jar = OneJar.charged(pours=(spirit(500.0, 70.0),))
    jar.press()
    assert is_flammable(jar)

    water = Pour(liquid="water", volume_ml=740.0)
    jar.then(Diluted(about=jar.extract(), pours=(water,)), "2025-06-04")
    assert not is_flammable(jar)


def test_where_a_strength_is_not_known_the_strongest_pour_counts():
    vodka = Pour(liquid="ethanol", volume_ml=900.0, ethanol_pct_vol=None, name="vodka")
    jar = OneJar.charged(pours=(spirit(50.0, 96.0), vodka)).now()

    said = [one.text for one in cautions(jar) if one.kind == "fire"]
    assert "how strong the vodka was is not known" in said[0]
    assert "96 % vol" in said[1]
    assert "17 °C" in said[1]  # published table, 96 %


# The lid: common practice, no source


@pytest.mark.parametrize(
    ("lid", "barrier", "liquid", "is_said"),
    [
        ("metal", None, "ethanol", True),
        ("Metal, two parts", None, "vinegar", True),
        ("metal", "baking paper", "vinegar", False),
        ("glass", None, "ethanol", False),
        ("metal", None, "oil", False),
        (None, None, "vinegar", False),
    ],
)
def test_bare_metal_over_spirit_or_vinegar_is_a_caution(lid, barrier, liquid, is_said):
    pours = (Pour(liquid=liquid, volume_ml=500.0),)

    assert ("lid" in of(lid=lid, barrier=barrier, pours=pours)) is is_said


def test_the_lid_is_past_caution_once_it_is_changed_or_the_jar_is_pressed():
    one = OneJar.charged(lid="metal")
    before = cautions(one.now())
    pressed = OneJar.charged(lid="metal")
    pressed.press()
    one.then(Moved(about=one.jar, lid="glass"), "2025-03-04")

    assert "lid" in {caution.kind for caution in before}
    for jar in (one.now(), pressed.now()):
        assert "lid" not in {caution.kind for caution in cautions(jar)}


# Wet herb in oil


@pytest.mark.parametrize(
    ("form", "water_pct", "is_said"),
    [("fresh", None, True), ("fresh", 70.0, True), ("fresh", 8.0, False),
     ("dried", None, False), ("dried", 10.0, False), ("dried", 30.0, True)],
)  # fmt: skip
def test_wet_herb_in_oil_is_a_caution(form, water_pct, is_said):
    said = of(form=form, herb_water_pct_mass=water_pct, pours=oil(), preparation="oil")

    assert ("wet" in said) is is_said


def test_wet_herb_in_spirit_is_none():
    assert "wet" not in of(form="fresh")


# Handling

# A law or another table says more of these.
MORE_THAN_CARE = {
    "Arnica montana", "Glycyrrhiza glabra", "Hydrastis canadensis", "Hypericum perforatum",
}  # fmt: skip


@pytest.mark.parametrize("row", CARE, ids=lambda row: row["latin_name"])
def test_a_handling_note_is_said_with_its_plant_and_is_no_alarm(row):
    jar = OneJar.charged(herb=row["latin_name"], form="fresh", pours=(spirit(9.0, 40.0),)).now()

    (one,) = cautions(jar)
    assert lines(jar)[0].startswith(row["latin_name"])
    assert all(clause in one.text for clause in row["note"].split("; "))
    if row["latin_name"] not in MORE_THAN_CARE:
        more = corrections.CARE_MORE.get(row["latin_name"])
        text = f"{row['latin_name']}: {row['note']}{f'; {more}' if more else ''}"
        assert lines(jar) == [text]
        assert (one.kind, one.level, one.checked) == ("care", "care", False)


def test_a_note_is_found_by_the_old_and_the_common_name_and_through_a_slip():
    for typed in ("Matricaria recutita", "German chamomile", "Matricaria chamomila"):
        assert of(herb=typed)["care"] == "Matricaria chamomilla: Asteraceae allergy"


def test_stings_are_for_the_fresh_nettle_alone():
    assert "gloves" in of(herb="Urtica dioica", form="fresh")["care"]
    assert "care" not in of(herb="Urtica dioica", form="dried")


def test_a_plant_without_a_note_has_nothing_said_of_it():
    assert of(herb="Thymus vulgaris") == {}
    assert of(herb="fenmint") == {}


def test_the_gravest_comes_first_and_handling_last():
    jar = OneJar.charged(
        herb="Digitalis purpurea", lid="metal", form="fresh",
        pours=(spirit(400.0, 96.0), *oil()),
    ).now()  # fmt: skip

    assert [one.kind for one in cautions(jar)] == ["plant", "fire", "lid", "wet"]
    assert lines(jar)[-1] == CLOSING


# What a row says of its use, as a field: no words are searched for it


def test_every_row_that_limits_the_use_says_so_as_a_field():
    """The rows are found here by their words, as published; the code has them by name."""
    limited = {
        row["latin_name"]
        for row in rows("cautions.csv")
        if re.search(
            "external|internal use", f"{row['legal_or_published_basis']} {row['reason_own_words']}"
        )
    }

    assert {one.latin for one in caution_rows() if one.is_first and one.use is not None} == limited
    assert {one.latin for one in caution_rows() if one.is_first and one.use == "external only"} == {
        "Aconitum napellus",
        "Conium maculatum",
        "Toxicodendron pubescens (Rhus toxicodendron)",
    }


def test_each_herb_of_a_blend_has_its_own_cautions():
    one = OneJar.charged(herb="Digitalis purpurea", part="leaf")
    other = one.then(a_charge(code="TWO", herb="Symphytum officinale", part="root"), "2025-03-03")
    one.press()
    fact = Pressed(about=About(jar=other.id), letter="A", volume_ml=300.0, keeps="P12M")
    second = About(jar=other.id, extract=one.then(fact, "2025-06-03").id)
    parts = (Portion(about=one.extract(), volume_ml=9.0), Portion(about=second, volume_ml=9.0))
    blend = one.then(Blended(code="B", parts=parts), "2025-06-10")
    found = cautions(replay(one.entries).blends[blend.id])

    plants = [caution.herb for caution in found if caution.kind == "plant"]
    assert plants == ["Digitalis purpurea / D. lanata", "Symphytum officinale (root and herb)"]
