"""What `charge` asks, and whatever else is done to a jar with its herb in it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.choosing import Choice
from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, fixed, in_volume
from tracker.cli.questions.jar_offered import poured_so_far
from tracker.cli.questions.which_questions import EXTRACT, JAR, THINGS
from tracker.core.practice.practice import Rules
from tracker.core.practice.shake_plan import plan_text
from tracker.core.shelf.acted_on import with_marc

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _rules(walk: "Walk") -> Rules:
    """What the practice has for what was poured."""
    from tracker.cli.given.pours import liquids_in
    from tracker.core.practice.practice import Way, preparation

    desk = walk.desk
    try:
        kind = preparation(liquids_in(desk, poured_so_far(walk)), herb.form_of(walk))
    finally:
        desk.begin()
        desk.close()
    way: Way = walk.text("way") or "maceration"  # type: ignore[assignment]  # the verb has read it
    return desk.bench.practice.rules_for(kind, way)


_CHARGE = (
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
    Asked(
        name="least",
        words="At least how long on the herb",
        help="28d, 6 weeks, 3 months. Enter takes what your practice has for what was poured.",
        usual=lambda walk: str(_rules(walk).least),
        is_default=True,
    ),
    Asked(
        name="shake",
        words="How often it is shaken",
        help="daily 14d, weekly; or none. Enter takes what your practice has.",
        usual=lambda walk: plan_text(_rules(walk).shake),
        is_default=True,
    ),
)


def _places(walk: "Walk") -> Sequence[Choice]:
    known = dict.fromkeys(one.place for one in last_time.all_jars(walk) if one.place)
    return [Choice(one, one) for one in known]


def _stays(walk: "Walk") -> bool:
    return not walk.text("to")


_MOVE = (
    THINGS,
    Asked(
        name="to",
        words="Where to",
        help="A place in your own words. Enter where it stays: another jar or lid is asked next.",
        offers=_places,
        sample=fixed("?"),
    ),
    replace(herb.JAR_SIZE, words="Size of the jar it is in now", usual=fixed(None), applies=_stays),
    replace(herb.LID, usual=fixed(None), applies=_stays),
    herb.BARRIER,
)

_DRAW = (
    JAR,
    Asked(
        name="amount",
        words="How much was drawn off",
        help="As measured: 100 ml, 3 fl oz; by eye: about 100 ml. The herb stays in.",
        may_skip=False,
        unit=in_volume,
        sample=fixed("1 ml"),
    ),
)

_FORM = replace(herb.FORM, usual=fixed(None))

_RECHARGE = (
    EXTRACT,
    _FORM,
    herb.WEIGHT,
    Asked(
        name="amount",
        words="How much of the extract goes back in",
        help="300 ml, 10 fl oz. Enter: all of it.",
        usual=fixed("all of it"),
        is_default=True,
        unit=in_volume,
    ),
)

_STEEP_AGAIN = (
    replace(JAR, offers=lambda walk: on_shelf.offered(walk, on_shelf.those(walk, with_marc))),
    herb.LIQUID,
)


def _count(text: str) -> int:
    from tracker.cli.verbs.making.shares import parts_of_whole

    return parts_of_whole(text)


_SPLIT = (
    JAR,
    Asked(
        name="into",
        words="Into how many equal parts",
        help="2 to 99. --share says parts that are not equal.",
        may_skip=False,
        sample=fixed("2"),
        fills=("into", "shares"),
        into=lambda _, texts: {"into": _count(texts[0])},
    ),
)

_JOIN = (
    replace(
        THINGS,
        words="Which jars",
        offers=lambda walk: on_shelf.offered(walk, on_shelf.free_jars(walk)),
        fills=("codes",),
    ),
    replace(herb.JAR_SIZE, words="Size of the jar they are in now", usual=fixed(None)),
)

_FOUND = (
    replace(herb.PLANT, words="Which herb does it seem to be"),
    herb.PART,
    replace(herb.FORM, usual=fixed("dried"), fills=("form",), into=None, may_skip=True),
    Asked(
        name="amount",
        words="How much liquid stands in it",
        help="About 300 ml, about 10 fl oz; Enter where you cannot tell.",
        unit=in_volume,
    ),
    herb.JAR_SIZE,
    replace(herb.LID, usual=fixed(None)),
    herb.BARRIER,
    herb.PLACE,
    Asked(
        name="charged",
        words="When it may have been charged",
        help="As a guess: summer 2023, 2023. Enter where nobody knows.",
    ),
)

ASKED = {
    "charge": _CHARGE,
    "top_up": (JAR, replace(herb.POURS, usual=fixed(None))),
    "add_herb": (JAR, _FORM, herb.WEIGHT),
    "move": _MOVE,
    "draw": _DRAW,
    "recharge": _RECHARGE,
    "steep_again": _STEEP_AGAIN,
    "split": _SPLIT,
    "join": _JOIN,
    "found": _FOUND,
}
