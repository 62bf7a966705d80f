"""What the read model notes of each jar, blend and lot, in drawers: those at hand in front.

Most questions are about what is on the shelf now, and a book of many years has hundreds of times
as many jars that are gone. So what is live stands in drawers of its own, and the others are read
when something is asked about them.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Literal

import msgspec

CARDS_IN_A_DRAWER = 64


class Card(msgspec.Struct, array_like=True, frozen=True, gc=False):
    """What the model notes of one jar, blend or lot, and of what only lines name."""

    id: str
    at: int  # where its state and the places of its lines are kept
    kind: Literal["jar", "blend", "lot", ""]
    live: bool = False
    code: str = ""
    shown: str = ""
    born: str = ""
    herb: str = ""
    pressed: bool = False
    filled: bool = False
    recalled: bool = False  # a lot that is called back, or on hold with one that only jars name
    is_asked: bool = False  # has flags, or used of a lot: more than there was, perhaps
    takes: bool = False  # from another or a lot, or goes by a number that others go by
    state: int = 0  # the sum of its state
    kin: int = 0  # the sum of the places of its lines

    @property
    def drawer(self) -> int:
        """The drawer it stands in: an even number in front, an odd one behind."""
        return self.at // CARDS_IN_A_DRAWER * 2 + (not (self.live or self.recalled))


_DRAWER = msgspec.msgpack.Decoder(list[Card])


class Cards:
    """Every card of a model, each drawer of them read when it is first needed.

    Args:
        drawers: the sum of each.
        read: gives a drawer's bytes, from its number and its sum.
    """

    def __init__(self, drawers: dict[int, int], read: Callable[[int, int], bytes]) -> None:
        self._unread, self._read = dict(drawers), read
        self._drawers: dict[int, dict[str, Card]] = {}
        self._by_id: dict[str, Card] = {}
        self._changed: set[int] = set()
        self._by_code: list[Card] | None = None  # made when a code is looked up

    def front(self) -> list[Card]:
        """The cards of what is live, and of lots called back."""
        self._open_front()
        found = (own for number, own in self._drawers.items() if number % 2 == 0)
        return [card for own in found for card in own.values()]

    def every(self) -> list[Card]:
        """All of them."""
        self._open_all()
        return list(self._by_id.values())

    def get(self, one: str) -> Card | None:
        """The card of that id."""
        if one not in self._by_id and self._unread:
            self._open_front()
        if one not in self._by_id and self._unread:
            self._open_all()
        return self._by_id.get(one)

    def like(self, code: str) -> Iterator[Card]:
        """The cards whose shown code begins with `code`, or with which `code` begins."""
        if self._by_code is None:
            self._by_code = sorted(self.every(), key=_called)
        wanted = code.upper()
        for start in range(len(wanted)):
            yield from self._from(wanted[:start], lambda one, short: one == short)
        yield from self._from(wanted, str.startswith)

    def at(self, places: Iterable[int]) -> list[Card]:
        """The cards at these places, and no other drawer opened."""
        wanted = set(places)
        found = []
        for number in sorted({at // CARDS_IN_A_DRAWER * 2 for at in wanted}):
            both = (*self._open(number).values(), *self._open(number + 1).values())
            found += [card for card in both if card.at in wanted]
        return found

    def put(self, card: Card) -> None:
        """Put a card in the place of the one with its id, in the drawer it belongs to now."""
        self._by_code = None
        was = self.get(card.id)
        if was is not None and was.drawer != card.drawer:
            self._open(was.drawer).pop(card.id)
            self._changed.add(was.drawer)
        self._open(card.drawer)[card.id] = card
        self._by_id[card.id] = card
        self._changed.add(card.drawer)

    def changed(self) -> Iterator[tuple[int, list[Card]]]:
        """The drawers that were changed, from now on as unchanged."""
        for number in sorted(self._changed):
            yield number, list(self._drawers[number].values())
        self._changed.clear()

    def _open(self, number: int) -> dict[str, Card]:
        if (fits := self._unread.pop(number, None)) is not None:
            own = {card.id: card for card in _DRAWER.decode(self._read(number, fits))}
            self._drawers[number] = own
            self._by_id |= own
        return self._drawers.setdefault(number, {})

    def _from(self, text: str, fits: Callable[[str, str], bool]) -> Iterator[Card]:
        """Those in the order of their codes from this one on, as long as they fit it."""
        from bisect import bisect_left  # most questions name no code

        every = self._by_code or []
        for place in range(bisect_left(every, text, key=_called), len(every)):
            if not fits(_called(every[place]), text):
                return
            yield every[place]

    def _open_front(self) -> None:
        for number in [one for one in self._unread if one % 2 == 0]:
            self._open(number)

    def _open_all(self) -> None:
        for number in list(self._unread):
            self._open(number)


def _called(card: Card) -> str:
    """The code it is shown under, as codes are compared."""
    return card.shown.upper()
