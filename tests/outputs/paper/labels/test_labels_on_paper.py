"""Labels as PDF: what pypdf, PDFium and ZXing find there is what the shelf says, in place."""

import io
import re
from itertools import pairwise, product

import pypdf
import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from tests.hypothesis_profile import searching
from tests.lives import OneJar
from tests.outputs.paper.jars import (
    HARD_NAMES,
    NOW,
    PRACTICE,
    TODAY,
    label_of,
    lid_of,
    many,
    thing_of,
)
from tests.outputs.paper.reading import codes, letters, page_sizes_mm, paths, squeezed, text_of
from tracker.core.facts.jars import HerbAdded
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet, single
from tracker.core.practice.practice import Practice
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import says_something
from tracker.outputs.paper.labels.label_layout import TooSmallError
from tracker.outputs.paper.labels.label_lines import Label, LabelLine, Run
from tracker.outputs.paper.labels.label_pdf import Printed, printed
from tracker.outputs.paper.labels.label_text import label, lid

pytestmark = pytest.mark.thorough

# Described here and nowhere else: odd margins and gaps, so that no two of them can be confused.
ODD = LabelSheet((200, 260), (61, 43), 3, 5, 5.5, 11, 2.75, 3.25, outline=True)
NEAR_MM = 0.2


def paper(*labels: Label, sheet: LabelSheet = BUILT_IN["a4"], **more: int) -> Printed:
    return printed(labels, sheet, NOW, **more)


def test_the_page_says_every_line_of_the_label_and_nothing_else():
    one = label_of(lots=("north bed, Ilse Brand",))
    made = paper(one)

    said = [line.text for line in one.every_line]
    assert made.lines == (tuple(said),)
    assert squeezed(text_of(made.pdf)) == squeezed("".join(said))


@pytest.mark.parametrize("case", sorted(HARD_NAMES.keys() - {"arabic", "hebrew", "hindi"}))
def test_a_name_that_is_long_or_written_otherwise_is_printed_whole(case):
    common, latin = HARD_NAMES[case]
    text = squeezed(text_of(paper(label_of(common=common, herb=latin)).pdf)).replace("\u2010", "")

    assert squeezed(common).lower() in text.lower()
    assert squeezed(latin) in text


@pytest.mark.parametrize("case", ["arabic", "hebrew"])
def test_words_from_right_to_left_stand_so_on_the_paper(case):
    """PDFium gives each letter's place: the first letter of the name is the rightmost."""
    common, latin = HARD_NAMES[case]
    first_word = common.split()[0]
    made = paper(label_of(common=common, herb=latin), sheet=single(120, 60))
    right_to_left = [one for one in letters(made.pdf) if "\u0590" <= one.what[0] < "\u0700"]
    first = right_to_left[: len(first_word)]

    assert [one.what for one in first] == list(first_word)
    assert [one.left for one in first] == sorted((one.left for one in first), reverse=True)
    assert max(one.right for one in right_to_left) > 60


def test_arabic_letters_are_joined_as_they_are_written():
    """HarfBuzz picks the joined forms: each letter reaches into the one before it."""
    made = paper(label_of(common="سهل"), sheet=single(120, 60))
    found = [one for one in letters(made.pdf) if "\u0600" <= one.what[0] < "\u0700"]

    assert len(found) == 3
    assert all(following.right > before.left for before, following in pairwise(found))


def test_devanagari_is_printed_with_its_marks():
    made = paper(label_of(common="गेंदे का फूल", herb="Tagetes erecta"))

    assert sorted(squeezed("गेंदे का फूल")) == sorted(re.findall("[\u0900-\u097f]", text_of(made.pdf)))


def test_a_letter_that_no_font_has_is_replaced_where_it_can_be_seen():
    made = paper(label_of(common="Marigold 🌿 leaf"))

    assert made.missing == {"🌿"}
    assert "Marigold \ufffd leaf" in text_of(made.pdf)


