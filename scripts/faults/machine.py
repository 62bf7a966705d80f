"""Runs the cases: each path once undisturbed, then with every fault at every call."""

import os
import random
import shutil
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from faults.cases import CHANGES, Call, Case, Fault, faults_of, tools_at
from faults.children import KILLED, Ended, run
from faults.homes import Node, Tree, put_back, tree_of
from faults.outside import faults_outside
from faults.power import Disk
from faults.scenarios import TOLD, Scenario, base_of
from faults.witness import Reference, Witness, reference_of

# Where it matters what a synchronising tool does meanwhile.
_SEEN_BY_TOOLS = ("record", "button", "ask")


@dataclass(frozen=True)
class Judged:
    """One case and what came of it; nothing broken where all is well."""

    case: Case
    broken: tuple[str, ...]
    was_hit: bool


class Way:
    """One path of the program, ready to be disturbed."""

    def __init__(self, scenario: Scenario, place: Path) -> None:
        self.scenario = scenario
        self.home = place / "home"
        self._told = place / TOLD
        shutil.rmtree(self.home, ignore_errors=True)
        self._base = base_of(self.scenario, self.home)
        self._begin(self._base)
        self.undisturbed = self._run(Case(scenario.name))
        self.reference: Reference = reference_of(
            self.scenario, self._base, tree_of(self.home), self.undisturbed
        )
        self._witness = Witness(self.scenario, self.home, self.reference)
        self.ended = self.undisturbed
        self._missed: set[Case] = set()

    def _begin(self, tree: Tree) -> None:
        self._told.unlink(missing_ok=True)
        put_back(self.home, tree)

    def cases(self) -> Iterator[Case]:
        """Every fault at every call; then the power cuts."""
        name = self.scenario.name
        for call in self.undisturbed.calls:
            for fault in faults_of(call):
                yield Case(name, (fault,), on=call.on)
            for fault in tools_at(call) if self.scenario.sort in _SEEN_BY_TOOLS else ():
                yield Case(name, (fault,), on=call.on)
        for point in range(len(self.undisturbed.changes) + 1):
            many = sum(1 for _ in self._disk(point).states(self._seed(point)))
            for state in range(many):
                yield Case(name, cut=(point, state))

    def pairs(self, many: int, seed: int) -> Iterator[Case]:
        """Second faults while the first is being cleaned up, drawn by the seed."""
        draw = random.Random(f"{seed} {self.scenario.name}")
        firsts = [
            fault
            for call in self.undisturbed.calls
            if call.name in CHANGES and call.changes
            for fault in faults_of(call)
            if not fault.kind.startswith("kill")
        ]
        after: dict[Fault, tuple[Call, ...]] = {}
        for _ in range(many if firsts else 0):
            first = draw.choice(firsts)
            if first not in after:
                self._begin(self._base)
                calls = self._run(Case(self.scenario.name, (first,))).calls
                names = [(one.name, one.number) for one in calls]
                after[first] = calls[names.index((first.name, first.number)) + 1 :]
            if after[first]:
                second = draw.choice(list(faults_of(draw.choice(after[first]))))
                yield Case(self.scenario.name, (first, second))

    def outside(self, most: int) -> Iterator[Case]:
        """What strace does to SQLite and to calls that are interrupted: closer at first."""
        for inject in faults_outside():
            step = 1
            for _ in range(most):
                yield (case := Case(self.scenario.name, outside=f"{inject}:when={step}"))
                if case in self._missed:
                    break
                step += 1 + step // 4

    def judge(self, case: Case, found: Callable[[Path], Tree] = tree_of) -> Judged:
        """Let it happen, and ask the witness.

        Args:
            case: what happens.
            found: what is found in the home afterwards; another tree after a real power cut.
        """
        if case.cut is not None:
            return self._judge_cut(case, *case.cut)
        self._begin(self._base)
        if case.is_real:
            os.sync()
        self.ended = ended = self._run(case)
        if not ended.was_hit:
            self._missed.add(case)
        tree = found(self.home)
        broken = self._witness.verdicts(case, ended, tree)
        return Judged(case, tuple(broken), ended.was_hit or case == Case(case.path, is_real=True))

    def _run(self, case: Case) -> Ended:
        act, writer = self.scenario.act, self.scenario.writer
        return run(act, self.home, case.faults, writer=writer, outside=case.outside)

    def _judge_cut(self, case: Case, point: int, number: int) -> Judged:
        """The power goes after so many changes; after the last the answer was given."""
        states = list(self._disk(point).states(self._seed(point)))
        if number >= len(states):
            return Judged(case, (), False)
        is_end = point == len(self.undisturbed.changes)
        code = 0 if is_end else KILLED
        tree = self._with_cache(states[number], number, is_end=is_end)
        self._begin(tree)
        if self.scenario.sort == "daemon":  # it told before it changed anything
            self._told.write_text("told\n")
        ended = Ended(code, self.undisturbed.out if is_end else "", self._log_of(code))
        broken = self._witness.verdicts(case, ended, tree)
        return Judged(case, tuple(broken), True)

    def _log_of(self, code: int) -> str:
        return self.undisturbed.err if code == 0 else ""

    def _with_cache(self, tree: Tree, number: int, *, is_end: bool) -> Tree:
        """The read model as SQLite may have left it: as before, gone, half, or as it was to be."""
        found = dict(tree)
        for name, node in self.reference.after.items():
            if not name.endswith(".sqlite") or node.data is None:
                continue
            old = found.pop(name, None)
            folder = name.rpartition("/")[0]
            how = number % 4
            if how == 0 and old is not None:
                found[name] = old
            elif how == 2 and folder in found:
                half = len(node.data) // 2
                before = old.data if old is not None and old.data else b""
                found[name] = Node(node.data[:half] + before[half:], node.mode)
            elif how == 3 and folder in found and is_end:
                found[name] = Node(node.data, node.mode)
        return found

    def _disk(self, point: int) -> Disk:
        disk = Disk(self._base)
        for change in self.undisturbed.changes[:point]:
            disk.take(change)
        return disk

    def _seed(self, point: int) -> int:
        return zlib.crc32(f"{self.scenario.name} {point}".encode())


def sample(cases: Sequence[Case], many: int, seed: int) -> list[Case]:
    """Some of the cases, drawn by the seed, in their order."""
    if many >= len(cases):
        return list(cases)
    chosen = set(random.Random(seed).sample(range(len(cases)), many))
    return [case for number, case in enumerate(cases) if number in chosen]
