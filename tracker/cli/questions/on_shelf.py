"""What there is to choose from: jars, extracts, bottles and lots, the likeliest first."""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from tracker.cli.questions.candidates import Candidate
from tracker.core.reckoning.amounts import is_ready
from tracker.core.reckoning.keeps import good_through
from tracker.core.rules.reminders import ORDER, due, every_line
from tracker.core.shelf.acted_on import Fits
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of, whole
from tracker.core.values.errors import BookError
from tracker.outputs.terminal.lot_names import lot_called
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.amount_words import ml, plain
from tracker.outputs.words.plant_names import called

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk


def batches(walk: "Walk") -> list[Batch]:
    """What is on the shelf; nothing before the first jar."""
    try:
        return walk.desk.bench.batches(live_only=True)
    except BookError:
        return []


def every_batch(walk: "Walk") -> list[Batch]:
    """What is on the shelf, and what was."""
    try:
        return walk.desk.bench.batches()
    except BookError:
        return []


def jars(walk: "Walk") -> list[Jar]:
    """The jars with their herb in them."""
    return [one for one in batches(walk) if isinstance(one, Jar) and one.is_macerating]


def extracts(walk: "Walk", *, at_least_ml: float = DROP_ML) -> list[Thing]:
    """Extracts and blends of which there is some in bulk, the newest first."""
    found = [
        one
        for batch in batches(walk)
        for one in extracts_of(batch)
        if one.extract is not None and one.extract.volume_ml >= at_least_ml
    ]
    return sorted(found, key=_opened, reverse=True)


def _opened(thing: Thing) -> datetime:
    assert thing.extract is not None
    return thing.extract.pressed.start


def extracts_of(batch: Batch) -> list[Thing]:
    """What was pressed of a jar; a blend itself."""
    if isinstance(batch, Blend):
        return [whole(batch)]
    return [extract_of(batch, one) for one in batch.extracts]


def given_out_of(walk: "Walk") -> list[Thing]:
    """Bottles and bulk that may be given out, the first to expire first; what is past it last."""
    found = [part for batch in batches(walk) for one in extracts_of(batch) for part in _parts(one)]
    free = [one for one in found if not one.on_hold]
    days = {one.code: good_through(one, walk.desk.bench.practice) for one in free}
    today = walk.desk.bench.today()

    def order(one: Thing) -> tuple[bool, bool, str]:
        day = days[one.code]
        return day is not None and day < today, day is None, str(day)

    return sorted(free, key=order)


def to_heed(walk: "Walk", thing: Thing) -> str:
    """What must be known before it is given out: `external use only, past its date`."""
    # The tables of plants load slowly.
    from tracker.core.reckoning.cautions import cautions
    from tracker.outputs.words.caution_words import grave_words

    day = good_through(thing, walk.desk.bench.practice)
    past = "past its date" if day is not None and day < walk.desk.bench.today() else ""
    unknown = "no date known" if day is None else ""
    return ", ".join(filter(None, (*grave_words(cautions(thing.batch, thing.made)), past, unknown)))


def offered_out(walk: "Walk") -> list[Candidate]:
    """What may be given out, each with what is to be heeded."""
    return [
        Candidate(named(walk, one), one.code, left_of(one), to_heed(walk, one))
        for one in given_out_of(walk)
    ]


def _parts(thing: Thing) -> Iterator[Thing]:
    extract = thing.extract
    if extract is None:
        return
    if extract.volume_ml >= DROP_ML:
        yield thing
    for bottle in extract.bottles:
        if not bottle.discarded and bottle.volume_ml >= DROP_ML:
            yield bottle_of(thing.batch, extract, bottle)


def lots(walk: "Walk") -> list[tuple[Lot, float]]:
    """Lots of which there is some, each with what is left; the newest first."""
    from tracker.core.reckoning.flows.lot_balance import accounts

    try:
        bench = walk.desk.bench
        known = accounts(bench.lots(), bench.batches())
    except BookError:
        return []
    found = [(lot, one.left) for lot, one in known if one.left > 0]
    return sorted(found, key=lambda one: one[0].on.start, reverse=True)


