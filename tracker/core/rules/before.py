"""What a fact is held against: the things it names as they stood then, and the rest in brief."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime

import msgspec

from tracker.core.facts.fields import About
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Thing


def _free(_: str) -> bool:
    return False


class Before(msgspec.Struct, frozen=True):
    """Things as they stood just before a fact happened.

    Args:
        shelf: the jars and lots it works on or takes from.
        left: of each of these lots how much is left, g or ml.
        is_taken: whether anything else in the book goes by a code, or could come to.
        now: the present; nothing can be recorded that has not happened yet.
        not_held: what holds some of a lot called back and is on no hold, as the book is now.
    """

    shelf: ShelfPart
    left: Mapping[str, float] = {}
    is_taken: Callable[[str], bool] = _free
    now: datetime | None = None
    not_held: Callable[[], Sequence[Flag]] = tuple

    def thing(self, about: About) -> Thing | Lot | None:
        """What a fact is about, if it stood on the shelf."""
        return self.shelf.thing(about)

    def named(self, about: About) -> Thing | Lot:
        """What a fact is about, once it is known to stand on the shelf."""
        thing = self.shelf.thing(about)
        assert thing is not None
        return thing

    def things(self, abouts: tuple[About, ...]) -> Iterator[Thing | Lot]:
        """Each of the things that stood on the shelf."""
        return (one for about in abouts if (one := self.shelf.thing(about)) is not None)
