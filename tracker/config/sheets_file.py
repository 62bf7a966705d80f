"""The sheets of labels in practice.toml: [sheets.NAME], on its own or over a built-in."""

import re
from collections.abc import Callable, Mapping

import msgspec

from tracker.config.rule_values import text, yes_or_no
from tracker.core.practice.label_sheets import (
    LARGEST_MM,
    MOST_ON_A_PAGE,
    LabelSheet,
    parse_mm,
    parse_size,
)


def _mm(value: object) -> float:
    """`12 mm`, or the bare number."""
    if isinstance(value, float) or (isinstance(value, int) and not isinstance(value, bool)):
        if not 0 <= value <= LARGEST_MM:
            raise ValueError(f"it needs a length of 0 to {LARGEST_MM:g} mm")
        return parse_mm(f"{value:.4f}")
    if not isinstance(value, str):
        raise ValueError("it needs a length such as 12 mm")
    return parse_mm(text(value))


def _size(value: object) -> tuple[float, float]:
    if not isinstance(value, str):
        raise ValueError("it needs width x height, such as 70x37mm")
    return parse_size(text(value))


def _count(value: object) -> int:
    is_number = isinstance(value, int) and not isinstance(value, bool)
    if isinstance(value, str) and re.fullmatch(r"[1-9][0-9]{0,3}", value):
        return int(value)
    if not (is_number and isinstance(value, int) and 1 <= value <= MOST_ON_A_PAGE):
        raise ValueError(f"it needs a number from 1 to {MOST_ON_A_PAGE}")
    return value


SHEET_KEYS: dict[str, tuple[str, Callable[[object], object]]] = {
    "page": ("page_mm", _size),
    "label": ("label_mm", _size),
    "columns": ("columns", _count),
    "rows": ("rows", _count),
    "left": ("left_mm", _mm),
    "top": ("top_mm", _mm),
    "gap across": ("across_mm", _mm),
    "gap down": ("down_mm", _mm),
    "padding": ("padding_mm", _mm),
    "round": ("is_round", yes_or_no),
    "outline": ("outline", yes_or_no),
}


def page_address(value: object) -> str | None:
    """What stands before the code in a QR code: `https://shelf.example/`, or none.

    Raises:
        ValueError: it is not the address of a page, or too long to be read from a label.
    """
    if value in ("none", ""):
        return None
    if not isinstance(value, str) or not re.fullmatch(r"https?://[!-~]{1,180}", value):
        raise ValueError("it needs an address such as https://shelf.example/")
    return value


def sheet_name(value: object) -> str:
    """The name of a sheet; whether there is one is seen when it is used.

    Raises:
        ValueError: it cannot be a name.
    """
    if not isinstance(value, str) or not re.fullmatch(r"[a-z0-9][a-z0-9 -]{0,30}", value):
        raise ValueError(
            "its name may have small letters, digits, spaces and hyphens, up to 31 of them"
        )
    return value


def made(read: Mapping[str, object], over: LabelSheet | None) -> LabelSheet:
    """The sheet these values describe.

    Raises:
        ValueError: they leave out page or label, or no such sheet can be printed.
    """
    values = msgspec.structs.asdict(over) if over else {}
    if missing := {"page_mm", "label_mm"} - (values | dict(read)).keys():
        names = " and ".join(sorted(name.removesuffix("_mm") for name in missing))
        raise ValueError(f"it needs {names}")
    sheet = msgspec.convert(values | dict(read), LabelSheet)
    if why := sheet.wrong():
        raise ValueError(why)
    return sheet


def written(sheet: LabelSheet) -> dict[str, str | None]:
    """A sheet as practice.toml says it, key by key."""
    texts: dict[str, str | None] = {}
    for key, (name, _) in SHEET_KEYS.items():
        value = getattr(sheet, name)
        if isinstance(value, tuple):
            texts[key] = f"{value[0]:g}x{value[1]:g} mm"
        elif isinstance(value, bool):
            texts[key] = "yes" if value else "no"
        else:
            texts[key] = f"{value:g} mm" if isinstance(value, float) or "mm" in name else str(value)
    return texts
