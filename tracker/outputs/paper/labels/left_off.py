"""What a run of labels had no room for, in one sentence: what is grave comes first."""

from collections.abc import Iterator, Sequence
from typing import Final

from tracker.outputs.paper.labels.label_cautions import (
    CHILDREN,
    CLOSING_RANK,
    FLAMMABLE,
    FLAMMABLE_SHORT,
    WHY_RANK,
)
from tracker.outputs.paper.labels.label_lines import (
    BELONGS_RANK,
    DAYS_RANK,
    OWN_RANK,
    POURED_RANK,
    RECIPE_RANK,
    Label,
    LabelLine,
    Run,
)
from tracker.outputs.words.lists_said import list_said
from tracker.outputs.words.things_said import codes_said

# Of more labels than these it is said how many they are.
_MOST_NAMED: Final = 3
_CAUTIONS, _WHY, _WHOM = "cautions", "why it is on hold", "whom to ask"
_FIRE, _CHILDREN = '"Flammable"', '"Keep from children"'
_WHOSE, _DAYS, _RATIO, _POURED = "whose it is", "its days", "ratio and strength", "what was poured"
_UNDER, _LOTS, _OWN, _QR = "part and common name", "its lots", "own lines", "the QR code"
# The gravest first.
_ORDER: Final = (
    _CAUTIONS, _FIRE, _CHILDREN, _WHY, _WHOSE, _DAYS, _RATIO, _UNDER, _QR, _POURED, _LOTS, _WHOM,
    _OWN,
)  # fmt: skip
_BY_RANK: Final = {
    BELONGS_RANK: _WHOSE, DAYS_RANK: _DAYS, RECIPE_RANK: _RATIO, POURED_RANK: _POURED,
}  # fmt: skip


def no_room(labels: Sequence[Label], left_off: Sequence[Sequence[str]]) -> str | None:
    """`no room for the QR code on any; for part and common name on 40 of 55`; None of nothing.

    Of one label it is said in full what is missing.
    """
    if len(labels) == 1:
        whole = "; ".join(left_off[0])
        return f"no room on {labels[0].code} for: {whole}" if whole else None
    on: dict[str, list[str]] = {}
    for label, missing in zip(labels, left_off, strict=True):
        for what in dict.fromkeys(_kinds(label, missing)):
            on.setdefault(what, []).append(label.code)
    groups: dict[tuple[str, ...], list[str]] = {}
    for what in sorted(on, key=_ORDER.index):
        groups.setdefault(tuple(on[what]), []).append(what)
    said = [
        f"for {list_said(kinds)} on {_which(codes, len(labels))}" for codes, kinds in groups.items()
    ]
    return f"no room {'; '.join(said)}" if said else None


def _which(codes: Sequence[str], every: int) -> str:
    if len(codes) == every:
        return "any of them"
    return codes_said(codes) if len(codes) <= _MOST_NAMED else f"{len(codes)} of {every}"


def _kinds(label: Label, missing: Sequence[str]) -> Iterator[str]:
    """What each text is that is missing."""
    lines = {line.text: _of_line(line) for line in label.lines}
    cautions = {run.text.strip().removesuffix("."): run for one in label.foot for run in one.runs}
    for text in missing:
        if text in lines:
            yield lines[text]
        else:
            yield _of_caution(cautions[text]) if text in cautions else _QR


def _of_line(line: LabelLine) -> str:
    if line.role == "under":
        return _UNDER
    if line.role == "own" and line.rank >= OWN_RANK:
        return _LOTS if line.text.startswith("From: ") else _OWN
    return _BY_RANK.get(line.rank, _DAYS)


def _of_caution(run: Run) -> str:
    text = run.text.strip()
    if text == CHILDREN:
        return _CHILDREN
    if text in (FLAMMABLE, FLAMMABLE_SHORT):
        return _FIRE
    return {WHY_RANK: _WHY, CLOSING_RANK: _WHOM}.get(run.rank, _CAUTIONS)
