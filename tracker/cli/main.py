"""The command `stillroom`: finds the verb, imports only what it needs, reports errors."""

import sys
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperGroup

from tracker import __version__
from tracker.bench.bench import Bench, default_book
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown

# Every verb and the module it lives in: a module is imported when its verb is called.
VERBS = {
    "charge": "charge",
    "shake": "jar_care",
    "look": "jar_care",
    "topup": "jar_care",
    "addherb": "steeps",
    "draw": "steeps",
    "move": "jar_care",
    "press": "press_day",
    "filter": "press_day",
    "settle": "blends",
    "bottle": "press_day",
    "recharge": "steeps",
    "steep-again": "steeps",
    "split": "shares",
    "join": "shares",
    "blend": "blends",
    "make-up": "blends",
    "dilute": "blends",
    "dispense": "giving_out",
    "refill": "blends",
    "count": "giving_out",
    "discard": "giving_out",
    "restore": "giving_out",
    "hold": "hold_release",
    "release": "hold_release",
    "gather": "lots_in",
    "buy": "lots_in",
    "dry": "lots_in",
    "found": "lots_in",
    "note": "mistakes",
    "correct": "mistakes",
    "strike": "mistakes",
    "same": "mistakes",
    "enter": "enter",
    "away": "pauses",
    "later": "pauses",
    "shelf": "lists",
    "stock": "lists",
    "due": "lists",
    "calendar": "calendar",
    "label": "labels",
    "handout": "labels",
    "page": "page",
    "timeline": "pictures",
    "season": "pictures",
    "supply": "pictures",
    "pressings": "pictures",
    "yields": "past_batches",
    "batches": "past_batches",
    "show": "one_thing",
    "history": "one_thing",
    "lots": "lot_list",
    "trace": "traces",
    "recall": "traces",
    "record": "batch_record",
    "strength": "mixtures",
    "mix": "mixtures",
    "size": "jar_size",
    "check": "safe_keeping",
    "backup": "safe_keeping",
    "practice": "practice_rules",
    "remind": "remind",
    "daemon": "remind",
    "demo": "demo",
}


class Verbs(TyperGroup):
    """The verbs, each imported when it is called."""

    def list_commands(self, ctx: typer.Context) -> list[str]:  # type: ignore[override]  # typer's own context
        """Every verb, in the order of the work."""
        return list(VERBS)

    def get_command(self, ctx: typer.Context, cmd_name: str):  # type: ignore[no-untyped-def, override]  # noqa: ANN201  # typer's vendored type
        """The verb of that name, or None."""
        if cmd_name not in VERBS:
            return None
        module = import_module(f"tracker.cli.verbs.{VERBS[cmd_name]}")
        return typer.main.get_group(module.app).commands[cmd_name]


app = typer.Typer(
    cls=Verbs,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Knows every jar on a tincture shelf.",
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"stillroom {__version__}")
        raise typer.Exit


@app.callback()
def stillroom(
    context: typer.Context,
    book: Annotated[
        Path | None,
        typer.Option("--book", envvar="STILLROOM_BOOK", help="The folder that holds the record."),
    ] = None,
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_print_version, is_eager=True, help="Print the version."
        ),
    ] = False,
) -> None:
    """Knows every jar on a tincture shelf."""
    context.obj = bench = Bench(book or default_book(), named=book is not None)
    if context.invoked_subcommand not in ("daemon", "remind"):
        _print_untold(bench.state)


def _print_untold(state: Path) -> None:
    """What the daemon could not deliver is printed before anything else, once."""
    try:
        text = (state / "untold").read_text(encoding="utf-8")
    except (OSError, ValueError):
        return
    typer.echo(shown(text), err=True)
    with suppress(OSError):
        (state / "untold").replace(state / "untold.printed")


def main() -> None:
    """Run the command; an expected failure is text on standard error and an exit code."""
    try:
        app()
    except TrackerError as failure:
        lines = str(failure).split("\n")
        typer.echo("\n".join(shown(line) for line in lines), err=True)
        sys.exit(failure.exit_code)
    except BrokenPipeError:
        # The reader of a pipe went away; nothing more can be written to it.
        sys.stderr.close()
        sys.exit(0)
