"""The paper of a page that is no sheet of labels: that of the maker's sheet, or A4."""

from typing import Final

from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet
from tracker.core.practice.practice import Practice

A4_MM: Final = (210.0, 297.0)
# Narrower paper is a roll or a card: no page of words goes on it.
_NARROWEST_MM: Final = 140.0
# Room for a label on a record where the maker's own would leave none beside it.
LABEL_MM: Final = (90.0, 50.0)
_WIDEST_MM, _HIGHEST_MM = 100.0, 70.0
_LEAST_MM: Final = 25.0


def sheet_of(practice: Practice) -> LabelSheet:
    """The maker's usual sheet of labels."""
    return practice.sheets.get(practice.label_sheet, BUILT_IN["a4"])


def upright_page_mm(sheet: LabelSheet) -> tuple[float, float]:
    """Width and height of a page that stands."""
    least, most = sorted(sheet.page_mm)
    return (least, most) if least >= _NARROWEST_MM else A4_MM


def lying_page_mm(sheet: LabelSheet) -> tuple[float, float]:
    """Width and height of a page that lies."""
    wide, high = upright_page_mm(sheet)
    return high, wide


def label_room_mm(sheet: LabelSheet) -> tuple[float, float]:
    """The size of one of the maker's labels, where there is room for it on a page."""
    wide, high = sheet.label_mm
    fits = _LEAST_MM <= wide <= _WIDEST_MM and _LEAST_MM <= high <= _HIGHEST_MM
    return (wide, high) if fits else LABEL_MM
