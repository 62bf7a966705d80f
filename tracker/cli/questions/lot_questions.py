"""What `buy`, `gather`, `dry` and `found` ask."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, fixed

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _where(how: str) -> Asked:
    return Asked(
        name="where",
        words="Where it is from",
        help="A merchant, a garden, a meadow: in your own words.",
        usual=lambda walk: last_time.last_source(walk, how),
    )


_PLANT = replace(herb.HERB, help="A Latin or a common name, with its part if you like.")
_WEIGHT = replace(
    herb.WEIGHT, left_out="", help="500 g, 1 lb; by eye: about 500 g. A lot needs a weight."
)

_GATHER = (_PLANT, herb.PART, herb.FORM, _WEIGHT, _where("gathered"))


def _is_herb(walk: "Walk") -> bool:
    from tracker.pours.reading import begins_a_pour

    return not begins_a_pour(walk.text("what") or "")


def _of_what(usual: Callable[["Walk"], str | None]) -> Callable[["Walk"], str | None]:
    """What is usual of the herb that was bought, which its verb calls by another word."""

    def of(walk: "Walk") -> str | None:
        return usual(replace(walk, given={**walk.given, "herb": walk.text("what")}))

    return of


_BUY = (
    Asked(
        name="what",
        words="What was bought",
        such_as="700 ml 45%, or a herb",
        help="A liquid with its amount and strength, or a herb by any name.",
        may_skip=False,
    ),
    replace(
        herb.PART,
        applies=_is_herb,
        usual=_of_what(herb.PART.usual),
        sample=_of_what(herb.PART.sample),
    ),
    replace(herb.FORM, applies=_is_herb, usual=fixed("dried")),
    replace(_WEIGHT, applies=_is_herb, sample=lambda walk: "100 g" if _is_herb(walk) else None),
    _where("bought"),
    Asked(
        name="their_lot",
        words="The merchant's lot number",
        help="As it stands on the bag or bottle: a recall goes by it.",
    ),
    Asked(name="paid", words="What was paid for it", help="6.40, in your own money."),
)

_DRY = (
    Asked(
        name="lot",
        words="Which lot was dried",
        help="A lot of fresh herb: its number here, or its code.",
        offers=lambda walk: on_shelf.lots_offered(
            (lot, left) for lot, left in on_shelf.lots(walk) if lot.form == "fresh"
        ),
        may_skip=False,
    ),
    Asked(
        name="before",
        words="How much of it, fresh",
        help="400 g. Enter: all that was left.",
        usual=fixed("all of it"),
        is_default=True,
        unit="g",
    ),
    Asked(
        name="after",
        words="What it weighs dried",
        help="What is left of it becomes a lot of its own.",
        may_skip=False,
        unit="g",
        sample=fixed("1 g"),
    ),
)

_FOUND = (
    replace(_PLANT, words="Which herb does it seem to be"),
    herb.PART,
    replace(herb.FORM, usual=fixed("dried"), fills=("form",), into=None, may_skip=True),
    Asked(
        name="amount",
        words="How much liquid stands in it",
        help="About 300 ml; Enter where you cannot tell.",
        unit="ml",
    ),
    herb.JAR_SIZE,
    replace(herb.LID, usual=fixed(None)),
    herb.BARRIER,
    herb.PLACE,
    Asked(
        name="charged",
        words="When it may have been charged",
        help="As a guess: 2023-summer, 2023. Enter where nobody knows.",
    ),
)

ASKED = {"gather": _GATHER, "buy": _BUY, "dry": _DRY, "found": _FOUND}
