"""Taking lines into the read model: told as they come, and put in their place on the shelf.

One way for all of it: a model that is made new, one that catches up, and one that goes on from
what was just recorded. What comes in order is told at once (`core/replay/in_order.py`); the
families of whatever else comes are read again at the end, and folded whole.
"""

from array import array
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from pathlib import Path

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.replay.in_order import InOrder, Told
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import Order
from tracker.journal.file_marks import Mark, Place, Step
from tracker.journal.model.cards import Card
from tracker.journal.model.file_steps import Files
from tracker.journal.model.folding import Folding
from tracker.journal.model.id_sums import IdSums, id_sum
from tracker.journal.model.kin import Packed, kin_bytes, numbers, packed, read_kin, unpacked
from tracker.journal.model.read_model import batch_of, lot_of, read_marks, unplaced_of
from tracker.journal.model.recall_reach import note_reach, takes
from tracker.journal.model.sealed_model import AWAITED, UNPLACED, Seal, SealedModel
from tracker.journal.model.shared_codes import letter_shared_codes
from tracker.journal.read import Reading, Taken

# A line, and the name of its file.
LineOf = tuple[str, Taken]
ReadEntries = Callable[[Path, Sequence[Place]], list[Entry]]

# What nothing told for so many lines is put away; it is fetched again if a later line is about it.
# So many entries are kept as well, twice: what is out of order is mostly so by days.
_LINES_AT_HAND = 1 << 14
# So many families are folded together at the end.
_AT_ONCE = 256

_AWAITED = msgspec.msgpack.Decoder(dict[str, tuple[str, ...]])


