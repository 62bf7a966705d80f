"""What a typed name is taken for. Names, authors and families: `data/plants.csv`."""

import pytest

from tests.core.herbs.published import rows
from tracker.core.herbs.names import find, known
from tracker.core.herbs.written_names import contradicts, named

PLANTS = rows("plants.csv")
LATIN = [row["latin_binomial"] for row in PLANTS]


def found(text: str) -> list[str]:
    """The Latin names of what a text fits."""
    fits = find(text)
    return [plant.latin for plant in fits.plants] if fits else []


@pytest.mark.parametrize("row", PLANTS, ids=LATIN)
def test_every_plant_is_found_by_each_of_its_names(row):
    latin, author = row["latin_binomial"], row["author_citation"]
    common = row["common_name"].partition(" (")[0]
    names = [latin, latin.upper(), latin.lower(), f"{latin} {author}", f"{latin}, {common}"]
    names += [common, common.upper(), f"dried {common}", row["common_synonym"]]

    for name in filter(None, names):
        assert found(name) == [latin], name
        assert known(name) is not None, name


@pytest.mark.parametrize("row", PLANTS, ids=LATIN)
def test_a_latin_name_is_written_down_as_it_is_and_nothing_has_to_be_said(row):
    latin, author = row["latin_binomial"], row["author_citation"]
    common = row["common_name"].partition(" (")[0]

    for typed in (latin, latin.upper(), f"{latin} {author}"):
        written = named(typed)
        assert (written.herb, written.common, written.part) == (latin, common, None)
        assert written.say == ""
        assert written.meant is None


LONG = [row for row in PLANTS if len(row["latin_binomial"].split()[-1].split("-")[0]) > 4]


@pytest.mark.parametrize("row", LONG, ids=lambda row: row["latin_binomial"])
def test_a_letter_left_out_of_a_latin_name_is_a_guess_and_changes_nothing(row):
    genus, *species = row["latin_binomial"].split()
    typed = " ".join([genus, *species[:-1], species[-1][:3] + species[-1][4:]])
    written = named(typed)

    assert (written.herb, written.common) == (typed, None)
    assert "kept as typed" in written.say
    assert written.meant is not None
    assert written.meant.herb == row["latin_binomial"]


@pytest.mark.parametrize(
    ("typed", "herb", "part"),
    [
        ("calendula flower", "Calendula officinalis", "flower"),
        ("Calendula", "Calendula officinalis", None),
        ("marigold", "Calendula officinalis", None),
        ("passion flower", "Passiflora incarnata", None),
        ("St. John’s wort herb", "Hypericum perforatum", "herb"),
        ("saint johns wort", "Hypericum perforatum", None),
        ("shepherds purse", "Capsella bursa-pastoris", None),
        ("stinging nettle leaf and root", "Urtica dioica", "leaf and root"),
        ("cramp bark", "Viburnum opulus", "bark"),
        ("elder flower", "Sambucus nigra", "flower"),
        ("elderflowers", "Sambucus nigra", "flower"),
        ("elderberries", "Sambucus nigra", "berry"),
        ("elderberry", "Sambucus nigra", "berry"),
        ("rose hip", "Rosa canina", "hip"),
        ("rosehips", "Rosa canina", "hip"),
        ("dandelion root", "Taraxacum officinale", "root"),
        ("nettle leaf", "Urtica dioica", "leaf"),
        ("orange peel", "orange", "peel"),
        ("dried Lemon peel", "Lemon", "peel"),
        ("prickly ash bark", "Zanthoxylum americanum", "bark"),
        ("hops", "Humulus lupulus", None),
        ("licorice root", "Glycyrrhiza glabra", "root"),
        ("Valeriana officinalis radix", "Valeriana officinalis", "root"),
        ("mentha piperita", "Mentha x piperita", None),
        ("Mentha × piperita leaf", "Mentha × piperita", "leaf"),
    ],
)
def test_what_was_typed_is_completed_and_said(typed, herb, part):
    written = named(typed)

    assert (written.herb, written.part) == (herb, part)
    assert herb.replace("×", "x") in written.say
    assert (f"part: {part}" in written.say) == (part is not None)


def test_a_name_from_an_old_label_is_kept_and_today_s_is_said():
    written = named("matricaria Recutita flower")

    assert (written.herb, written.common, written.part) == (
        "Matricaria recutita", "German chamomile", "flower",
    )  # fmt: skip
    assert "kept as typed, is Matricaria chamomilla L." in written.say


