"""A part of the shelf: jars and lots by id, as they stood at one moment."""

from collections.abc import Mapping
from dataclasses import dataclass

from tracker.core.facts.fields import About
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing


@dataclass(frozen=True, slots=True)
class ShelfPart:
    """Jars and lots by the id of what opened them, under the codes people see."""

    jars: Mapping[str, Jar]
    lots: Mapping[str, Lot]

    def thing(self, about: About) -> Thing | Lot | None:
        """What a fact is about, if it stands here."""
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
