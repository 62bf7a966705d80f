"""What herbs are called: by people or by botanists, with part and form."""

import pytest

from tracker.core.herbs.common_names import common_name
from tracker.core.herbs.tables.plants_table import PLANTS
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.plant_names import called, plant_called


def a_herb(
    herb="Melissa officinalis", common=None, part="leaf", form="dried", g=100.0, known="weighed"
) -> HerbView:
    return HerbView(herb, form, part, common, g, known)


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("common", "lemon balm leaf, dried"),
        ("latin", "Melissa officinalis leaf, dried"),
        ("both", "lemon balm (Melissa officinalis) leaf, dried"),
    ],
)
def test_a_herb_is_called_as_its_maker_goes_by(names, said):
    assert called([a_herb()], names) == said


def test_the_name_the_maker_wrote_comes_before_that_of_the_table():
    assert called([a_herb(common="sweet balm")], "common") == "sweet balm leaf, dried"


def test_a_plant_that_is_in_no_table_goes_by_the_name_it_has():
    unknown = a_herb("Salvia nubicola", part=None, form="fresh")

    assert {called([unknown], names) for names in ("common", "latin", "both")} == {
        "Salvia nubicola, fresh"
    }


def test_a_name_that_is_common_already_is_said_once():
    mix = a_herb("Kitchen mix", common="kitchen mix", part=None)

    assert called([mix], "both") == "kitchen mix, dried"


@pytest.mark.parametrize(("common", "part"), [("elderflower", "flower"), ("rose hip", "hip")])
def test_a_name_that_says_the_part_is_not_followed_by_it(common, part):
    assert called([a_herb("X y", common, part)], "common") == f"{common}, dried"


def test_part_and_form_are_said_once_where_all_herbs_have_the_same():
    herbs = [a_herb(), a_herb("Urtica dioica")]
    other = [a_herb(), a_herb("Urtica dioica", part="root", form="fresh")]

    assert called(herbs, "common") == "lemon balm + stinging nettle leaf, dried"
    assert called(other, "common") == "lemon balm leaf, dried + stinging nettle root, fresh"


def test_names_follow_synonyms_hybrid_signs_and_what_is_written_behind():
    assert common_name("Cimicifuga racemosa") == "black cohosh"
    assert common_name("Mentha × piperita") == common_name("Mentha x piperita") == "peppermint"
    assert common_name("Arnica montana L.") == "arnica"
    assert common_name("Melissa") is None


def test_every_plant_of_the_table_is_called_by_its_common_name():
    assert all(common_name(row[0]) == row[3].partition(" (")[0] for row in PLANTS)
    assert plant_called(a_herb("Urtica dioica"), "latin") == "Urtica dioica"
