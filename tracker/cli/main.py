"""The command `stillroom`: finds the verb, imports only what it needs, reports errors."""

import sys
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperGroup

from tracker import __version__, clock
from tracker.bench.bench import Bench, default_book
from tracker.cli import streams
from tracker.cli.streams import UnprintedError
from tracker.core.values.errors import AmbiguousAmountError, BookError, TrackerError
from tracker.core.values.text import escaped_json, shown
from tracker.journal.regular_file import read_regular

# What shells answer for a command that was stopped by Ctrl-C: 128 and the number of SIGINT.
STOPPED = 130

# Every verb and the module it lives in: a module is imported when its verb is called.
VERBS = {
    "charge": "making.charge",
    "shake": "making.shaking",
    "look": "making.jar_care",
    "topup": "making.steeps",
    "addherb": "making.steeps",
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
    "history": "looking.one_thing",
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
    context.obj = bench = _bench(book)
    if context.invoked_subcommand not in ("daemon", "remind"):
        _print_untold(bench.state)


def _bench(book: Path | None) -> Bench:
    try:
        return Bench(book or default_book(), named=book is not None)
    except (OSError, ValueError, RuntimeError) as reason:  # a link to itself, or a NUL in it
        why = getattr(reason, "strerror", None) or reason
        do = "correct the path after --book, or in STILLROOM_BOOK."
        raise BookError(f"A book cannot be there: {why}.", where=str(book), do=do) from reason


def _print_untold(state: Path) -> None:
    """What the daemon could not deliver is printed before anything else, once."""
    file = state / "untold"
    try:
        text = read_regular(file, 4000, through_link=True).decode()
    except (OSError, ValueError):
        return
    typer.echo(shown(text), err=True)
    with suppress(OSError):
        file.replace(state / "untold.printed")


def _print_failure(failure: TrackerError) -> None:
    lines = str(failure).split("\n")
    typer.echo("\n".join(shown(line) for line in lines), err=True)


def _print_readings(asked: AmbiguousAmountError) -> None:
    """The readings of an amount for a script: JSON, as the last line of standard error."""
    import msgspec

    answer = {"error": asked.why, "text": asked.text, "readings": asked.readings}
    typer.echo(escaped_json(msgspec.json.encode(answer).decode()), err=True)


def main() -> None:
    """Run the command; an expected failure is text on standard error and an exit code."""
    streams.make_sure_of_streams()
    try:
        code = _exit_code()
        streams.flush()
    except UnprintedError as failure:
        _print_failure(failure)
        code = failure.exit_code
    except BrokenPipeError:
        code = 1  # the reader of a pipe went away; nothing more can be written to it
    except KeyboardInterrupt:
        code = STOPPED
    sys.exit(code)


def _exit_code() -> int | str | None:
    try:
        if not clock.is_readable():  # even an import may read it
            clock.must_be_sound()
        app()
    except SystemExit as ended:
        return ended.code
    except AmbiguousAmountError as asked:
        _print_failure(asked)
        if "--json" in sys.argv:
            _print_readings(asked)
        return asked.exit_code
    except TrackerError as failure:
        _print_failure(failure)
        return failure.exit_code
    except OSError as reason:  # of a file or folder that nothing else has said more about
        refused = BookError(
            f"The system refuses: {reason.strerror or reason}.",
            where=str(reason.filename or "a file or folder of the command"),
            do="make sure that it is there and that you may read and write it.",
        )
        _print_failure(refused)
        return refused.exit_code
    return 0
