"""The class handout, read again: a row for each jar, the next date of each, what to heed."""

from datetime import date

import pytest

from tests.lives import OneJar, spirit
from tests.outputs import shelves
from tests.outputs.paper.jars import HARD_NAMES, NOW, PRACTICE, TODAY, thing_of
from tests.outputs.paper.reading import letters, page_sizes_mm, paths, squeezed, text_of
from tracker.core.practice.label_sheets import LabelSheet
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import MisusedError
from tracker.outputs.paper.handout_rows import row
from tracker.outputs.paper.handouts import Handout, handout
from tracker.outputs.paper.paper_size import label_room_mm, lying_page_mm, upright_page_mm

HEADS = "NAME CODE PART LIQUID RATIO CHARGED"


def page(*things: Thing, day: date = TODAY, title: str = "Jars", is_whole: bool = True) -> Handout:
    rows = [row(one, PRACTICE, day) for one in things]
    return handout(rows, NOW, day=day, title=title, is_whole=is_whole)


def test_it_says_of_each_jar_what_a_class_wants_to_know():
    made = page(thing_of(), title="Tuesday class")
    text = text_of(made.pdf)

    assert text.startswith(
        f"Tuesday class 10 Mar 2025; ratios by menstruum poured {HEADS} NEXT Marigold"
    )
    assert (
        "Marigold Calendula officinalis CAOF-25-01 flower, dried spirit 45 % vol "
        "1:5 3 Mar 2025 press from 3 Jun 2025"
    ) in text
    assert (
        "Cautions OF CAUTION JARS Marigold Calendula officinalis: Asteraceae allergy "
        "(standard herbals and monographs: from memory) CAOF-25-01 Keep from children. "
        "Ask a licensed practitioner or pharmacist; local law decides."
    ) in text


def test_columns_in_which_nothing_stands_are_left_out():
    """Till it is pressed there is no last good day; then both columns are there."""
    one = OneJar.charged()
    assert "GOOD THROUGH" not in text_of(page(Thing("CAOF-25-01", one.now())).pdf)

    one.press("2025-06-03")
    text = text_of(page(Thing("CAOF-25-01", one.now()), day=date(2025, 6, 10)).pdf)
    assert "CHARGED PRESSED GOOD THROUGH" in text
    assert "3 Mar 2025 3 Jun 2025 3 Jun 2026" in text


def test_what_is_not_there_yet_is_left_free_to_be_written_on():
    one = OneJar.charged()
    one.press("2025-06-03")
    text = text_of(page(Thing("CAOF-25-01", one.now()), thing_of(code="CAOF-25-02")).pdf)

    assert "CAOF-25-02 flower, dried spirit 45 % vol 1:5 3 Mar 2025 press from 3 Jun 2025" in text
    assert "–" not in text


def test_a_ratio_by_another_measure_says_so_in_its_row():
    text = text_of(page(shelves.a_percolate().thing, day=date(2025, 7, 1)).pdf)

    assert "ratios by" not in text
    assert "percolation spirit 45 % vol 1:5 (finished volume)" in text


def test_where_herb_was_not_weighed_the_strength_poured_is_said_once():
    text = text_of(page(thing_of(herb_g=None, herb_known="unknown")).pdf)

    assert text.count("% vol") == 1


def test_cautions_stand_once_at_its_end_by_herb_with_their_codes():
    made = page(
        thing_of(herb="Aconitum napellus", code="ACNA-25-01", pours=(spirit(500, 70),)),
        thing_of(),
        thing_of(code="CAOF-25-02"),
    )
    text = text_of(made.pdf)

    assert text.count("Strong spirit Flammable: no flame or spark near it. ACNA-25-01") == 1
    assert "Asteraceae allergy (standard herbals and monographs: from memory) CAOF-25-01" in text
    assert "CAOF-25-01, CAOF-25-02" in text
    assert text.index("EXTERNAL USE ONLY Aconitum napellus ACNA-25-01 flower") < 200
    assert "UK HMR Sch 20 Part 2: external use 1.3 % only" in text


def test_poison_stands_first_below_whatever_the_order_of_the_jars():
    text = text_of(
        page(
            thing_of(herb="Senna alexandrina", code="SEAL-25-01"),
            thing_of(herb="Aconitum napellus", code="ACNA-25-01"),
            thing_of(herb="Digitalis purpurea", code="DIPU-25-01"),
        ).pdf
    )
    below = text[text.index("OF CAUTION JARS") :]

    assert text.index("POISON Digitalis purpurea DIPU-25-01") < text.index("OF CAUTION JARS")
    assert below.index("DIPU-25-01") < below.index("ACNA-25-01") < below.index("SEAL-25-01")


