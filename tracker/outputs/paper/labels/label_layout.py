"""Everything a label says, made to fit it: one size of type for a run, never over an edge."""

from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from itertools import chain
from typing import Final, Literal, NamedTuple

from tracker.core.practice.label_sheets import LabelSheet
from tracker.core.values.errors import TrackerError
from tracker.outputs.paper.labels.flat_page import Parts, Setting, flat, module_mm
from tracker.outputs.paper.labels.label_cautions import (
    CARE_RANK,
    LAST_RANK,
    MORE_ON_JAR,
    SEE_HANDOUT,
)
from tracker.outputs.paper.labels.label_lines import QR_RANK, Label, LabelLine, Run
from tracker.outputs.paper.labels.line_setting import Setter
from tracker.outputs.paper.labels.round_page import round_setting
from tracker.outputs.paper.labels.type_sizes import STEPS, type_at
from tracker.outputs.paper.word_breaks import Width

# So far type shrinks before anything is left off; from there on the small type has the least
# size, and only names would shrink.
_LAST_WHOLE: Final = 6
# Of so many labels one may have far more to say than the others, and be a step smaller.
_ONE_OF: Final = 7
# Words stay as they are for so many steps before fewer have to do.
_SOONER: Final = 4
_ALL: Final = 999
_QR: Final = "QR code"


class Layout(NamedTuple):
    """A label as it is set, what it says, what there was no room for, and at which step."""

    setting: Setting
    printed: tuple[LabelLine, ...]
    left_off: tuple[str, ...]
    step: int


class Work(NamedTuple):
    """What labels of a run are set by.

    Attributes:
        sheet: the size, padding and shape of each.
        width: how wide a text is.
        modules: along a side of the QR code of each, quiet zone included; None without one.
        has_logo: whether the maker's logo stands on each.
    """

    sheet: LabelSheet
    width: Width
    modules: Sequence[int | None]
    has_logo: bool = False


class _Try(NamedTuple):
    """What is tried: to leave off ranks from `below` on, and the QR code, or to say it shorter.

    `fewer`: what is said in fewer words: what loses nothing by it, the bar alone, everything.
    """

    below: int = _ALL
    with_qr: bool = True
    fewer: Literal["", "same", "bar", "all"] = ""


_WHOLE: Final = _Try()
# How a label is set at a step with all it says; None where that has no room.
Whole = Callable[[int], Setting | None]


class TooSmallError(TrackerError):
    """The label cannot hold what it must say."""

    def __init__(self, label: Label, sheet: LabelSheet) -> None:
        wide, high = sheet.label_mm
        less = {"label": ", or --lid or --short, which say less", "lid": "", "short": ""}
        super().__init__(
            f"A label of {wide:g} x {high:g} mm is too small for {label.code}.",
            where="what it must say, grave cautions too, at the smallest size that can be read",
            do=f"use a larger one with --size or --sheet{less[label.kind]}.",
        )


