"""The command `stillroom`: finds the verb, and imports only what it needs."""

from importlib import import_module
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperGroup

from tracker import __version__
from tracker.cli.run import bench_of, print_untold, run

# Every verb and the module it lives in: a module is imported when its verb is called.
VERBS = {
    "charge": "making.charge",
    "shake": "making.shaking",
    "look": "making.jar_care",
    "top-up": "making.steeps",
    "add-herb": "making.steeps",
    "draw": "making.steeps",
    "move": "making.jar_care",
    "press": "making.press_day",
    "filter": "making.press_day",
    "settle": "making.blends",
    "bottle": "making.press_day",
    "recharge": "making.steeps",
    "steep-again": "making.steeps",
    "split": "making.shares",
    "join": "making.shares",
    "blend": "making.blends",
    "make-up": "making.blends",
    "dilute": "making.blends",
    "dispense": "stock.giving_out",
    "refill": "making.blends",
    "count": "stock.giving_out",
    "discard": "stock.giving_out",
    "stocktake": "stock.stocktake",
    "restore": "stock.giving_out",
    "hold": "stock.hold_release",
    "release": "stock.hold_release",
    "gather": "stock.lots_in",
    "buy": "stock.lots_in",
    "dry": "stock.lots_in",
    "found": "stock.lots_in",
    "note": "keeping.notes",
    "correct": "keeping.mistakes",
    "strike": "keeping.mistakes",
    "same": "keeping.mistakes",
    "enter": "keeping.enter",
    "away": "keeping.pauses",
    "later": "keeping.pauses",
    "shelf": "looking.lists",
    "stock": "looking.lists",
    "due": "looking.lists",
    "calendar": "paper.calendar",
    "label": "paper.labels",
    "handout": "paper.labels",
    "page": "paper.page",
    "timeline": "looking.pictures",
    "season": "looking.pictures",
    "supply": "looking.pictures",
    "pressings": "looking.pictures",
    "yields": "looking.past_batches",
    "batches": "looking.past_batches",
    "show": "looking.one_thing",
    "history": "looking.histories",
    "lots": "stock.lot_list",
    "trace": "looking.traces",
    "recall": "looking.traces",
    "record": "paper.batch_record",
    "strength": "looking.mixtures",
    "mix": "looking.mixtures",
    "size": "looking.jar_size",
    "check": "keeping.safe_keeping",
    "backup": "keeping.safe_keeping",
    "practice": "keeping.practice_rules",
    "remind": "keeping.remind",
    "daemon": "keeping.remind",
    "demo": "keeping.demo",
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
    context.obj = bench = bench_of(book)
    if context.invoked_subcommand not in ("daemon", "remind"):
        print_untold(bench.state)


def main() -> None:
    """Run the command; an expected failure is text on standard error and an exit code."""
    run(app)
