"""What `gather`, `buy`, `dry` and `recall` ask."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, by_measures, fixed, in_weight
from tracker.cli.questions.candidates import Candidate
from tracker.cli.questions.which_questions import WHY

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _where(how: str) -> Asked:
    return Asked(
        name="where",
        words="Where it is from",
        help="A merchant, a garden, a meadow: in your own words.",
        usual=lambda walk: last_time.last_source(walk, how),
    )


_WEIGHT = replace(
    herb.WEIGHT, left_out="", help="500 g, 1 lb; by eye: about 500 g. A lot needs a weight."
)

_GATHER = (herb.PLANT, herb.PART, herb.FORM, _WEIGHT, _where("gathered"))


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
        such_as=by_measures("700 ml 45%, or a herb", "24 fl oz 45%, or a herb"),
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

_LOT = Asked(
    name="lot",
    words="Which lot was dried",
    help="A lot of fresh herb: its number here, its code or its name.",
    offers=lambda walk: on_shelf.lots_offered(
        walk, [(lot, left) for lot, left in on_shelf.lots(walk) if lot.form == "fresh"]
    ),
    may_skip=False,
)

_DRY = (
    _LOT,
    Asked(
        name="before",
        words="How much of it, fresh",
        help="400 g, 1 lb. Enter: all that was left.",
        usual=fixed("all of it"),
        is_default=True,
        unit=in_weight,
    ),
    Asked(
        name="after",
        words="What it weighs dried",
        help="What is left of it becomes a lot of its own.",
        may_skip=False,
        unit=in_weight,
        sample=fixed("1 g"),
    ),
)


def _every_lot(walk: "Walk") -> list[Candidate]:
    return [
        Candidate(on_shelf.lot_named(walk, one), one.code, one.where or "")
        for one in on_shelf.every_lot(walk)
    ]


_RECALL = (
    replace(
        _LOT,
        name="code",
        words="Which lot is called back",
        help="Its number here, its code, or the number on the merchant's bag.",
        offers=_every_lot,
    ),
    replace(WHY, help="In your own words; it is shown wherever any of it stands."),
)

ASKED = {"gather": _GATHER, "buy": _BUY, "dry": _DRY, "recall": _RECALL}
