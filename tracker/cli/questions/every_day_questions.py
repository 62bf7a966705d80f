"""What `shake`, `look`, `note`, `later` and `away` ask."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, get_args

from msgspec.structs import replace

from tracker.cli.choosing import Choice
from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked, choices, fixed
from tracker.cli.questions.candidates import Candidate
from tracker.cli.questions.which_questions import THINGS, WHY
from tracker.core.facts.fields import Sign
from tracker.core.rules.reminders import CAN_WAIT, ORDER, due, every_line
from tracker.core.shelf.thing import Thing, whole
from tracker.outputs.view.day import group_of

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk
    from tracker.core.rules.reminders import Due, What

_SIGNS = get_args(Sign)


def _first_due(walk: "Walk", what: str, said: str) -> Sequence[Candidate]:
    """The jars on the herb, those that are due for something first."""
    codes = on_shelf.due_for(walk, what)
    found = sorted(on_shelf.jars(walk), key=lambda one: (one.code not in codes, one.code))
    return on_shelf.offered(walk, map(whole, found), lambda one: said if one.code in codes else "")


def _shaken(_: "Walk", texts: list[str]) -> Mapping[str, object]:
    match [one.lower() for one in texts]:
        case ["due"]:
            return {"only_due": True}
        case ["all"]:
            return {"every": True}
    return {"codes": texts}


_SHAKE = (
    replace(
        THINGS,
        words="Which jars",
        help="Numbers or codes, with spaces between; `due` for all that are due, or `all`.",
        offers=lambda walk: _first_due(walk, "shake", "due"),
        usual=lambda walk: "due" if on_shelf.due_for(walk, "shake") else None,
        fills=("codes", "every", "only_due"),
        into=_shaken,
    ),
)


def _by_signs(walk: "Walk") -> str:
    from tracker.cli.given.signs_given import signs_named
    from tracker.core.reckoning.signs import verdict_of

    return verdict_of(signs_named(walk.answers.get("signs", ())))


_LOOK = (
    replace(
        THINGS,
        offers=lambda walk: [
            *_first_due(walk, "look", "look at it"),
            *on_shelf.offered(walk, on_shelf.extracts(walk)),
        ],
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

_NOTE = (
    replace(
        THINGS,
        name="code",
        words="About which one",
        help="Its number here, its code or its name; a lot's as well.",
        many="one",
        fills=(),
    ),
    replace(
        WHY,
        name="text",
        words="What is to be noted",
        fills=("text", "note"),
        into=lambda _, texts: {"text": texts[0]},
    ),
)


def _put_off(walk: "Walk") -> Sequence[Candidate]:
    """What there is to put off, the most pressing first."""
    from tracker.outputs.words.due.due_lines import briefly

    bench, today = walk.desk.bench, walk.desk.bench.today()
    things = {one.code: one for one in _things(walk)}
    return [
        Candidate(on_shelf.named(walk, things[line.code]), line.code, briefly(line, today))
        for line in due(on_shelf.batches(walk), bench.practice, today)
        if line.what in CAN_WAIT and line.code in things
    ]


def _things(walk: "Walk") -> list[Thing]:
    found = on_shelf.batches(walk)
    return [*map(whole, found), *(one for batch in found for one in on_shelf.extracts_of(batch))]


def _reminders(walk: "Walk") -> "list[What]":
    """What may be put off of all that was named, where that is more than one thing."""
    codes = {one.upper() for one in walk.answers.get("codes", ())}
    bench = walk.desk.bench
    lines: Iterable[Due] = every_line(on_shelf.batches(walk), bench.practice, bench.today())
    found = {one.what for one in lines if one.code in codes and one.what in CAN_WAIT}
    return sorted(found, key=ORDER.index)


_LATER = (
    replace(
        THINGS,
        words="Which reminder",
        offers=_put_off,
        fills=(),
    ),
    Asked(
        name="what",
        words="Which reminder of it",
        help="A jar may have several. Enter: the most pressing one.",
        offers=lambda walk: [Choice(group_of(one), one) for one in _reminders(walk)],
        applies=lambda walk: len(_reminders(walk)) > 1,
    ),
    Asked(
        name="until",
        words="Until when",
        such_as=lambda _: "3d, friday or 10 Jul",
        help="A day, or how long from today. It comes back then.",
        may_skip=False,
        sample=fixed("1d"),
    ),
)

_AWAY = (
    Asked(
        name="first",
        words="First day away",
        such_as=lambda _: "tomorrow, friday or 5 Jul",
        help="Reminders stop on that day; the day before says what will happen meanwhile.",
        may_skip=False,
    ),
    Asked(
        name="last",
        words="Last day away",
        such_as=lambda _: "19 Jul, or 14d",
        help="A day, or how long from the first. Reminders come again on the day after.",
        may_skip=False,
        sample=lambda walk: walk.text("first"),
    ),
)

ASKED = {"shake": _SHAKE, "look": _LOOK, "note": _NOTE, "later": _LATER, "away": _AWAY}
