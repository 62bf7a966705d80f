"""The part of the shelf that a fact is held against: the things it names, as they stood then."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from tracker.core.facts.fields import About
from tracker.core.shelf.things import Jar, Lot, Thing


def _free(_: str) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Before:
    """Things as they stood just before a fact happened.

    Args:
        jars: by the id of what opened them.
        lots: by id, those a fact works on or takes from.
        left: of each of these lots how much is left, g or ml.
        is_taken: whether anything else in the book goes by a code, or could come to.
        now: the present; nothing can be recorded that has not happened yet.
        event: the id the fact will have.
    """

    jars: Mapping[str, Jar]
    lots: Mapping[str, Lot] = field(default_factory=dict)
    left: Mapping[str, float] = field(default_factory=dict)
    is_taken: Callable[[str], bool] = _free
    now: datetime | None = None
    event: str = ""

    def thing(self, about: About) -> Thing | Lot | None:
        """What a fact is about, if it stood on the shelf."""
        lot = self.lots.get(about.jar)
        if lot is not None:
            return lot
        jar = self.jars.get(about.jar)
        if jar is None:
            return None
        if about.extract is None:
            return Thing(jar.code, jar)
        extract = jar.extract(about.extract)
        if extract is None:
            return None
        code = jar.extract_code(extract)
        if about.bottle is None:
            return Thing(code, jar, extract)
        bottle = extract.bottle(about.bottle)
        return None if bottle is None else Thing(f"{code}/{bottle.number}", jar, extract, bottle)

    def named(self, about: About) -> Thing | Lot:
        """What a fact is about, once it is known to stand on the shelf."""
        thing = self.thing(about)
        assert thing is not None
        return thing

    def things(self, abouts: tuple[About, ...]) -> Iterator[Thing | Lot]:
        """Each of the things that stood on the shelf."""
        return (one for about in abouts if (one := self.thing(about)) is not None)
