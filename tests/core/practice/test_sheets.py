"""Sheets of labels described in millimetres, in practice.toml and on the command line."""

import pytest

from tracker.config.practice_file import read_practice
from tracker.core.practice.label_sheets import (
    BUILT_IN,
    Box,
    LabelSheet,
    parse_mm,
    parse_size,
    single,
)
from tracker.core.practice.practice import Practice
from tracker.core.values.errors import MisusedError, PracticeError

MINE = """
[labels]
sheet = "mine"
"page address" = "https://shelf.example/jar/"

[sheets.mine]
page = "200 x 260 mm"
label = "61x43mm"
columns = 3
rows = 5
left = "5.5 mm"
top = 11
"gap across" = "2.75mm"
"gap down" = "0.325 cm"
padding = "1.5 mm"
outline = true
"""


def practice_of(folder, text: str) -> Practice:
    (folder / "practice.toml").write_text(text)
    return read_practice(folder)


def test_any_sheet_can_be_described(tmp_path):
    found = practice_of(tmp_path, MINE)

    assert found.sheets["mine"] == LabelSheet(
        (200, 260), (61, 43), 3, 5, 5.5, 11, 2.75, 3.25, padding_mm=1.5, outline=True
    )
    assert found.sheets["a4"] == BUILT_IN["a4"]
    assert (found.label_sheet, found.page_address) == ("mine", "https://shelf.example/jar/")


def test_a_built_in_sheet_is_changed_key_by_key(tmp_path):
    found = practice_of(tmp_path, '[sheets.a4]\ntop = "15 mm"\noutline = "no"\n').sheets["a4"]

    assert (found.top_mm, found.outline) == (15, False)
    assert found.label_mm == BUILT_IN["a4"].label_mm


@pytest.mark.parametrize(
    ("text", "line", "why"),
    [
        ('[sheets.a]\npage = "100x100mm"\n', 1, "it needs label"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "big"\n', 3, "no size"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "60x40mm"\ncolumns = 2\n', 1, "reach 120 mm"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "60x40mm"\nrows = 3\n', 1, "120 mm down"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "60x40mm"\nrows = 0\n', 4, "a number from 1"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "60x40mm"\npadding = 20\n', 1, "no room"),
        ('[sheets.a]\npage = "100x100mm"\nlabel = "6x4mm"\n', 1, "8 to 1500 mm"),
        ('[sheets.a]\nwidth = "100mm"\n', 2, "there is no such key"),
        ('[sheets]\na = "x"\n', 2, "a table such as"),
        ('[sheets."../a"]\npage = "100x100mm"\n', 1, "small letters"),
        ('[labels]\n"page address" = "javascript:alert(1)"\n', 2, "an address such as"),
        ('[labels]\n"page address" = "https://a.example/ b"\n', 2, "an address such as"),
    ],
)  # fmt: skip
def test_what_means_nothing_is_named_with_its_line(tmp_path, text, line, why):
    with pytest.raises(PracticeError, match=why) as refused:
        practice_of(tmp_path, text)
    assert refused.value.where == f"practice.toml, line {line}"


@pytest.mark.parametrize("name", BUILT_IN)
def test_a_built_in_sheet_can_be_printed_and_lies_in_the_middle_of_its_page(name):
    sheet = BUILT_IN[name]
    _, last = sheet.place(sheet.per_page - 1)
    wide, high = sheet.page_mm

    assert sheet.wrong() is None
    assert wide - (last.x + last.width) == pytest.approx(sheet.left_mm, abs=0.05)
    assert high - (last.y + last.height) == pytest.approx(sheet.top_mm, abs=0.05)


def test_positions_run_row_by_row_and_page_by_page():
    sheet = LabelSheet((100, 100), (40, 30), 2, 3, 5, 4, 6, 1)

    assert sheet.place(0) == (0, Box(5, 4, 40, 30))
    assert sheet.place(1) == (0, Box(51, 4, 40, 30))
    assert sheet.place(2) == (0, Box(5, 35, 40, 30))
    assert sheet.place(11) == (1, Box(51, 66, 40, 30))


@pytest.mark.parametrize(
    ("text", "mm"), [("70", 70), ("70 mm", 70), ("7cm", 70), ("2.5 in", 63.5), ("1 inch", 25.4)]
)
def test_lengths(text, mm):
    """An inch is 25.4 mm exactly."""
    assert parse_mm(text) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("70x37mm", (70, 37)), ("70 x 37", (70, 37)), ("70mm x 37mm", (70, 37)),
        ("70×37 mm", (70, 37)), ("4x3in", (101.6, 76.2)), ("63.5X38.1", (63.5, 38.1)),
    ],
)  # fmt: skip
def test_sizes(text, size):
    assert parse_size(text) == pytest.approx(size)


@pytest.mark.parametrize(
    "text",
    ["", "70", "x", "70x", "x37", "70x37x2", "-70x37", "nanx1", "1e3x5", "70x37 ells", "٧x٧"],
)
def test_what_is_no_size_is_refused(text):
    with pytest.raises(MisusedError):
        single(*parse_size(text))
