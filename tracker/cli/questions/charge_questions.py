"""What `charge` asks."""

from typing import TYPE_CHECKING

from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions.asked import Asked
from tracker.core.practice.practice import Rules
from tracker.core.practice.shake_plan import plan_text

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _rules(walk: "Walk") -> Rules:
    """What the practice has for what was poured."""
    from tracker.cli.given.pours import liquids_in, poured
    from tracker.core.practice.practice import Way, preparation

    texts = walk.words().get("pours")
    assert isinstance(texts, list)
    desk = walk.desk
    try:
        settled = [desk.answers.get(f"which reading of {one}", str(one)) for one in texts]
        kind = preparation(liquids_in(desk, poured(desk, settled)), herb.form_of(walk))
    finally:
        desk.begin()
        desk.close()
    way: Way = walk.text("way") or "maceration"  # type: ignore[assignment]  # the verb has read it
    return desk.bench.practice.rules_for(kind, way)


_LEAST = Asked(
    name="least",
    words="At least how long on the herb",
    help="28d, 6 weeks, 3 months. Enter takes what your practice has for what was poured.",
    usual=lambda walk: str(_rules(walk).least),
    is_default=True,
)
_SHAKE = Asked(
    name="shake",
    words="How often it is shaken",
    help="daily 14d, weekly; or none. Enter takes what your practice has.",
    usual=lambda walk: plan_text(_rules(walk).shake),
    is_default=True,
)

ASKED = {
    "charge": (
        herb.HERB,
        herb.LOT,
        herb.PART,
        herb.FORM,
        herb.WEIGHT,
        herb.POURS,
        herb.JAR_SIZE,
        herb.LID,
        herb.BARRIER,
        herb.PLACE,
        _LEAST,
        _SHAKE,
    )
}
