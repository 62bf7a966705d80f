"""What the machine found, as counts by path, call and kind of fault; and how to repeat it."""

from collections import Counter
from collections.abc import Iterator, Sequence

from faults.machine import Judged

_REPEAT = ".venv/bin/python scripts/fault_machine.py --case"


def counts(judged: Sequence[Judged]) -> Iterator[str]:
    """How many faults happened: by path, then by call and kind."""
    hit = [one.case for one in judged if one.was_hit]
    ways = Counter(case.path for case in hit)
    yield "by path: " + ", ".join(f"{name} {many}" for name, many in ways.items())
    kinds: dict[str, Counter[str]] = {}
    for case in hit:
        kinds.setdefault(case.call, Counter())[case.kind] += 1
    for call, own in sorted(kinds.items()):
        told = ", ".join(f"{kind} {many}" for kind, many in sorted(own.items()))
        yield f"{call:>20} {sum(own.values()):5}: {told}"


def table(judged: Sequence[Judged]) -> Iterator[str]:
    """How many faults happened, by path, call and kind: one line each, for a spreadsheet."""
    hit = Counter((one.case.path, one.case.call, one.case.kind) for one in judged if one.was_hit)
    yield "path\tcall\tfault\tmany"
    yield from ("\t".join((*key, str(many))) for key, many in sorted(hit.items()))


# What a broken promise is counted as, by how its verdict begins.
_COUNTED_AS = {
    "lost": ("lost", "earlier bytes", "afterwards: lines are lost", "a digest is lost", "taken"),
    "there twice": ("half or more", "chain", "a digest twice", "afterwards: a repeat"),
    "refused but recorded": ("refused but",),
    "tracebacks": ("traceback", "afterwards: traceback", "exit code", "no words"),
    "left behind": ("left behind", "afterwards: left behind"),
}


def totals(judged: Sequence[Judged]) -> str:
    """How often each promise was broken, in one line; zeros said."""
    found = Counter(_counted_as(one) for case in judged for one in case.broken)
    return ", ".join(f"{name} {found[name]}" for name in (*_COUNTED_AS, "other"))


def _counted_as(verdict: str) -> str:
    return next((name for name, own in _COUNTED_AS.items() if verdict.startswith(own)), "other")


def broken(judged: Sequence[Judged], *, most: int = 3) -> Iterator[str]:
    """Every promise that was broken, by path, with a few cases that show it."""
    found: dict[tuple[str, str], list[Judged]] = {}
    for one in judged:
        for verdict in one.broken:
            found.setdefault((verdict, one.case.path), []).append(one)
    for (verdict, path), cases in sorted(found.items()):
        yield f"BROKEN {path}: {verdict} ({len(cases)} cases)"
        for one in cases[:most]:
            on = f"    # {one.case.on}" if one.case.on else ""
            yield f"    {_REPEAT} '{one.case}'{on}"
