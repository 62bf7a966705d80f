"""The class handout, read again: a line for each jar, the next date of each, room to write."""

from datetime import date

import pytest

from tests.lives import OneJar, spirit
from tests.outputs.paper.jars import HARD_NAMES, NOW, PRACTICE, TODAY, thing_of
from tests.outputs.paper.reading import letters, page_sizes_mm, squeezed, text_of
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import MisusedError
from tracker.outputs.paper.handouts import HEADINGS, Handout, handout, lying_page_mm, row


def page(*things: Thing, day: date = TODAY, title: str = "Jars") -> Handout:
    return handout([row(one, PRACTICE, day) for one in things], NOW, day=day, title=title)


def test_it_says_of_each_jar_what_a_class_wants_to_know():
    made = page(thing_of(), title="Tuesday class")
    text = text_of(made.pdf)

    assert text.startswith("Tuesday class, 10 Mar 2025 " + " ".join(HEADINGS))
    assert (
        "CAOF-25-01 Marigold Calendula officinalis flower, dried spirit 45 % vol "
        "1:5 (menstruum poured) 3 Mar 2025 press from 3 Jun 2025"
    ) in text
    assert text.endswith(
        "Keep from children. Calendula officinalis: Asteraceae allergy. "
        "Sources: standard herbals and monographs: from memory (Calendula officinalis)."
    )


def test_keep_till_is_blank_until_it_is_pressed():
    one = OneJar.charged()
    assert "2026" not in text_of(page(Thing("CAOF-25-01", one.now())).pdf)

    one.press("2025-06-03")
    text = text_of(page(Thing("CAOF-25-01", one.now()), day=date(2025, 6, 10)).pdf)
    assert text.count("3 Jun 2026") == 1


def test_cautions_stand_once_at_its_foot_with_their_code():
    made = page(
        thing_of(herb="Aconitum napellus", code="ACNA-25-01", pours=(spirit(500, 70),)),
        thing_of(),
    )
    text = text_of(made.pdf)

    assert text.count("Flammable: no flame or spark near it.") == 1
    assert text.count("ACNA-25-01: External use only. CAUTION: Aconitum napellus") == 1
    assert text.endswith("law decides.")
    assert (
        "Sources: UK HMR Sch 20 Part 2: external use 1.3 % only; restriction seen in handout; "
        "rest from memory (Aconitum napellus);"
    ) in text


def test_poison_stands_first_at_the_foot_whatever_the_order_of_the_jars():
    text = text_of(
        page(
            thing_of(herb="Senna alexandrina", code="SEAL-25-01"),
            thing_of(herb="Digitalis purpurea", code="DIPU-25-01"),
        ).pdf
    )

    assert text.index("DIPU-25-01: Poisonous. CAUTION:") < text.index("SEAL-25-01: CAUTION:")


def test_forty_jars_are_on_one_page_and_no_letter_leaves_it():
    things = [thing_of(code=f"JARS-25-{number:02d}") for number in range(1, 41)]
    made = page(*things)
    text = text_of(made.pdf)

    assert made.pages == 1
    assert page_sizes_mm(made.pdf) == [pytest.approx((297, 210), abs=0.01)]
    assert all(one.code in text for one in things)
    for one in letters(made.pdf):
        assert 12 - 0.5 <= one.left < one.right <= 285 + 0.5  # a J reaches before its place
        assert 12 - 0.2 <= one.top < one.bottom <= 198 + 0.2


def test_500_jars_go_on_as_many_pages_as_can_be_read():
    things = [thing_of(code=f"JARS-25-{number:03d}") for number in range(1, 501)]
    made = page(*things)
    text = text_of(made.pdf)

    assert all(text.count(one.code) == 1 for one in things)
    assert f"page {made.pages} of {made.pages}" in text


@pytest.mark.parametrize("case", sorted(HARD_NAMES.keys() - {"arabic", "hebrew", "hindi"}))
def test_a_hard_name_stays_in_its_column(case):
    common, latin = HARD_NAMES[case]
    made = page(thing_of(common=common, herb=latin))

    assert squeezed(common).lower() in squeezed(text_of(made.pdf)).lower()
    assert squeezed(latin) in squeezed(text_of(made.pdf))


def test_no_jars_are_refused():
    with pytest.raises(MisusedError, match="no jar"):
        page()


@pytest.mark.parametrize(
    ("sheet", "lying"),
    [((210, 297), (297, 210)), ((215.9, 279.4), (279.4, 215.9)), ((70, 37), (297, 210))],
)
def test_it_lies_on_the_makers_paper_or_on_a4(sheet, lying):
    assert lying_page_mm(sheet) == lying
