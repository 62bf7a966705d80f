"""The book as a witness reads it who knows FORMAT.md and nothing of the program."""

import json
from dataclasses import dataclass
from hashlib import sha256

GENESIS = "0" * 64


@dataclass(frozen=True)
class Line:
    """One whole line whose digest fits: its bytes, and what it holds."""

    raw: bytes
    kind: str
    id: str
    said: str  # the fact without what differs from run to run

    unit: tuple[str, int, int] | None = None


@dataclass(frozen=True)
class BookSeen:
    """The lines that count, the bytes behind them that do not yet, and what does not fit."""

    lines: tuple[Line, ...]
    rest: bytes
    misfits: tuple[str, ...] = ()


def book_seen(raw: bytes) -> BookSeen:
    """What one writer's file holds: units whole or not at all, the chain from the first line."""
    *texts, rest = raw.split(b"\n")
    digest, lines, misfits = GENESIS, [], []
    for number, text in enumerate(texts, 1):
        body, found, tail = text.rpartition(b',"digest":')
        digest = sha256(digest.encode("ascii") + body).hexdigest()
        if not found or tail != b'"%b"}' % digest.encode():
            misfits.append(f"line {number} does not fit the chain")
            break
        lines.append(_line(text))
    while lines and lines[-1].unit is not None and lines[-1].unit[1] < lines[-1].unit[2]:
        waiting = lines.pop()
        rest = waiting.raw + b"\n" + rest
    misfits += [f"the unit at line {n} is not whole" for n in _broken_units(lines)]
    ids = [one.id for one in lines]
    misfits += [f"{one} stands there twice" for one in {one for one in ids if ids.count(one) > 1}]
    return BookSeen(tuple(lines), rest, tuple(misfits))


def _line(text: bytes) -> Line:
    event = json.loads(text)
    unit = None
    if "unit" in event:
        place, _, count = event["unitplace"].partition("/")
        unit = (event["unit"], int(place), int(count))
    data = {key: value for key, value in event["data"].items() if not _differs(key)}
    return Line(text, event["type"], event["id"], json.dumps(data, sort_keys=True), unit)


def _differs(key: str) -> bool:
    """Whether a field holds an identity, which is another in every run."""
    return key in ("about", "jar", "jars", "event", "events", "lines", "pours", "qr")


def _broken_units(lines: list[Line]) -> list[int]:
    broken, wanted = [], 1
    for number, one in enumerate(lines, 1):
        place, count = (1, 1) if one.unit is None else one.unit[1:]
        if place != wanted:
            broken.append(number)
        wanted = place + 1 if place < count else 1
    return broken
