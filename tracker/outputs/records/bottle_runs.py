"""Bottles of an extract that are alike, as one row: `CAOF-25-01A/1–110`, 100 ml each."""

from collections.abc import Iterable, Iterator

from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import BottleLeft
from tracker.outputs.records.numbers_in_short import codes_in_short
from tracker.outputs.records.record_table import RecordColumn, RecordRow, barred, cell, para
from tracker.outputs.words.amount_words import ml

COLUMNS = (
    RecordColumn("BOTTLES", 0.26),
    RecordColumn("SIZE", 0.14),
    RecordColumn("LEFT", 0.14),
    RecordColumn("STRENGTH", 0.18),
    RecordColumn("FILLED", 0.14),
    RecordColumn("STATE", 1.0, is_flexible=True),
    RecordColumn("GOOD THROUGH", 0.16),
)


def bottle_rows(bottles: Iterable[BottleLeft], *, with_strength: bool) -> Iterator[RecordRow]:
    """A row for all that are alike in everything but their number, in the order of the first."""
    alike: dict[tuple[object, ...], list[BottleLeft]] = {}
    for one in bottles:
        of = one.code.rpartition("/")[0]
        stands = (one.state, one.good_through, one.hold, one.strength)
        key = (of, one.size_ml, one.left_ml, one.filled, *stands)
        alike.setdefault(key, []).append(one)
    for some in alike.values():
        yield _row(some, with_strength=with_strength)


def _row(some: list[BottleLeft], *, with_strength: bool) -> RecordRow:
    one, each = some[0], " each" * (len(some) > 1)
    held = (barred(one.hold),) if one.hold else ()
    last = batch_words.day(one.good_through) if one.good_through else "not known"
    return (
        cell(codes_in_short(bottle.code for bottle in some), "B"),
        cell(f"{ml(one.size_ml)}{each}"),
        cell(_left(one, each)),
        cell(one.strength if with_strength else ""),
        cell(batch_words.day(one.filled)),
        (para(one.state), *held),
        cell(last),
    )


def _left(one: BottleLeft, each: str) -> str:
    """What is left in it, unless all or nothing of it is."""
    if one.left_ml >= one.size_ml:
        return "full"
    return f"{ml(one.left_ml)}{each}" if one.left_ml else "nothing"
