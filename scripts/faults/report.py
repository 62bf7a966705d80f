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