def named(walk: "Walk", thing: Thing) -> str:
    """What is in it, as its maker calls that."""
    return called(herbs_of(thing.batch, thing.made), walk.desk.bench.practice.names)


def left_of(thing: Thing) -> str:
    """`on hold, 370 ml left`; of a jar only that it is on hold."""
    held = ["on hold"] if thing.on_hold else []
    if thing.extract is None:
        return ", ".join(held)
    there = thing.extract.volume_ml if thing.bottle is None else thing.bottle.volume_ml
    return ", ".join([*held, f"{ml(round(there, 1))} left"])


def offered(
    walk: "Walk", things: Iterable[Thing], beside: Callable[[Thing], str] = left_of
) -> list[Candidate]:
    """Things to choose from, in the order they come."""
    return [Candidate(named(walk, one), one.code, beside(one)) for one in things]


def pressing(
    walk: "Walk", things: Iterable[Thing], beside: Callable[[Thing], str] = left_of
) -> list[Candidate]:
    """Things to choose from, what most needs doing first."""
    bench = walk.desk.bench
    first = {
        line.code: ORDER.index(line.what)
        for line in reversed(due(batches(walk), bench.practice, bench.today()))
    }
    found = sorted(things, key=lambda one: first.get(_extract_code(one), len(ORDER)))
    return offered(walk, found, beside)


def _extract_code(thing: Thing) -> str:
    return thing.batch.extract_code(thing.extract) if thing.extract else thing.code


def lots_offered(walk: "Walk", found: Iterable[tuple[Lot, float]]) -> list[Candidate]:
    """Lots to choose from, with what is left of each."""
    names = walk.desk.bench.practice.names
    return [
        Candidate(lot_called(lot, names), lot.code, f"{plain(left, lot.unit)} left")
        for lot, left in found
    ]


def whole_jars(walk: "Walk") -> list[Thing]:
    """The jars with their herb in them, as things."""
    return [whole(one) for one in jars(walk)]


def free_jars(walk: "Walk") -> list[Thing]:
    """The jars with their herb in them that are on no hold."""
    return [one for one in whole_jars(walk) if not one.on_hold]


def free_extracts(walk: "Walk") -> list[Thing]:
    """Extracts and blends of which there is some in bulk, and which are on no hold."""
    return [one for one in extracts(walk) if not one.on_hold]


def those(walk: "Walk", fits: Fits, *, live: bool = True) -> list[Thing]:
    """What a verb can act on."""
    found = batches(walk) if live else every_batch(walk)
    return [one for batch in found for one in fits(batch)]


def lot_named(walk: "Walk", lot: Lot) -> str:
    """What a lot is called."""
    return lot_called(lot, walk.desk.bench.practice.names)


def every_lot(walk: "Walk") -> list[Lot]:
    """Every lot there ever was, the newest first."""
    try:
        return sorted(walk.desk.bench.lots(), key=lambda one: one.on.start, reverse=True)
    except BookError:
        return []


def due_for(walk: "Walk", what: str) -> list[str]:
    """The codes of what is due for one thing today."""
    bench = walk.desk.bench
    lines = every_line(batches(walk), bench.practice, bench.today())
    return [one.code for one in lines if one.what == what]


def ready_first(walk: "Walk") -> list[Candidate]:
    """The jars on the herb, those that are ready or past their longest first."""
    today = walk.desk.bench.today()
    late = due_for(walk, "past-longest")
    standing = {
        one.code: "past its longest" if one.code in late else "ready" for one in ready(walk)
    }
    found = [one for one in jars(walk) if not one.on_hold]
    found.sort(key=lambda one: (one.code not in late, not is_ready(one, today), one.steeped.start))
    return offered(walk, map(whole, found), lambda one: standing.get(one.code, ""))


def ready(walk: "Walk") -> list[Jar]:
    """The jars that may be pressed today."""
    today = walk.desk.bench.today()
    return [one for one in jars(walk) if is_ready(one, today) and not one.on_hold]
