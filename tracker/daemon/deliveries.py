"""When a digest last arrived and by which way, and what last went wrong; safe to delete."""

import json
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from tracker.daemon.told import read_small, replace_text

FILE = "deliveries.json"
_MOST_LETTERS = 400


class Delivered(msgspec.Struct, frozen=True):
    """A digest that a channel took."""

    at: datetime
    channel: str
    lines: int


class Failed(msgspec.Struct, frozen=True):
    """Why a digest did not arrive, or was not made."""

    at: datetime
    why: str


class Deliveries(msgspec.Struct, frozen=True):
    """The last of each."""

    delivered: Delivered | None = None
    failed: Failed | None = None


def read_deliveries(state: Path) -> Deliveries:
    """The last of each; none where there is no such file or it means nothing."""
    with suppress(OSError, ValueError, RecursionError):
        return msgspec.convert(json.loads(read_small(state / FILE)), Deliveries)
    return Deliveries()


def note_delivered(state: Path, at: datetime, channel: str, lines: int) -> None:
    """Keep that a digest arrived; a disk that refuses costs this note alone."""
    before = read_deliveries(state)
    _write(
        state,
        msgspec.structs.replace(before, delivered=Delivered(at.astimezone(UTC), channel, lines)),
    )


def note_failed(state: Path, at: datetime, why: str) -> None:
    """Keep why none arrived; the same once a day, since a daemon tries again all the time."""
    before, why, at = read_deliveries(state), why[:_MOST_LETTERS], at.astimezone(UTC)
    last = before.failed
    if last is None or last.why != why or last.at.date() != at.date():
        _write(state, msgspec.structs.replace(before, failed=Failed(at, why)))


def _write(state: Path, deliveries: Deliveries) -> None:
    with suppress(OSError):
        replace_text(state / FILE, msgspec.json.encode(deliveries).decode())
