"""Everything a label says, made to fit it: shrunk and wrapped, never over its edge."""

from collections.abc import Mapping, Sequence
from math import ceil, sqrt
from typing import Final, NamedTuple

from tracker.core.practice.label_sheets import Box, LabelSheet
from tracker.core.values.errors import TrackerError
from tracker.outputs.paper.labels.label_cautions import CARE_RANK, SEE_HANDOUT
from tracker.outputs.paper.labels.label_text import Label, LabelLine, Run
from tracker.outputs.paper.line_breaks import LEADING, Room, Set, bare_width, set_lines
from tracker.outputs.paper.qr import LEAST_MODULE_MM, QUIET, USUAL_MODULE_MM
from tracker.outputs.paper.word_breaks import Width

# Sizes of type in points at scale 1, by role; all shrink and grow together. The
# smallest is 4.5 points, about the smallest that can be read (common practice).
SIZES: Final = {"code": 8.5, "name": 12.0, "latin": 8.5, "body": 7.5, "care": 6.3}
SCALES: Final = tuple(1.7 * 0.93**step for step in range(15))
LEAST_PT: Final = 4.5
_NAMES: Final = ("name", "latin")
_NAME_SHRINKS: Final = (1.0, 0.84, 0.7)
_MM_PER_POINT: Final = 25.4 / 72
# What the QR code may take of the label's width and height.
_QR_WIDE, _QR_HIGH = 0.4, 0.72
_FOOT_GAP_MM: Final = 1.0
_NAME_GAP_MM: Final = 0.5
# Letters that join are wider or narrower where a word of them is broken.
_SURELY: Final = 0.9
# Floats of heights add up to a little more or less than the whole.
_SLACK_MM: Final = 1e-6


class CodePlace(NamedTuple):
    """Where the QR code lies, quiet zone included, and how large each module is, in mm."""

    box: Box
    module_mm: float


class Layout(NamedTuple):
    """A label in mm from its own top left corner, and what there was no room for."""

    texts: tuple[Set, ...]
    rule: tuple[float, float, float] | None
    code: CodePlace | None
    printed: tuple[LabelLine, ...]
    left_off: tuple[str, ...]


class TooSmallError(TrackerError):
    """The label cannot hold what it must say."""

    def __init__(self, label: Label, sheet: LabelSheet) -> None:
        wide, high = sheet.label_mm
        less = "" if label.is_lid else ", or --lid, which says less"
        super().__init__(
            f"A label of {wide:g} x {high:g} mm is too small for {label.code}.",
            where="what it must say, grave cautions too, at the smallest size that can be read",
            do=f"use a larger one with --size or --sheet{less}.",
        )


def fitted(label: Label, sheet: LabelSheet, width: Width, modules: int | None) -> Layout:
    """The largest setting of a label that fits it; less pressing lines go before it fails.

    Milder cautions stay longer than the QR code; where one goes, a line says where it stands.

    Args:
        label: what it says.
        sheet: its size, padding and shape.
        width: how wide a text is.
        modules: along a side of its QR code, quiet zone included; None without one.

    Raises:
        TooSmallError: what may not be left off does not fit.
    """
    code = None if modules is None else _code(sheet, modules)
    gone = () if code or modules is None else ("QR code",)
    in_foot = {run.rank for line in label.foot for run in line.runs}
    ranks = sorted({line.rank for line in label.lines} | in_foot, reverse=True)
    ranks = [rank for rank in ranks if rank]
    tries: list[tuple[int, CodePlace | None]] = [(99, code)]
    tries += [(rank, code) for rank in ranks if rank > CARE_RANK or code is None]
    if code is not None:  # the last line that may go stays rather than the code
        tries += [(rank, None) for rank in (99, *ranks)]
    bare = {line: bare_width(line.runs, width) for line in (*label.lines, *label.foot)}
    for below, its_code in tries:
        kept = tuple(line for line in label.lines if line.rank < below)
        left = tuple(line.text for line in label.lines if line.rank >= below)
        foot = tuple(_shorter(line, below) for line in label.foot)
        bare |= {line: bare_width(line.runs, width) for line in foot if line not in bare}
        left += tuple(
            run.text.strip() for line in label.foot for run in line.runs if run.rank >= below
        )
        for scale in SCALES:
            page = _Page(sheet, width, scale, its_code)
            if scale > SCALES[-1] and page.is_too_low((*kept, *foot), bare):
                continue
            made = page.round(kept, foot) if sheet.is_round else page.flat(kept, foot)
            if made is not None:
                no_code = gone if its_code is code else ("QR code",)
                return Layout(*made, its_code, (*kept, *foot), left + no_code)
    raise TooSmallError(label, sheet)


def _shorter(line: LabelLine, below: int) -> LabelLine:
    """The line without what may be left off, and with where that is to be read."""
    kept = [run for run in line.runs if run.rank < below]
    if len(kept) == len(line.runs):
        return line
    is_missed = any(below <= run.rank <= CARE_RANK for run in line.runs)
    more = [Run(SEE_HANDOUT)] if is_missed else []
    runs = [
        run._replace(text=f"{' ' if place else ''}{run.text.strip()}")
        for place, run in enumerate((*kept, *more))
    ]
    return line._replace(runs=tuple(runs))


def _shrinks(line: LabelLine) -> tuple[float, ...]:
    return _NAME_SHRINKS if line.role in _NAMES else (1.0,)


