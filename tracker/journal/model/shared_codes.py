"""Codes that several jars or lots were given: who took one first keeps it."""

from collections import defaultdict
from collections.abc import Collection

import msgspec

from tracker.core.shelf.codes import shown_codes
from tracker.journal.model.cards import Card, Cards


def letter_shared_codes(cards: Cards) -> None:
    """The jar or lot that took a code first keeps it; each later one is shown with a letter."""
    _letter(cards, ("jar", "blend"))
    _letter(cards, ("lot",))


def _letter(cards: Cards, kinds: Collection[str]) -> None:
    by_code: dict[str, list[Card]] = defaultdict(list)
    for card in cards.every():
        if card.kind in kinds:
            by_code[card.code].append(card)
    given = [
        (one.born, one.id, one.code) for own in by_code.values() if len(own) > 1 for one in own
    ]
    lettered = shown_codes(given)
    for own in by_code.values():
        for card in own:
            if card.shown != (shown := lettered.get(card.id, card.code)):
                cards.put(msgspec.structs.replace(card, shown=shown))
