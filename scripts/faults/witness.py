"""The witness: knows what was tried and what was acknowledged, and judges what is left."""

import json
import re
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from faults.book_seen import BookSeen, Line, book_seen
from faults.cases import Case
from faults.children import HUNG, Ended, command, in_turn, run
from faults.homes import Node, Tree, put_back, tree_of
from faults.scenarios import TOLD, Scenario
from faults.tools import CONFLICT, TAKING

# What may be in a home; everything else was left behind.
OURS = re.compile(
    r"(book|cache|state|data|copy|pages)(/(stillroom|events|book-[0-9a-f]+|book))*"
    r"|(book|copy)/(practice\.toml|events/[a-z0-9-]+(\.sync-conflict[^/]*)?\.jsonl)"
    r"|cache/stillroom/(shelf-[^/]*\.sqlite|said-[0-9a-f]{16}-[a-z]+-\d)"
    r"|state/stillroom/(writer|writer\.lock|writer\.set-aside-1|set-aside(/writer[^/]*)?)"
    r"|state/stillroom/book-[0-9a-f]+/(recording\.lock|daemon\.lock|telling|told\.json|untold|by"
    r"|untold\.printed|deliveries\.json|backups\.json|own-ends|last-named"
    r"|set-aside|set-aside/[^/]*\.torn)"
    r"|pages/stillroom\.html|page\.txt|shelf\.html|labels(-[0-9]+)?\.pdf"
)
_SHELF = ("shelf", "--json")
_SECRET = re.compile(r"(book|cache|state)(/.*)?|copy(/.*)?|shelf\.html|labels.*\.pdf|pages/.*")


@dataclass(frozen=True)
class Reference:
    """What stood there before, and what an undisturbed run leaves."""

    base: Tree
    after: Tree
    tried: tuple[Line, ...]
    out: str


def reference_of(scenario: Scenario, base: Tree, after: Tree, ended: Ended) -> Reference:
    """The undisturbed run as what all others are held to.

    Raises:
        RuntimeError: it did not end as it should.
    """
    if ended.code or "Traceback" in ended.err:
        raise RuntimeError(f"{scenario.name} fails undisturbed: {ended.code}\n{ended.err}")
    before, now = seen_in(base), seen_in(after)
    return Reference(base, after, now.lines[len(before.lines) :], ended.out)


def seen_in(tree: Tree) -> BookSeen:
    """The lines of the one file of the book; where it has none, nothing."""
    files = [node.data for name, node in tree.items() if _is_events(name)]
    return book_seen(b"" if not files else files[0] or b"")


def _is_events(name: str) -> bool:
    is_events = name.startswith("book/events/") and name.endswith(".jsonl") and "/." not in name
    return is_events and not name.endswith(CONFLICT)


