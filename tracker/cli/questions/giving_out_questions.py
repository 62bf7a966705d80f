"""What `dispense`, `refill`, `count`, `discard`, `restore`, `hold` and `release` ask."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked, fixed, in_volume, in_weight
from tracker.cli.questions.candidates import Candidate
from tracker.cli.questions.which_questions import JAR, THINGS, WHY
from tracker.core.shelf.acted_on import thrown_out, with_room
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Thing, whole
from tracker.outputs.words.amount_words import ml

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk
    from tracker.core.shelf.lot import Lot


def _with_lots(walk: "Walk", things: list[Thing]) -> Sequence[Candidate]:
    return [
        *on_shelf.pressing(walk, things),
        *on_shelf.lots_offered(walk, on_shelf.lots(walk)),
    ]


def _everything(walk: "Walk") -> Sequence[Candidate]:
    return _with_lots(walk, [*on_shelf.whole_jars(walk), *on_shelf.extracts(walk)])


def _on_hold(walk: "Walk") -> Sequence[Candidate]:
    """What is on hold itself, with why."""
    lots = [lot for lot, _ in on_shelf.lots(walk)]
    found = [
        Candidate(on_shelf.lot_named(walk, lot), lot.code, lot.hold.why)
        for lot in lots
        if lot.hold is not None
    ]
    things = [whole(one) for one in on_shelf.batches(walk)] + on_shelf.extracts(walk)
    for thing in {one.code: one for one in things}.values():
        hold = (thing.extract or thing.batch).hold
        if hold is not None:
            found.append(Candidate(on_shelf.named(walk, thing), thing.code, hold.why))
    return found


def _thrown_out(walk: "Walk") -> Sequence[Candidate]:
    """What was thrown out, and lots of which some was; the newest first."""
    things = on_shelf.those(walk, thrown_out, live=False)
    things.sort(key=lambda one: one.batch.born, reverse=True)
    lots = [one for one in on_shelf.every_lot(walk) if one.discards]
    return [
        *on_shelf.offered(walk, things, _gone),
        *(Candidate(on_shelf.lot_named(walk, one), one.code) for one in lots),
    ]


def _gone(thing: Thing) -> str:
    gone_ml = sum(thing.extract.discards.values()) if thing.extract is not None else 0.0
    return f"{ml(gone_ml)} thrown out" if gone_ml else "thrown out"


def _with_room(walk: "Walk") -> Sequence[Candidate]:
    """Bottles in use that are not full, those first whose extract has something to fill them."""
    found = on_shelf.those(walk, with_room)
    found.sort(key=lambda one: one.extract is None or one.extract.volume_ml < DROP_ML)
    return on_shelf.offered(walk, found, _in_bottle)


def _in_bottle(thing: Thing) -> str:
    bottle = thing.bottle
    return f"{ml(bottle.volume_ml)} of {ml(bottle.size_ml)}" if bottle is not None else ""


def _lot(walk: "Walk") -> "Lot | None":
    code = (walk.text("code") or "").upper()
    return next((lot for lot in on_shelf.every_lot(walk) if lot.code.upper() == code), None)


def _is_weighed(walk: "Walk") -> bool:
    """Whether what was chosen is weighed: a lot of herb, or of sugar."""
    lot = _lot(walk)
    return lot is not None and lot.liquid in (None, "sugar")


def own_unit(walk: "Walk") -> str:
    """The unit in which what was chosen is counted."""
    return in_weight(walk) if _is_weighed(walk) else in_volume(walk)


_ALL_OF_IT = Asked(
    name="volume",
    words="How much",
    help="30 ml, 1 fl oz; herb and sugar are weighed. Enter: all there is of it.",
    usual=fixed("all of it"),
    is_default=True,
    unit=own_unit,
)

_DISPENSE = (
    replace(
        JAR,
        words="Which one",
        help="Its number here, its code or its name. What expires first stands first, "
        "what is past its date last; holds are left out.",
        offers=on_shelf.offered_out,
    ),
    _ALL_OF_IT,
    Asked(
        name="reference",
        words="For whom",
        help="A reference or initials, never a name: P03. Enter: for nobody in particular.",
    ),
)

_REFILL = (
    replace(
        JAR,
        words="Which bottle",
        offers=_with_room,
    ),
    replace(
        _ALL_OF_IT,
        name="amount",
        words="How much went in",
        help="Enter: up to its size, out of its own extract.",
        usual=fixed("up to its size"),
    ),
)

_COUNT = (
    replace(
        JAR,
        words="Which extract, bottle or lot",
        offers=lambda walk: _with_lots(walk, on_shelf.extracts(walk)),
    ),
    Asked(
        name="amount",
        words="How much is really there",
        help="As measured: 640 ml, or 850 g of a lot of herb. 0 where there is none.",
        may_skip=False,
        unit=own_unit,
        sample=lambda walk: "1 g" if _is_weighed(walk) else "1 ml",
    ),
)

_DISCARD = (
    replace(
        JAR,
        words="Which jar, extract, bottle or lot",
        help="Its number here, its code or its name. `strike` is for what was never there.",
        offers=_everything,
    ),
    _ALL_OF_IT,
    replace(WHY, help="Mould, expired, spilt …, in your own words."),
)

_RESTORE = (
    replace(JAR, words="What is back", offers=_thrown_out),
    replace(WHY, words="Why it is back", may_skip=True, sample=fixed(None)),
)

_HOLD = (
    replace(
        THINGS,
        words="Which jars, extracts or lots",
        help=f"{THINGS.help} None of it is used until it is released.",
        offers=_everything,
    ),
    replace(WHY, help="In your own words; it is shown wherever it stands."),
)

_RELEASE = (
    replace(THINGS, words="Which jars, extracts or lots", offers=_on_hold),
    replace(WHY, words="Why it may be used again", help="In your own words: what you found out."),
)

ASKED = {
    "dispense": _DISPENSE,
    "refill": _REFILL,
    "count": _COUNT,
    "discard": _DISCARD,
    "restore": _RESTORE,
    "hold": _HOLD,
    "release": _RELEASE,
}
