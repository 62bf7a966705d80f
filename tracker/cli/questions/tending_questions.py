"""What `shake`, `look`, `move`, `top-up`, `label` and `note` ask."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, get_args

import msgspec

from tracker.cli.choosing import Choice
from tracker.cli.questions import herb_questions as herb
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, choices, fixed
from tracker.core.facts.fields import Sign
from tracker.core.shelf.thing import Thing, whole

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk

_SIGNS = get_args(Sign)


def _first_due(walk: "Walk", what: str, said: str) -> Sequence[Choice]:
    """The jars on the herb, those that are due for something first."""
    due = on_shelf.due_for(walk, what)
    found = sorted(on_shelf.jars(walk), key=lambda one: (one.code not in due, one.code))
    return on_shelf.offered(walk, map(whole, found), lambda one: said if one.code in due else "")


def _shaken(_: "Walk", texts: list[str]) -> Mapping[str, object]:
    match [one.lower() for one in texts]:
        case ["due"]:
            return {"only_due": True}
        case ["all"]:
            return {"every": True}
    return {"codes": texts}


_SHAKE = (
    Asked(
        name="codes",
        words="Which jars",
        help="Numbers or codes, with spaces between; `due` for all that are due, or `all`.",
        offers=lambda walk: _first_due(walk, "shake", "due"),
        usual=lambda walk: "due" if on_shelf.due_for(walk, "shake") else None,
        may_skip=False,
        many="codes",
        fills=("codes", "every", "only_due"),
        into=_shaken,
    ),
)


def _offered_to_look(walk: "Walk") -> Sequence[Choice]:
    extracts = on_shelf.offered(walk, on_shelf.extracts(walk))
    return [*_first_due(walk, "look", "look at it"), *extracts]


def _by_signs(walk: "Walk") -> str:
    from tracker.cli.given.signs_given import signs_named
    from tracker.core.reckoning.signs import verdict_of

    return verdict_of(signs_named(walk.answers.get("signs", ())))


_LOOK = (
    Asked(
        name="codes",
        words="Which one",
        help="Its number here, or its code; with spaces between.",
        offers=_offered_to_look,
        may_skip=False,
        many="codes",
        fills=("codes", "every"),
    ),
    Asked(
        name="signs",
        words="What is seen",
        help="Numbers or words, with spaces between. Enter: nothing out of the ordinary.",
        offers=lambda _: [Choice(one, one) for one in _SIGNS],
        many="words",
    ),
    Asked(
        name="verdict",
        words="What it means",
        help="fine; watch: look again soon; hold: nothing of it is used. Enter: as the signs say.",
        offers=choices("fine", "watch", "hold"),
        usual=_by_signs,
        is_default=True,
    ),
    Asked(
        name="again",
        words="When to look again",
        help="3d, or a day. Enter: after a watch as your practice has it, else never.",
        applies=lambda walk: (walk.text("verdict") or _by_signs(walk)) != "fine",
    ),
)


def _places(walk: "Walk") -> Sequence[Choice]:
    known = dict.fromkeys(one.place for one in last_time.all_jars(walk) if one.place)
    return [Choice(one, one) for one in known]


def _things(walk: "Walk") -> list[Thing]:
    return [*map(whole, on_shelf.jars(walk)), *on_shelf.extracts(walk)]


def _stays(walk: "Walk") -> bool:
    return not walk.text("to")


_MOVE = (
    Asked(
        name="codes",
        words="Which one",
        help="Its number here, or its code; with spaces between.",
        offers=lambda walk: on_shelf.offered(walk, _things(walk)),
        may_skip=False,
        many="codes",
        fills=("codes", "every"),
    ),
    Asked(
        name="to",
        words="Where to",
        help="A place in your own words. Enter where it stays: another jar or lid is asked next.",
        offers=_places,
    ),
    msgspec.structs.replace(
        herb.JAR_SIZE,
        words="Size of the jar it is in now",
        usual=fixed(None),
        applies=_stays,
    ),
    msgspec.structs.replace(herb.LID, usual=fixed(None), applies=_stays),
    herb.BARRIER,
)

_TOP_UP = (
    Asked(
        name="code",
        words="Which jar",
        help="Its number here, or its code.",
        offers=lambda walk: on_shelf.offered(walk, map(whole, on_shelf.jars(walk))),
        may_skip=False,
    ),
    msgspec.structs.replace(herb.POURS, usual=fixed(None)),
)

_LABEL = (
    Asked(
        name="codes",
        words="Labels for which",
        help="Numbers or codes, with spaces between. --bottles makes one for each bottle.",
        offers=lambda walk: on_shelf.offered(walk, reversed(_things(walk))),
        may_skip=False,
        many="codes",
        fills=("codes", "every"),
    ),
)

_NOTE = (
    Asked(
        name="code",
        words="About which one",
        help="Its number here, or its code; a lot's as well.",
        offers=lambda walk: on_shelf.offered(walk, _things(walk)),
        may_skip=False,
    ),
    Asked(
        name="text",
        words="What is to be noted",
        help="In your own words; it stands in the history.",
        may_skip=False,
        sample=fixed("?"),
    ),
)

ASKED = {
    "shake": _SHAKE,
    "look": _LOOK,
    "move": _MOVE,
    "top_up": _TOP_UP,
    "label": _LABEL,
    "note": _NOTE,
}
