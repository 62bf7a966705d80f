"""A run of labels of the demo book, read back: sizes of type, bars, codes, nothing on another."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from functools import cache
from itertools import combinations

import pypdfium2
import pytest

from tests.journal.demo_book import LAST, shelf_on
from tests.lives import spirit
from tests.outputs import shelves
from tests.outputs.paper.jars import PRACTICE, label_of, lid_of, thing_of
from tests.outputs.paper.reading import Ink, Letter, codes, drawn_letters, squeezed, text_of
from tracker.core.practice.label_rules import LabelRules
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet, single
from tracker.core.practice.practice import Practice
from tracker.core.rules.checks.jar_state import not_gone
from tracker.core.rules.verdict import Verdict
from tracker.core.shelf.thing import Thing, things
from tracker.outputs.paper.labels.label_layout import TooSmallError
from tracker.outputs.paper.labels.label_lines import Label
from tracker.outputs.paper.labels.label_pdf import Printed, printed
from tracker.outputs.paper.labels.label_text import label, lid, short

pytestmark = pytest.mark.thorough

NOW = datetime(2026, 11, 20, 9, tzinfo=UTC)
LEAST_PT = 5.5
_GOOD = "Goodthrough"
# A label so small that it takes a finger to hold it, twenty to a page.
THUMB = LabelSheet((200, 100), (25, 15), 5, 4, 10, 10, 5, 5, padding_mm=1.5)
TALL = LabelSheet((200, 160), (37, 70), 4, 2, 10, 5, 5, 5)
SHEETS = {
    "a4": (label, BUILT_IN["a4"]),
    "letter": (label, BUILT_IN["letter"]),
    "70x37": (label, LabelSheet((210, 297), (70, 37), 3, 8)),
    "50x25": (label, LabelSheet((210, 297), (50, 25), 4, 11)),
    "tall": (label, TALL),
    "lids": (lid, BUILT_IN["lids"]),
    "thumb": (short, THUMB),
    "40x20": (short, LabelSheet((210, 297), (40, 20), 5, 14, 5, 5)),
}


@cache
def demo_things() -> tuple[Thing, ...]:
    """What there is to print a label of: jars with herb in, extracts and some of the bottles."""
    found = [
        one
        for batch in shelf_on(LAST).batches
        for one in things(batch)
        if not Verdict.of(not_gone(one)).refusals
    ]
    bottles = [one for one in found if one.bottle is not None]
    others = [one for one in found if one.bottle is None]
    return (*others[::2], *bottles[::12])


@cache
def run(name: str) -> Printed:
    """The demo book on a sheet, one label behind the other."""
    write, sheet = SHEETS[name]
    return printed([write(one, PRACTICE, LAST) for one in demo_things()], sheet, NOW)


def by_label(made: Printed, sheet: LabelSheet) -> Iterator[list[Letter]]:
    """The letters of each label, its place on the page taken off."""
    for page in range(made.pages):
        letters = drawn_letters(made.pdf, page)
        for place in range(sheet.per_page):
            _, box = sheet.place(place)
            mine = [
                one
                for one in letters
                if box.x <= one.ink.left < box.x + box.width
                and box.y <= one.ink.top < box.y + box.height
            ]
            if mine:
                yield [one._replace(ink=_moved(one.ink, box.x, box.y)) for one in mine]


def _moved(ink: Ink, x: float, y: float) -> Ink:
    return Ink(ink.left - x, ink.top - y, ink.right - x, ink.bottom - y, ink.what)


def sizes(letters: Sequence[Letter]) -> Counter[float]:
    return Counter(round(one.size_pt, 2) for one in letters)


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_is_smaller_than_can_be_read(name):
    made = run(name)

    assert made.labels == len(demo_things()) > 60
    for page in range(made.pages):
        assert min(one.size_pt for one in drawn_letters(made.pdf, page)) >= LEAST_PT - 0.001


def test_what_is_too_much_for_a_label_is_refused_plainly():
    thing = shelves.of_two_herbs().thing
    with pytest.raises(TooSmallError, match="too small for CAOF-25-01A") as refused:
        printed([short(thing, PRACTICE, LAST)], single(18, 12), NOW)

    assert refused.value.do == "use a larger one with --size or --sheet."


@pytest.mark.parametrize("name", SHEETS)
def test_every_label_is_printed_whole_in_its_place(name):
    """No letter is left out of the file, and none leaves its label."""
    _, sheet = SHEETS[name]
    made, found = run(name), list(by_label(run(name), sheet))
    wide, high = sheet.label_mm

    assert len(found) == made.labels
    for lines, letters in zip(made.lines, found, strict=True):
        said = Counter(squeezed("".join(lines)).replace("·", ""))
        there = Counter("".join(one.ink.what for one in letters))
        there.subtract(said)
        assert {what: more for what, more in there.items() if what not in "\u2010·-"} == {
            what: 0 for what in there if what not in "\u2010·-"
        }
        assert all(one.ink.left > -0.2 and one.ink.right < wide + 0.2 for one in letters)
        assert all(one.ink.top > -0.2 and one.ink.bottom < high + 0.2 for one in letters)


@pytest.mark.parametrize("name", SHEETS)
def test_no_line_lies_on_another(name):
    for letters in by_label(run(name), SHEETS[name][1]):
        for one, other in combinations(letters, 2):
            if abs(one.baseline - other.baseline) > 0.05:
                assert not _lies_on(one.ink, other.ink), (one, other)


def _lies_on(one: Ink, other: Ink) -> bool:
    across = min(one.right, other.right) - max(one.left, other.left)
    down = min(one.bottom, other.bottom) - max(one.top, other.top)
    return across > 0.05 and down > 0.05


def test_the_latin_name_is_the_largest_by_far_and_ratio_and_strength_half_as_large():
    (letters,) = by_label(printed([label_of()], single(90, 50), NOW), single(90, 50))
    found = sorted(sizes(letters), reverse=True)
    ratio = next(one.size_pt for one in letters if one.ink.what == "%")

    assert 18 <= found[0] <= 21
    assert found[1] / found[0] < 0.6
    assert ratio / found[0] == pytest.approx(0.5, abs=0.03)


def test_a_run_is_of_one_size_and_a_label_with_far_more_to_say_one_step_smaller():
    """By the bold last day, on all that have one."""
    found = Counter(
        round(letters[text.index(_GOOD)].size_pt, 2)
        for letters in by_label(run("a4"), BUILT_IN["a4"])
        if _GOOD in (text := "".join(one.ink.what for one in letters))
    )
    (usual, often), *others = found.most_common()

    assert often / sum(found.values()) > 0.8
    assert [size for size, _ in others] == [pytest.approx(usual * 0.93, abs=0.01)]


def test_labels_of_one_run_are_set_as_the_fullest_but_a_few_asks_for():
    """Alone a label is larger than beside many that have more to say."""
    full = Practice(label=LabelRules(lines=("Elm House Herbs",) * 6))
    many = [label(thing_of(code=f"CAOF-25-{n:02d}", lots=("x",)), full, LAST) for n in range(1, 9)]
    alone = printed([label_of()], single(90, 50), NOW)
    beside = printed([label_of(), *many], single(90, 50), NOW)

    assert max(sizes(drawn_letters(alone.pdf))) > max(sizes(drawn_letters(beside.pdf)))
    assert max(sizes(drawn_letters(beside.pdf, 0))) == max(sizes(drawn_letters(beside.pdf, 1)))


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("name", ["a4", "letter", "70x37", "50x25", "tall", "40x20"])
def test_every_qr_code_is_read_at_once(name, dpi):
    made = run(name)
    wanted = [
        one.code
        for one, left in zip(demo_things(), made.left_off, strict=True)
        if "QR code" not in left
    ]

    assert sorted(text for _, text, _ in codes(made.pdf, dpi=dpi)) == sorted(wanted)
    assert wanted


GRAVE = [
    shelves.held_by_a_look,
    shelves.recalled,
    shelves.of_a_harmful_plant,
    shelves.of_two_herbs,
    shelves.of_a_poured_extract,
]


@pytest.mark.parametrize("shelf", GRAVE, ids=lambda one: one.__name__)
@pytest.mark.parametrize(
    ("write", "sheet"),
    [(label, single(90, 50)), (label, single(60, 40)), (lid, BUILT_IN["lids"]), (short, THUMB)],
    ids=["90x50", "60x40", "lid", "thumb"],
)
def test_a_grave_thing_has_one_black_bar_with_white_capitals(shelf, write, sheet):
    one = write(shelf().thing, PRACTICE, date(2025, 7, 1))
    made = printed([one], sheet, NOW)
    letters = drawn_letters(made.pdf)
    white = [letter for letter in letters if letter.is_white]

    said = "".join(letter.ink.what for letter in white)
    assert said == said.upper()
    assert said.startswith(squeezed(one.bar.text)[:6])
    assert len(white) < len(letters)
    grave = min(letter.size_pt for letter in white)
    assert grave >= min(letter.size_pt for letter in letters)
    assert _contrast(made, white) > 15


def _contrast(made: Printed, white: Sequence[Letter]) -> float:
    """The ratio of WCAG between the lightest and the darkest dot among white letters."""
    with pypdfium2.PdfDocument(made.pdf) as document:
        picture = document[0].render(scale=600 / 72, grayscale=True).to_pil()
    mm = 600 / 25.4
    box = (
        min(one.ink.left for one in white) * mm,
        min(one.ink.top for one in white) * mm,
        max(one.ink.right for one in white) * mm,
        max(one.ink.bottom for one in white) * mm,
    )
    darkest, lightest = picture.crop(tuple(round(one) for one in box)).getextrema()
    return (_light(lightest) + 0.05) / (_light(darkest) + 0.05)


def _light(grey: int) -> float:
    part = grey / 255
    return part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4


@pytest.mark.parametrize("write", [label, lid, short])
def test_what_is_well_has_no_bar(write):
    assert write(thing_of(), PRACTICE, LAST).bar is None
    assert not [one for one in _letters_of(write(thing_of(), PRACTICE, LAST)) if one.is_white]


def _letters_of(one: Label) -> list[Letter]:
    return drawn_letters(printed([one], single(90, 50), NOW).pdf)


def test_a_grave_caution_is_never_in_smaller_type_than_a_milder_one():
    thing = shelves.of_two_herbs().thing
    for high in (30, 40, 50, 70):
        made = printed([label(thing, PRACTICE, LAST)], single(90, high), NOW)
        letters = drawn_letters(made.pdf)
        text = "".join(one.ink.what for one in letters)
        grave = letters[text.index("CAUTION:")].size_pt
        mild = letters[text.index("Keepfromchildren")].size_pt
        in_bar = min(one.size_pt for one in letters if one.is_white)
        assert in_bar >= grave >= mild >= LEAST_PT


def test_of_the_makers_own_lines_the_last_is_left_off_first():
    lines = tuple(f"Line {place} of a maker who has a great deal to say" for place in range(6))
    talkative = Practice(label=LabelRules(lines=lines))
    made = printed([label(thing_of(), talkative, LAST)], single(60, 34), NOW)
    left = [text for text in made.left_off[0] if text in lines]

    assert 0 < len(left) < 6
    assert tuple(left) == lines[-len(left) :]
    assert "Keep from children." in text_of(made.pdf)


def test_a_code_is_never_broken():
    code = "BLEND-26-01"
    for name, (write, sheet) in SHEETS.items():
        one = write(thing_of(code=code), PRACTICE, LAST)
        letters = drawn_letters(printed([one], sheet, NOW).pdf)
        text = "".join(letter.ink.what for letter in letters)
        mine = letters[text.index(code) : text.index(code) + len(code)]
        assert len({round(letter.baseline, 2) for letter in mine}) == 1, name


def test_a_caution_is_hyphenated_by_the_language_of_the_practice():
    lines = ("Donaudampfschifffahrtsgesellschaft",)
    texts = [
        text_of(printed([label(thing_of(), practice, LAST)], single(30, 90), NOW).pdf)
        for language in ("de", "")
        for practice in [Practice(label=LabelRules(lines=lines, language=language))]
    ]

    assert ["\u2010" in text for text in texts] == [True, False]


def test_the_logo_stands_in_the_upper_right_and_nothing_lies_on_it():
    import io

    from PIL import Image

    picture = io.BytesIO()
    Image.new("RGB", (200, 200), "black").save(picture, "PNG")
    made = printed([label_of()], single(90, 50), NOW, logo=picture.getvalue())
    with pypdfium2.PdfDocument(made.pdf) as document:
        page = document[0]
        (image,) = [one for one in page.get_objects() if one.type == 3]
        left, bottom, right, top = (value * 25.4 / 72 for value in image.get_bounds())

    assert left > 45 and right <= 88.1  # noqa: PT018
    assert 50 - top >= 1.9 and 50 - bottom < 20  # noqa: PT018
    logo = Ink(left, 50 - top, right, 50 - bottom)
    assert not [one for one in drawn_letters(made.pdf) if _lies_on(one.ink, logo)]


def test_on_the_smallest_label_cautions_stay_before_part_and_common_name():
    made = printed([short(thing_of(), PRACTICE, date(2025, 3, 10))], single(25, 15), NOW)

    assert made.lines[0][-2:] == ("Read the jar. Keep from children.", "CAOF-25-01")
    assert made.left_off[0] == ("flower, dried · marigold", "QR code")


def test_a_caution_that_has_a_line_of_its_own_is_not_broken_on_a_lid():
    made = printed([lid_of(pours=(spirit(500, 70),))], BUILT_IN["lids"], NOW)

    for sentence in ("Cautions: read the jar.", "Flammable.", "Keep from children."):
        assert any(sentence in line for line in text_of(made.pdf).splitlines())