class Shelving:
    """A model while lines are taken into it; `finish` puts all of it in place.

    Args:
        connection: a model that is being written.
        seal: its seal.
        book: the book's folder.
        read: where the entries at places come from.
        size: how many bytes the book has.
    """

    def __init__(
        self, connection: SealedModel, seal: Seal, book: Path, read: ReadEntries, size: int
    ) -> None:
        self._model, self._seal, self._book, self._read = connection, seal, book, read
        self._cards = connection.cards
        self._files = Files(connection)
        self._ids = IdSums(connection, size)
        held = connection.aside(AWAITED)
        self._were_awaited = _AWAITED.decode(held) if held else {}
        self._story = InOrder(self._fetched, self._were_awaited)
        # Where the last lines about each thing stand, and those before of what is at hand.
        self._fresh: defaultdict[str, list[int]] = defaultdict(list)
        self._places: dict[str, array[int]] = {}
        self._recent: dict[Packed, Entry] = {}
        self._before: dict[Packed, Entry] = {}
        self._codes_changed = False
        self._kept: set[str] = set()
        self._new_from = seal.next_at

    def take(self, lines: Sequence[LineOf]) -> None:
        """Go on with some lines, each of a file."""
        tell, fresh, recent = self._story.tell, self._fresh, self._recent
        self._ids.add(one[0].id for _, one in lines)
        number_of = {file: self._files.note(file).number for file in {file for file, _ in lines}}
        for file, (entry, offset, length, total) in lines:
            fact = entry.fact
            jars = fact.jars if type(fact) is Shaken else entry.jars
            place = packed(number_of[file], offset, length, total)
            recent[place] = entry
            for jar in jars:
                fresh[jar] += place
            tell(entry, jars)
        if len(recent) >= _LINES_AT_HAND:
            self._put_away()

    def go_to(self, file: str, steps: Sequence[Step], *, in_step: bool = True) -> None:
        """Keep what is noted of a file, once it was read on."""
        note = self._files.note(file)
        note.in_step = note.in_step and in_step
        self._files.take(file, steps)

    # Putting away

    def _put_away(self) -> None:
        """Put what was not told of lately in its place, and make room."""
        told = self._story.told
        idle = [one for one in told if one not in self._fresh]
        apart = {one for one in idle if told[one].is_apart}
        for one in idle:
            self._put(one, self._story.drop(one))
        for one, places in self._fresh.items():
            self._places.setdefault(one, array("Q")).extend(places)
        self._fresh.clear()
        if apart:
            for one in list(told):  # what is folded may be joined to any of it
                self._put(one, told[one])
            self._fold(apart)
        self._before, self._recent = self._recent, {}

    def _put(self, one: str, told: Told) -> None:
        """Put the state of a thing and the places of its lines where they belong."""
        card = self._cards.get(one)
        known = None if card is None else read_kin(self._model.part("kin", card.at, card.kin))
        places = numbers(known)
        places.extend(self._places.pop(one, ()))
        places.extend(self._fresh.pop(one, ()))
        if told.is_apart and card is not None:  # folded at the end; until then its state is old
            kin = self._model.put("kin", card.at, kin_bytes(None, places))
            self._cards.put(msgspec.structs.replace(card, kin=kin))
        else:
            self._keep(one, told.order, places, None if told.is_apart else told.state)

    def _keep(
        self, one: str, order: Order | None, places: "array[int]", state: Batch | Lot | None
    ) -> None:
        self._kept.add(one)
        old = self._cards.get(one)
        if old is None:
            at = self._seal.next_at
            self._seal.next_at += 1
        else:
            at = old.at
        kin = self._model.put("kin", at, kin_bytes(order, places))
        card = Card(one, at, "", kin=kin) if state is None else self._shelved(at, state, kin)
        if old is not None and (old.kind, old.code, old.born) == (card.kind, card.code, card.born):
            card = msgspec.structs.replace(card, shown=old.shown)
        elif card.kind or (old is not None and old.kind):
            self._codes_changed = True
        self._cards.put(card)

    def _shelved(self, at: int, one: Batch | Lot, kin: int) -> Card:
        """The state put in its place, and what is asked of it without decoding on its card."""
        state = msgspec.json.encode(one)
        total = self._model.put("states", at, state)
        if isinstance(one, Lot):
            is_called_back = one.recalled is not None
            return Card(
                *(one.id, at, "lot"), False, *(one.code, one.code, one.born),
                recalled=is_called_back, takes=takes(state), state=total, kin=kin,
            )  # fmt: skip
        return Card(
            *(one.id, at, "jar" if isinstance(one, Jar) else "blend"), one.is_live,
            *(one.code, one.code, one.born, one.herb),
            pressed=b'"pressed_ml":' in state,
            filled=b'"filled_ml":' in state,
            recalled=b'"named":"' in state,
            is_asked=b'"flags":' in state or b'"lot":' in state,
            takes=takes(state),
            state=total,
            kin=kin,
        )  # fmt: skip

    def _fetched(self, one: str) -> Told | None:
        """What was told of a thing before it was put away."""
        card = self._cards.get(one)
        if card is None:
            return None
        order = read_kin(self._model.part("kin", card.at, card.kin)).order
        if not card.kind:
            return Told(None, order)
        told = Told(self._state(card), order)
        told.is_apart = order is None
        return told

    def _state(self, card: Card) -> Batch | Lot:
        state = self._model.part("states", card.at, card.state)
        return lot_of(state) if card.kind == "lot" else batch_of(state)

    # At the end

    def finish(self) -> None:
        """Put everything in its place, fold what was set apart, and see which codes are shared."""
        for one in list(self._story.told):
            self._put(one, self._story.drop(one))
        doubles = self._ids.doubles()
        self._files.keep()
        apart = self._story.apart
        if doubles:
            for entry in self._every_line():
                if id_sum(entry.id) in doubles:
                    apart.update(entry.jars)
        for event, jars in self._story.awaited.items():
            if event not in self._were_awaited and self._ids.has(event):
                apart.update(jars)
        if apart:
            self._fold(set(apart))
        if self._codes_changed:
            letter_shared_codes(self._cards)
        note_reach(self._model, self._kept, self._new_from, self._state)
        self._model.put_cards()
        if self._story.awaited != self._were_awaited:
            self._model.put_aside(AWAITED, self._story.awaited)

    def _fold(self, apart: set[str]) -> None:
        """Fold these families from all their lines, with what flows into or out of them."""
        folding = Folding(self._model, self._ids, self._entries_at)
        known = unplaced_of(self._model)
        strays = dict(known)
        # In the order they came to the book: those of one time share lines, which are read once.
        left = dict.fromkeys(sorted(apart, key=self._place_of))
        while left:
            some = folding.families(islice(left, _AT_ONCE), self._every_line)
            for lives, ids, own in some:
                for one in ids:
                    left.pop(one, None)
                    strays.pop(one, None)
                if lives.strays:
                    strays[ids[0]] = list(lives.strays)
                for one in ids:
                    state = lives.batches.get(one) or lives.lots.get(one)
                    self._keep(one, *own[one], state)
                    self._story.fold(one)
        for one in folding.found:
            self._story.awaited.pop(one, None)
        if strays != known:
            self._model.put_aside(UNPLACED, strays)

    def _entries_at(self, places: Sequence[Packed]) -> dict[Packed, Entry]:
        """The entries at places: those that came lately are not read again."""
        found = {one: entry for one in places if (entry := self._lately(one)) is not None}
        others = [one for one in places if one not in found]
        read = self._read(self._book, list(unpacked(others, self._files.names)))
        return found | dict(zip(others, read, strict=True))

    def _lately(self, place: Packed) -> Entry | None:
        return self._recent.get(place) or self._before.get(place)

    def _place_of(self, one: str) -> tuple[int, str]:
        card = self._cards.get(one)
        return (-1 if card is None else card.at, one)

    def _every_line(self) -> Iterator[Entry]:
        """The lines of the book, as far as it was read."""
        for mark in read_marks(self._model).values():
            begun = Mark(mark.file, mark.size, mark.mtime_ns, mark.inode)
            reading = Reading(self._book, begun, [])
            for taken in reading.lines():
                yield from (one[0] for one in taken)
