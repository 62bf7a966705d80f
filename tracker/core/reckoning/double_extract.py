"""What a double extract wants next: water on its marc, then the blend of the two."""

from typing import Literal

from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar

NextOfDouble = Literal["steep again", "blend"]


def next_of_double(jar: Jar) -> NextOfDouble | None:
    """What is next once the herb is out; None of other jars, and where it is done."""
    if jar.way != "double" or jar.pressing is None:
        return None
    first, second = _pressing(jar, 1), _pressing(jar, 2)
    if first is None or first.left_ml < DROP_ML:
        return None
    if second is None:
        return "steep again"
    return "blend" if second.left_ml >= DROP_ML else None


def _pressing(jar: Jar, steep: int) -> Extract | None:
    return next(
        (one for one in jar.extracts if one.steep == steep and one.opened != "drawn off"), None
    )
