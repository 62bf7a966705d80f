"""What is asked of what is worked on later: `draw`, `add-herb`, `recharge`, `split` and so on."""

from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked, fixed
from tracker.cli.questions.press_questions import EXTRACT
from tracker.core.shelf.acted_on import with_marc, with_room
from tracker.core.shelf.thing import whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tracker.cli.choosing import Choice
    from tracker.cli.questions.walk import Walk

_JAR = Asked(
    name="code",
    words="Which jar",
    help="Its number here, or its code.",
    offers=lambda walk: on_shelf.offered(walk, map(whole, on_shelf.jars(walk))),
    may_skip=False,
)
_FORM = replace(herb.FORM, usual=fixed(None))


def _pressed(walk: "Walk") -> "Sequence[Choice]":
    found = [one for batch in on_shelf.batches(walk) for one in with_marc(batch)]
    return on_shelf.offered(walk, found)


def _not_full(walk: "Walk") -> "Sequence[Choice]":
    found = [one for batch in on_shelf.batches(walk) for one in with_room(batch)]
    return on_shelf.offered(walk, found)


def _count(text: str) -> int:
    from tracker.cli.verbs.making.shares import parts_of_whole

    return parts_of_whole(text)


ASKED = {
    "draw": (
        _JAR,
        Asked(
            name="amount",
            words="How much was drawn off",
            help="As measured: 100 ml; by eye: about 100 ml. The herb stays in.",
            may_skip=False,
            unit="ml",
            sample=fixed("1 ml"),
        ),
    ),
    "add_herb": (_JAR, _FORM, herb.WEIGHT),
    "recharge": (
        EXTRACT,
        _FORM,
        herb.WEIGHT,
        Asked(
            name="amount",
            words="How much of the extract goes back in",
            help="300 ml. Enter: all of it.",
            usual=fixed("all of it"),
            is_default=True,
            unit="ml",
        ),
    ),
    "steep_again": (
        replace(_JAR, offers=_pressed),
        replace(herb.POURS, usual=fixed(None), sample=fixed("1 ml water")),
    ),
    "split": (
        _JAR,
        Asked(
            name="into",
            words="Into how many equal parts",
            help="2 to 99. --share says parts that are not equal.",
            may_skip=False,
            sample=fixed("2"),
            fills=("into", "shares"),
            into=lambda _, texts: {"into": _count(texts[0])},
        ),
    ),
    "refill": (
        replace(_JAR, words="Which bottle", offers=_not_full),
        Asked(
            name="amount",
            words="How much went in",
            help="Enter: up to its size, out of its own extract.",
            usual=fixed("up to its size"),
            is_default=True,
            unit="ml",
        ),
    ),
}
