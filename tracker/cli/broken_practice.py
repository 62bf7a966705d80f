"""The few verbs that answer although practice.toml cannot be read, and say so beside the answer."""

import typer

from tracker.cli.desk import Desk
from tracker.core.practice.practice import Practice
from tracker.core.values.errors import PracticeError
from tracker.core.values.text import shown


def say_broken_practice(desk: Desk) -> bool:
    """Whether practice.toml cannot be read; what is wrong with it is then said, as a warning.

    From here on the verb goes by the built-in rules. It may print nothing that a rule decides.
    """
    try:
        _ = desk.bench.practice
    except PracticeError as broken:
        typer.echo("\n".join(shown(line) for line in str(broken).split("\n")), err=True)
        typer.echo("Nothing can be recorded until that is corrected.", err=True)
        desk.bench.practice = Practice()
        return True
    return False
