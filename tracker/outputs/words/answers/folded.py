"""The same answer about several things, said once: `lemon balm leaf MEOF-26-01..12 shaken`."""

from collections.abc import Hashable, Iterable, Sequence
from typing import Literal

from tracker.outputs.words.answers.scene import Told
from tracker.outputs.words.things_said import codes_said, things_said

Start = Literal["name", "code", "none"]


def folded(told: Iterable[Told]) -> list[str]:
    """The lines of all of it; what is said alike of several things stands where it is first.

    Every line stays: of those that differ in the thing alone, one is left that names them all.
    """
    groups: dict[Hashable, list[Told]] = {}
    for place, one in enumerate(told):
        parts = tuple(_parted(one, line) for line in one.lines)
        is_named = any(start != "none" for start, _ in parts)
        groups.setdefault(parts if is_named else place, []).append(one)
    return [line for alike in groups.values() for line in _lines(alike)]


def _lines(alike: Sequence[Told]) -> Iterable[str]:
    first = alike[0]
    if len(alike) == 1:
        return first.lines
    starts = {
        "name": things_said(
            [(one.plant, one.code) for one in alike], is_everyday=first.is_everyday
        ),
        "code": codes_said([one.code for one in alike]),
        "none": "",
    }
    parts = (_parted(first, line) for line in first.lines)
    return [starts[start] + rest for start, rest in parts]


def _parted(one: Told, line: str) -> tuple[Start, str]:
    name = f"{one.plant} {one.code}"
    if one.code and line.startswith(f"{name} "):
        return "name", line[len(name) :]
    if one.code and line.startswith(f"{one.code}: "):
        return "code", line[len(one.code) :]
    return "none", line
