"""A seeded book of any length for the bench: a shelf of eighty jars, year after year.

    python scripts/bench_book.py FOLDER EVENTS [plain|mixed]

A plain book is by one writer: shakes of one jar each, pressings, bottles. A mixed one has more of
what real ones hold: `speed/mixed_book.py`. Beside it, in `FOLDER.later`, stand the files of two
other machines, for the bench to append from: one shakes jars after the book's end, and one brings
in shakes of weeks ago.
"""

import random
import sys
from collections.abc import Callable, Iterator, Mapping
from datetime import timedelta
from pathlib import Path

from speed.book_files import END, Written, seeded_id, write_files
from speed.mixed_book import mixed_lines

from tracker.core.facts.extracts import Bottled, BottleRun, Dispensed, Filtered, Pressed
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.times import moment

HERBS = (
    ("Calendula officinalis", "flower"),
    ("Melissa officinalis", "leaf"),
    ("Valeriana officinalis", "root"),
    ("Achillea millefolium", "herb"),
    ("Crataegus monogyna", "berry"),
)
WRITER = "bench-writer"
# The other machines, and by how many days each is late.
OTHERS = {"bench-after": 0, "bench-before": 21}
OTHERS_LINES = 200
ROUND_DAYS = 100  # days a jar stands; a new one is charged as often as one is pressed
ABREAST = 80

Step = tuple[int, str, str, AnyFact]


def write_book(folder: Path, events: int, kind: str = "plain", seed: int = 1) -> None:
    """Write a book of that many events into a new folder; it ends in November 2026."""
    standing: dict[str, str] = {}

    def noted(lines: Iterator[Written]) -> Iterator[Written]:
        for line in lines:
            if isinstance(line.fact, Charged):
                standing[line.id] = line.subject
            elif isinstance(line.fact, Pressed):
                standing.pop(line.fact.about.jar, None)
            yield line

    lines = KINDS[kind](events, random.Random(seed))
    write_files(folder / "events", noted(lines))
    later = folder.with_name(f"{folder.name}.later")
    write_files(later, others_lines(list(standing.items()), random.Random(seed + 1)))


def others_lines(jars: list[tuple[str, str]], chance: random.Random) -> Iterator[Written]:
    """What the other machines have to say of the jars that stand, of the older half of them."""
    older = jars[: len(jars) // 2 + 1]
    for writer, late in OTHERS.items():
        for number in range(OTHERS_LINES):
            jar_id, code = older[number % len(older)]
            recorded = END + timedelta(hours=number // len(older), minutes=number)
            happened = moment(recorded - timedelta(days=late))
            fact = Shaken(jars=(jar_id,))
            yield Written(writer, seeded_id(chance), code, happened, recorded, fact)


def plain_lines(events: int, chance: random.Random) -> Iterator[Written]:
    """The lines of a plain book, at the times that make it end at `END`."""
    steps = list(_facts(events, chance))
    start = END - timedelta(days=steps[-1][0] + 1)
    for number, (day, event_id, subject, fact) in enumerate(steps, 1):
        happened = start + timedelta(days=day, seconds=number % 3600)
        yield Written(WRITER, event_id, subject, moment(happened), happened, fact)


KINDS: Mapping[str, Callable[[int, random.Random], Iterator[Written]]] = {
    "plain": plain_lines,
    "mixed": mixed_lines,
}


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
                steps.append((day, seeded_id(chance), code, Shaken(jars=(jar_id,))))
        for step in steps:
            yield step
            written += 1
            if written == events:
                return
        day += 1


def charged(number: int, code: str, chance: random.Random) -> Charged:
    """The charge of a jar, of one herb after another."""
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


def _charge(number: int, day: int, chance: random.Random) -> Step:
    fact = charged(number, f"BENCH-{number:05d}", chance)
    return day, seeded_id(chance), fact.code, fact


def _press(jar_id: str, code: str, day: int, chance: random.Random) -> list[Step]:
    pressing = seeded_id(chance)
    extract = About(jar=jar_id, extract=pressing)
    bottles = [About(jar=jar_id, extract=pressing, bottle=number) for number in range(1, 9)]
    subject = f"{code}A"
    facts: list[AnyFact] = [
        Filtered(about=extract, volume_ml=1100.0),
        Bottled(about=extract, bottles=(BottleRun(size_ml=100.0, count=8, first=1),)),
        *(Dispensed(about=bottle) for bottle in bottles[:-1]),
        Dispensed(about=extract),
        Dispensed(about=bottles[-1]),
    ]
    pressed = Pressed(about=About(jar=jar_id), letter="A", volume_ml=1150.0, keeps="P12M")
    return [
        (day, pressing, code, pressed),
        *((day, seeded_id(chance), subject, fact) for fact in facts),
    ]


if __name__ == "__main__":
    write_book(Path(sys.argv[1]), int(sys.argv[2]), "".join(sys.argv[3:]) or "plain")
