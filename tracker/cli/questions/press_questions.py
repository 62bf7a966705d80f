"""What `press`, `filter` and `bottle` ask."""

from typing import TYPE_CHECKING

from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, choices, fixed

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _only_ready(walk: "Walk") -> str | None:
    """The one jar that is ready; of several nothing is usual."""
    ready = on_shelf.ready(walk)
    return ready[0].code if len(ready) == 1 else None


EXTRACT = Asked(
    name="code",
    words="Which extract",
    help="Its number here, or its code, such as CAOF-26-01A.",
    offers=lambda walk: on_shelf.offered(
        walk, [one for one in on_shelf.extracts(walk) if not one.on_hold]
    ),
    may_skip=False,
)
_PRESS = (
    Asked(
        name="code",
        words="Which jar",
        help="Its number here, or its code, such as CAOF-26-01.",
        offers=on_shelf.ready_first,
        usual=_only_ready,
        may_skip=False,
    ),
    Asked(
        name="volume",
        words="How much came out",
        help="As measured: 370 ml, 12 fl oz; by eye: about 370 ml.",
        may_skip=False,
        unit="ml",
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
        help="All there is of it now: 350 ml. What it lost is reckoned.",
        may_skip=False,
        unit="ml",
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
        such_as="3x100ml 1x50ml",
        help="How many of each size; the rest stays in bulk. 3x100ml@0.90 says what each cost.",
        may_skip=False,
        many="words",
        sample=fixed("1x1ml"),
    ),
)

ASKED = {"press": _PRESS, "filter_": _FILTER, "bottle": _BOTTLE}