def laid_out(labels: Sequence[Label], work: Work) -> list[Layout]:
    """Every label of a run at one size of type: the largest at which all but a few are whole.

    One with far more to say is set a step smaller, and what has no room there is left off by its
    rank; it only gets smaller still where what it must say asks for it.

    Raises:
        TooSmallError: what may not be left off does not fit.
    """

    @cache
    def whole(number: int, step: int) -> Setting | None:
        return _set(labels[number], number, work, step, _WHOLE)

    least: list[int] = []
    for number in range(len(labels)):
        least.append(_least_step(partial(whole, number), least[-1] if least else 0))
    step = sorted(least, reverse=True)[len(labels) // _ONE_OF]
    return [
        _fitted(one, number, work, step if own <= step else step + 1, partial(whole, number))
        for number, (one, own) in enumerate(zip(labels, least, strict=True))
    ]


def _least_step(whole: Whole, guess: int) -> int:
    """The first step at which a label is whole; the last that is tried where it never is."""
    step = guess
    if whole(step) is not None:
        while step > 0 and whole(step - 1) is not None:
            step -= 1
        return step
    while step < _LAST_WHOLE and whole(step) is None:
        step += 1
    return step


def _fitted(label: Label, number: int, work: Work, step: int, whole: Whole) -> Layout:
    """At that step, or at the next one at which what it must say has room."""
    if (setting := whole(step)) is not None:
        return _layout(label, setting, step, _WHOLE)
    tries = list(_tries(label, has_qr=_has_qr(number, work)))
    if label.kind == "short":
        sooner, most = [one for one in tries if one.below > CARE_RANK], STEPS
    else:
        sooner, most = [one for one in tries if not one.fewer], step + _SOONER
    for own, some in chain(
        ((own, sooner) for own in range(step, most)),
        ((own, tries) for own in range(step, STEPS)),
    ):
        for one in some:
            setting = _set(label, number, work, own, one)
            if setting is not None:
                return _layout(label, setting, own, one)
    raise TooSmallError(label, work.sheet)


def _layout(label: Label, setting: Setting, step: int, one: _Try) -> Layout:
    parts = _kept(label, one)
    left = [each.text for each in label.lines if each.rank >= one.below]
    left += [
        run.text.strip().removesuffix(".")
        for each in label.foot
        for run in each.runs
        if run.rank >= one.below
    ]
    left += [_QR] if label.qr and setting.code is None else []
    bar = () if parts.bar is None else (parts.bar,)
    return Layout(setting, (*parts.lines, *parts.foot, *bar, *parts.mark), tuple(left), step)


def _has_qr(number: int, work: Work) -> bool:
    modules = work.modules[number]
    return modules is not None and module_mm(work.sheet, modules) is not None


def _tries(label: Label, *, has_qr: bool) -> Iterator[_Try]:
    """What is left off, the least first: milder cautions stay longer than the QR code.

    The same is said in fewer words before the last thing goes; on a short label before any
    caution goes.
    """
    found = {one.rank for one in label.lines}
    found |= {run.rank for one in label.foot for run in one.runs}
    ranks = [_ALL, *sorted((rank for rank in found if rank), reverse=True)]
    if label.kind == "short":
        yield from _tries_of_a_thumb(ranks, has_qr=has_qr)
        return
    if has_qr:
        yield from (_Try(rank) for rank in ranks if rank > QR_RANK)
    milder = [rank for rank in ranks if rank > LAST_RANK]
    yield from (_Try(rank, with_qr=False) for rank in milder)
    yield _Try(milder[-1], with_qr=False, fewer="bar")
    yield _Try(milder[-1], with_qr=False, fewer="all")
    yield _Try(ranks[-1], with_qr=False, fewer="all")


def _tries_of_a_thumb(ranks: Sequence[int], *, has_qr: bool) -> Iterator[_Try]:
    for with_qr in (True, False) if has_qr else (False,):
        for rank in ranks:
            if rank > QR_RANK:
                yield _Try(rank, with_qr=with_qr)
                yield _Try(rank, with_qr=with_qr, fewer="same")
    last = min(rank for rank in ranks if rank > QR_RANK)
    yield _Try(last, with_qr=False, fewer="all")
    for rank in ranks:
        if rank < last:
            yield _Try(rank, with_qr=False, fewer="same")
            yield _Try(rank, with_qr=False, fewer="all")


def _set(label: Label, number: int, work: Work, step: int, one: _Try) -> Setting | None:
    """The label at one step; None where what is tried has no room."""
    sheet = work.sheet
    its_type = type_at(step, label.kind, sheet)
    setter = Setter(work.width, its_type, label.language, sheet.is_round)
    parts = _kept(label, one)
    if sheet.is_round:
        return round_setting(parts, sheet, setter)
    modules = work.modules[number] if one.with_qr and _has_qr(number, work) else None
    return flat(parts, sheet, setter, modules, has_logo=work.has_logo and label.kind == "label")


def _kept(label: Label, one: _Try) -> Parts:
    """The lines that are kept, and where the cautions that are not are to be read."""
    more = {"label": SEE_HANDOUT, "lid": MORE_ON_JAR, "short": ""}[label.kind]
    lines = tuple(each for each in label.lines if each.rank < one.below)
    foot = tuple(_shorter(each, one.below, more) for each in label.foot)
    if one.fewer == "all":
        lines = tuple(each.in_fewer_words for each in lines)
    elif one.fewer == "same":
        lines = tuple(each.in_fewer_words if each.loses_nothing else each for each in lines)
    is_brief = one.fewer in ("bar", "all")
    bar = label.bar.in_fewer_words if label.bar is not None and is_brief else label.bar
    return Parts(lines, foot, label.mark, bar)


def _shorter(line: LabelLine, below: int, more: str) -> LabelLine:
    """The line without what may be left off, and with where that is to be read."""
    kept = [run for run in line.runs if run.rank < below]
    if len(kept) == len(line.runs):
        return line
    is_missed = more and any(below <= run.rank <= CARE_RANK for run in line.runs)
    runs = [
        run._replace(text=f"{' ' if place else ''}{run.text.strip()}")
        for place, run in enumerate((*kept, *([Run(more)] if is_missed else [])))
    ]
    return line._replace(runs=tuple(runs))