@dataclass
class Witness:
    """Judges one case: first what is there, then what the next commands make of it."""

    scenario: Scenario
    home: Path
    reference: Reference
    judged: set[int] = field(default_factory=set)

    def verdicts(self, case: Case, ended: Ended, found: Tree) -> list[str]:
        """Every promise that is broken; none where all is well."""
        is_cut = case.is_real or case.cut is not None
        is_dead = any(one.kind.endswith("-on") for one in case.faults)
        broken = [*self._words(ended), *private(found)]
        if self._says_unknown(ended) and not is_dead and len(case.faults) < 2:
            broken.append("not known without need")
        if ended.code >= 0 and not is_dead and not is_cut:
            broken += left_behind(found)  # a disk that takes nothing more gives nothing back
        if case.tool in TAKING:
            broken += self._recorded(ended, found, cut=is_cut, may_be_taken=True)
            if missing := self._missing(ended, found):
                return list(dict.fromkeys([*broken, *self._missed(missing, found)]))
        else:
            broken += self._recorded(ended, found, cut=is_cut)
            broken += [*self._earlier(found), *self._target(ended, found)]
        broken += self._afterwards(case, ended, found)
        return list(dict.fromkeys(broken))

    def _missing(self, ended: Ended, found: Tree) -> int:
        """How many lines are not there that were once acknowledged."""
        there = {one.said for one in seen_in(found).lines}
        wanted = [*seen_in(self.reference.base).lines]
        wanted += self.reference.tried if self._acknowledged(ended) else ()
        return sum(one.said not in there for one in wanted)

    def _missed(self, missing: int, found: Tree) -> Iterator[str]:
        """What a tool took away is named, and nothing is recorded in its place unasked."""
        put_back(self.home, found)
        verbs = (self.scenario.next[0], "check", "shelf", "cold shelf")
        acts = [command(self.scenario.next), command(["check"]), command(_SHELF), _cold_shelf]
        answers = dict(zip(verbs, in_turn(acts, self.home, self.scenario.writer), strict=True))
        yield from (f"taken: traceback of {v}" for v, one in answers.items() if _is_broken(one))
        said = answers["check"].out
        if answers["check"].code != 1 or not ("gone" in said or "another line than" in said):
            yield f"taken: check does not say so ({missing})"
        for verb in ("shelf",) if self.scenario.forgets else ("shelf", "cold shelf"):
            if "INCOMPLETE" not in answers[verb].err:
                yield f"taken: {verb} does not say so ({missing})"
        if "--sure" not in self.scenario.next and answers[self.scenario.next[0]].code == 0:
            yield f"taken: recorded unasked ({missing})"

    def _words(self, ended: Ended) -> Iterator[str]:
        if ended.code == HUNG:
            yield "hangs"
        if "Traceback" in ended.err or "Exception ignored" in ended.err:
            if self.scenario.sort == "button" or self.scenario.sort == "daemon":
                yield "traceback in the log"
            else:
                yield "traceback"
        elif ended.code > 0 and "to do:" not in ended.err + ended.out:
            yield "no words"
        if ended.code > 2:
            yield f"exit code {ended.code}"
        is_other = ended.code == 0 and ended.out != self.reference.out
        if self.scenario.sort == "ask" and is_other and "INCOMPLETE" not in ended.err:
            yield "a wrong answer"

    def _recorded(
        self, ended: Ended, found: Tree, *, cut: bool, may_be_taken: bool = False
    ) -> Iterator[str]:
        """Lost, twice, half, or there though it was refused."""
        seen, before = seen_in(found), seen_in(self.reference.base)
        if seen.misfits and not cut:  # what a cut leaves behind the whole lines is set aside
            yield f"chain: {seen.misfits[0]}"
        old = {one.id for one in before.lines}
        new = [one for one in seen.lines if one.id not in old]
        there = [(one.kind, one.said) for one in new]
        tried = [(one.kind, one.said) for one in self.reference.tried]
        if there and [kind for kind, _ in there] != [kind for kind, _ in tried]:
            yield "half or more than was tried"
        if self._acknowledged(ended) and not there and tried and not may_be_taken:
            yield "lost"
        if self._refused(ended) and there:
            yield "refused but recorded"

    def _acknowledged(self, ended: Ended) -> bool:
        if self.scenario.sort == "button":
            return "a press recorded" in ended.err
        return ended.code == 0

    def _refused(self, ended: Ended) -> bool:
        if self.scenario.sort == "button":
            said = "a press was refused" in ended.err or "was not recorded" in ended.err
            return said and not self._says_unknown(ended)
        return ended.code > 0 and not self._says_unknown(ended)

    def _says_unknown(self, ended: Ended) -> bool:
        """Whether it says that a dying disk will not even take back what was begun."""
        return "and the disk cannot take back" in ended.err

    def _earlier(self, found: Tree) -> Iterator[str]:
        """Whole lines that stood there before stay, byte for byte."""
        for name, node in self.reference.base.items():
            if not _is_events(name) or node.data is None:
                continue
            kept = b"".join(one.raw + b"\n" for one in book_seen(node.data).lines)
            now = found.get(name)
            if now is None or now.data is None or not now.data.startswith(kept):
                yield "earlier bytes changed"

    def _target(self, ended: Ended, found: Tree) -> Iterator[str]:
        """Each file beside the book is as it was or as it was to be, never half."""
        target = self.scenario.target
        names = [name for name in found if target and (name + "/").startswith(target + "/")]
        for name in names:
            node, old = found[name], self.reference.base.get(name)
            if node.data is None or "/." in f"/{name}":
                continue
            if (old is None or node.data != old.data) and not self._is_new(name, node.data):
                yield "a file is half"
        wanted = {n for n in self.reference.after if target and (n + "/").startswith(target + "/")}
        if ended.code == 0 and self.scenario.sort in ("copy", "file"):
            if wanted - set(names):
                yield "done, and a file is missing"
            for name in wanted & set(names):
                if not self._is_new(name, found[name].data):
                    yield "done, and a file is old"

    def _is_new(self, name: str, data: bytes | None) -> bool:
        wanted = self.reference.after.get(name)
        if data is None or wanted is None or wanted.data is None:
            return wanted is not None and data == wanted.data
        if name.endswith(".pdf"):  # each has its own time and ids in it
            return data[:5] == b"%PDF-" and data.rstrip().endswith(b"%%EOF")
        return data == wanted.data

    # What the next commands make of it

    def _afterwards(self, case: Case, ended: Ended, found: Tree) -> Iterator[str]:
        is_ours = not (case.is_real or case.outside or case.cut is not None)
        state = hash((ended.code < 0, self._acknowledged(ended), *self._state_of(found, is_ours)))
        if state in self.judged:  # most refusals leave the very same home
            return
        self.judged.add(state)
        aged = {name: _aged(name, node) for name, node in found.items()}
        if self.scenario.again and is_ours and not case.tool:
            put_back(self.home, aged)
            yield from self._again(ended, seen_in(found))
        put_back(self.home, aged)
        seen = seen_in(found)
        if self.scenario.sort == "daemon":
            yield from self._told_once(ended)
        is_dead = any(one.kind.endswith("-on") for one in case.faults)
        if (ended.code < 0 or is_dead) and self.scenario.sort not in ("record", "button", "daemon"):
            act = self.scenario.act if not self.scenario.redo else command(self.scenario.redo)
            again = run(act, self.home, watched=False, writer=self.scenario.writer)
            if again.code:
                yield f"afterwards: the same fails ({_first_line(again.err)})"
        yield from self._next(seen, may_fail=self.scenario.sort == "accept" and ended.code != 0)

    def _state_of(self, found: Tree, is_ours: bool) -> Iterator[object]:
        """What tells one home from another, without times and ids.

        Faults above SQLite leave its file as it was or as it was to be.
        """
        for name, node in sorted(found.items()):
            data: object = node.data
            if node.data is None or node == self.reference.base.get(name):
                yield name, node.mode, data
            elif _is_events(name):
                seen = book_seen(node.data)
                yield name, node.mode, tuple(one.said for one in seen.lines), seen.rest[:20]
            elif is_ours:
                yield re.sub("[0-9a-f]{8,}", "", name), node.mode, len(node.data)
            else:
                yield name, node.mode, data

    def _again(self, ended: Ended, found: BookSeen) -> Iterator[str]:
        """The same words said once more are asked about where the answer may have been lost."""
        is_there = len(found.lines) > len(seen_in(self.reference.base).lines)
        words = self.scenario.again
        act = command(words) if is_there else self.scenario.act
        answer = run(act, self.home, watched=False, writer=self.scenario.writer)
        now = seen_in(tree_of(self.home))
        is_said = "the same was recorded" in answer.err or "it was already" in answer.err
        if is_there and not (answer.code > 0 and is_said):
            yield f"afterwards: a repeat is not asked about ({_first_line(answer.err)})"
        if is_there and len(now.lines) != len(found.lines):
            yield "afterwards: a repeat is recorded twice"
        if not is_there and len(now.lines) != len(found.lines) + len(self.reference.tried):
            yield f"afterwards: a second try fails ({_first_line(answer.err)})"

    def _told_once(self, ended: Ended) -> Iterator[str]:
        file = self.home.with_name(TOLD)
        first = file.read_bytes().count(b"\n") if file.exists() else 0
        run(self.scenario.act, self.home, watched=False)
        told = file.read_bytes().count(b"\n") if file.exists() else 0
        if told == 0:
            yield "a digest is lost"
        if first > 1:
            yield "a digest twice by one daemon"
        if told > 2 or (told > 1 and ended.code == 0 and not ended.was_hit):
            yield "a digest twice"
        page, wanted = self.home / self.scenario.target, self.reference.after
        if not page.exists() or page.read_bytes() != wanted[self.scenario.target].data:
            yield "afterwards: the page is not kept"

    def _next(self, before: BookSeen, *, may_fail: bool) -> Iterator[str]:
        """The next command records, and the book is whole: warm and cold answers are the same."""
        verbs = (self.scenario.next[0], "check", "shelf", "shelf")
        acts = [command(self.scenario.next), command(["check"]), command(_SHELF), _cold_shelf]
        answers = in_turn(acts, self.home, self.scenario.writer)
        for verb, answer in zip(verbs, answers, strict=True):
            if "Traceback" in answer.err:
                yield f"afterwards: traceback of {verb}"
            elif answer.code and not (may_fail and verb in ("check", "note")):
                yield f"afterwards: {verb} fails ({_first_line(answer.err + answer.out)})"
        if answers[2].out != answers[3].out:
            yield "afterwards: the cache answers otherwise than the book"
        tree = tree_of(self.home)
        seen = seen_in(tree)
        if seen.misfits or seen.rest:
            yield f"afterwards: chain: {(*seen.misfits, 'a rest')[0]}"
        if seen.lines[: len(before.lines)] != before.lines:
            yield "afterwards: lines are lost"
        if len(seen.lines) != len(before.lines) + 1 and answers[0].code == 0:
            yield "afterwards: lines come back"
        if self.scenario.sort == "record":  # what it printed is not printed once more
            tree = {name: node for name, node in tree.items() if not name.startswith(".")}
        yield from (f"afterwards: {one}" for one in (*left_behind(tree), *private(tree)))