@pytest.mark.parametrize(
    ("typed", "herb"),
    [
        ("calendula Officinalis var. Prolifera flower", "Calendula officinalis var. Prolifera"),
        ("Taraxacum officinale agg.", "Taraxacum officinale agg."),
        ("Matricaria recutita L.", "Matricaria recutita"),
        ("Matricaria recutita/flower", "Matricaria recutita"),
        ("fresh Matricaria recutita", "Matricaria recutita"),
        ("Mentha × piperita 'Citrata'", "Mentha × piperita 'Citrata'"),
        ("capsella bursa-pastoris (L.) Medik.", "Capsella bursa-pastoris"),
    ],
)
def test_a_variety_stays_and_an_author_goes(typed, herb):
    """The author is said, not written: one plant has one name on the shelf."""
    assert named(typed).herb == herb


def test_what_the_maker_said_apart_is_never_overruled():
    written = named("calendula flower", common="pot marigold", part="petals")

    assert (written.common, written.part) == ("pot marigold", "petals")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Recutita", "Matricaria chamomilla"),
        ("Matricaria recutitta", "Matricaria chamomilla"),
        ("Valeriana officinale", "Valeriana officinalis"),
        ("calendua", "Calendula officinalis"),
        ("Ahcillea millefolium", "Achillea millefolium"),
        ("C. officinalis", "Calendula officinalis"),
        ("chamomile", "Matricaria chamomilla"),
        ("lemmon balm", "Melissa officinalis"),
    ],
)
def test_a_slip_or_half_a_name_is_a_guess_to_be_asked_about(typed, meant):
    written = named(typed)

    assert written.herb == typed
    assert written.meant is not None
    assert written.meant.herb == meant


@pytest.mark.parametrize(
    ("typed", "part", "is_another"),
    [
        ("elderberry", "flower", True),
        ("elderberry", "ripe berries", False),
        ("elder", "flower", False),
        ("calendula flower", "petals", False),
        ("nettle leaf", "herb", False),  # the herb has its leaves
        ("nettle leaf", "root", True),
        ("Cimicifuga racemosa root", "rhizome", False),
    ],
)
def test_a_part_said_apart_may_contradict_the_name(typed, part, is_another):
    assert contradicts(named(typed, part=part), part) is is_another


@pytest.mark.parametrize("typed", ["Juniperus", "Mentha", "Tanacetum", "Cinnamomum"])
def test_a_genus_alone_is_not_completed_where_another_species_is_harmful(typed):
    written = named(typed)

    assert (written.herb, written.meant) == (typed, None)
    assert "kept as typed, may be" in written.say


def test_the_genus_of_an_old_name_is_a_guess():
    assert named("Cimicifuga").meant.herb == "Actaea racemosa"


@pytest.mark.parametrize("typed", ["Echinacea", "coneflower", "Salvia", "Artemisia leaf"])
def test_a_name_of_several_plants_is_left_and_they_are_named(typed):
    written = named(typed)

    assert (written.herb, written.meant) == (typed, None)
    assert written.say.count(" or ") >= 1


@pytest.mark.parametrize(
    "typed",
    # Real plants that are not in the table, invented ones, and no name at all.
    ["Echinacea pallida", "Plantago major", "roman chamomile", "Mentha spicata", "fenmint",
     "Digitalis purpurea", "Rosa gallica", "Ribes rubrum", "Calendula sp.", "glowing tops",
     "", "  ", "x", "L.", "Calendula\x1b officinalis"],
)  # fmt: skip
def test_an_unknown_name_stays_as_it_was_typed(typed):
    written = named(typed, part="root")

    assert (written.herb, written.common, written.part) == (typed, None, "root")
    assert (written.say, written.meant) == ("", None)


def test_the_other_published_plants_are_taken_for_none_of_these():
    """Poisonous plants and those of the moisture table have names of their own."""
    others = {row["latin_name"].partition(" (")[0] for row in rows("cautions.csv")}
    others |= {row["latin_name"].partition(" (")[0] for row in rows("moisture_fresh.csv")}

    assert {name: found(name) for name in others - set(LATIN) if found(name)} == {
        "Sambucus nigra/canadensis": ["Sambucus nigra"]
    }
