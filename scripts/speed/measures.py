"""The rows, by subject: each measures its own tasks in rounds, and says what is to be reached."""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import cycle
from pathlib import Path
from statistics import median
from typing import NamedTuple

from speed.floors import BARE, REPLAY, synced_s
from speed.homes import Home
from speed.processes import Ran, Task, peak_mib, rounds, run
from speed.rows import Row, middle, ratio, took

_ASKED = ("due", "shelf", "stock")
_SPEED = Path(__file__).parent


class Limits(NamedTuple):
    """What a row is to reach, and what it is to come to then."""

    reach: float | None = None
    then: float | None = None


ASK = Limits(1.3, 1.15)
AT_HAND = Limits(None, 2.0)
SIZE = Limits(1.05)
AFTER = Limits(1.15)
SHOW = Limits(1.6, 1.3)
SHAKE = Limits(2.0, 1.5)
RECORD = Limits(2.3, 1.7)
REBUILD_ONE = Limits(1.5)
REBUILD = Limits(None, 0.85)
REBUILD_MIB = Limits(150, 64)
CHECK = Limits(1.2)
LATE = Limits(3.0)
PAGE = Limits(1.0)
LIBRARY = Limits(10.0)


@dataclass(frozen=True)
class Machine:
    """Where it is measured: a folder to work in, and the Python of the program."""

    work: Path
    program: Path

    def floors(self) -> dict[str, Task]:
        """The bare ones, for asking and recording."""
        bare = self.work / "bare.py"
        bare.write_text(BARE)
        python = str(self.program / "python")
        env = Home(self.work, self.program).env
        return {
            "python": Task(lambda: (python, "-c", "pass"), env),
            "bare": Task(lambda: (python, str(bare), "two"), env),
        }

    def replay_floor(self, home: Home, cores: int | None = None) -> Task:
        """The bare replay of a book: orjson, SHA-256, and a count for each subject."""
        floor = self.work / "replay.py"
        floor.write_text(REPLAY)
        words = (sys.executable, str(floor), str(home.book / "events"))
        return Task(lambda: words, home.env, cores=cores)


def asking(machine: Machine, homes: Mapping[int, Home], runs: int) -> Iterator[Row]:
    """What it takes to ask a book that has not changed, and one that just has."""
    small, large = min(homes), max(homes)
    tasks = machine.floors()
    for size, home in homes.items():
        other = home.copy(f"{home.place.name}-others")
        for verb in _ASKED:
            tasks[f"{verb}, {size}"] = home.task(verb, forget="answers")
        tasks[f"after, {size}"] = other.after("bench-after", "due")
    tasks["show"] = homes[small].task("show", _codes(homes[small])[0], forget="answers")
    ran = rounds(tasks, runs)
    yield took("bare `python -c pass`", ran["python"])
    yield took("bare typer program of two verbs", ran["bare"])
    for verb in _ASKED:
        yield ratio(f"`{verb}`, {small:,} / bare", ran, f"{verb}, {small}", "bare", *ASK)
    yield ratio(f"`show CODE`, {small:,} / bare", ran, "show", "bare", *SHOW)
    for verb in _ASKED if large > small else ():
        name = f"`{verb}`, {large:,} / {small:,}"
        yield ratio(name, ran, f"{verb}, {large}", f"{verb}, {small}", *SIZE)
    for size in homes:
        name = f"`due` after another's line, {size:,} / unchanged"
        yield ratio(name, ran, f"after, {size}", f"due, {size}", *AFTER)
    if homes[small].keeps_answers():
        yield from _at_hand(machine, homes, runs)


def _at_hand(machine: Machine, homes: Mapping[int, Home], runs: int) -> Iterator[Row]:
    """The same asked once more, from the answer that was kept."""
    tasks = machine.floors()
    for size, home in homes.items():
        for verb in _ASKED:
            tasks[f"{verb}, {size}"] = home.task(verb)
    ran = rounds(tasks, runs)
    for size in (min(homes), max(homes)):
        for verb in _ASKED:
            name = f"`{verb}` asked again, {size:,} / python"
            yield ratio(name, ran, f"{verb}, {size}", "python", *AT_HAND)


def recording(machine: Machine, home: Home, runs: int) -> Iterator[Row]:
    """What it takes to record, each line synced to the disk."""
    own = home.copy(f"{home.place.name}-own")
    codes = _codes(own)
    pressed, others = codes[: runs + 2], codes[runs + 2 :]
    verbs: dict[str, Iterator[tuple[str, ...]]] = {
        "shake": (("shake", code) for code in cycle(others)),
        "press": (("press", code, "1150ml", "--sure") for code in pressed),
        "dispense": (("dispense", f"{code}A", "10ml") for code in pressed),
        "look": (("look", code) for code in cycle(others)),
        "note": (("note", code, "smells of the summer") for code in cycle(others)),
        "charge": (_charge(grams) for grams in range(100, 300)),
    }
    tasks = machine.floors() | {name: own.task_each(words) for name, words in verbs.items()}
    ran = rounds(tasks, runs)
    times, spread = middle([synced_s(machine.work) * 1000 for _ in range(runs)])
    yield Row("500 bytes appended and synced", times, "ms", spread)
    for name in verbs:
        limits = SHAKE if name == "shake" else RECORD
        yield ratio(f"`{name}`, {len(own):,} / bare", ran, name, "bare", *limits)


