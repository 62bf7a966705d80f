"""A word about `begin` before the first thing that is recorded at a terminal."""

import sys

import typer

from tracker.bench.bench import Bench
from tracker.core.practice.practice import PRACTICE_FILE
from tracker.core.values.text import shown


def mention_begin(bench: Bench) -> None:
    """Say once, where a person begins a book without a word, that there is a verb for it."""
    if not bench.is_by_default or not sys.stdin.isatty():
        return
    if not any((bench.book / one).exists() for one in ("events", PRACTICE_FILE)):
        text = f"This begins a book in {bench.book}. `stillroom begin` asks where you want it."
        typer.echo(shown(text), err=True)
