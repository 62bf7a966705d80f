"""A seeded book whose jars are all still there, for what shows or prints every one of them."""

import random
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Filtered, Pressed
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.times import moment
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line

WRITER = "bench-writer"
HERBS = (
    ("Calendula officinalis", "flower"),
    ("Melissa officinalis", "leaf"),
    ("Valeriana officinalis", "root"),
    ("Achillea millefolium", "herb"),
    ("Crataegus monogyna", "berry"),
)
DAYS = 120
SHAKES = 15
END = datetime(2026, 11, 20, 8, tzinfo=UTC)

# A day, an id, a subject, and what happened.
Step = tuple[int, str, str, AnyFact]


def write_shelf(folder: Path, jars: int, seed: int = 1) -> list[str]:
    """Write a book of so many jars; returns their codes. One in four is pressed and bottled."""
    steps = sorted(_lives(jars, random.Random(seed)), key=lambda step: step[0])
    place = folder / "events"
    place.mkdir(parents=True)
    digest = GENESIS
    with (place / f"{WRITER}.jsonl").open("wb") as file:
        for sequence, (day, event_id, subject, fact) in enumerate(steps, 1):
            happened = END + timedelta(days=day - DAYS, seconds=sequence % 3600)
            entry = Entry(event_id, WRITER, sequence, subject, moment(happened), happened, fact)
            line, digest = write_line(entry, digest)
            file.write(line)
    return [step[2] for step in steps if isinstance(step[3], Charged)]


def _lives(jars: int, chance: random.Random) -> Iterator[Step]:
    for number in range(1, jars + 1):
        day, jar_id, code = number % (DAYS // 2), _id(chance), f"SHELF-{number:05d}"
        yield day, jar_id, code, _charged(number, code, chance)
        for after in range(1, SHAKES + 1):
            yield day + after, _id(chance), code, Shaken(jars=(jar_id,))
        if number % 4 == 0:
            yield from _pressed(jar_id, code, day + SHAKES + 1, chance)


def _charged(number: int, code: str, chance: random.Random) -> Charged:
    herb, part = HERBS[number % len(HERBS)]
    return Charged(
        code=code,
        herb=herb,
        part=part,
        form="dried",
        herb_g=float(chance.randrange(50, 300)),
        pours=(Pour(liquid="ethanol", volume_ml=1500.0, ethanol_pct_vol=45.0),),
        preparation="spirit on dried herb",
        least="P3M",
        shake=parse_shake_plan("daily 14d, weekly"),
    )


def _pressed(jar_id: str, code: str, day: int, chance: random.Random) -> Iterator[Step]:
    pressing, run = _id(chance), BottleRun(size_ml=100.0, count=8, first=1)
    extract = About(jar=jar_id, extract=pressing)
    pressed = Pressed(about=About(jar=jar_id), letter="A", volume_ml=1150.0, keeps="P12M")
    yield day, pressing, code, pressed
    yield day, _id(chance), f"{code}A", Filtered(about=extract, volume_ml=1100.0)
    yield day, _id(chance), f"{code}A", Bottled(about=extract, bottles=(run,))


def _id(chance: random.Random) -> str:
    return str(UUID(int=chance.getrandbits(128), version=4))


if __name__ == "__main__":
    write_shelf(Path(sys.argv[1]), int(sys.argv[2]))
