"""A book as houses really keep one: three writers, lots, blends, refills, slips put right.

Every line of it fits: a flag on a jar of such a book is a fault of the replay.
"""

import random
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from speed.book_files import END, Written, seeded_id
from tracker.core.facts.amendments import Corrected, Noted, Struck
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    Refilled,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import Bought, BoughtHerb
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.values.times import When, midnight, moment

HERBS = (
    ("Hypericum perforatum", "herb"),
    ("Urtica dioica", "leaf"),
    ("Taraxacum officinale", "root"),
    ("Sambucus nigra", "flower"),
    ("Rosa canina", "fruit"),
    ("Thymus vulgaris", "herb"),
)
CHARGE_ML, PRESSED_ML, FILTERED_ML, BOTTLE_ML, PORTION_ML = 1500.0, 1150.0, 1100.0, 100.0, 50.0
BOTTLES, BLEND_EVERY, CARED_FOR = 8, 3, 4
SHAKEN = parse_shake_plan("daily 14d, weekly")
WRITERS, SHARES = ("bench-loft", "bench-kitchen", "bench-garden"), (60, 30, 10)
ROUND_DAYS = 100
ABREAST = 80
# How many charges one lot lasts for, and one in how many lines says what.
HERB_LOT, SPIRIT_LOT = 4, 6
ONE_IN_CORRECTED, ONE_IN_STRUCK = 28, 60
ONE_IN_DAY_ONLY, LATE, TOGETHER = 20, 0.04, 0.4
PLACES = ("cellar", "top shelf", "window")


class Standing(NamedTuple):
    """A jar that stands: the day of its charge, its id and its code."""

    born: int
    id: str
    code: str


class Said(NamedTuple):
    """A fact of one day, and how many days before that it happened; None: on that day, no time."""

    id: str
    subject: str
    fact: AnyFact
    late: int | None = 0


def mixed_lines(events: int, chance: random.Random) -> Iterator[Written]:
    """The lines of a mixed book, at the times that make it end at `END`."""
    days: list[list[Said]] = []
    left, house = events, House(chance)
    while left > 0:
        said = list(house.day(len(days)))[:left]
        days.append(said)
        left -= len(said)
    start = END - timedelta(days=len(days))
    for day, said in enumerate(days):
        for place, one in enumerate(said):
            recorded = start + timedelta(days=day, seconds=60 * place)
            (writer,) = chance.choices(WRITERS, SHARES)
            yield Written(writer, one.id, one.subject, _when(one, recorded), recorded, one.fact)


def _when(one: Said, recorded: datetime) -> When:
    if one.late is None:
        return When(midnight(recorded.date(), UTC), "day")
    return moment(recorded - timedelta(days=one.late))


