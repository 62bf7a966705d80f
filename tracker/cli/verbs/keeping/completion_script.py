"""`completion`: the script with which a shell completes verbs, options, codes and names."""

from typing import Annotated

import typer

from tracker.cli.completion.shell_script import SHELLS, script_of
from tracker.cli.streams import print_data
from tracker.core.values.errors import MisusedError

app = typer.Typer(rich_markup_mode=None)


@app.command()
def completion(
    shell: Annotated[str, typer.Argument(help="bash, zsh, fish or powershell.")],
) -> None:
    """Print the script with which a shell completes codes and names.

    Its second line says where it goes. What a shell asks with it records nothing.
    """
    if shell not in SHELLS:
        raise MisusedError(
            f"There is no completion for {shell}.",
            where="SHELL",
            do=f"name one of {', '.join(SHELLS)}.",
        )
    print_data()
    typer.echo(script_of(shell).decode(), nl=False)
