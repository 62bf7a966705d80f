"""practice.toml -> Practice. Every bad key or value is named with its line."""

import re
from collections.abc import Callable
from datetime import time
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import msgspec

from tracker.config import sheets_file
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet
from tracker.core.practice.practice import BUILT_IN_RULES, PRACTICE_FILE, Practice, Rules
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.errors import MisusedError, PracticeError
from tracker.core.values.text import is_plain
from tracker.core.values.times import Period, parse_period


def read_practice(book: Path) -> Practice:
    """The rules in force for a book: the house's, with those of its practice.toml over them.

    Raises:
        PracticeError: the file is not TOML, or a key or value in it means nothing.
    """
    path = book / PRACTICE_FILE
    try:
        text = path.read_bytes().decode()
    except (FileNotFoundError, NotADirectoryError):
        return Practice()
    except (OSError, UnicodeDecodeError) as reason:
        raise PracticeError(
            f"The practice cannot be read: {reason}.", where=str(path), do="save it as UTF-8."
        ) from reason
    import tomllib

    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as reason:
        raise PracticeError(
            f"The practice is not TOML: {reason}.",
            where=str(path),
            do="correct that line; `stillroom practice --example` prints a whole file.",
        ) from reason
    return _practice(tables, _Source(path, text))


class _Source:
    """Where in the file a key stands; tomllib does not say."""

    def __init__(self, path: Path, text: str) -> None:
        self.path = path
        self._lines: dict[tuple[str, str], int] = {}
        table = ""
        for number, line in enumerate(text.splitlines(), 1):
            if head := re.match(r"\s*\[\s*[\"']?(.+?)[\"']?\s*\]", line):
                table = re.sub("[\"']", "", head[1])
                self._lines[table, ""] = number
                continue
            # `key =`, `table.key =` and the keys of `table = { key = … }`, quoted or not.
            for key in re.findall(r"[\"']?([\w -]+?)[\"']?\s*[.=]", line.partition("#")[0]):
                self._lines.setdefault((table, key.strip()), number)
                self._lines.setdefault(("", key.strip()), number)

    def place(self, table: str, key: str) -> str:
        """`practice.toml, line 12`."""
        tried = ((table, key), ("", key), (table, ""), ("", table))
        line = next((self._lines[one] for one in tried if one in self._lines), None)
        return f"{self.path.name}, line {line}" if line else self.path.name

    def error(self, table: str, key: str, why: str, do: str) -> PracticeError:
        name = f"[{table}] {key}".rstrip() if table else key
        return PracticeError(f"{name}: {why}.", where=self.place(table, key), do=do)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("a text in quotes is wanted")
    return value


def _period(value: object) -> Period:
    return parse_period(_text(value))


def _period_or_none(value: object) -> Period | None:
    return None if _text(value).strip().lower() in ("none", "never") else _period(value)


def _look_days(value: object) -> tuple[int, ...]:
    """`1d, 7d`, or `none`."""
    text = _text(value)
    if text.strip().lower() in ("none", "never", ""):
        return ()
    periods = [parse_period(part) for part in text.split(",")]
    if any(one.months or one.days < 1 for one in periods):
        raise ValueError("days such as 1d, 7d are wanted")
    return tuple(sorted({one.days for one in periods}))


def _time_of_day(value: object) -> time:
    try:
        found = value if isinstance(value, time) else time.fromisoformat(_text(value))
        if found.tzinfo is not None:
            raise ValueError("with a zone")
    except ValueError as reason:
        raise ValueError("a time such as 08:00 is wanted") from reason
    return found


def _pct_vol(value: object) -> float:
    """`20 %`, or the bare number."""
    text = str(value).removesuffix("%").strip() if not isinstance(value, bool) else ""
    if not re.fullmatch(r"\d+(\.\d+)?", text) or not 0 <= float(text) <= 100:
        raise ValueError("a strength of 0 to 100 % vol is wanted")
    return float(text)


def _zone(value: object) -> str:
    name = _text(value)
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as reason:
        why = f"there is no zone {name!r}; one such as Europe/Berlin is wanted"
        raise ValueError(why) from reason
    return name


def _currency(value: object) -> str:
    """`EUR`, `€` or whatever the maker's money is called; only shown beside amounts."""
    text = _text(value).strip()
    if not is_plain(text) or len(text) > 12:
        raise ValueError("a short text such as EUR is wanted")
    return text


def _channels(value: object) -> tuple[str, ...]:
    """`desktop, mail`: names only, since addresses are secrets and the book is shared."""
    names = tuple(part.strip() for part in _text(value).split(","))
    if not all(re.fullmatch(r"[a-z][a-z0-9-]{0,30}", name) for name in names):
        raise ValueError("names such as desktop, mail are wanted, and no address among them")
    return tuple(dict.fromkeys(names))