def bars_of(made: Handout) -> list[str]:
    """What stands on each black bar of the first page."""
    boxes = [one for one in paths(made.pdf) if one.bottom - one.top > 2]
    return [
        "".join(
            ink.what
            for ink in letters(made.pdf)
            if box.left <= ink.left <= ink.right <= box.right
            and box.top <= ink.top <= ink.bottom <= box.bottom
        )
        for box in boxes
    ]


def test_what_is_on_hold_or_poisonous_is_white_on_black_in_its_row():
    made = page(
        shelves.held_by_a_look().thing,
        shelves.recalled().thing,
        thing_of(herb="Digitalis purpurea", code="DIPU-25-01"),
        day=date(2025, 7, 1),
    )

    assert sorted(bars_of(made)) == ["ONHOLD", "POISON", "POISON", "RECALLED"]
    assert "ON HOLD since 9 Jun 2025: mould" in text_of(made.pdf)


def test_a_recalled_lot_in_what_is_on_no_hold_is_marked_as_well():
    thing = thing_of()
    recalled = shelves.recalled().thing.hold.on
    flag = Flag(thing.batch.id, NotHeld((thing.code,), "LOT-1", recalled))
    made = handout([row(thing, PRACTICE, TODAY, [flag])], NOW, day=TODAY)

    assert bars_of(made) == ["RECALLEDLOTINIT"]
    assert "Some of lot LOT-1 is in it" in text_of(made.pdf)


def test_a_book_that_is_not_whole_is_said_first_and_at_the_foot_of_each_page():
    made = page(thing_of(), is_whole=False)

    assert bars_of(made)[0].startswith("INCOMPLETE:")
    assert text_of(made.pdf).endswith("Jars, 10 Mar 2025 1 of 1 INCOMPLETE")


def test_forty_jars_are_on_two_pages_that_can_be_read_and_no_letter_leaves_them():
    things = [thing_of(code=f"JARS-25-{number:02d}") for number in range(1, 41)]
    made = page(*things)
    text = text_of(made.pdf)

    assert made.pages == 2
    assert text_of(made.pdf, 1).startswith(HEADS)
    assert page_sizes_mm(made.pdf) == [pytest.approx((297, 210), abs=0.01)] * 2
    assert all(one.code in text for one in things)
    for number in range(2):
        for one in letters(made.pdf, number):
            assert 12 - 0.5 <= one.left < one.right <= 285 + 0.5  # a J reaches before its place
            assert 12 - 0.2 <= one.top < one.bottom <= 198 + 1.2


def test_500_jars_go_on_as_many_pages_as_can_be_read():
    things = [thing_of(code=f"JARS-25-{number:03d}") for number in range(1, 501)]
    made = page(*things)
    text = text_of(made.pdf)

    assert all(one.code in text for one in things)
    assert text.count(HEADS) >= made.pages - 1
    assert f"{made.pages} of {made.pages}" in text
    assert "memory) all Keep from children." in text  # its caution, of every jar


@pytest.mark.parametrize("case", sorted(HARD_NAMES.keys() - {"arabic", "hebrew", "hindi"}))
def test_a_hard_name_stays_in_its_column(case):
    common, latin = HARD_NAMES[case]
    made = page(thing_of(common=common, herb=latin))

    said = unhyphenated(text_of(made.pdf))
    assert unhyphenated(common) in said
    assert unhyphenated(latin) in said


def unhyphenated(text: str) -> str:
    return squeezed(text).replace("-", "").lower()


def test_no_jars_are_refused():
    with pytest.raises(MisusedError, match="no jar"):
        page()


@pytest.mark.parametrize(
    ("sheet", "lying"),
    [((210, 297), (297, 210)), ((215.9, 279.4), (279.4, 215.9)), ((70, 37), (297, 210))],
)
def test_it_lies_on_the_makers_paper_or_on_a4(sheet, lying):
    assert lying_page_mm(LabelSheet(sheet, (70, 37))) == lying
    assert upright_page_mm(LabelSheet(sheet, (70, 37))) == lying[::-1]


@pytest.mark.parametrize(
    ("label", "room"), [((70, 37), (70, 37)), ((190, 100), (90, 50)), ((25, 15), (90, 50))]
)
def test_a_record_has_room_for_a_label_of_the_makers_size_where_that_goes_beside_its_head(
    label, room
):
    assert label_room_mm(LabelSheet((210, 297), label)) == room
