"""What a verb can act on, of all that there is of a jar or blend: what a name may mean there."""

from collections.abc import Callable

from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import DiscardedEnd
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of, things, whole

Fits = Callable[[Batch], list[Thing]]


def any_of(batch: Batch) -> list[Thing]:
    """The jar or blend itself, whatever became of it: there is always something to show."""
    return [whole(batch)]


def steeping(batch: Batch) -> list[Thing]:
    """A jar with herb in it."""
    return [whole(batch)] if isinstance(batch, Jar) and batch.is_macerating else []


def with_marc(batch: Batch) -> list[Thing]:
    """A jar that was pressed, whose marc was not composted."""
    pressing = batch.pressing if isinstance(batch, Jar) else None
    return [whole(batch)] if pressing is not None and pressing.marc != "composted" else []


def in_bulk(batch: Batch) -> list[Thing]:
    """Extracts with liquid that is in no bottle."""
    return [extract_of(batch, one) for one in batch.extracts if one.volume_ml >= DROP_ML]


def bottled(batch: Batch) -> list[Thing]:
    """Of each extract the first bottle that holds something."""
    found = []
    for extract in batch.extracts:
        full = [one for one in extract.bottles if one.volume_ml >= DROP_ML]
        found += [bottle_of(batch, extract, one) for one in full[:1]]
    return found


def with_room(batch: Batch) -> list[Thing]:
    """Bottles in use that are not full."""
    return [
        one
        for one in things(batch)
        if one.bottle is not None
        and not one.bottle.discarded
        and one.bottle.size_ml - one.bottle.volume_ml >= DROP_ML
    ]


def liquids(batch: Batch) -> list[Thing]:
    """What can be poured or given out: extracts in bulk, and of each a bottle."""
    return [*in_bulk(batch), *bottled(batch)]


def to_give_out(batch: Batch) -> list[Thing]:
    """What can be given out where no amount is said: a jar leaves whole, too."""
    return [*steeping(batch), *liquids(batch)]


def in_stock(batch: Batch) -> list[Thing]:
    """Extracts of which anything is left, in bulk or in bottles."""
    return [extract_of(batch, one) for one in batch.extracts if one.left_ml >= DROP_ML]


def on_the_shelf(batch: Batch) -> list[Thing]:
    """What stands there: a jar with herb in it, or extracts of which anything is left."""
    return [*steeping(batch), *in_stock(batch)]


def on_hold(batch: Batch) -> list[Thing]:
    """What can be released: where a jar is on hold, all that came of it is."""
    if batch.hold is not None:
        return [whole(batch)]
    return [extract_of(batch, one) for one in batch.extracts if one.hold is not None]


def thrown_out(batch: Batch) -> list[Thing]:
    """What can be restored."""
    if isinstance(batch, Jar) and isinstance(batch.end, DiscardedEnd):
        return [whole(batch)]
    return [extract_of(batch, one) for one in batch.extracts if one.discards]