def _folder(value: object) -> str | None:
    """`~/Synced/stillroom`, or one within the book's folder, or `none`."""
    text = _text(value).strip()
    if not text or "\0" in text:
        raise ValueError("the path of a folder is wanted")
    return None if text.lower() == "none" else text


def _one_of(*choices: str) -> Callable[[object], str]:
    def choose(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise ValueError(f"one of {', '.join(choices)} is wanted")
        return value

    return choose


# What each key of a preparation's table and of the other tables is called, and read by.
RULE_KEYS: dict[str, tuple[str, Callable[[object], object]]] = {
    "least": ("least", _period),
    "longest": ("longest", _period_or_none),
    "shake": ("shake", lambda value: parse_shake_plan(_text(value))),
    "look": ("look_days", _look_days),
    "keeps": ("keeps", _period),
}
OTHER_KEYS: dict[str, dict[str, tuple[str, Callable[[object], object]]]] = {
    "": {
        "units": ("units", _one_of("us", "british")),
        "zone": ("zone", _zone),
        "currency": ("currency", _currency),
        "hemisphere": ("hemisphere", _one_of("north", "south")),
        "references": ("references", _one_of("codes", "any")),
    },
    "reminders": {
        "digest": ("digest_at", _time_of_day),
        "waking from": ("waking_from", _time_of_day),
        "waking until": ("waking_until", _time_of_day),
        "expiring before": ("expiring_before", _period),
        "count every": ("count_every", _period_or_none),
        "look again": ("look_again", _period_or_none),
    },
    "channels": {"order": ("channels", _channels)},
    "page": {"folder": ("page_folder", _folder)},
    "keeping": {
        "warn below": ("warn_below_pct_vol", _pct_vol),
        "caution below": ("caution_below_pct_vol", _pct_vol),
    },
    "labels": {
        "sheet": ("label_sheet", sheets_file.sheet_name),
        "page address": ("page_address", sheets_file.page_address),
    },
}


def _practice(tables: dict[str, object], source: _Source) -> Practice:
    changes: dict[str, object] = {}
    rules: dict[str, Rules] = dict(BUILT_IN_RULES)
    origins: dict[str, str] = {}
    plain = {key: value for key, value in tables.items() if not isinstance(value, dict)}
    for table, values in [("", plain), *tables.items()]:
        if not isinstance(values, dict):
            continue
        if table in BUILT_IN_RULES:
            read = _read(table, values, RULE_KEYS, source, origins)
            rules[table] = msgspec.structs.replace(rules[table], **read)
        elif table in OTHER_KEYS:
            changes |= _read(table, values, OTHER_KEYS[table], source, origins)
        elif table == "sheets":
            changes["sheets"] = _sheets(values, source, origins)
        else:
            known = [*BUILT_IN_RULES, *filter(None, OTHER_KEYS), "sheets.NAME"]
            raise source.error(table, "", "no such table", f"one of: {', '.join(known)}.")
    assert changes.keys() <= set(Practice.__struct_fields__)
    practice = msgspec.structs.replace(Practice(), rules=rules, origins=origins, **changes)
    if practice.warn_below_pct_vol > practice.caution_below_pct_vol:
        raise source.error(
            "keeping",
            "warn below",
            f"{practice.warn_below_pct_vol:g} % is above caution below, "
            f"{practice.caution_below_pct_vol:g} %",
            "say both, the warning below the lower of them.",
        )
    return practice


def _sheets(
    tables: dict[str, object], source: _Source, origins: dict[str, str]
) -> dict[str, LabelSheet]:
    """The built-in sheets of labels, with those of the maker over them and beside them."""
    sheets = dict(BUILT_IN)
    for name, values in tables.items():
        table = f"sheets.{name}"
        if not isinstance(values, dict):
            why = "a table such as [sheets.shelf] is wanted"
            raise source.error("sheets", name, why, f"it says {values!r}.")
        try:
            sheets_file.sheet_name(name)
            read = _read(table, values, sheets_file.SHEET_KEYS, source, origins)
            sheets[name] = sheets_file.made(read, sheets.get(name))
        except ValueError as reason:
            do = "`stillroom practice --example` shows whole sheets."
            raise source.error(table, "", str(reason), do) from reason
    return sheets


def _read(
    table: str,
    values: dict[str, object],
    keys: dict[str, tuple[str, Callable[[object], object]]],
    source: _Source,
    origins: dict[str, str],
) -> dict[str, object]:
    read: dict[str, object] = {}
    for key, value in values.items():
        if key not in keys:
            raise source.error(table, key, "no such key", f"one of: {', '.join(keys)}.")
        name, parse = keys[key]
        try:
            read[name] = parse(value)
        except MisusedError as reason:
            raise source.error(table, key, reason.what.rstrip("."), reason.do) from reason
        except ValueError as reason:
            raise source.error(table, key, str(reason), f"it says {value!r}.") from reason
        origins[f"{table}.{key}".lstrip(".")] = source.place(table, key)
    return read
