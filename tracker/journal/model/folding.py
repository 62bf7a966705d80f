"""Families that lines out of order are about, read again and folded whole."""

from array import array
from collections.abc import Callable, Iterable, Iterator, Sequence

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.replay.families import clusters, families, joined_jars
from tracker.core.replay.in_force import settle
from tracker.core.replay.replay import Lives, lives_of
from tracker.core.values.times import Order
from tracker.journal.model.id_sums import IdSums
from tracker.journal.model.kin import Packed, numbers, pairs, read_kin
from tracker.journal.model.sealed_model import SealedModel

# The place of the last line about each thing, and where its lines stand.
Own = dict[str, tuple[Order | None, "array[int]"]]


class Folding:
    """Families read from all their lines, and folded whole."""

    def __init__(
        self,
        model: SealedModel,
        ids: IdSums,
        entries_at: Callable[[Sequence[Packed]], dict[Packed, Entry]],
    ) -> None:
        self._model, self._ids, self._entries_at = model, ids, entries_at
        self._sought: dict[str, set[str]] = {}
        self.found: set[str] = set()  # ids of lines that amendments name and that are there

    def families(
        self, some: Iterable[str], every_line: Callable[[], Iterator[Entry]]
    ) -> Iterator[tuple[Lives, tuple[str, ...], Own]]:
        """Each cluster of these and of what is joined to them, folded; with its lines."""
        touched, loaded, read = set(some), set[str](), dict[Packed, Entry]()
        while missing := touched - loaded:
            loaded |= missing
            self._load(missing, read)
            touched |= joined_jars(read.values(), _same)
            if touched == loaded:
                touched |= self._amended_elsewhere(read.values(), every_line)
        lines = [_Line(entry, where) for where, entry in read.items()]
        grown = families(lines, _entry_of)
        every = (line.entry for one in touched for line in grown.get(one, ()))
        for ids in clusters([one for one in touched if one in grown], every):
            entries = [line.entry for one in ids for line in grown[one]]
            own: Own = {}
            amended = any(isinstance(one.fact, Amendment) for one in entries)
            standing = settle(entries).entries if amended else ()
            for one in ids:
                places = array("Q", (part for line in grown[one] for part in line.where))
                lines_of_it = [line.entry for line in grown[one]]
                own[one] = (_last(one, standing, lines_of_it), places)
            yield lives_of(ids, entries), ids, own

    def _load(self, ids: Iterable[str], read: dict[Packed, Entry]) -> None:
        """Read the lines about these that are not read yet."""
        wanted: dict[Packed, None] = {}
        for one in sorted(ids):
            if (card := self._model.cards.get(one)) is not None:
                kin = read_kin(self._model.part("kin", card.at, card.kin))
                wanted |= dict.fromkeys(pairs(numbers(kin)))
        read.update(self._entries_at([one for one in wanted if one not in read]))

    def _amended_elsewhere(
        self, entries: Iterable[Entry], every_line: Callable[[], Iterator[Entry]]
    ) -> set[str]:
        """The jars of lines that are amended by one of these and stand in no family of theirs."""
        ids = {one.id for one in entries}
        wanted = {one.fact.event for one in entries if isinstance(one.fact, Amendment)}
        self.found |= wanted & ids
        lost = {one for one in wanted - ids - self._sought.keys() if self._ids.has(one)}
        if lost:
            self._sought |= {one: set() for one in lost}
            for entry in every_line():
                if entry.id in lost:
                    self._sought[entry.id].update(entry.jars)
        return {jar for one in wanted - ids for jar in self._sought.get(one, ())}


class _Line:
    """An entry and its packed place."""

    __slots__ = ("entry", "where")

    def __init__(self, entry: Entry, where: Packed) -> None:
        self.entry, self.where = entry, where


def _same(entry: Entry) -> Entry:
    return entry


def _entry_of(line: _Line) -> Entry:
    return line.entry


def _last(one: str, standing: Iterable[Entry], own: Iterable[Entry]) -> Order | None:
    """The place of the last line about a thing, as it was written and as it stands."""
    orders = [replay_order(entry) for entry in own]
    orders += [replay_order(entry) for entry in standing if one in entry.jars]
    return max(orders, default=None)
