"""A few keys of practice.toml set to other values; every other byte of it stays as it is."""

import re
import tomllib
from collections.abc import Mapping

from tracker.config.key_lines import KeyLines
from tracker.config.small_file import FileError
from tracker.core.practice.practice import PRACTICE_FILE

Key = tuple[str, str]  # the table, empty before any, and the key in it

_HEAD = (
    f"# {PRACTICE_FILE}: the maker's own rules. `stillroom practice --example` prints them all.\n"
)
# A key with one value in quotes or without, and what stands behind it on its line.
_PLAIN = re.compile(
    r"""(?P<before>\s*["']?[\w\ -]+?["']?\s*=\s*)
        (?:"[^"\\]*"|'[^']*'|[\w:.+-]+)
        (?P<behind>\s*(?:\#.*)?)""",
    re.VERBOSE,
)


class NotEditableError(ValueError):
    """The file is written in a way in which those keys cannot be set without risk to the rest."""


def with_keys(text: str, wanted: Mapping[Key, str]) -> str:
    """The text of a practice with these keys set, and nothing else changed.

    Raises:
        NotEditableError: that cannot be done for sure.
    """
    try:
        before = tomllib.loads(text)
        changed = text or _HEAD
        for (table, key), value in reversed(list(wanted.items())):
            changed = _with_key(changed, table, key, value)
        after = tomllib.loads(changed)
    except (ValueError, IndexError, RecursionError, FileError) as reason:
        raise NotEditableError(str(reason)) from reason
    if after != _expected(before, wanted):
        raise NotEditableError("it is written in a way of its own")
    return changed


def lines_to_write(wanted: Mapping[Key, str]) -> list[str]:
    """What a person writes in the file by hand instead."""
    tables = dict.fromkeys(table for table, _ in sorted(wanted))
    lines: list[str] = []
    for name in tables:
        lines += [f"[{name}]"] if name else []
        lines += [_line(key, value) for (table, key), value in wanted.items() if table == name]
    return lines


def _line(key: str, value: str) -> str:
    return f'{key} = "{value}"'


def _expected(before: dict[str, object], wanted: Mapping[Key, str]) -> dict[str, object]:
    after = dict(before)
    for (table, key), value in wanted.items():
        if not table:
            after[key] = value
            continue
        inside = after.get(table, {})
        if not isinstance(inside, dict):
            raise NotEditableError(f"{table} is no table")
        after[table] = inside | {key: value}
    return after


def _with_key(text: str, table: str, key: str, value: str) -> str:
    end = "\r\n" if "\r\n" in text else "\n"
    lines = text.split(end)
    known = KeyLines(text).of
    if number := known.get((table, key) if table else (key,)):
        lines[number - 1] = _with_value(lines[number - 1], value)
    elif not table:
        lines.insert(_top(lines), _line(key, value))
    elif number := known.get((table,)):
        lines.insert(number, _line(key, value))
    else:
        kept = lines if lines[-1] else lines[:-1]
        gap = [""] if kept else []
        lines = [*kept, *gap, f"[{table}]", _line(key, value), ""]
    return end.join(lines)


def _with_value(line: str, value: str) -> str:
    found = _PLAIN.fullmatch(line)
    if found is None:
        raise NotEditableError("a value takes more than its line")
    return f'{found["before"]}"{value}"{found["behind"]}'


def _top(lines: list[str]) -> int:
    """Where a key before any table may stand: below the remarks that the file begins with."""
    number = 0
    while number < len(lines) and lines[number].startswith("#"):
        number += 1
    return number