@pytest.mark.parametrize("sheet", [ODD, *BUILT_IN.values()], ids=["odd", *BUILT_IN])
def test_every_label_lies_where_the_sheet_says(sheet):
    """The outlines as PDFium measures them, against the arithmetic of the description."""
    say = lid_of if sheet.is_round else label_of
    made = paper(say(), sheet=sheet, copies=sheet.per_page)
    found = [one for one in paths(made.pdf) if one.bottom - one.top > sheet.label_mm[1] / 1.1]
    wide, high = sheet.label_mm
    wanted = [
        (sheet.left_mm + column * (wide + sheet.across_mm),
         sheet.top_mm + row * (high + sheet.down_mm))
        for row, column in product(range(sheet.rows), range(sheet.columns))
    ]  # fmt: skip

    assert page_sizes_mm(made.pdf) == [pytest.approx(sheet.page_mm, abs=0.01)]
    assert len(found) == len(wanted)
    for ink, (left, top) in zip(found, wanted, strict=True):
        assert (ink.left, ink.top) == pytest.approx((left, top), abs=NEAR_MM)
        assert (ink.right, ink.bottom) == pytest.approx((left + wide, top + high), abs=NEAR_MM)


@pytest.mark.parametrize("size", [(70, 37), (37, 70), (40.5, 40.5), (100, 25)])
def test_a_single_label_is_the_page(size):
    made = paper(label_of(), label_of(code="CAOF-25-02"), sheet=single(*size))

    assert page_sizes_mm(made.pdf) == [pytest.approx(size, abs=0.01)] * 2


def test_printing_begins_at_the_position_that_is_free():
    made = paper(label_of(), sheet=ODD, start=5)

    (_, text, (x, y)) = next(codes(made.pdf))
    assert text == "CAOF-25-01"
    assert 5.5 + 61 + 2.75 < x < 5.5 + 61 + 2.75 + 61
    assert 11 + 43 + 3.25 < y < 11 + 43 + 3.25 + 43


def test_what_does_not_fit_the_page_goes_on_the_next_from_its_first_position():
    made = paper(*many(4), sheet=ODD, start=13)

    assert [(page, text) for page, text, _ in codes(made.pdf)] == [
        *((0, f"JARS-25-00{number}") for number in (1, 2, 3)),
        (1, "JARS-25-004"),
    ]
    assert made.pages == 2


def test_copies_stand_side_by_side():
    made = paper(*many(2), sheet=ODD, copies=3)

    assert [text for _, text, _ in codes(made.pdf)] == ["JARS-25-001"] * 3 + ["JARS-25-002"] * 3
    assert made.labels == 6


def test_the_qr_code_has_the_page_address_before_the_code():
    there = Practice(page_address="https://shelf.example/jar/")
    made = paper(label(thing_of(), there, TODAY))

    assert [text for _, text, _ in codes(made.pdf)] == ["https://shelf.example/jar/CAOF-25-01"]


@pytest.mark.parametrize("size", [(50, 25), (60, 33), (37, 70), (70, 37), (105, 74)])
@pytest.mark.parametrize("length", [0, 20, 60, 150])
def test_a_qr_code_can_be_read_or_is_not_there_and_that_is_said(size, length):
    """At 300 dots an inch, what a usual printer prints at least."""
    address = f"https://shelf.example/{'x' * length}/" if length else None
    there = Practice(page_address=address)
    made = paper(label(thing_of(), there, TODAY), sheet=single(*size))

    read = [text for _, text, _ in codes(made.pdf)]
    assert read == ([] if "QR code" in made.left_off[0] else [f"{address or ''}CAOF-25-01"])
    assert read or length > 20 or (length and size == (50, 25)) or size == (37, 70)


def test_a_line_in_two_scripts_keeps_the_blank_between_them():
    one = label_of(common="עשב", herb="Calendula officinalis")
    mixed = one._replace(lines=(LabelLine((Run("עשב", "B"), Run(" Calendula", "I"))),))
    found = letters(paper(mixed, sheet=single(120, 60)).pdf)
    last_of_latin = max(one.right for one in found if one.what == "a" and one.top < 10)
    first_of_hebrew = min(one.left for one in found if one.what == "ב")

    assert first_of_hebrew - last_of_latin > 0.4


def test_500_labels_are_all_there_and_every_code_is_read():
    made = paper(*many(500))

    assert made.pages == 50
    assert sorted(text for _, text, _ in codes(made.pdf)) == [
        f"JARS-25-{number:03d}" for number in range(1, 501)
    ]


def test_nothing_to_print_is_refused():
    with pytest.raises(MisusedError, match="nothing to print"):
        paper()


