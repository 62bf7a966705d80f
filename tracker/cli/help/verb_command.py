"""A verb as typer knows it, with a help page of ours."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import cast

import typer
from typer.core import TyperCommand

# What typer raises for a line that it cannot read; it has no public name.
UnreadLine = cast("type[typer.BadParameter]", typer.BadParameter.__mro__[2])


class VerbCommand(TyperCommand):
    """A verb that says in its help what is its own, and how it is used."""

    def get_help(self, ctx: typer.Context) -> str:  # type: ignore[override]  # typer's own context
        """The whole help, as wide as the screen."""
        from tracker.cli.help.verb_help import help_page

        return help_page(self, ctx.command_path)

    def parse_args(self, ctx: typer.Context, args: list[str]) -> list[str]:  # type: ignore[override]  # typer's own context
        """Read what was typed after the verb; what cannot be read names the verb."""
        with named_after(ctx):
            return super().parse_args(ctx, args)


@contextmanager
def named_after(ctx: typer.Context) -> Iterator[None]:
    """What cannot be read within it names the command that it was typed after."""
    try:
        yield
    except UnreadLine as reason:
        reason.ctx = reason.ctx or ctx
        raise
