"""`practice`: the maker's rules, and where each comes from."""

from typing import Annotated

import typer

from tracker.bench.own_person import own_person
from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json, echo_lines
from tracker.cli.streams import print_data
from tracker.cli.verbs.keeping.book_kept import book_rows
from tracker.config import label_keys
from tracker.config.sheets_file import written
from tracker.core.practice.practice import PRACTICE_FILE, Practice, Rules, WayRules
from tracker.core.practice.shake_plan import plan_text
from tracker.outputs.terminal.named_rows import named_rows
from tracker.outputs.terminal.table import Column, table

app = typer.Typer(rich_markup_mode=None)

_BUILT_IN = "built in"
_COLUMNS = (Column("RULE"), Column("IN FORCE", least=20), Column("FROM"))

# What holds where a key is not set, and what could stand there.
_UNSET = {
    "zone": ("the system's own", "Europe/Berlin"),
    "currency": ("not set", "EUR"),
    "dates": ("3/4 is asked about", "day first"),
    "own lines": ("none", "Mill Lane Stillroom | Not for sale"),
    "logo": ("none", "logo.png"),
    **{
        key: ("as the preparation", text)  # of a way of making
        for key, text in (("least", "1d"), ("shake", "none"), ("look", "none"), ("keeps", "3d"))
    },
}


@app.command()
def practice(
    context: typer.Context,
    example: Annotated[
        bool, typer.Option("--example", help="Print a practice.toml with every rule in it.")
    ] = False,
    every: Annotated[bool, typer.Option("--all", help="Those that are built in as well.")] = False,
    as_json: AsJson = False,
) -> None:
    """Where the book is, your own rules, and those built in."""
    desk = Desk(context.obj)
    # The example is what a broken file is corrected by; no other rule can be said to be in force.
    if example and say_broken_practice(desk):
        typer.echo("The example has the built-in rules.", err=True)
    in_force = desk.bench.practice
    rows = _rows(in_force)
    if example:
        print_data()
        typer.echo(_example(in_force), nl=False)
    elif as_json:
        echo_json(
            [{"rule": name, "in_force": value, "from": origin} for name, value, origin in rows]
        )
    else:
        desk.bench.must_exist()
        _show(desk, rows, every=every)


def _show(desk: Desk, rows: list[list[str]], *, every: bool) -> None:
    """The book first, then what the maker set, and the rest in a line or in full."""
    you = ("You", own_person() or "nobody yet: stillroom begin --me NAME")
    about = (*book_rows(desk.bench, *desk.bench.size()), you)
    echo_lines(list(named_rows(about, desk.columns)), desk.colour)
    shown_rows = rows if every else [row for row in rows if row[2] != _BUILT_IN]
    typer.echo()
    if shown_rows:
        lines = table(_COLUMNS, shown_rows, total=desk.columns, colour=desk.colour)
        echo_lines([*lines, ""], desk.colour)
    if not every:
        if not shown_rows:
            typer.echo("You have set no rule of your own.")
        count = len(rows) - len(shown_rows)
        typer.echo(f"{count} rules are built in: stillroom practice --all")
    typer.echo("To change one: stillroom practice --example")


def _values(rules: Rules) -> dict[str, str]:
    return {
        "least": str(rules.least),
        "longest": str(rules.longest or "none"),
        "shake": plan_text(rules.shake),
        "look": ", ".join(f"{day}d" for day in rules.look_days) or "none",
        "keeps": str(rules.keeps),
    }


def _of_way(rules: WayRules) -> dict[str, str | None]:
    days = rules.look_days
    return {
        "least": None if rules.least is None else str(rules.least),
        "shake": None if rules.shake is None else plan_text(rules.shake),
        "look": None if days is None else ", ".join(f"{day}d" for day in days) or "none",
        "keeps": None if rules.keeps is None else str(rules.keeps),
    }


def _others(practice: Practice) -> dict[str, dict[str, str | None]]:
    return {
        "": {
            "units": practice.units,
            "measures": practice.measures,
            "zone": practice.zone,
            "hemisphere": practice.hemisphere,
            "dates": practice.dates,
            "names": practice.names,
            "references": practice.references,
            "currency": practice.currency or None,
        },
        "reminders": {
            "digest": f"{practice.digest_at:%H:%M}",
            "waking from": f"{practice.waking_from:%H:%M}",
            "waking until": f"{practice.waking_until:%H:%M}",
            "expiring before": str(practice.expiring_before),
            "count every": str(practice.count_every or "none"),
            "look again": str(practice.look_again or "none"),
        },
        "channels": {"order": ", ".join(practice.channels)},
        "page": {"folder": practice.page_folder or "none"},
        # % vol of spirit on herb; makers' usual figures, published ones differ (15 to 25).
        "keeping": {
            "warn below": f"{practice.warn_below_pct_vol:g} %",
            "caution below": f"{practice.caution_below_pct_vol:g} %",
            "weak keeps": str(practice.weak_keeps),
        },
        "labels": {
            "sheet": practice.label_sheet,
            "page address": practice.page_address or "none",
            **label_keys.written(practice.label),
        },
    }


def _tables(practice: Practice) -> dict[str, dict[str, str | None]]:
    others = _others(practice)
    kinds: dict[str, dict[str, str | None]] = {
        kind: dict(_values(rules)) for kind, rules in practice.rules.items()
    }
    ways: dict[str, dict[str, str | None]] = {
        way: _of_way(rules) for way, rules in practice.ways.items()
    }
    sheets = {f"sheets.{name}": written(sheet) for name, sheet in practice.sheets.items()}
    return {"": others.pop("")} | kinds | ways | others | sheets


def _rows(practice: Practice) -> list[list[str]]:
    return [
        [
            f"{name}: {key}" if name else key,
            value or _UNSET[key][0],
            practice.origins.get(f"{name}.{key}".lstrip("."), _BUILT_IN),
        ]
        for name, values in _tables(practice).items()
        for key, value in values.items()
    ]


def _example(practice: Practice) -> str:
    """A whole practice.toml, with a key that is not set as a comment."""
    told = "the maker's own rules. Leave out a line to keep the built-in rule."
    lines = [f"# {PRACTICE_FILE}: {told}"]
    for name, values in _tables(practice).items():
        head = name.replace("sheets.", 'sheets"."', 1)
        lines += ["", f'["{head}"]'] if name else [""]
        for key, value in values.items():
            quoted = f'"{key}"' if " " in key else key
            lines.append(
                f"{quoted} = {_in_quotes(value)}" if value else f'# {quoted} = "{_UNSET[key][1]}"'
            )
    return "\n".join(lines) + "\n"


def _in_quotes(value: str) -> str:
    """A value as TOML writes a text; what is printed here has no control characters."""
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
