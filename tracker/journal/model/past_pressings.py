"""Earlier jars of one herb, without decoding the whole shelf."""

from datetime import date

from tracker.core.shelf.jar import Jar
from tracker.journal.model.read_model import newest_jars
from tracker.journal.model.sealed_model import SealedModel

_MOST = 60  # the newest so many say enough, and cost little in a book of any age


def pressed_alike(connection: SealedModel, herb: str, through: date) -> list[Jar]:
    """The newest jars of a herb written the same way that were pressed by that day."""
    found = newest_jars(connection, herb, "pressed", _MOST)
    return [
        one for one in found if any(extract.pressed.earliest <= through for extract in one.extracts)
    ]


def read_alike(connection: SealedModel, herb: str) -> list[Jar]:
    """The newest jars of a herb written the same way of which it was read what they stood at."""
    return newest_jars(connection, herb, "filled", _MOST)
