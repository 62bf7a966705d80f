"""What `dispense`, `count`, `discard`, `hold` and `release` ask."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec

from tracker.cli.choosing import Choice
from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked, fixed
from tracker.core.shelf.thing import whole

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def _all_of_it(_: "Walk") -> str:
    return "all of it"


def _everything(walk: "Walk") -> Sequence[Choice]:
    jars = on_shelf.offered(walk, map(whole, on_shelf.jars(walk)))
    extracts = on_shelf.offered(walk, on_shelf.extracts(walk))
    return [*jars, *extracts, *on_shelf.lots_offered(on_shelf.lots(walk))]


def _countable(walk: "Walk") -> Sequence[Choice]:
    extracts = on_shelf.offered(walk, on_shelf.extracts(walk))
    return [*extracts, *on_shelf.lots_offered(on_shelf.lots(walk))]


def _on_hold(walk: "Walk") -> Sequence[Choice]:
    """What is on hold itself, with why."""
    held = [
        (lot.code, lot.what, lot.hold) for lot, _ in on_shelf.lots(walk) if lot.hold is not None
    ]
    things = [whole(one) for one in on_shelf.batches(walk)] + on_shelf.extracts(walk)
    for thing in {one.code: one for one in things}.values():
        hold = (thing.extract or thing.batch).hold
        if hold is not None:
            held.append((thing.code, on_shelf.named(walk, thing), hold))
    return [Choice(f"{what}  {code}  {hold.why}", code) for code, what, hold in held]


_VOLUME = Asked(
    name="volume",
    words="How much",
    help="30 ml, 1 fl oz. Enter: all there is of it.",
    usual=_all_of_it,
    is_default=True,
    unit="ml",
)

_DISPENSE = (
    Asked(
        name="code",
        words="Which one",
        help="Its number here, or its code. What expires first stands first; holds are left out.",
        offers=lambda walk: on_shelf.offered(walk, on_shelf.given_out_of(walk)),
        may_skip=False,
    ),
    _VOLUME,
    Asked(
        name="reference",
        words="For whom",
        help="A reference or initials, never a name: P03. Enter: for nobody in particular.",
    ),
)


def _some_of_it(walk: "Walk") -> str:
    """A little of it, in g of herb and in ml of anything else."""
    code = (walk.text("code") or "").upper()
    lot = next((lot for lot, _ in on_shelf.lots(walk) if lot.code.upper() == code), None)
    return f"1 {lot.unit if lot is not None else 'ml'}"


_COUNT = (
    Asked(
        name="code",
        words="Which extract, bottle or lot",
        help="Its number here, or its code.",
        offers=_countable,
        may_skip=False,
    ),
    Asked(
        name="amount",
        words="How much is really there",
        help="As measured: 640 ml, or 850 g of a lot of herb. 0 ml where there is none.",
        may_skip=False,
        sample=_some_of_it,
    ),
)

_DISCARD = (
    Asked(
        name="code",
        words="Which jar, extract, bottle or lot",
        help="Its number here, or its code. `strike` is for what was never there.",
        offers=_everything,
        may_skip=False,
    ),
    msgspec.structs.replace(
        _VOLUME,
        help="50 ml, or 50 g of a lot of herb. Enter: all of it.",
        unit="",
    ),
    Asked(
        name="why",
        words="Why",
        help="Mould, expired, spilt …, in your own words.",
        may_skip=False,
        sample=fixed("?"),
    ),
)

_HOLD = (
    Asked(
        name="codes",
        words="Which jars, extracts or lots",
        help="Numbers or codes, with spaces between. None of it is used until it is released.",
        offers=_everything,
        may_skip=False,
        many="codes",
        fills=("codes", "every"),
    ),
    Asked(
        name="why",
        words="Why",
        help="In your own words; it is shown wherever it stands.",
        may_skip=False,
        sample=fixed("?"),
    ),
)

_RELEASE = (
    Asked(
        name="codes",
        words="Which jars, extracts or lots",
        help="Numbers or codes, with spaces between.",
        offers=_on_hold,
        may_skip=False,
        many="codes",
        fills=("codes", "every"),
    ),
    Asked(
        name="why",
        words="Why it may be used again",
        help="In your own words: what you found out.",
        may_skip=False,
        sample=fixed("?"),
    ),
)

ASKED = {
    "dispense": _DISPENSE,
    "count": _COUNT,
    "discard": _DISCARD,
    "hold": _HOLD,
    "release": _RELEASE,
}
