"""What a code names: a jar, a blend, an extract or a bottle."""

from collections.abc import Iterator
from datetime import date
from typing import Literal

import msgspec

from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.extract import NOBODY, Bottle, Extract
from tracker.core.shelf.hold import Hold, gravest
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot

# What extracts and bottles belong to.
Batch = Jar | Blend
ThingKind = Literal["jar", "blend", "extract", "bottle"]


class Thing(msgspec.Struct, frozen=True):
    """What a code names: a jar, a blend, an extract of a jar, or a bottle of either.

    A blend is named with its one extract; only a jar is named without.
    """

    code: str
    batch: Batch
    extract: Extract | None = None
    bottle: Bottle | None = None

    @property
    def jar(self) -> Jar | None:
        """The jar it is, or came from; None of a blend."""
        return self.batch if isinstance(self.batch, Jar) else None

    @property
    def made(self) -> Contents:
        """What the liquid in it is made of."""
        if self.extract is None:
            return self.batch.contents
        own = self.bottle.made if self.bottle is not None else None
        return own or self.extract.made

    @property
    def good_through(self) -> date | None:
        """The last good day of an extract or bottle by its parts; None for a jar, or unknown.

        A weak liquid ends earlier than this: `core/reckoning/keeps.py` says when.
        """
        if self.extract is None:
            return None
        if self.bottle is not None:
            return self.extract.day_of(self.bottle)
        return self.extract.good_through

    @property
    def held_by_look(self) -> Hold | None:
        """What an earlier look put it on hold for, which a later look may lift."""
        hold = self.batch.hold if self.extract is None else self.extract.hold
        return hold if hold is not None and hold.kind == "look" else None

    @property
    def hold(self) -> Hold | None:
        """The gravest of its own hold and those of the extract and the jar it is of."""
        parts = (self.bottle, self.extract, self.batch)
        return gravest(one.hold for one in parts if one is not None)

    @property
    def on_hold(self) -> bool:
        """Whether nothing of it may be given out."""
        return self.hold is not None

    @property
    def belongs_to(self) -> str | None:
        """Whose it is, by a reference: its own, or that of the jar it came from."""
        own = None if self.extract is None else self.extract.belongs_to
        of_jar = None if self.jar is None else self.jar.belongs_to
        return None if own == NOBODY else own or of_jar

    @property
    def kind(self) -> ThingKind:
        """What it is, in a word."""
        if self.bottle is not None:
            return "bottle"
        if isinstance(self.batch, Blend):
            return "blend"
        return "jar" if self.extract is None else "extract"


def a_kind(thing: Thing | Lot) -> str:
    """What a thing is, with its article: `a jar`, `an extract`, `a bottle`, `a lot`."""
    kind = "lot" if isinstance(thing, Lot) else thing.kind
    return f"{'an' if kind == 'extract' else 'a'} {kind}"


def whole(batch: Batch) -> Thing:
    """A jar or a blend as a thing."""
    if isinstance(batch, Blend):
        return Thing(batch.code, batch, batch.liquid)
    return Thing(batch.code, batch)


def extract_of(batch: Batch, extract: Extract) -> Thing:
    """An extract of a jar, or a blend, as a thing."""
    return Thing(batch.extract_code(extract), batch, extract)


def bottle_of(batch: Batch, extract: Extract, bottle: Bottle) -> Thing:
    """A bottle as a thing."""
    return Thing(f"{batch.extract_code(extract)}/{bottle.number}", batch, extract, bottle)


def things(batch: Batch) -> Iterator[Thing]:
    """The jar and each of its extracts, or the blend, each followed by its bottles."""
    if isinstance(batch, Jar):
        yield whole(batch)
    for extract in batch.extracts:
        yield extract_of(batch, extract)
        for bottle in extract.bottles:
            yield bottle_of(batch, extract, bottle)
