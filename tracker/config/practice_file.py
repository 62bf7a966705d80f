"""practice.toml -> Practice. Every bad key or value is named with its line."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

import msgspec

from tracker.config import rule_values as values_of
from tracker.config import sheets_file
from tracker.config.key_lines import KeyLines
from tracker.config.label_keys import LABEL_KEYS
from tracker.config.rule_values import LONGEST_TEXT, quoted
from tracker.config.small_file import FileError, text_of
from tracker.core.practice.label_rules import LabelRules
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet
from tracker.core.practice.practice import (
    BUILT_IN_RULES,
    BUILT_IN_WAYS,
    PRACTICE_FILE,
    Practice,
    Rules,
    WayRules,
)
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.errors import MisusedError, PracticeError
from tracker.core.values.near_names import near_names

Keys = Mapping[str, tuple[str, Callable[[object], object]]]
_EXAMPLE = "`stillroom practice --example` prints a whole file"


def read_practice(book: Path) -> Practice:
    """The rules in force for a book: the house's, with those of its practice.toml over them.

    Raises:
        PracticeError: there is a practice.toml and it cannot be read, is not TOML, or a key or
            value in it means nothing.
    """
    path = book / PRACTICE_FILE
    try:
        text = text_of(path)
        lines = KeyLines(text)
    except (FileNotFoundError, NotADirectoryError):
        return Practice()
    except FileError as reason:
        what, where = f"practice.toml cannot be read: {reason}.", str(path)
        if reason.line:
            where = _place(reason.line)
        raise PracticeError(what, where=where, do=reason.do) from reason
    return _practice(_tables(text), _Source(lines))


def _tables(text: str) -> dict[str, object]:
    import tomllib

    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as reason:
        from tracker.config.toml_slips import slip

        found = slip(str(reason), text)
        raise PracticeError(
            f"practice.toml has a slip in how it is written: {found.what}.",
            where=_place(found.line),
            do=f"{found.do or 'correct that line'}; {_EXAMPLE}.",
        ) from reason


def _place(line: int | None) -> str:
    return f"{PRACTICE_FILE}, line {line}" if line else PRACTICE_FILE


class _Source:
    """Where in the file a key stands, and what is said of one that means nothing."""

    def __init__(self, lines: KeyLines) -> None:
        self._lines = lines

    def place(self, *path: str) -> str:
        """`practice.toml, line 12`."""
        return _place(self._lines[path])

    def error(
        self, path: tuple[str, ...], why: str, do: str, *, is_table: bool = False
    ) -> PracticeError:
        named = [values_of.name_shown(part) for part in path]
        table = named if is_table else named[:-1]
        name = f"[{'.'.join(table)}]" if table else ""
        name = name if is_table else f"{name} {named[-1]}".lstrip()
        return PracticeError(f"{name}: {why}.", where=self.place(*path), do=do)


# What each key of a preparation's table and of the other tables is called, and read by.
RULE_KEYS: Keys = {
    "least": ("least", values_of.period),
    "longest": ("longest", values_of.period_or_none),
    "shake": ("shake", lambda value: parse_shake_plan(values_of.text(value))),
    "look": ("look_days", values_of.look_days),
    "keeps": ("keeps", values_of.period),
}
# Those of the table of a way of making; no preparation goes by its name.
WAY_KEYS = {key: RULE_KEYS[key] for key in ("least", "shake", "look", "keeps")}
OTHER_KEYS: Mapping[str, Keys] = {
    "": {
        "units": ("units", values_of.one_of("us", "british")),
        "measures": ("measures", values_of.one_of("metric", "ounces")),
        "zone": ("zone", values_of.zone),
        "currency": ("currency", values_of.currency),
        "hemisphere": ("hemisphere", values_of.one_of("north", "south")),
        "dates": ("dates", values_of.one_of("day first", "month first")),
        "names": ("names", values_of.one_of("common", "latin", "both")),
        "references": ("references", values_of.one_of("codes", "any")),
    },
    "reminders": {
        "digest": ("digest_at", values_of.time_of_day),
        "waking from": ("waking_from", values_of.time_of_day),
        "waking until": ("waking_until", values_of.time_of_day),
        "expiring before": ("expiring_before", values_of.period),
        "count every": ("count_every", values_of.period_or_none),
        "look again": ("look_again", values_of.period_or_none),
    },
    "channels": {"order": ("channels", values_of.channels)},
    "page": {"folder": ("page_folder", values_of.folder)},
    "keeping": {
        "warn below": ("warn_below_pct_vol", values_of.warn_below),
        "caution below": ("caution_below_pct_vol", values_of.pct_vol),
        "weak keeps": ("weak_keeps", values_of.period),
    },
    "labels": {
        "sheet": ("label_sheet", sheets_file.sheet_name),
        "page address": ("page_address", sheets_file.page_address),
        **LABEL_KEYS,
    },
}


def _practice(tables: dict[str, object], source: _Source) -> Practice:
    changes: dict[str, object] = {}
    rules: dict[str, Rules] = dict(BUILT_IN_RULES)
    ways: dict[str, WayRules] = {str(way): rule for way, rule in BUILT_IN_WAYS.items()}
    origins: dict[str, str] = {}
    for table, values in _by_table(tables, source):
        if table in BUILT_IN_RULES:
            read = _read((table,), values, RULE_KEYS, source, origins)
            rules[table] = msgspec.structs.replace(rules[table], **read)
        elif table in ways:
            read = _read((table,), values, WAY_KEYS, source, origins)
            ways[table] = msgspec.structs.replace(ways[table], **read)
        elif table == "sheets":
            changes["sheets"] = _sheets(values, source, origins)
        else:
            path = (table,) if table else ()
            changes |= _read(path, values, OTHER_KEYS[table], source, origins)
    of_label = {name: changes.pop(name) for name, _ in LABEL_KEYS.values() if name in changes}
    changes["label"] = msgspec.structs.replace(LabelRules(), **of_label)
    assert changes.keys() <= set(Practice.__struct_fields__)
    practice = msgspec.structs.replace(
        Practice(), rules=rules, ways=ways, origins=origins, **changes
    )
    if practice.warn_below_pct_vol > practice.caution_below_pct_vol:
        said = "warn below" if "keeping.warn below" in origins else "caution below"
        raise source.error(
            ("keeping", said),
            f"{practice.warn_below_pct_vol:g} % is above caution below, "
            f"{practice.caution_below_pct_vol:g} %"
            if said == "warn below"
            else f"{practice.caution_below_pct_vol:g} % is below warn below, "
            f"{practice.warn_below_pct_vol:g} %",
            "set both, with `warn below` the lower of the two.",
        )
    return practice


def _by_table(
    tables: dict[str, object], source: _Source
) -> Iterator[tuple[str, dict[str, object]]]:
    """The keys before any table, as those of a table without a name; then each table."""
    yield (
        "",
        {
            key: value
            for key, value in tables.items()
            if not isinstance(value, dict) and key not in _TABLES
        },
    )
    for table, values in tables.items():
        if isinstance(values, dict):
            if table not in _TABLES:
                do = _nearest(table, _TABLES).replace("sheets", "sheets.NAME")
                raise source.error((table,), "there is no such table", do, is_table=True)
            yield table, values
        elif table in _TABLES:
            why = f"it needs to be a table, [{table}]"
            raise source.error((table,), f"{why}; it says {quoted(values)}", f"{_EXAMPLE}.")


_TABLES = (*BUILT_IN_RULES, *BUILT_IN_WAYS, *filter(None, OTHER_KEYS), "sheets")


def _nearest(typed: str, names: Iterable[str]) -> str:
    """What may be meant by a name there is not, and every name there is."""
    near = near_names(typed, names) if len(typed) <= LONGEST_TEXT else []
    meant = f"did you mean {near[0]}? " if near else ""
    return f"{meant}It is one of: {', '.join(names)}." if near else f"one of: {', '.join(names)}."


def _sheets(
    tables: dict[str, object], source: _Source, origins: dict[str, str]
) -> dict[str, LabelSheet]:
    """The built-in sheets of labels, with those of the maker over them and beside them."""
    sheets = dict(BUILT_IN)
    for name, values in tables.items():
        path = ("sheets", name)
        if not isinstance(values, dict):
            why = "it needs to be a table such as [sheets.shelf]"
            raise source.error(path, f"{why}; it says {quoted(values)}", f"{_EXAMPLE}.")
        try:
            sheets_file.sheet_name(name)
            read = _read(path, values, sheets_file.SHEET_KEYS, source, origins)
            sheets[name] = sheets_file.made(read, sheets.get(name))
        except ValueError as reason:
            do = "`stillroom practice --example` shows whole sheets."
            raise source.error(path, str(reason), do, is_table=True) from reason
    return sheets


def _read(
    path: tuple[str, ...],
    values: dict[str, object],
    keys: Keys,
    source: _Source,
    origins: dict[str, str],
) -> dict[str, object]:
    read: dict[str, object] = {}
    for key, value in values.items():
        if key not in keys:
            do = _nearest(key, keys)
            if not path and key in RULE_KEYS:
                do = "put it in the table of a kind of liquid, such as [vinegar]."
            raise source.error((*path, key), "there is no such key", do)
        name, parse = keys[key]
        try:
            read[name] = parse(value)
        except MisusedError as reason:
            raise source.error((*path, key), reason.what.rstrip("."), reason.do) from reason
        except ValueError as reason:
            why = f"{reason}; it says {quoted(value)}"
            raise source.error((*path, key), why, f"correct it; {_EXAMPLE}.") from reason
        origins[".".join((*path, key))] = source.place(*path, key)
    return read
