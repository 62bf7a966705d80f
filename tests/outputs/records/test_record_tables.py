"""The tables of a record: plants in italics, and columns no narrower than they have to be."""

import pytest

from tracker.outputs.paper.record_columns import columns_of
from tracker.outputs.records.record_table import (
    RecordColumn,
    Section,
    Words,
    barred,
    cell,
    plants_in,
)


def letters_wide(text, _style):
    return float(len(text))


def test_the_plants_of_a_batch_stand_in_italics_wherever_a_sentence_names_them():
    said = plants_in("charged 37 g Mentha x piperita leaf, Moss fell in", ("Mentha x piperita",))

    assert said.runs == (
        Words("charged 37 g "),
        Words("Mentha ", "I"),
        Words("x "),
        Words("piperita", "I"),
        Words(" leaf, Moss fell in"),
    )


@pytest.mark.parametrize("latin", [(), ("herb of nobody",)])
def test_a_sentence_that_names_no_plant_is_upright(latin):
    assert plants_in("Shaken twice", latin).runs == (Words("Shaken twice"),)


def test_no_column_is_cut_where_the_page_has_room_for_all():
    columns = (RecordColumn("DAY", 0.1), RecordColumn("MUCH", 0.1))
    part = Section("", columns, ((cell("3 Mar 2026"), cell("10000 ml, measured (written 10 l)")),))

    day, much = columns_of(part, letters_wide, 100.0, 1.0)

    assert day.right - day.left >= len("3 Mar 2026")
    assert much.right - much.left >= len("10000 ml, measured (written 10 l)")


def test_words_on_a_bar_have_room_for_the_black_at_their_ends():
    columns = (RecordColumn("STATE", 1.0, is_flexible=True), RecordColumn("TILL"))
    part = Section("", columns, (((barred("ON HOLD"),), cell("x")),))

    state, _ = columns_of(part, letters_wide, 100.0, 6.7)

    assert state.right - state.left >= 6.7 * len("ON HOLD") + 2 * 0.8
