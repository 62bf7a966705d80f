"""Of what the book tells something that may not have happened yet, asked of the read model."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

from tracker.journal.model.kin import read_kin
from tracker.journal.model.sealed_model import SealedModel

# So long before it begins at Greenwich, at most, a day begins where it begins first.
_FIRST_ZONE = timedelta(hours=24)


def sharing_code(connection: SealedModel, ids: Iterable[str]) -> list[str]:
    """Those of these whose code was given twice."""
    cards = connection.cards.every()
    twice = {one.code for one in cards if one.shown != one.code}
    wanted = set(ids)
    return [one.id for one in cards if one.id in wanted and one.code in twice]


def told_from(connection: SealedModel, day: date) -> list[str]:
    """The ids of all of which something may have happened from a day on, anywhere on earth."""
    begun = datetime(day.year, day.month, day.day, tzinfo=UTC) - _FIRST_ZONE
    found = []
    for one in connection.cards.every():
        order = read_kin(connection.part("kin", one.at, one.kin)).order
        if order is None or order[0] >= begun:
            found.append(one.id)
    return found
