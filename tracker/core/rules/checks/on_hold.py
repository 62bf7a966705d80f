"""What is on hold stays as it is until somebody releases it."""

from collections.abc import Iterable, Iterator, Sequence

from tracker.core.facts.amendments import Labelled
from tracker.core.facts.kinds import AnyFact, traits_of
from tracker.core.replay.replay import Lives
from tracker.core.rules.before import Before
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.command_words import command
from tracker.core.values.times import When


def not_held(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to work on what is on hold, or what belongs to something that is."""
    held = _held(thing)
    if held is None:
        return
    code, hold = held
    is_recalled = isinstance(thing, Lot) and thing.recalled is not None
    state = "was recalled on" if is_recalled else "is on hold, since"
    why = f": {hold.why}" if hold.why else ""
    since = f"{'it' if code == thing.code else code} {state} {hold.on}{why}"
    yield Finding(
        "hold",
        thing.code,
        since,
        f"look at it again, then release it: {command('release', code, options='--why …')}",
    )


def stops(
    before: Before, fact: AnyFact, things: Iterable[Thing | Lot], when: When
) -> Iterator[Finding]:
    """A hold stops whatever changes or takes what is in a thing; that one is missing is asked.

    So it is for a label, which a hold allows: it says so itself.
    """
    is_change = traits_of(fact).contents == "changed"
    for one in things:
        if is_change:
            yield from not_held(one)
        if is_change or isinstance(fact, Labelled):
            yield from recalled_inside(one, before.not_held(), when)


def recalled_inside(thing: Thing | Lot, open_: Sequence[Flag], when: When) -> Iterator[Finding]:
    """Ask where some of a recalled lot is in it, and it is not on hold."""
    its_id = thing.id if isinstance(thing, Lot) else thing.batch.id
    for flag in open_:
        misfit = flag.misfit
        if flag.event != its_id or not isinstance(misfit, NotHeld):
            continue
        if thing.code not in misfit.codes or when.latest < misfit.recalled.earliest:
            continue
        yield Finding(
            "hold",
            thing.code,
            f"some of lot {misfit.lot} is in it, recalled {misfit.recalled}, and it is not on hold",
            f"hold it: {command('recall', misfit.lot, options='--why …')}; or release the lot",
            "question",
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


def lifted(before: Lives, after: Lives, subject: str) -> Iterator[Finding]:
    """Ask where an amendment takes things off hold, or a lot is called back no more."""
    found = dict(_lifted(before, after))
    if not found:
        return
    code, hold = next(iter(found.items()))
    yield Finding(
        "hold",
        subject,
        f"that takes {few(list(found))} off hold{f': {hold.why}' if hold.why else ''}",
        f"if it was looked at since, say so: {command('release', code, options='--why …')}",
        "question",
    )


def few(codes: Sequence[str]) -> str:
    """The first of some codes, and how many more there are."""
    return f"{', '.join(codes[:6])}{f' and {len(codes) - 6} more' if len(codes) > 6 else ''}"


def _lifted(before: Lives, after: Lives) -> Iterator[tuple[str, Hold]]:
    """What would be off hold, lots first; what is of a thing goes with it."""
    for lot in before.lots.values():
        left = after.lots.get(lot.id)
        if left is not None and lot.hold is not None and _is_lifted(lot.hold, left.hold):
            yield lot.code, lot.hold
    for batch in before.batches.values():
        if batch.id in after.batches:
            yield from _lifted_of(batch, after.batches[batch.id])


def _lifted_of(batch: Batch, left: Batch) -> Iterator[tuple[str, Hold]]:
    now = {_place(one): one.hold for one in things(left)}
    named = ""
    for one in things(batch):
        hold, place = one.hold, _place(one)
        if hold is None or place not in now or (named and one.code.startswith(named)):
            continue
        if _is_lifted(hold, now[place]):
            named = one.code
            yield named, hold


def _place(thing: Thing) -> tuple[str | None, int | None]:
    """What it is within its jar or blend, whatever it is called."""
    extract, bottle = thing.extract, thing.bottle
    return extract.id if extract else None, bottle.number if bottle else None


def _is_lifted(hold: Hold, left: Hold | None) -> bool:
    return left is None or (hold.kind == "recall" and left.kind != "recall")


def may_release(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to release what is not on hold itself."""
    own = _held(thing)
    if own is None:
        yield Finding(
            "hold",
            thing.code,
            "it is not on hold",
            f"`{command('show', thing.code)}` says how it stands",
        )
    elif own[0] != thing.code:
        yield Finding(
            "hold",
            thing.code,
            f"it is held with {own[0]}",
            f"release that: {command('release', own[0], options='--why …')}",
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