def _charge(grams: int) -> tuple[str, ...]:
    words = ("charge", "Calendula officinalis", "--part", "flower", "--dried", f"{grams}g")
    return (*words, "--pour", "500 ml 45%", "--sure")


def rebuilding(
    machine: Machine, homes: Mapping[str, Home], runs: Callable[[Home], int]
) -> Iterator[Row]:
    """What it takes to make the read model from nothing, and to check every line."""
    floors: dict[str, float] = {}
    for name, home in homes.items():
        ran = rounds(
            {
                "floor": machine.replay_floor(home),
                "floor on one": machine.replay_floor(home, cores=1),
                "one": home.task("due", forget="all", cores=1),
                "both": home.task("due", forget="all"),
                "check": home.task("check"),
            },
            runs(home),
        )
        floors[name] = median(one.wall_s for one in ran["floor"])
        yield took(f"F, {name}", ran["floor"], "s")
        yield ratio(f"rebuild on one core, {name} / F", ran, "one", "floor on one", *REBUILD_ONE)
        yield ratio(f"rebuild, {name} / F", ran, "both", "floor", *REBUILD)
        yield ratio(f"`check`, {name} / F", ran, "check", "floor", *CHECK)
        memory = peak_mib(home.task("due", forget="all"))
        yield Row(
            f"rebuild, {name}: memory",
            memory,
            "MiB",
            reach=REBUILD_MIB.reach,
            then=REBUILD_MIB.then,
        )
    plain = [name for name in homes if "mixed" not in name]
    if len(plain) > 1:
        first, last = plain[0], plain[-1]
        lines = len(homes[last]) - len(homes[first])
        yield Row("F, a line", (floors[last] - floors[first]) / lines * 1e6, "µs")


def late(home: Home, runs: int) -> Iterator[Row]:
    """What is late or put right, in the largest book, by what the same takes where it is not."""
    own = home.copy(f"{home.place.name}-late")
    codes = cycle(_codes(own)[20:])
    lines = _shakes(own, _codes(own)[20:50])
    # Numbers are told apart by writer from here on.
    run(own.task("note", _codes(own)[0], "smells of the summer"))
    ran = rounds(
        {
            "due": own.task("due", forget="answers"),
            "before": own.after("bench-before", "due"),
            "shake": own.task_each(("shake", code, "--sure") for code in codes),
            "late": own.task_each(
                ("shake", code, "--when", "2026-11-10", "--sure") for code in codes
            ),
            "correct": own.task_each(
                ("correct", line, "--set", "by=C03", "--why", "left out") for line in lines
            ),
            "strike": own.task_each(("strike", line, "--why", "another jar") for line in lines),
        },
        runs,
    )
    size = f"{len(own):,}"
    yield ratio(f"`due` after another's late line, {size} / unchanged", ran, "before", "due", *LATE)
    yield ratio(f"`shake --when` weeks ago, {size} / now", ran, "late", "shake", *LATE)
    yield ratio(f"`correct`, {size} / `shake`", ran, "correct", "shake", *LATE)
    yield ratio(f"`strike`, {size} / `shake`", ran, "strike", "shake", *LATE)


def _shakes(home: Home, codes: Sequence[str]) -> Iterator[str]:
    """The ids of shakes of some jars, of each the first ones."""
    for code in codes:
        history = home.answer("history", code)
        yield from [str(line["id"]) for line in history if line["kind"] == "shaken"][:2]


def page(machine: Machine, home: Home, runs: int) -> Iterator[Row]:
    """A page that touches most of the jars, by a rebuild of the same book."""
    own = home.copy(f"{home.place.name}-page")
    codes = _codes(own)
    lines = machine.work / "page.txt"
    lines.write_text("".join(f"shake {code}\n" for code in codes[: len(codes) * 9 // 10]))
    other = home.copy(f"{home.place.name}-again")
    ran = rounds(
        {
            "page": own.task("enter", str(lines), "--yes", "--sure"),
            "rebuild": other.task("due", forget="all"),
        },
        runs,
    )
    yield ratio(f"page of most jars, {len(own):,} / rebuild", ran, "page", "rebuild", *PAGE)


def library(machine: Machine, home: Home, runs: int) -> Iterator[Row]:
    """What the library eventsourcing takes to replay as many events, by a rebuild."""
    script, database = str(_SPEED / "eventsourced_shelf.py"), str(machine.work / "library.db")
    python = sys.executable
    run(Task(lambda: (python, script, "write", str(home.book / "events"), database), home.env))
    ran: Mapping[str, Sequence[Ran]] = rounds(
        {
            "library": Task(lambda: (python, script, "replay", database), home.env),
            "rebuild": home.task("due", forget="all"),
        },
        runs,
    )
    name = f"eventsourcing replays, {len(home):,} / rebuild"
    yield ratio(name, ran, "library", "rebuild", *LIBRARY, at_least=True)


def _codes(home: Home) -> list[str]:
    """The codes of the jars that stand, the oldest first."""
    return [str(jar["code"]) for jar in home.answer("shelf")]
