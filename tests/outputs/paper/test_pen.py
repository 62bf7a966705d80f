"""Ink on pages, as PDFium draws it: bars with white words in them, and pictures."""

import io
from datetime import UTC, datetime

import pypdfium2
import pytest
from PIL import Image, ImageStat

from tests.outputs.paper.reading import letters, text_of
from tracker.core.practice.label_sheets import Box
from tracker.outputs.paper.pen import Pen, missing_letters_of

NOW = datetime(2025, 3, 10, 9, tzinfo=UTC)
DPI = 254  # ten dots a millimetre


def drawn(draw, size=(60.0, 40.0)):
    """The PDF of one page, and it as a picture in grey."""
    with Pen("Drawn", NOW) as pen:
        pen.page(*size)
        draw(pen)
        pdf = pen.finished()
    with pypdfium2.PdfDocument(pdf) as document:
        picture = document[0].render(scale=DPI / 72).to_pil()
    return pdf, picture


def greys(picture, box):
    """The darkest and the lightest spot within a box in mm."""
    edges = tuple(round(10 * one) for one in (box.x, box.y, box.x + box.width, box.y + box.height))
    return picture.convert("L").crop(edges).getextrema()


def a_picture(size, kind="PNG"):
    to = io.BytesIO()
    Image.new("RGB", size, (200, 0, 0)).save(to, kind)
    return to.getvalue()


def test_words_in_a_bar_are_white_on_black_and_can_be_read():
    box = Box(5, 5, 50, 10)

    def bar(pen):
        pen.black(box)
        pen.write(8, 12, "POISON", "B", 14, white=True)
        pen.write(8, 25, "beside it", "", 14)

    pdf, picture = drawn(bar)
    assert greys(picture, box)[1] > 250
    assert greys(picture, Box(5.2, 5.2, 49.6, 1)) == (0, 0)
    assert greys(picture, Box(5, 20, 50, 8))[0] < 10  # what follows is black once more
    assert text_of(pdf) == "POISON beside it"


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
@pytest.mark.parametrize(
    ("size", "wide", "high"), [((400, 100), 20, 5), ((100, 400), 2.5, 10), ((90, 90), 10, 10)]
)
def test_a_picture_keeps_its_proportions_in_the_middle_of_its_box(kind, size, wide, high):
    _, picture = drawn(lambda pen: pen.picture(Box(10, 10, 20, 10), a_picture(size, kind)))
    left, top, right, bottom = (
        edge / 10 for edge in picture.convert("L").point(lambda grey: 255 * (grey < 200)).getbbox()
    )

    assert (right - left, bottom - top) == pytest.approx((wide, high), abs=0.3)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((20, 15), abs=0.3)


SCRIPTS = {
    "latin": "Ringelblume",
    "greek": "Καλέντουλα",
    "cyrillic": "ноготки",
    "hebrew": "ציפורני חתול",
    "arabic": "زهرة آذريون",
    "devanagari": "गेंदे का फूल।",
    "bengali": "গাঁদা ফুল",
    "gujarati": "ગલગોટા",
    "gurmukhi": "ਗੇਂਦਾ ਫੁੱਲ",
    "tamil": "சாமந்தி",
    "telugu": "బంతి పువ్వు",
    "kannada": "ಚೆಂಡು ಹೂವು",
    "malayalam": "ചെണ്ടുമല്ലി",
    "thai": "ดาวเรือง",
    "myanmar": "ထပ်တစ်ရာပန်း",
    "khmer": "ស្បៃរឿង",
    "armenian": "Վաղենակ",
    "georgian": "გულყვითელა",
    "chinese": "金盏花、金盏花",
    "japanese": "漢字かな",
    "korean": "금잔화",
}


@pytest.mark.parametrize("script", SCRIPTS)
def test_every_script_has_a_bold(script):
    """By the ink: a bold takes more of the paper than what is not."""

    def both(pen):
        pen.write(5, 15, SCRIPTS[script], "", 20)
        pen.write(5, 35, SCRIPTS[script], "B", 20)
        assert pen.missing == set()

    _, picture = drawn(both, (120.0, 40.0))
    grey = picture.convert("L")
    plain, bold = (
        255 - ImageStat.Stat(grey.crop(half)).mean[0]
        for half in ((0, 0, 1200, 200), (0, 200, 1200, 400))
    )
    assert 1.15 * plain < bold < 2.2 * plain


def test_a_number_between_words_from_right_to_left_stands_between_them():
    """In a line from left to right the second word lies left of the number, the first right."""
    pdf, _ = drawn(lambda pen: pen.write(5, 15, "abc שלום 123 עולם def", "", 14), (120.0, 40.0))
    left = {}
    for one in letters(pdf):
        left.setdefault(one.what, one.left)

    assert left["c"] < left["ע"] < left["1"] < left["3"] < left["ש"] < left["d"]


def test_letters_without_a_font_are_known_before_anything_is_drawn():
    assert missing_letters_of(["Marigold 🌿", "漢字 ok", "🌿\u0378"], NOW) == {"🌿", "\u0378"}
    assert missing_letters_of(["Ringelblume", "زهرة", "गेंदे"], NOW) == set()
