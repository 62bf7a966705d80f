"""The drying loft of the demo book: a third writer, whose work the verbs themselves record.

The loft has a book, a clock and a chance of its own, so that nothing it does changes what
the other two write.
"""

import io
import json
import shlex
from collections.abc import Iterable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from random import Random

from demo_house import LAST, WENNA, House
from typer.main import get_group

from tracker.bench.bench import Bench
from tracker.bench.record import record
from tracker.cli.main import app
from tracker.core.facts.fields import About
from tracker.core.facts.lots import Recalled
from tracker.core.rules.recorded import Draft
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import moment

SEED = 20250610
NOTEBOOK = Path(__file__).with_suffix(".txt")

# What is given out by slips at the loft's door: from what, between which days, how often.
GIVEN = (
    ("AGEU-25-02A", "2025-10-02", "2026-03-20", 5),
    ("ACMI-25-01A/1", "2026-02-02", "2026-09-28", 3),
    ("ACMI-25-01A", "2026-02-02", "2026-11-10", 8),
    ("AGEU-25-03A", "2026-02-02", "2026-11-10", 7),
    ("TICO-25-01A", "2026-03-02", "2026-11-05", 6),
    ("FIUL-25-01B", "2026-03-02", "2026-11-10", 7),
    ("AGEU-25-02B", "2026-03-02", "2026-11-10", 5),
)

# When the loft is counted.
COUNTS = ("2026-04-16", "2026-07-09", "2026-10-09")

# The loft's jars are shaken on Thursdays, if anyone is there.
_FIRST_ROUND = date(2025, 7, 3)
_IS_THERE = 0.93


@dataclass(slots=True)
class Loft:
    """The loft at work, through the days of its notebook."""

    house: House
    slips: int = 0
    _numbers: dict[str, str] = field(default_factory=dict)

    @property
    def bench(self) -> Bench:
        """The bench that the verbs are given."""
        return self.house.bench(WENNA)

    def schedule(self) -> None:
        """Put the notebook, the rounds, the counts and what is given out on the agenda."""
        house = self.house
        for day, lines in days_of(NOTEBOOK.read_text(encoding="utf-8")):
            house.later(day, 10, partial(self.do_day, lines))
        round_day = _FIRST_ROUND
        while round_day <= LAST:
            if house.may(_IS_THERE):
                house.later(round_day, 8, partial(self.say, "shake --due"))
            round_day += timedelta(days=7)
        for code, first, last, times in GIVEN:
            days = (date.fromisoformat(last) - date.fromisoformat(first)).days
            for _ in range(times):
                after = timedelta(days=house.chance.randint(0, days))
                step = partial(self.give_out, code)
                house.later(date.fromisoformat(first) + after, 14, step)
        for text in COUNTS:
            house.later(date.fromisoformat(text), 17, self.count)

    def do_day(self, lines: Iterable[str]) -> None:
        """Do what the notebook has for one day, in its order."""
        for line in lines:
            name, colon, words = line.partition(": ")
            if not colon or not name.isalpha():
                name, words = "", line
            if words.startswith("recall "):
                self._recall(words)
            else:
                self._numbers[name] = self.say(words)

    def say(self, line: str) -> str:
        """Give a line to the verb it names; returns the id of its last event, if it has one."""
        if "{slip}" in line:
            line = line.replace("{slip}", self._next_slip())
        verb, *words = shlex.split(line.format_map(self._numbers))
        out = io.StringIO()
        group = get_group(app)
        with redirect_stdout(out), redirect_stderr(io.StringIO()):
            command = group.get_command(group.make_context("stillroom", [verb]), verb)
            assert command is not None, line
            with command.make_context(verb, [*words, "--json"], obj=self.bench) as context:
                command.invoke(context)
        self.house.pass_minutes(4, 18)
        said = json.loads(out.getvalue() or '{"recorded": [], "flags": []}')
        assert not said["flags"], (line, said["flags"])
        return said["recorded"][-1]["id"] if said["recorded"] else ""

    def _next_slip(self) -> str:
        self.slips += 1
        return f"L{self.slips:04d}"

    def _recall(self, line: str) -> None:
        """A merchant recalls a lot: it is put on hold with everything that holds any of it."""
        _, code, _, why = shlex.split(line)
        bench = self.bench
        lot = bench.find_lot(code)
        jars = tuple(holding(lot.id, bench.batches()))
        fact = Recalled(about=About(jar=lot.id), jars=jars, why=why)
        record(bench, [Draft(bench.new_id(), lot.code, moment(self.house.now), fact)])

    def give_out(self, code: str) -> None:
        """Give out a small measure, to a slip."""
        ml = self.house.chance.choice((15, 15, 20, 20, 25, 30))
        self.say(f"dispense {code} {ml}ml --for {{slip}}")

    def count(self) -> None:
        """Count what stands in bulk; a little is missing."""
        for batch in self.bench.batches(live_only=True):
            for extract in batch.extracts:
                if extract.volume_ml >= DROP_ML:
                    lost = self.house.chance.uniform(0, 0.015)
                    there_ml = int(extract.volume_ml * (1 - lost) + 0.01)
                    self.say(f"count {batch.extract_code(extract)} {there_ml}ml")


def days_of(notebook: str) -> Iterator[tuple[date, list[str]]]:
    """The days of a notebook with their lines."""
    lines: list[str] = []
    for text in notebook.splitlines():
        if text[:4].isdecimal():
            lines = []
            yield date.fromisoformat(text), lines
        elif not text.startswith("#"):
            lines.append(text)


def holding(lot_id: str, batches: Iterable[Batch]) -> list[str]:
    """What holds any of a lot, by way of others or not, in the order given."""
    sources = {one.id: {flow.jar for flow in _flows(one)} for one in batches}
    held = {lot_id}
    while more := {one for one, of in sources.items() if one not in held and of & held}:
        held |= more
    return [one for one in sources if one in held]


def _flows(batch: Batch) -> Iterator[Flow]:
    if isinstance(batch, Jar):
        yield from batch.sources
    for extract in batch.extracts:
        yield from extract.sources
        for bottle in extract.bottles:
            yield from bottle.sources


def write_loft(book: Path, scratch: Path, through: date) -> None:
    """Let the loft's days pass through a day, in a book that exists already."""
    house = House(book, scratch, Random(SEED))
    Loft(house).schedule()
    house.work_through(through)