@pytest.mark.parametrize("start", [0, -1, 16])
def test_a_position_the_sheet_has_not_is_refused(start):
    with pytest.raises(MisusedError, match="position"):
        paper(label_of(), sheet=ODD, start=start)


def test_a_label_too_small_for_what_it_must_say_is_refused():
    with pytest.raises(TooSmallError, match="too small for ACNA-25-01"):
        paper(label_of(herb="Aconitum napellus", code="ACNA-25-01"), sheet=single(30, 15))


def test_cautions_stay_when_there_is_no_room_for_the_rest():
    made = paper(
        label_of(herb="Aconitum napellus", lots=("north bed " * 15,)), sheet=single(60, 28)
    )

    assert any(text.startswith("From: north bed") for text in made.left_off[0])
    assert "EXTERNAL USE ONLY" in text_of(made.pdf)
    assert "Keep from children." in text_of(made.pdf)


def test_milder_cautions_go_with_a_pointer_and_grave_ones_never():
    """By its row monkshood is a poison; a note on St John's wort is for some people."""
    thing = two_herbs("Aconitum napellus", herb="Hypericum perforatum", part="herb")
    graver, milder = "CAUTION: Aconitum napellus", "CAUTION: Hypericum perforatum"
    seen = {"all": 0, "shorter": 0, "too small": 0}
    for wide in range(25, 100, 3):
        try:
            made = paper(label(thing, PRACTICE, TODAY), sheet=single(wide, 28))
        except TooSmallError:
            seen["too small"] += 1
            continue
        text = squeezed(text_of(made.pdf))
        assert squeezed("EXTERNAL USE ONLY") in text
        assert squeezed(graver) in text
        is_off = any(one.startswith(milder) for one in made.left_off[0])
        assert (squeezed(milder) in text) is not is_off
        assert (squeezed("More: see the handout.") in text) is is_off
        seen["shorter" if is_off else "all"] += 1

    assert all(seen.values()), seen


def test_a_lid_too_small_for_its_poison_is_refused_and_says_what_to_do():
    one = lid_of(herb="Aconitum napellus", code="ACNA-25-01")
    with pytest.raises(TooSmallError, match="too small for ACNA-25-01") as refused:
        paper(one, sheet=single(18, 18, is_round=True))

    assert refused.value.do == "use a larger one with --size or --sheet."


@pytest.mark.parametrize("case", HARD_NAMES)
@pytest.mark.parametrize("short", [False, True])
def test_a_poison_stays_on_the_label_beside_a_name_in_any_script(case, short):
    common, latin = HARD_NAMES[case]
    thing = two_herbs("Aconitum napellus", common=common, herb=latin)
    made = paper((lid if short else label)(thing, PRACTICE, TODAY), sheet=single(90, 60))
    text = squeezed(text_of(made.pdf))

    assert squeezed("EXTERNAL USE ONLY") in text
    assert squeezed("Harmful plant Aconitum napellus" if short else "CAUTION: Aconitum nap") in text


def test_many_herbs_have_all_their_cautions_or_the_label_is_refused():
    one = OneJar.charged()
    herbs = ["Aconitum napellus", "Senna alexandrina", "Arnica montana", "Symphytum officinale"]
    herbs += ["Hypericum perforatum", "Taraxacum officinale", "Digitalis purpurea"]
    for herb in herbs:
        one.then(HerbAdded(about=one.jar, herb=herb, form="dried", herb_g=9.0), "2025-03-04")
    thing = Thing("CAOF-25-01", one.now())
    grave = ("Aconitum napellus", "Arnica montana", "Symphytum officinale", "Digitalis purpurea")

    text = squeezed(text_of(paper(label(thing, PRACTICE, TODAY), sheet=single(105, 74)).pdf))
    assert text.find("Externaluseonly.Notforinternaluse.CAUTION:") > 0
    assert text.endswith("POISON")
    assert all(squeezed(f"CAUTION: {herb}") in text for herb in grave)
    with pytest.raises(TooSmallError):
        paper(label(thing, PRACTICE, TODAY), sheet=single(50, 25))


def two_herbs(second: str, **changes: object) -> Thing:
    """A jar with a little of another herb."""
    one = OneJar.charged(**changes)
    one.then(HerbAdded(about=one.jar, herb=second, form="dried", herb_g=9.0), "2025-03-04")
    return Thing("CAOF-25-01", one.now())