@dataclass
class House:
    """What stands in the house, day after day."""

    chance: random.Random
    charged: int = 0
    pressed: int = 0
    standing: deque[Standing] = field(default_factory=deque)
    herb: tuple[str, str, About] | None = None  # of the lot in use: its name, its part, itself
    spirit: About | None = None
    rest: tuple[str, About] | None = None  # the extract of the last pressing, by its code

    def day(self, day: int) -> Iterator[Said]:
        """What is recorded on one day, in its order."""
        if len(self.standing) < ABREAST:
            yield from self._charge(day)
        while self.standing and day - self.standing[0].born >= ROUND_DAYS:
            yield from self._press(self.standing.popleft())
        yield from self._shake(day)
        yield from self._care(day)

    def _say(self, subject: str, fact: AnyFact, late: int | None = 0) -> Said:
        return Said(seeded_id(self.chance), subject, fact, late)

    def _charge(self, day: int) -> Iterator[Said]:
        if self.charged % HERB_LOT == 0:
            yield from self._new_herb()
        if self.charged % SPIRIT_LOT == 0:
            yield from self._new_spirit()
        self.charged += 1
        assert self.herb
        assert self.spirit
        herb, part, lot = self.herb
        fact = Charged(
            code=f"MIXED-{self.charged:06d}",
            herb=herb,
            part=part,
            form="dried",
            herb_g=float(self.chance.randrange(100, 240)),
            herb_lot=lot.jar,
            pours=(
                Pour(
                    liquid="ethanol",
                    volume_ml=CHARGE_ML,
                    ethanol_pct_vol=50.0,
                    lot=self.spirit.jar,
                    written="1.5 l 50 %",
                ),
            ),
            preparation="spirit on dried herb",
            least="P3M",
            shake=SHAKEN,
            place=PLACES[0],
            jar_ml=2000.0,
        )
        said = self._say(fact.code, fact)
        self.standing.append(Standing(day, said.id, fact.code))
        yield said

    def _new_herb(self) -> Iterator[Said]:
        number = self.charged // HERB_LOT
        if self.herb:
            yield self._say(f"HERB-{number:06d}", Discarded(about=self.herb[2], why="used up"))
        herb, part = HERBS[number % len(HERBS)]
        code = f"HERB-{number + 1:06d}"
        bought = BoughtHerb(code=code, herb=herb, part=part, form="dried", herb_g=1000.0)
        yield (said := self._say(code, bought))
        self.herb = herb, part, About(jar=said.id)

    def _new_spirit(self) -> Iterator[Said]:
        number = self.charged // SPIRIT_LOT
        if self.spirit:
            yield self._say(f"SPIRIT-{number:06d}", Discarded(about=self.spirit, why="used up"))
        code = f"SPIRIT-{number + 1:06d}"
        bought = Bought(code=code, liquid="ethanol", volume_ml=10_000.0, ethanol_pct_vol=50.0)
        yield (said := self._say(code, bought))
        self.spirit = About(jar=said.id)

    def _press(self, jar: Standing) -> Iterator[Said]:
        self.pressed += 1
        fact = Pressed(
            about=About(jar=jar.id), letter="A", volume_ml=PRESSED_ML, keeps="P12M", how="hand"
        )
        yield (said := self._say(jar.code, fact))
        extract, code = About(jar=jar.id, extract=said.id), f"{jar.code}A"
        run = BottleRun(size_ml=BOTTLE_ML, count=BOTTLES, first=1)
        bottles = [
            About(jar=jar.id, extract=said.id, bottle=number) for number in range(1, BOTTLES + 1)
        ]
        poured = Portion(about=extract, volume_ml=PORTION_ML)
        yield self._say(code, Filtered(about=extract, volume_ml=FILTERED_ML))
        yield self._say(code, Bottled(about=extract, bottles=(run,)))
        yield self._say(f"{code}/1", Dispensed(about=bottles[0], volume_ml=PORTION_ML))
        yield self._say(f"{code}/1", Refilled(about=bottles[0], source=poured))
        for number, bottle in enumerate(bottles, 1):
            yield self._say(f"{code}/{number}", Dispensed(about=bottle, reference="C03"))
        yield from self._leave(code, extract)

    def _leave(self, code: str, extract: About) -> Iterator[Said]:
        """What becomes of the rest: every so often it is blended with that of the last pressing."""
        if self.rest:
            other_code, other = self.rest
            if self.pressed % BLEND_EVERY == 0:
                yield from self._blend(extract, other)
            yield self._say(other_code, Dispensed(about=other))
        self.rest = code, extract

    def _blend(self, *extracts: About) -> Iterator[Said]:
        code = f"BLEND-{self.pressed:06d}"
        parts = tuple(Portion(about=one, volume_ml=PORTION_ML) for one in extracts)
        yield (said := self._say(code, Blended(code=code, parts=parts)))
        yield self._say(code, Dispensed(about=About(jar=said.id), reference="C11"))

    def _shake(self, day: int) -> Iterator[Said]:
        """Every jar that is due: in one event on most days, else one by one."""
        due = [one for one in self.standing if _is_due(day - one.born)]
        if len(due) > 1 and self.chance.random() < TOGETHER:
            together = Shaken(jars=tuple(one.id for one in due))
            yield self._say(due[0].code, together)
            return
        for jar in due:
            shaken = self._say(jar.code, Shaken(jars=(jar.id,)), self._late(day - jar.born))
            yield shaken
            yield from self._amend(jar, shaken)

    def _late(self, age: int) -> int | None:
        """By how many days an event is late: most are not; None for one known to the day."""
        if self.chance.randrange(ONE_IN_DAY_ONLY) == 0:
            return None
        return self.chance.randrange(1, 6) if age > 7 and self.chance.random() < LATE else 0

    def _amend(self, jar: Standing, said: Said) -> Iterator[Said]:
        """Now and then a slip that is put right."""
        if self.chance.randrange(ONE_IN_CORRECTED) == 0:
            yield self._say(
                jar.code,
                Corrected(
                    event=said.id, jars=(jar.id,), set={"note": "by lamplight"}, why="left out"
                ),
            )
        elif self.chance.randrange(ONE_IN_STRUCK) == 0:
            yield self._say(jar.code, Struck(event=said.id, jars=(jar.id,), why="was another jar"))

    def _care(self, day: int) -> Iterator[Said]:
        """A few jars are looked at, topped up, moved or written about."""
        for jar in self.chance.sample(self.standing, min(CARED_FOR, len(self.standing))):
            about, late = About(jar=jar.id), self._late(day - jar.born)
            match self.chance.randrange(4):
                case 0:
                    fact: AnyFact = LookedAt(about=about, signs=("colour",))
                case 1:
                    pour = Pour(liquid="ethanol", volume_ml=20.0, ethanol_pct_vol=50.0)
                    fact = ToppedUp(about=about, pours=(pour,))
                case 2:
                    fact = Moved(about=about, place=self.chance.choice(PLACES))
                case _:
                    fact = Noted(about=about, note="smells of the summer, and is darker")
            said = self._say(jar.code, fact, late)
            yield said
            yield from self._amend(jar, said)


def _is_due(age: int) -> bool:
    return 0 < age <= 14 or (age > 14 and age % 7 == 0)
