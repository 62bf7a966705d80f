"""Names in a column: cut so that things that differ in plant, part or form never look alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.herbs.tables.plants_table import PLANTS
from tracker.outputs.terminal.name_column import ListedNames, listed
from tracker.outputs.terminal.table import width
from tracker.outputs.view.made import HerbView


def a_herb(herb="Melissa officinalis", part="leaf", form="dried", common=None) -> HerbView:
    return HerbView(herb, form, part, common, 100.0, "weighed")


def texts(names: ListedNames, cells: int) -> list[str]:
    return ["".join(text for text, _ in one.parts) for one in names.within(cells)]


def test_dried_is_left_out_where_most_of_the_list_is_dried():
    mostly = listed([[a_herb()], [a_herb(part="root")], [a_herb(form="fresh")]], "common")
    half = listed([[a_herb()], [a_herb(form="fresh")]], "common")

    assert texts(mostly, 40) == ["lemon balm leaf", "lemon balm root", "lemon balm leaf, fresh"]
    assert texts(half, 40) == ["lemon balm leaf, dried", "lemon balm leaf, fresh"]


def test_the_plant_is_cut_before_part_and_form():
    names = listed(
        [[a_herb("Echinacea angustifolia", "root", "fresh")], [a_herb()], [a_herb()]], "common"
    )

    assert texts(names, 24)[0] == "narrow-leav… root, fresh"


def test_a_plant_is_cut_at_the_end_of_a_word_where_that_tells_it_from_the_others():
    alone = [a_herb("Filipendula ulmaria", "leaf", common="meadowsweet of the mill")]
    others = [a_herb("Filipendula vulgaris", "leaf", common="meadowsweet of the hill")]

    assert texts(listed([alone], "common"), 22) == ["meadowsweet of… leaf"]
    assert len(set(texts(listed([alone, others], "common"), 22))) == 2


def test_genera_of_one_letter_are_told_apart_where_the_plants_would_coincide():
    valerian, vervain = a_herb("Valeriana officinalis", "root"), a_herb("Verbena officinalis")
    both = listed([[valerian], [vervain]], "latin")
    alone = listed([[valerian], [a_herb("Urtica dioica")]], "latin")

    assert texts(both, 20) == ["Va. officinalis root", "Ve. officinalis leaf"]
    assert texts(alone, 20)[0] == "V. officinalis root"


def test_a_name_of_one_word_is_never_shortened_and_a_hybrid_keeps_its_sign():
    one, hybrid = a_herb("Melissa", None), a_herb("Mentha × piperita", None)

    assert texts(listed([[one], [hybrid]], "latin"), 14) == ["Melissa", "M. × piperita"]


def test_plants_of_one_common_name_have_their_latin_names_as_well():
    rows = [
        [a_herb("Tilia cordata", "flower", common="lime")],
        [a_herb("Tilia platyphyllos", "flower", common="lime")],
    ]

    assert texts(listed(rows, "common"), 60) == [
        "lime (Tilia cordata) flower",
        "lime (Tilia platyphyllos) flower",
    ]


def test_latin_is_in_italics_and_ranks_and_authors_are_upright():
    name = "Arctostaphylos uva-ursi subsp. adenotricha (L.) Spreng."
    (cell,) = listed([[a_herb(name, "leaf", "fresh")]], "latin").full()

    assert cell.parts == (
        ("Arctostaphylos uva-ursi ", "latin"),
        ("subsp. ", ""),
        ("adenotricha ", "latin"),
        ("(L.) Spreng.", ""),
        (" leaf, fresh", ""),
    )


def test_latin_that_is_shortened_or_cut_is_in_italics_as_well():
    rows = [[a_herb("Echinacea angustifolia", "root")], [a_herb("Salvia rosmarinus", None)]]
    names = listed(rows, "latin")

    assert names.within(16)[0].parts == (("E. angusti", "latin"), ("… root", ""))
    assert names.within(14)[1].parts == (("S. rosmarinus", "latin"),)


PARTS = ("root", "leaf", "flower", "flowering tops", "rhizome and root", "berry", None)
herbs = st.builds(
    a_herb,
    st.sampled_from([row[0] for row in PLANTS]),
    st.sampled_from(PARTS),
    st.sampled_from(["fresh", "dried"]),
)
things = st.lists(herbs, min_size=1, max_size=3)


@USUAL
@given(
    rows=st.lists(things, min_size=1, max_size=12),
    names=st.sampled_from(["common", "latin", "both"]),
    cells=st.integers(22, 120),
)
def test_no_two_things_that_differ_look_alike_at_any_width(rows, names, cells):
    list_of = listed(rows, names)
    full, short = texts(list_of, 1000), texts(list_of, cells)

    assert all(width(one) <= cells for one in short)
    alike = {
        text: {full[place] for place, one in enumerate(short) if one == text} for text in short
    }
    assert all(len(meant) == 1 for meant in alike.values()), alike


@pytest.mark.parametrize("cells", [22, 30, 60])
def test_plants_that_differ_have_names_that_differ_in_full(cells):
    every = listed([[a_herb(row[0])] for row in PLANTS], "common")

    assert len(set(texts(every, cells))) == len(PLANTS)