def test_the_same_labels_are_the_same_bytes():
    assert paper(label_of()).pdf == paper(label_of()).pdf


# Nothing that was typed can become anything but letters


def test_text_that_looks_like_pdf_stays_text():
    evil = ") Tj ET Q endstream endobj 9 0 obj << /S /JavaScript /JS (app.alert(1)) >> (\\"
    made = paper(label_of(common=evil, lots=(evil,)))
    reader = pypdf.PdfReader(io.BytesIO(made.pdf), strict=True)
    names = {
        key
        for number in range(1, len(reader.xref[0]) + 1)
        if isinstance(one := reader.get_object(number), dict)
        for key in one
    }

    assert squeezed(evil) in squeezed(text_of(made.pdf))
    assert not names & {"/JS", "/S", "/AA", "/Annots", "/URI"}
    assert isinstance(reader.root_object["/OpenAction"], list)  # a place on the page, no action


def test_viewers_are_asked_to_print_the_page_at_its_own_size():
    reader = pypdf.PdfReader(io.BytesIO(paper(label_of()).pdf))

    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_control_codes_from_a_damaged_book_are_shown_and_not_obeyed():
    thing = thing_of()
    thing.jar.common = "one\ntwo\x1b[31m\u202ethree"
    made = paper(label(thing, PRACTICE, TODAY))

    assert "one\\x0atwo\\x1b[31m\\u202ethree" in squeezed(text_of(made.pdf))


@searching(4)
@given(
    st.lists(
        st.from_regex(r"[A-Z]{4}-[0-9]{2}-[0-9]{2,3}[a-z]?", fullmatch=True),
        min_size=6,
        max_size=8,
    )
)
def test_the_code_that_is_read_is_the_code_that_was_written(written):
    made = paper(*(label_of(code=code) for code in written), sheet=single(70, 37))

    assert [text for _, text, _ in codes(made.pdf)] == written


# No letter leaves its label

_LETTERS = st.characters(
    codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cf", "Mn", "Me")
)
_names = st.text(_LETTERS, min_size=1, max_size=200).filter(says_something)
_sizes = st.tuples(st.floats(25, 130), st.floats(18, 90))


def _stay_inside(made: Printed, sheet: LabelSheet) -> None:
    wide, high = sheet.label_mm
    for one in (one for page in range(made.pages) for one in letters(made.pdf, page)):
        assert one.left >= -NEAR_MM, one
        assert one.right <= wide + NEAR_MM, one
        assert one.top >= -NEAR_MM, one
        assert one.bottom <= high + NEAR_MM, one


@searching(15)
@given(_sizes, _names, st.sampled_from([name for name, _ in HARD_NAMES.values()]), st.booleans())
def test_no_letter_leaves_its_label_whatever_the_name_and_the_size(size, lot, common, short):
    sheet = single(*size)
    one = lid_of(common=common) if short else label_of(common=common, lots=(lot,))
    try:
        made = paper(one, sheet=sheet)
    except TooSmallError:
        event("too small")
        return
    event("printed")
    _stay_inside(made, sheet)


# Several names to a document: what costs is opening the fonts, once for each.
@searching(4)
@given(st.lists(st.tuples(_names, _names), min_size=6, max_size=8))
def test_a_label_of_ordinary_size_takes_any_name(names):
    """Of the width and half the height of a postcard: never too small, whatever is typed."""
    sheet = single(105, 74)
    made = paper(*(label_of(common=common, herb=herb) for common, herb in names), sheet=sheet)

    assert made.pages == len(names)
    _stay_inside(made, sheet)


@pytest.mark.parametrize("case", HARD_NAMES)
@pytest.mark.parametrize("across", [30, 38, 60])
def test_no_letter_leaves_a_round_lid(case, across):
    common, latin = HARD_NAMES[case]
    sheet = single(across, across, is_round=True)
    try:
        made = paper(lid_of(common=common, herb=latin), sheet=sheet)
    except TooSmallError:
        assert across == 30
        return
    radius = across / 2

    found = letters(made.pdf)
    assert found
    for one in found:
        for x, y in product((one.left, one.right), (one.top, one.bottom)):
            assert (x - radius) ** 2 + (y - radius) ** 2 <= (radius + NEAR_MM) ** 2, one