def _code(sheet: LabelSheet, modules: int) -> CodePlace | None:
    """In the upper right corner; None where its modules would be too small to be read."""
    wide, high = sheet.label_mm
    if sheet.is_round:
        return None
    module = min(USUAL_MODULE_MM, wide * _QR_WIDE / modules, high * _QR_HIGH / modules)
    if module < LEAST_MODULE_MM:
        return None
    # The quiet zone may lie in the padding, which is as white.
    shift = min(sheet.padding_mm, QUIET * module)
    x = wide - sheet.padding_mm - module * modules + shift
    return CodePlace(Box(x, sheet.padding_mm - shift, *[module * modules] * 2), module)


Setting = tuple[tuple[Set, ...], tuple[float, float, float] | None]


class _Page(NamedTuple):
    """One label at one scale."""

    sheet: LabelSheet
    width: Width
    scale: float
    code: CodePlace | None

    def is_too_low(self, lines: Sequence[LabelLine], bare: Mapping[LabelLine, float]) -> bool:
        """Whether there is no room for the lines even if they were filled to the last letter.

        Most scales are much too large, and to set every line costs a hundred times as much.
        """
        wide, high = (length - 2 * self.sheet.padding_mm for length in self.sheet.label_mm)
        least = sum(self._least_mm(line, bare[line] * _SURELY, wide) for line in lines)
        return least > high + _SLACK_MM

    def _least_mm(self, line: LabelLine, bare: float, wide: float) -> float:
        """How high a line is at least: nothing where all its words were left off."""
        sizes = [SIZES[line.role] * self.scale * shrink for shrink in _shrinks(line)]
        sizes = [max(one, LEAST_PT) for one in sizes]
        lines_pt = min(ceil(bare * one / wide) * one for one in sizes)
        return lines_pt * LEADING * _MM_PER_POINT + _NAME_GAP_MM * self.scale * (
            line.role in _NAMES
        )

    def flat(self, lines: Sequence[LabelLine], foot: Sequence[LabelLine]) -> Setting | None:
        """Lines from the top, the cautions at the foot below a thin rule."""
        high, padding = self.sheet.label_mm[1], self.sheet.padding_mm
        body = self._flow(lines, padding, self._beside_code)
        if body is None:
            return None
        texts, end = body
        start = end + _FOOT_GAP_MM * self.scale
        below = self._flow(foot, start, self._beside_code)
        if below is None or below[1] > high - padding:
            return None
        # Set again as low as it goes; beside the code it may have taken more lines.
        lowest = start + (high - padding - below[1])
        lowered = self._flow(foot, lowest, self._beside_code)
        if lowered is not None and lowered[1] <= high - padding + _SLACK_MM:
            below, start = lowered, lowest
        left, right = self._beside_code(start - 0.2, start)
        return (*texts, *below[0]), (left, right, start - _FOOT_GAP_MM * self.scale * 0.4)

    def round(self, lines: Sequence[LabelLine], foot: Sequence[LabelLine]) -> Setting | None:
        """Everything in one block in the middle of an ellipse."""
        high = self.sheet.label_mm[1]
        start = high / 2
        while start > self.sheet.padding_mm:
            flow = self._flow((*lines, *foot), start, self._in_ellipse)
            if flow is not None and flow[1] <= high - start + _SLACK_MM:
                return tuple(flow[0]), None
            start -= 0.25
        return None

    def _flow(
        self, lines: Sequence[LabelLine], top: float, room: Room
    ) -> tuple[list[Set], float] | None:
        texts: list[Set] = []
        for line in lines:
            made = self._line(line, top, room)
            if made is None or made[1] > self.sheet.label_mm[1]:
                return None
            if line.role == "code" and len(made[0]) > 1 and self.scale > SCALES[-1]:
                return None  # a code is read whole
            texts += made[0]
            top = made[1] + (_NAME_GAP_MM * self.scale if line.role in _NAMES else 0.0)
        return texts, top

    def _line(self, line: LabelLine, top: float, room: Room) -> tuple[list[Set], float] | None:
        """A line at its size; a name that takes more than two is set smaller."""
        made = None
        for shrink in _shrinks(line):
            size_pt = SIZES[line.role] * self.scale * shrink
            made = set_lines(
                line.runs,
                size_pt=max(size_pt, LEAST_PT),
                top=top,
                room=room,
                width=self.width,
                mm_per_pt=_MM_PER_POINT,
                centred=self.sheet.is_round,
            )
            if made is not None and len({one.top for one in made[0]}) <= 2:
                break
        return made

    def _beside_code(self, top: float, bottom: float) -> tuple[float, float]:
        padding = self.sheet.padding_mm
        right = self.sheet.label_mm[0] - padding
        if (
            self.code
            and top < self.code.box.y + self.code.box.height - QUIET * self.code.module_mm / 2
        ):
            right = self.code.box.x
        return padding, max(right, padding)

    def _in_ellipse(self, top: float, bottom: float) -> tuple[float, float]:
        """Between the edges of the ellipse within the padding, at the narrower end."""
        wide, high = (length / 2 for length in self.sheet.label_mm)
        across, down = wide - self.sheet.padding_mm, high - self.sheet.padding_mm
        off = max(abs(top - high), abs(bottom - high)) / down
        half = across * sqrt(1 - off * off) if off < 1 else 0.0
        return wide - half, wide + half
