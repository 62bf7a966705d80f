"""Lots that are not in the book: the names that jars were charged with, each one thing."""

from collections.abc import Iterable, Sequence

from tracker.core.shelf.find_by_code import folded
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch

# No event has such an id, so that a name is never taken for a lot of the book.
_MARK = "named "
# A number of more lots than these is a thing of its own, between them and the jars that name it:
# as many jars would have as many ways to each. A choice; a supplier's number has one or two.
_FEW = 8


class NamedLots:
    """The lots that charges name and nothing brought in, by key.

    A name that is the number of a supplier's lot in the book is that lot, and no other.
    """

    def __init__(self, batches: Iterable[Batch], lots: Sequence[Lot]) -> None:
        self._numbered: dict[str, list[Lot]] = {}
        for lot in lots:
            if lot.their_lot is not None and lot.parent is None and lot.liquid is None:
                self._numbered.setdefault(folded(lot.their_lot), []).append(lot)
        self._number_of = {one.id: name for name, own in self._numbered.items() for one in own}
        self.shared = {
            key_of(number): tuple(own) for number, own in self._numbered.items() if len(own) > _FEW
        }
        naming = [one for one in batches if isinstance(one, Jar) and one.lots]
        self.names: dict[str, str] = {}
        for jar in sorted(naming, key=lambda one: one.born):
            for name in jar.lots:
                if folded(name) not in self._numbered:
                    self.names.setdefault(key_of(name), " ".join(name.split()))

    def of(self, jar: Jar) -> list[str]:
        """The lots that a jar names: keys of names, ids of lots in the book, or of `shared`."""
        own = {use.lot for use in jar.uses}
        found = [one for name in jar.lots for one in self._meant(name) if one not in own]
        return list(dict.fromkeys(found))

    def _meant(self, name: str) -> list[str]:
        lots = self._numbered.get(folded(name), [])
        return [one.id for one in lots] if 0 < len(lots) <= _FEW else [key_of(name)]

    def is_named(self, jar: Jar, key: str) -> bool:
        """Whether a jar names a lot, by its id or the key of its name, and has no other of it."""
        if any(use.lot == key for use in jar.uses):
            return False
        wanted = self._number_of.get(key)
        if wanted is not None:
            return any(folded(name) == wanted for name in jar.lots)
        return key in self.names and any(key_of(name) == key for name in jar.lots)

    def called(self, text: str) -> list[str]:
        """The keys of the names a text stands for, in full or else by their first words."""
        if key_of(text) in self.names:
            return [key_of(text)]
        begun = [*text.casefold().split()]
        return [
            key
            for key, name in self.names.items()
            if begun and name.casefold().split()[: len(begun)] == begun
        ]


def key_of(name: str) -> str:
    """What a name of a lot is known by: capitals and blanks make no other lot of it."""
    return _MARK + folded(name)
