"""The shelf and the stock as tables: 80 cells, any script, colour only where it is shown.

Cells are counted by wcwidth, which follows Unicode Standard Annex 11, East Asian Width.
"""

import re
import unicodedata

import pytest
from wcwidth import wcswidth

from tests.command import Command
from tracker.outputs.terminal.table import Column, table

ESCAPE = "\x1b"
NAMES = (
    "Arctostaphylos uva-ursi subsp. adenotricha var. longissima",
    "Königskerzenblüten vom Südhang über dem Mühlbach",
    unicodedata.normalize("NFD", "Königskerzenblüten vom Südhang über dem Mühlbach"),
    "当归与黄芪以及枸杞子和甘草的混合根部切片",
    "البابونج الألماني المجفف من الحقل الشرقي",
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    """Every name twice: on the herb, and pressed."""
    command = Command(tmp_path_factory.mktemp("tables")).practice('zone = "Europe/Berlin"\n')
    for number, name in enumerate(NAMES):
        charge = (
            f"charge '{name}' --part 'flowering tops' --dried 1000g --water 0% --pour '9 l 45%'"
        )
        command.ok(f"{charge} --code N{number} --count 2 --when 2024-03-03 --lid metal")
        command.ok(f"press N{number}01 8l --when 2024-06-03")
    command.ok("bottle N001A 9x100ml 9x50ml 9x30ml 1x2l --when 2024-06-03")
    return command


def widths(text: str) -> list[int]:
    cells = [wcswidth(line) for line in text.splitlines()]
    assert -1 not in cells, "a control character in a table"
    return cells


@pytest.mark.parametrize("line", ["shelf", "shelf --done", "stock", "stock --on 2025-06-04", "due"])
def test_no_line_is_wider_than_80_cells(shelf, line):
    table = shelf.ok(line)

    assert len(table.splitlines()) > len(NAMES)
    assert max(widths(table)) <= 80
    assert ESCAPE not in table


@pytest.mark.parametrize("line", ["shelf", "stock"])
def test_columns_stand_under_each_other_whatever_the_script(shelf, line):
    head, *rows = shelf.ok(line).splitlines()
    starts = [wcswidth(row[: re.search(r"\bN\d\d\d", row).start()]) for row in rows]

    assert set(starts) == {head.index("CODE")}


def test_the_longest_code_and_an_inexact_charge_still_fit(command):
    charge = "charge Urtica --dried 5kg --pour '50 l 45%' --code CODE-OF-TWENTY-LONG1"
    command.ok(f"{charge} --when unknown")

    assert max(widths(command.ok("shelf"))) <= 80


@pytest.mark.parametrize("line", ["shelf", "stock"])
def test_colour_is_for_terminals_that_want_it(shelf, line):
    """NO_COLOR set and not empty asks for none: no-color.org."""
    coloured = shelf.at_terminal(line)
    plain = shelf.at_terminal(line, NO_COLOR="1")

    assert ESCAPE in coloured.out
    assert ESCAPE not in plain.out
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured.out) == plain.out
    assert max(widths(plain.out.replace("\r\n", "\n"))) <= 80


def test_a_wider_terminal_shows_more_of_the_name(shelf):
    narrow, wide = (
        shelf.at_terminal("shelf", columns=columns, NO_COLOR="1").out for columns in (80, 160)
    )

    assert NAMES[0] not in narrow
    assert NAMES[0] in wide
    assert max(widths(wide.replace("\r\n", "\n"))) <= 160


HARD = [
    "\U0001f469\u200d\U0001f33e" * 9,  # pictures joined into one
    "e\u0301" * 30,  # letters under combining marks
    "金盏花" * 12,
    "क्\u200dष" * 12,
    "a\u202eb\u200bc\U000e0041" * 5,
    "❤\ufe0f" * 20,
]


@pytest.mark.parametrize("total", [40, 80])
def test_hard_texts_are_cut_to_the_width_and_stay_in_columns(total):
    columns = [Column("ONE", least=8), Column("TWO", least=8), Column("THREE", least=8)]
    rows = [[one, other, "end"] for one in HARD for other in HARD]
    lines = table(columns, rows, total=total)

    assert all(0 <= wcswidth(line) <= total for line in lines)
    assert {wcswidth(line[: line.rindex("end")]) for line in lines[1:]} == {total - 5}
    assert not [line for line in lines if line.split("…")[0].endswith(("\u200c", "\u200d"))]


@pytest.mark.parametrize("columns", [60, 70, 80, 100, 140, 200])
@pytest.mark.parametrize(
    "line", ["shelf", "shelf --done", "stock", "stock --cost", "yields", "yields --by-method"]
)
def test_no_row_of_a_list_is_parted_or_wider_than_the_screen(shelf, line, columns):
    """A row that goes on in the next line can no longer be read down its columns."""
    shelf.env["COLUMNS"] = str(columns)
    head, *rows = shelf.ok(line).splitlines()
    del shelf.env["COLUMNS"]

    assert max(widths("\n".join([head, *rows]))) <= columns
    assert not [row for row in rows if row.startswith("   ") and "CODE" not in row]


def test_at_80_cells_the_ratio_of_a_jar_and_the_strength_of_an_extract_are_there(shelf):
    assert {"LIQUID", "RATIO", "NEXT"} <= set(shelf.ok("shelf").split("\n")[0].split())
    assert {"VOL", "BULK", "BOTTLES", "GOOD"} <= set(shelf.ok("stock").split("\n")[0].split())


def test_where_there_is_no_room_for_bulk_and_bottles_their_sum_is_there(shelf):
    shelf.env["COLUMNS"] = "60"
    head, *rows = shelf.ok("stock").splitlines()
    del shelf.env["COLUMNS"]

    assert head.split()[:4] == ["CODE", "%", "VOL", "ML"]
    assert any("N001A" in row and "8000" in row for row in rows)
