"""A seeded book of any length for the bench: a shelf of eighty jars, year after year."""

import random
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Dispensed, Filtered, Pressed
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.times import moment
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line

HERBS = (
    ("Calendula officinalis", "flower"),
    ("Melissa officinalis", "leaf"),
    ("Valeriana officinalis", "root"),
    ("Achillea millefolium", "herb"),
    ("Crataegus monogyna", "berry"),
)
WRITER = "bench-writer"
ROUND_DAYS = 100  # days a jar stands; a new one is charged as often as one is pressed
ABREAST = 80


def write_book(folder: Path, events: int, seed: int = 1) -> None:
    """Write a book of that many events into a new folder; it ends in November 2026."""
    chance = random.Random(seed)
    facts = list(_facts(events, chance))
    end = datetime(2026, 11, 20, 8, tzinfo=UTC)
    start = end - timedelta(days=facts[-1][0] + 1)
    place = folder / "events"
    place.mkdir(parents=True)
    digest = GENESIS
    with (place / f"{WRITER}.jsonl").open("wb") as file:
        for sequence, (day, event_id, subject, fact) in enumerate(facts, 1):
            happened = start + timedelta(days=day, seconds=sequence % 3600)
            entry = Entry(event_id, WRITER, sequence, subject, moment(happened), happened, fact)
            line, digest = write_line(entry, digest)
            file.write(line)


Step = tuple[int, str, str, AnyFact]


def _facts(events: int, chance: random.Random) -> Iterator[Step]:
    """Days, ids, subjects and facts, until there are enough."""
    written, day, jars = 0, 0, 0
    standing: list[tuple[int, str, str]] = []
    while True:
        steps: list[Step] = []
        if len(standing) < ABREAST:
            jars += 1
            charge = _charge(jars, day, chance)
            standing.append((day, charge[1], charge[2]))
            steps.append(charge)
        for born, jar_id, code in list(standing):
            age = day - born
            if age >= ROUND_DAYS:
                standing.remove((born, jar_id, code))
                steps += _press(jar_id, code, day, chance)
            elif age and (age <= 14 or age % 3 == 0):
                steps.append((day, _id(chance), code, Shaken(jars=(jar_id,))))
        for step in steps:
            yield step
            written += 1
            if written == events:
                return
        day += 1


def _charge(number: int, day: int, chance: random.Random) -> Step:
    herb, part = HERBS[number % len(HERBS)]
    fact = Charged(
        code=f"BENCH-{number:05d}",
        herb=herb,
        part=part,
        form="dried",
        herb_g=float(chance.randrange(50, 300)),
        pours=(Pour(liquid="ethanol", volume_ml=1500.0, ethanol_pct_vol=45.0),),
        preparation="spirit on dried herb",
        least="P3M",
        shake=parse_shake_plan("daily 14d, weekly"),
    )
    return day, _id(chance), fact.code, fact


def _press(jar_id: str, code: str, day: int, chance: random.Random) -> list[Step]:
    pressing = _id(chance)
    extract = About(jar=jar_id, extract=pressing)
    subject = f"{code}A"
    facts: list[AnyFact] = [
        Filtered(about=extract, volume_ml=1100.0),
        Bottled(about=extract, bottles=(BottleRun(size_ml=100.0, count=8, first=1),)),
        *(Dispensed(about=replace(extract, bottle=number)) for number in range(1, 8)),
        Dispensed(about=extract),
        Dispensed(about=replace(extract, bottle=8)),
    ]
    pressed = Pressed(about=About(jar=jar_id), letter="A", volume_ml=1150.0, keeps="P12M")
    return [
        (day, pressing, code, pressed),
        *((day, _id(chance), subject, fact) for fact in facts),
    ]


def _id(chance: random.Random) -> str:
    return str(UUID(int=chance.getrandbits(128), version=4))


if __name__ == "__main__":
    write_book(Path(sys.argv[1]), int(sys.argv[2]))
