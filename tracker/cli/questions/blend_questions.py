"""What `blend` and `dilute` ask."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.asking import until_told
from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked, fixed
from tracker.cli.questions.press_questions import EXTRACT

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _first(walk: "Walk", texts: list[str]) -> Mapping[str, object]:
    """One part alone is no blend: what is wrong with it is looked for here."""
    from tracker.quantities import millilitres

    amount, _, code = texts[0].rpartition(" ")
    millilitres(amount or code, walk.desk.bench.practice.units)
    until_told(walk.desk, lambda: walk.desk.extract(code, "blended"))
    return {"parts": texts}


_PART = Asked(
    name="first",
    words="The first part",
    such_as="40 ml 1",
    help="How much, and the number here or the code of the extract it was taken from.",
    offers=lambda walk: on_shelf.offered(
        walk, [one for one in on_shelf.extracts(walk) if not one.on_hold]
    ),
    may_skip=False,
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
        help="Where you measured it: 95 ml. Enter: what the parts add up to.",
        unit="ml",
    ),
)

_DILUTE = (
    EXTRACT,
    replace(herb.POURS, usual=fixed(None), sample=fixed("1 ml water")),
    Asked(
        name="to",
        words="Made up to how much",
        help="500 ml, where it was filled up to a mark. Enter: what was poured is added.",
        unit="ml",
    ),
)

ASKED = {"blend": _BLEND, "dilute": _DILUTE}
