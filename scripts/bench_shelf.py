"""A seeded book whose jars are all still there, for what shows or prints every one of them."""

import random
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from bench_book import WRITER, Step, charged
from speed.book_files import END, Written, seeded_id, write_files

from tracker.core.facts.extracts import Bottled, BottleRun, Filtered, Pressed
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.values.times import moment

DAYS = 120
SHAKES = 15


def write_shelf(folder: Path, jars: int, seed: int = 1) -> list[str]:
    """Write a book of so many jars; returns their codes. One in four is pressed and bottled."""
    steps = sorted(_lives(jars, random.Random(seed)), key=lambda step: step[0])
    write_files(folder / "events", map(_written, range(1, len(steps) + 1), steps))
    return [step[2] for step in steps if isinstance(step[3], Charged)]


def _written(sequence: int, step: Step) -> Written:
    day, event_id, subject, fact = step
    happened = END + timedelta(days=day - DAYS, seconds=sequence % 3600)
    return Written(WRITER, event_id, subject, moment(happened), happened, fact)


def _lives(jars: int, chance: random.Random) -> Iterator[Step]:
    for number in range(1, jars + 1):
        day, jar_id, code = number % (DAYS // 2), seeded_id(chance), f"SHELF-{number:05d}"
        yield day, jar_id, code, charged(number, code, chance)
        for after in range(1, SHAKES + 1):
            yield day + after, seeded_id(chance), code, Shaken(jars=(jar_id,))
        if number % 4 == 0:
            yield from _pressed(jar_id, code, day + SHAKES + 1, chance)


def _pressed(jar_id: str, code: str, day: int, chance: random.Random) -> Iterator[Step]:
    pressing, run = seeded_id(chance), BottleRun(size_ml=100.0, count=8, first=1)
    extract = About(jar=jar_id, extract=pressing)
    pressed = Pressed(about=About(jar=jar_id), letter="A", volume_ml=1150.0, keeps="P12M")
    yield day, pressing, code, pressed
    yield day, seeded_id(chance), f"{code}A", Filtered(about=extract, volume_ml=1100.0)
    yield day, seeded_id(chance), f"{code}A", Bottled(about=extract, bottles=(run,))


if __name__ == "__main__":
    write_shelf(Path(sys.argv[1]), int(sys.argv[2]))
