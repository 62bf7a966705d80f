"""A seeded book whose jars are all still there, for what shows or prints every one of them."""

import random
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bench_book import WRITER, Step, charge, id_of

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Filtered, Pressed
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.values.times import moment
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line

DAYS = 120
SHAKES = 15


def write_shelf(folder: Path, jars: int, seed: int = 1) -> list[str]:
    """Write a book of so many jars; returns their codes. One in four is pressed and bottled."""
    chance = random.Random(seed)
    steps = sorted(_lives(jars, chance), key=lambda step: step[0])
    end = datetime(2026, 11, 20, 8, tzinfo=UTC)
    place = folder / "events"
    place.mkdir(parents=True)
    digest = GENESIS
    with (place / f"{WRITER}.jsonl").open("wb") as file:
        for sequence, (day, event_id, subject, fact) in enumerate(steps, 1):
            happened = end - timedelta(days=DAYS - day, seconds=-(sequence % 3600))
            entry = Entry(event_id, WRITER, sequence, subject, moment(happened), happened, fact)
            line, digest = write_line(entry, digest)
            file.write(line)
    return [step[2] for step in steps if step[3].kind == "charged"]


def _lives(jars: int, chance: random.Random) -> Iterator[Step]:
    for number in range(1, jars + 1):
        day = number % (DAYS // 2)
        opened = charge(number, day, chance)
        _, jar_id, code, _ = opened
        yield opened
        for after in range(1, SHAKES + 1):
            yield day + after, id_of(chance), code, Shaken(jars=(jar_id,))
        if number % 4 == 0:
            yield from _pressed(jar_id, code, day + SHAKES + 1, chance)


def _pressed(jar_id: str, code: str, day: int, chance: random.Random) -> Iterator[Step]:
    pressing = id_of(chance)
    pressed = Pressed(about=About(jar=jar_id), letter="A", volume_ml=1150.0, keeps="P12M")
    extract = About(jar=jar_id, extract=pressing)
    run = BottleRun(size_ml=100.0, count=8, first=1)
    yield day, pressing, code, pressed
    yield day, id_of(chance), f"{code}A", Filtered(about=extract, volume_ml=1100.0)
    yield day, id_of(chance), f"{code}A", Bottled(about=extract, bottles=(run,))


if __name__ == "__main__":
    write_shelf(Path(sys.argv[1]), int(sys.argv[2]))
