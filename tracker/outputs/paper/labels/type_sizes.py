"""How large each part of a label is set: by proportion to its size, one step for a whole run."""

from math import pi, sqrt
from typing import Final, Literal, NamedTuple

from tracker.core.practice.label_sheets import LabelSheet
from tracker.outputs.paper.labels.label_lines import Kind, Role

Part = Role | Literal["beside", "bar"]

# Nothing is set smaller: about what can be read without glasses (common practice).
LEAST_PT: Final = 5.5
# Each step is so much smaller than the one before, down to where all is of the least size.
STEP: Final = 0.93
STEPS: Final = 20

# Sizes in points on a label of the size below. A grave caution is never smaller than a milder one.
_SIZES: Final[dict[Kind, dict[Part, float]]] = {
    "label": {
        "name": 21.0, "names": 15.0, "under": 9.5, "strong": 10.5, "beside": 7.0, "good": 9.5,
        "body": 7.5, "own": 7.0, "grave": 7.5, "care": 7.0, "code": 8.5, "bar": 10.5,
    },
    "lid": {
        "name": 12.0, "names": 9.5, "under": 7.0, "strong": 7.0, "beside": 6.0, "good": 7.5,
        "body": 6.5, "own": 6.0, "grave": 6.5, "care": 6.0, "code": 8.0, "bar": 7.0,
    },
    "short": {
        "name": 8.0, "names": 7.0, "under": 5.5, "strong": 5.5, "beside": 5.5, "good": 6.0,
        "body": 5.5, "own": 5.5, "grave": 5.5, "care": 5.5, "code": 6.5, "bar": 6.5,
    },
}  # fmt: skip
_OF_MM: Final[dict[Kind, tuple[float, float]]] = {
    "label": (90.0, 50.0),
    "lid": (40.0, 40.0),
    "short": (25.0, 15.0),
}
# Space before a line, in parts of the size of its type.
_BEFORE: Final[dict[Role, float]] = {
    "under": 0.05, "strong": 0.4, "good": 0.15, "own": 0.25, "care": 0.1, "code": 0.15,
}  # fmt: skip
_GAP: Final = 0.6
_GAPS: Final[dict[Kind, float]] = {"short": 0.25}
_MM_PER_POINT: Final = 25.4 / 72


class Type(NamedTuple):
    """The type of one label: so many times the sizes of its kind."""

    kind: Kind
    factor: float

    def pt(self, part: Part) -> float:
        """The size of a part, in points."""
        return max(_SIZES[self.kind][part] * self.factor, LEAST_PT)

    @property
    def gap_mm(self) -> float:
        """Between blocks: the upper part and the foot, columns, the bar and what is above it."""
        return _GAPS.get(self.kind, _GAP) * self.pt("care") * _MM_PER_POINT

    def before_mm(self, role: Role) -> float:
        """The space before a line that follows another; none on a label of a thumb's width."""
        return (
            0.0 if self.kind == "short" else _BEFORE.get(role, 0.0) * self.pt(role) * _MM_PER_POINT
        )


def type_at(step: int, kind: Kind, sheet: LabelSheet) -> Type:
    """The type of a label of that sheet, `step` steps below the largest it may have."""
    wide, high = sheet.label_mm
    of_wide, of_high = _OF_MM[kind]
    is_round_label = sheet.is_round and kind == "label"
    area = wide * high * (pi / 4 if is_round_label else 1.0)
    return Type(kind, sqrt(area / (of_wide * of_high)) * STEP**step)
