"""What is on hold stays as it is until somebody releases it."""

from collections.abc import Iterator

from tracker.core.rules.verdict import Finding
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing


def not_held(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to work on what is on hold, or what belongs to something that is."""
    held = _hold(thing)
    if held is None:
        return
    code, hold = held
    since = f"{'it' if code == thing.code else code} is on hold since {hold.on}: {hold.why}"
    yield Finding(
        "hold",
        thing.code,
        since,
        f"look at it again first: stillroom release {code} --why …",
    )


def _hold(thing: Thing | Lot) -> tuple[str, Hold] | None:
    if isinstance(thing, Lot):
        hold = thing.recalled or thing.hold
        return (thing.code, hold) if hold else None
    if thing.extract is not None and (hold := hold_of(thing.extract)):
        return thing.jar.extract_code(thing.extract), hold
    hold = hold_of(thing.jar)
    return (thing.jar.code, hold) if hold else None


def hold_of(thing: Jar | Extract) -> Hold | None:
    """Its own hold, by word or by the last look."""
    if thing.hold is not None or thing.look is None or thing.look.verdict != "hold":
        return thing.hold
    return Hold("", thing.look.on, "by the last look")


def may_release(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to release what is not on hold itself."""
    own = _hold(thing)
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
