"""Several things in one sentence."""

from collections.abc import Iterable


def list_said(things: Iterable[str]) -> str:
    """`grain spirit 96 % vol, water and glycerin`."""
    *first, last = [*things] or [""]
    return f"{', '.join(first)} and {last}" if first else last
