"""The invented dispensary of the demo book: its people, their clock and their plans."""

import heapq
import itertools
import uuid
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from random import Random

from demo_recipes import Recipe

from tracker.bench.bench import Bench
from tracker.bench.record import record
from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import AnyFact
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import lives_of
from tracker.core.rules.recorded import Draft
from tracker.core.shelf.codes import code_stem
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.values.times import When, moment
from tracker.journal.append import append
from tracker.journal.file_marks import Damage

FIRST = date(2023, 11, 20)
LAST = date(2026, 11, 20)

# The writers: a person and the machine they write on.
HANNE = "hanne-stillroom"
CORIN = "corin-counter"
WENNA = "wenna-loft"

Step = Callable[[], object]


class QuietBench(Bench):
    """A bench on a book with no other writer: it is not read again before every line."""

    def damages(self) -> list[Damage]:
        """None: every line was written a moment ago, and by this script."""
        return []

    def now(self) -> datetime:
        """The simulated moment, in UTC whatever zone the machine is in."""
        return super().now().astimezone(UTC)


def ago(days: int) -> date:
    """The day this many days before the last day of the book."""
    return LAST - timedelta(days=days)


@dataclass(slots=True)
class Plan:
    """A planned jar: when it is charged and pressed, and what is odd about it."""

    recipe: Recipe
    charged: date
    pressed: date | None = None  # None: the herb is still in on the last day
    keep_ml: float = 0.0  # what is never given out
    least: str | None = None
    shake: str | None = None
    lid: str = "glass"
    barrier: str | None = None
    counted: bool = True  # whether the last shelf count finds it
    mishap: str = ""
    jar_id: str = ""


@dataclass(slots=True)
class House:
    """The dispensary at work: an agenda of steps, and a clock that only they move on."""

    book: Path
    scratch: Path
    chance: Random
    now: datetime = datetime(FIRST.year, FIRST.month, FIRST.day, 7, tzinfo=UTC)
    plans: dict[str, Plan] = field(default_factory=dict)
    slips: int = 0
    _agenda: list[tuple[datetime, int, Step]] = field(default_factory=list)
    _numbers: Iterator[int] = field(default_factory=itertools.count)
    _benches: dict[str, Bench] = field(default_factory=dict)
    _entries: dict[str, Entry] = field(default_factory=dict)
    _of_jar: dict[str, list[Entry]] = field(default_factory=lambda: defaultdict(list))
    _as_it_stands: dict[str, Jar] = field(default_factory=dict)

    def bench(self, who: str = HANNE) -> Bench:
        """One person's bench: one book, a file of their own in it."""
        if who not in self._benches:
            state = self.scratch / who
            state.mkdir()
            (state / "writer").write_text(who + "\n")
            self._benches[who] = QuietBench(
                self.book,
                cache=self.scratch / "cache",
                state=state,
                read_clock=lambda: self.now,
                new_id=self._new_id,
            )
        return self._benches[who]

    @property
    def practice(self) -> Practice:
        """The dispensary's rules."""
        return self.bench().practice

    def _new_id(self) -> str:
        """A version 7 UUID (RFC 9562, section 5.7) of the simulated time and seeded chance."""
        milliseconds = int(self.now.timestamp() * 1000)
        random_a, random_b = self.chance.getrandbits(12), self.chance.getrandbits(62)
        number = milliseconds << 80 | 0x7 << 76 | random_a << 64 | 0b10 << 62 | random_b
        return str(uuid.UUID(int=number))

    # The agenda

    def later(self, day: date, hour: float, step: Step) -> None:
        """Put a step on the agenda, up to twenty minutes after an hour of a day."""
        minutes = hour * 60 + self.chance.randint(0, 20)
        instant = datetime.combine(day, time(), UTC) + timedelta(minutes=minutes)
        heapq.heappush(self._agenda, (instant, next(self._numbers), step))

    def work_through(self, last: date) -> None:
        """Take every step on the agenda through a day, in order."""
        end = datetime.combine(last + timedelta(days=1), time(), UTC)
        while self._agenda and self._agenda[0][0] < end:
            instant, _, step = heapq.heappop(self._agenda)
            self.now = max(self.now, instant)
            step()

    # The book

    def write(self, who: str, subject: str, fact: AnyFact, when: When | None = None) -> str:
        """Record one fact; returns its event's id."""
        bench = self.bench(who)
        draft = Draft(bench.new_id(), subject, when or moment(self.now), fact)
        # Its people answer yes to what is asked: it is a past that happened.
        (entry,) = record(bench, [draft], sure=True).entries
        self._learn(entry)
        self.pass_minutes(1, 4)
        return entry.id

    def write_apart(self, who: str, subject: str, fact: AnyFact) -> None:
        """Record a fact on a copy of the book that has not all of it yet: no gate sees the rest."""
        bench = self.bench(who)
        entry = Entry(
            bench.new_id(), who, 0, subject, moment(self.now), self.now.astimezone(UTC), fact
        )
        (placed,) = append(bench.book, who, [entry], bench.state / "set-aside").entries
        self._learn(placed.entry)
        self.pass_minutes(1, 4)

    def _learn(self, entry: Entry) -> None:
        """Keep what was written: folding a jar again costs less than reading the disk."""
        self._entries[entry.id] = entry
        for jar_id in entry.jars:
            self._of_jar[jar_id].append(entry)
            if isinstance(entry.fact, Corrected | Struck):
                self._of_jar[jar_id].append(self._entries[entry.fact.event])
            self._as_it_stands.pop(jar_id, None)

    def pass_minutes(self, least: int, most: int) -> None:
        """Let some time go by."""
        self.now += timedelta(seconds=self.chance.randint(least * 60, most * 60))

    def jars(self) -> list[Jar]:
        """Every jar with anything of it on the shelf."""
        return [jar for jar in map(self.jar, self._of_jar) if jar.is_live]

    def jar(self, jar_id: str) -> Jar:
        """One jar as it stands."""
        if jar_id not in self._as_it_stands:
            lives = lives_of([jar_id], self._of_jar[jar_id])
            jar = lives.batches[jar_id]
            assert isinstance(jar, Jar)  # the house itself blends nothing
            self._as_it_stands[jar_id] = jar
        return self._as_it_stands[jar_id]

    def extract(self, plan: Plan) -> tuple[Jar, Extract]:
        """The extract a plan's jar gave."""
        jar = self.jar(plan.jar_id)
        return jar, jar.extracts[0]

    def next_code(self, herb: str, year: int) -> str:
        """The next code in the row, as `charge` gives it."""
        stem = code_stem(herb, year)
        taken = [id_ for id_ in self._of_jar if self.jar(id_).code.startswith(stem)]
        return f"{stem}{len(taken) + 1:02d}"

    # Chance

    def near(self, amount: float, spread: float, step: int) -> int:
        """An amount within a share of another, as read off a scale with that step."""
        return step * round(amount * self.chance.uniform(1 - spread, 1 + spread) / step)

    def may(self, share: float) -> bool:
        """Whether something that happens in this share of cases happens now."""
        return self.chance.random() < share

    def next_slip(self) -> str:
        """The number of the next counter slip: what is given out goes by it, not by a name."""
        self.slips += 1
        return f"S{self.slips:04d}"
