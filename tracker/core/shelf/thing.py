"""What a code names: a jar, an extract or a bottle."""

from collections.abc import Iterator
from datetime import date

import msgspec

from tracker.core.shelf.contents import Contents
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.jar import Jar


class Thing(msgspec.Struct, frozen=True):
    """What a code names: a jar, or one of its extracts, or one of that extract's bottles."""

    code: str
    jar: Jar
    extract: Extract | None = None
    bottle: Bottle | None = None

    @property
    def made(self) -> Contents:
        """What the liquid in it is made of."""
        if self.extract is None:
            return self.jar.contents
        own = self.bottle.made if self.bottle is not None else None
        return own or self.extract.made

    @property
    def good_through(self) -> date | None:
        """The last good day of an extract or bottle; None for a jar."""
        if self.extract is None:
            return None
        own = self.bottle.best_by if self.bottle is not None else None
        return own or self.extract.good_through

    @property
    def kind(self) -> str:
        """`jar`, `extract` or `bottle`."""
        return "bottle" if self.bottle else "extract" if self.extract else "jar"


def things(jar: Jar) -> Iterator[Thing]:
    """The jar, then each extract followed by its bottles; a blend is its extract."""
    if jar.opened != "blended":
        yield Thing(jar.code, jar)
    for extract in jar.extracts:
        code = jar.extract_code(extract)
        yield Thing(code, jar, extract)
        for bottle in extract.bottles:
            yield Thing(f"{code}/{bottle.number}", jar, extract, bottle)
