"""What `press`, `filter`, `bottle`, `dilute` and `blend` ask."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.asking import until_told
from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, by_measures, choices, fixed, in_volume
from tracker.cli.questions.which_questions import EXTRACT, JAR

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _only_ready(walk: "Walk") -> str | None:
    """The one jar that is ready; of several nothing is usual."""
    ready = on_shelf.ready(walk)
    return ready[0].code if len(ready) == 1 else None


_PRESS = (
    replace(JAR, offers=on_shelf.ready_first, usual=_only_ready),
    Asked(
        name="volume",
        words="How much came out",
        help="As measured: 370 ml, 12 fl oz; by eye: about 370 ml.",
        may_skip=False,
        unit=in_volume,
        sample=fixed("1 ml"),
    ),
    Asked(
        name="how",
        words="How it was pressed",
        help="`stillroom yields --by-method` shows what your own pressings gave.",
        offers=choices("hand", "cloth", "ricer", "screw press", "hydraulic press"),
        usual=lambda walk: last_time.last_pressing(walk, "how"),
    ),
    Asked(
        name="marc",
        words="What becomes of the marc",
        help="Kept for a second steep, or composted; Enter if you do not know yet.",
        offers=choices("kept", "composted"),
        usual=lambda walk: last_time.last_pressing(walk, "marc"),
        applies=lambda walk: not walk.given.get("again"),
    ),
)

_FILTER = (
    EXTRACT,
    Asked(
        name="volume",
        words="How much is there after it",
        help="All there is of it now: 350 ml, 12 fl oz. What it lost is reckoned.",
        may_skip=False,
        unit=in_volume,
        sample=fixed("1 ml"),
    ),
    Asked(
        name="through",
        words="Through what",
        help="Paper, cloth, a sieve …, in your own words.",
        applies=lambda walk: not walk.given.get("poured_off"),
    ),
)

_BOTTLE = (
    EXTRACT,
    Asked(
        name="sizes",
        words="Which bottles",
        such_as=by_measures("3x100ml 1x50ml", "3x4floz 1x2floz"),
        help="How many of each size; the rest stays in bulk. 3x100ml@0.90 says what each cost.",
        may_skip=False,
        many="words",
        sample=fixed("1x1ml"),
    ),
)

_DILUTE = (
    EXTRACT,
    herb.LIQUID,
    Asked(
        name="to",
        words="Made up to how much",
        help="500 ml, 1 pint, where it was filled up to a mark. Enter: what was poured is added.",
        unit=in_volume,
    ),
)


def _first(walk: "Walk", texts: list[str]) -> Mapping[str, object]:
    """One part alone is no blend: what is wrong with it is looked for here."""
    from tracker.quantities import millilitres

    amount, _, code = texts[0].rpartition(" ")
    millilitres(amount or code, walk.desk.bench.practice.units)
    until_told(walk.desk, lambda: walk.desk.extract(code, "blended"))
    return {"parts": texts}


_PART = replace(
    EXTRACT,
    name="first",
    words="The first part",
    such_as=by_measures("40 ml 1", "2 fl oz 1"),
    help="How much, and the number here or the code of the extract it was taken from.",
    fills=("parts",),
    into=_first,
    is_part=True,
    is_tried=False,
)

_BLEND = (
    _PART,
    replace(
        _PART,
        name="others",
        words="The next part",
        help="Written as the first; one a line, Enter when there is no more.",
        many="lines",
        into=lambda walk, texts: {"parts": [*walk.answers["first"], *texts]},
        is_tried=True,
    ),
    Asked(
        name="measured",
        words="What the blend came to",
        help="Where you measured it: 95 ml, 3 fl oz. Enter: what the parts add up to.",
        unit=in_volume,
    ),
)

ASKED = {
    "press": _PRESS,
    "filter_": _FILTER,
    "bottle": _BOTTLE,
    "dilute": _DILUTE,
    "blend": _BLEND,
}
