"""The command `stillroom`: finds the verb, and imports only what it needs."""

import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Annotated, NoReturn

import typer
from typer.core import TyperGroup

from tracker import __version__
from tracker.cli.help.verb_command import UnreadLine, VerbCommand, named_after
from tracker.cli.help.verb_table import VERBS
from tracker.cli.run import bench_of, print_untold, run
from tracker.cli.screen import say


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
        for one in module.app.registered_commands:
            one.cls = VerbCommand
        return typer.main.get_group(module.app).commands[cmd_name]

    def resolve_command(self, ctx: typer.Context, args: list[str]):  # type: ignore[no-untyped-def, override]  # noqa: ANN201  # typer's vendored type
        """The verb that a line begins with.

        Raises:
            MistypedError: it begins with none.
        """
        if not args[0].startswith("-") and args[0] not in VERBS:
            from tracker.cli.help.mistyped import no_verb

            raise no_verb(args[0])
        return super().resolve_command(ctx, args)

    def parse_args(self, ctx: typer.Context, args: list[str]) -> list[str]:  # type: ignore[override]  # typer's own context
        """Read what was typed before the verb."""
        with named_after(ctx):
            return super().parse_args(ctx, args)

    def main(self, args: Sequence[str] | None = None, **extra: object) -> NoReturn:  # type: ignore[override]  # only what is used
        """Run a line to its end.

        Raises:
            MistypedError: it cannot be read.
        """
        if not (sys.argv[1:] if args is None else args):
            from tracker.cli.help.help_pages import short_page

            say(short_page().rstrip("\n"))
            sys.exit(0)
        try:
            code = super().main(args, **extra | {"standalone_mode": False})  # type: ignore[arg-type]  # handed on
        except UnreadLine as reason:
            from tracker.cli.help.mistyped import in_plain_words

            raise in_plain_words(reason) from None
        except typer.Abort:
            say("Stopped.", err=True)
            sys.exit(1)
        sys.exit(code)

    def get_help(self, ctx: typer.Context) -> str:  # type: ignore[override]  # typer's own context
        """Every verb in the order of the work; none of them is loaded."""
        from tracker.cli.help.help_pages import whole_page

        return whole_page().rstrip("\n")


app = typer.Typer(
    cls=Verbs,
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
    if context.invoked_subcommand == "begin":  # what is broken of the choice of a book it corrects
        return
    context.obj = bench = bench_of(book)
    if context.invoked_subcommand not in ("daemon", "remind"):
        print_untold(bench.state)


def main() -> None:
    """Run the command; an expected failure is text on standard error and an exit code."""
    run(app)
