"""What the read model keeps of each family: its states, its cards, and where its lines are."""

from collections import defaultdict
from collections.abc import Sequence

import msgspec

from tracker.core.replay.families import clusters
from tracker.core.replay.replay import Lives, lives_of
from tracker.core.shelf.codes import shown_codes
from tracker.core.shelf.jar import Jar
from tracker.journal.read import Placed
from tracker.journal.read_model import unplaced_of
from tracker.journal.sealed_model import CARDS_IN_A_DRAWER, UNPLACED, Card, Seal, SealedModel

Families = dict[str, list[Placed]]


def store(connection: SealedModel, seal: Seal, touched: Families) -> None:
    """Fold each family and keep its state; then see which codes were given twice."""
    cards = dict(connection.cards)
    strays = {one: flags for one, flags in unplaced_of(connection).items() if one not in touched}
    before = len(strays), seal.asides.get(UNPLACED)
    drawers: set[int] = set()
    for jar_id, family in touched.items():
        at = cards[jar_id].at if jar_id in cards else seal.next_at
        seal.next_at = max(seal.next_at, at + 1)
        kin = connection.put("kin", at, msgspec.msgpack.encode([one[1:] for one in family]))
        cards[jar_id] = Card(jar_id, at, "", kin=kin)
        drawers.add(at // CARDS_IN_A_DRAWER)
    every = (one.entry for family in touched.values() for one in family)
    for ids in clusters(touched, every):
        lives = lives_of(ids, [one.entry for jar_id in ids for one in touched[jar_id]])
        if lives.strays:
            strays[ids[0]] = list(lives.strays)
        _keep_states(connection, cards, lives)
    drawers |= _letter_shared_codes(cards, ("jar", "blend"))
    drawers |= _letter_shared_codes(cards, ("lot",))
    connection.put_cards(cards, drawers)
    if strays or before != (0, None):
        connection.put_aside(UNPLACED, strays)


def _keep_states(connection: SealedModel, cards: dict[str, Card], lives: Lives) -> None:
    """Put the states, and what is asked of them without decoding on their cards."""
    for one in lives.batches.values():
        state, card = msgspec.json.encode(one), cards[one.id]
        cards[one.id] = msgspec.structs.replace(
            card,
            kind="jar" if isinstance(one, Jar) else "blend",
            live=one.is_live,
            code=one.code,
            shown=one.code,
            born=one.born,
            herb=one.herb,
            pressed=b'"pressed_ml":' in state,
            filled=b'"filled_ml":' in state,
            recalled=b'"named":"' in state,
            state=connection.put("states", card.at, state),
        )
    for lot in lives.lots.values():
        card = cards[lot.id]
        cards[lot.id] = msgspec.structs.replace(
            card,
            kind="lot",
            code=lot.code,
            shown=lot.code,
            born=lot.born,
            state=connection.put("states", card.at, msgspec.json.encode(lot)),
        )


def _letter_shared_codes(cards: dict[str, Card], kinds: Sequence[str]) -> set[int]:
    """The jar or lot that took a code first keeps it; each later one is shown with a letter.

    Returns:
        The drawers of the cards that are shown otherwise now.
    """
    by_code: dict[str, list[Card]] = defaultdict(list)
    for card in cards.values():
        if card.kind in kinds:
            by_code[card.code].append(card)
    given = [
        (one.born, one.id, one.code) for own in by_code.values() if len(own) > 1 for one in own
    ]
    lettered = shown_codes(given)
    changed = set()
    for own in by_code.values():
        for card in own:
            if card.shown != (shown := lettered.get(card.id, card.code)):
                cards[card.id] = msgspec.structs.replace(card, shown=shown)
                changed.add(card.at // CARDS_IN_A_DRAWER)
    return changed