def _cold_shelf(home: Path) -> int:
    """The shelf with the read model made once more from the lines."""
    for file in (home / "cache").rglob("shelf-*.sqlite"):
        file.unlink()
    return command(_SHELF)(home)


def _aged(name: str, node: Node) -> Node:
    """A temporary file of yesterday: what clears away what is left of the dead may wait a day."""
    if name.rpartition("/")[2].startswith("."):
        mtime_ns = node.mtime_ns or time.time_ns()  # a simulated disk knows no times
        return replace(node, mtime_ns=mtime_ns - 2 * 86_400 * 10**9)
    return node


def left_behind(tree: Tree) -> list[str]:
    """Temporary files and other things that nobody wants."""
    return [f"left behind: {_kind_of(name)}" for name in tree if not OURS.fullmatch(name)]


def _kind_of(name: str) -> str:
    return re.sub(r"[0-9a-f]{8,}|\d{3,}", "…", name)


def private(tree: Tree) -> list[str]:
    """What others on this machine could read: the file and its folders let them."""
    return [
        f"not private: {_kind_of(name)}"
        for name, node in tree.items()
        if node.data
        and _SECRET.fullmatch(name)
        and node.mode & 0o077
        and all(tree[folder].mode & 0o077 for folder in _folders_of(name))
    ]


def _folders_of(name: str) -> Iterator[str]:
    while "/" in name:
        name = name.rpartition("/")[0]
        yield name


def _is_broken(ended: Ended) -> bool:
    return "Traceback" in ended.err


def _first_line(text: str) -> str:
    lines = [line for line in text.strip().splitlines() if line]
    return json.dumps(lines[0][:90]) if lines else "no words"
