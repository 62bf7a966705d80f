"""What is on hold stays as it is until somebody releases it."""

from collections.abc import Iterator

from tracker.core.rules.verdict import Finding
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing


def not_held(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to work on what is on hold, or what belongs to something that is."""
    held = _held(thing)
    if held is None:
        return
    code, hold = held
    called_back = isinstance(thing, Lot) and thing.recalled is not None
    state = "was called back on" if called_back else "is on hold since"
    why = f": {hold.why}" if hold.why else ""
    since = f"{'it' if code == thing.code else code} {state} {hold.on}{why}"
    yield Finding(
        "hold",
        thing.code,
        since,
        f"look at it again first: stillroom release {code} --why …",
    )


def _held(thing: Thing | Lot) -> tuple[str, Hold] | None:
    """What is on hold, the thing itself or what it is of, and how; the innermost first."""
    if isinstance(thing, Lot):
        return (thing.code, thing.hold) if thing.hold else None
    if thing.bottle is not None and thing.bottle.hold is not None:
        return thing.code, thing.bottle.hold
    if thing.extract is not None and thing.extract.hold is not None:
        return thing.batch.extract_code(thing.extract), thing.extract.hold
    return (thing.batch.code, thing.batch.hold) if thing.batch.hold else None


def may_release(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to release what is not on hold itself."""
    own = _held(thing)
    if own is None:
        yield Finding("hold", thing.code, "it is not on hold", "`stillroom show` says what it is")
    elif own[0] != thing.code:
        yield Finding(
            "hold",
            thing.code,
            f"it is held with {own[0]}",
            f"release that: stillroom release {own[0]} --why …",
        )


def may_hold(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to hold a bottle: it is held with its extract."""
    if isinstance(thing, Thing) and thing.bottle is not None:
        yield Finding(
            "kind",
            thing.code,
            "a bottle is held with its extract",
            f"name the extract: {thing.code.rpartition('/')[0]}",
        )
