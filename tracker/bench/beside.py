"""What the answer to a fact needs of the rest of the shelf, as values.

What reckons it is loaded where a fact asks for it; most ask for nothing.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tracker.core.facts.amendments import Away, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Counted, Pressed, PressedAgain
from tracker.core.facts.lots import Recalled
from tracker.core.practice.practice import Practice
from tracker.core.rules.recorded import DueWhileAway, LotCounted, More, StillHeld
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Batch

if TYPE_CHECKING:
    from tracker.bench.open_book import OpenBook
    from tracker.core.reckoning.flows.recall import Reach
    from tracker.core.reckoning.odd_yield import OddYield


def beside(
    book: "OpenBook", entry: Entry, before: ShelfPart, after: ShelfPart, practice: Practice
) -> "More | None":
    """What an answer needs besides the things its fact names, or None."""
    match entry.fact:
        case Pressed() as fact:
            return _odd_yield(book, entry.id, after.batches.get(fact.about.jar), practice)
        case PressedAgain() as fact:
            opened = fact.about.extract or ""
            return _odd_yield(book, opened, after.batches.get(fact.about.jar), practice)
        case Counted() as fact:
            return _lot_counted(book, entry.id, after.lots.get(fact.about.jar))
        case Released() as fact:
            return _still_held(book, before, fact)
        case Recalled() as fact:
            return _reach(book, before, fact, practice)
        case Away() as fact:
            return _due_while_away(book, fact, practice)
        case _:
            return None


def _due_while_away(book: "OpenBook", fact: Away, practice: Practice) -> DueWhileAway:
    from tracker.core.rules.away import Stay
    from tracker.core.rules.before_leaving import while_away

    shelf = book.batches(live_only=True)
    lines = while_away(shelf, Stay(fact.first, fact.last), practice)
    return DueWhileAway(tuple(lines), tuple(shelf))


def _odd_yield(
    book: "OpenBook", opened: str, jar: Batch | None, practice: Practice
) -> "OddYield | None":
    from tracker.core.reckoning.odd_yield import odd_yield
    from tracker.core.reckoning.sizing import FLUID_OUNCE_ML

    extract = jar.extract(opened) if isinstance(jar, Jar) else None
    if not isinstance(jar, Jar) or extract is None:
        return None
    ounce_ml = FLUID_OUNCE_ML[practice.units]
    alike = book.pressed_alike(jar.herb)
    return odd_yield(jar, extract, alike, lambda: book.jars(live_only=True), ounce_ml)


def _lot_counted(book: "OpenBook", count: str, lot: Lot | None) -> LotCounted | None:
    if lot is None:
        return None
    one = book.account_of(lot)
    missing = next((each.amount for each in one.missing if each.event == count), None)
    return None if missing is None else LotCounted(missing, one.left, lot.unit)


def _still_held(book: "OpenBook", before: ShelfPart, fact: Released) -> StillHeld | None:
    lot = before.lots.get(fact.about.jar)
    if lot is None or lot.recalled is None:
        return None
    event = lot.recalled.event
    shelf = book.batches(live_only=True)
    codes = [one.code for one in shelf if one.hold and one.hold.event == event]
    return StillHeld(tuple(codes)) if codes else None


def _reach(book: "OpenBook", before: ShelfPart, fact: Recalled, practice: Practice) -> "Reach":
    """What holds any of the lot, with the holds there were before; and what left."""
    from tracker.core.reckoning.flows.flow_graph import Node
    from tracker.core.reckoning.flows.named_lots import key_of
    from tracker.core.reckoning.flows.recall import reach_of
    from tracker.core.reckoning.keeps import days_late_of

    start = Node("lot", fact.about.jar if fact.named is None else key_of(fact.named))
    batches = {one.id: one for one in book.reached([start.id])} | dict(before.batches)
    lots = {one.id: one for one in book.lots()} | dict(before.lots)
    entries = _in_force(book, (fact.about.jar, *fact.jars))
    shelf = list(batches.values())
    late = days_late_of(shelf, practice)
    return reach_of(start, shelf, list(lots.values()), entries, late)


def _in_force(book: "OpenBook", ids: Iterable[str]) -> list[Entry]:
    """The entries in force of these jars and lots, each once."""
    from tracker.core.replay.families import each_once
    from tracker.core.replay.in_force import settle

    return settle(each_once(book.entries_about(ids))[0]).entries
