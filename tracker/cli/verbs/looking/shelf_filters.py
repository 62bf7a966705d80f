"""What of the shelf is asked for: by place, herb, kind of liquid, and whose it is."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from tracker.core.herbs.names import known
from tracker.core.practice.practice import Practice
from tracker.core.shelf.thing import Thing
from tracker.core.values.text import shown
from tracker.outputs.terminal.liquid_words import kind_of_liquid
from tracker.outputs.view.thing_view import RowView, row_of
from tracker.outputs.words.plant_names import plant_called


class Wanted(NamedTuple):
    """What is asked for; None asks for any."""

    place: str | None = None
    herb: str | None = None
    kind: str | None = None
    belongs: str | None = None

    def __bool__(self) -> bool:
        """Whether anything in particular is asked for."""
        return any(one is not None for one in self)

    def fits(self, thing: Thing, practice: Practice, today: date) -> bool:
        """Whether a thing is all that is asked for."""
        row = row_of(thing, practice, today)
        return all(fits(row) for fits in self._tests())

    def _tests(self) -> Iterable[Callable[[RowView], bool]]:
        if self.place is not None:
            place = _folded(self.place)
            yield lambda row: place in _folded(row.place or "")
        if self.herb is not None:
            yield _is_of(self.herb)
        if self.kind is not None:
            kind = _folded(self.kind)
            yield lambda row: kind in _folded(f"{kind_of_liquid(row)} {row.preparation}")
        if self.belongs is not None:
            belongs = _folded(self.belongs)
            yield lambda row: belongs == _folded(row.belongs_to or "")

    def nothing_found(self, things: Iterable[Thing], practice: Practice, today: date) -> str:
        """That nothing is so, and what there is instead."""
        rows = [row_of(one, practice, today) for one in things]
        said = {
            "place": (self.place, [row.place or "no place" for row in rows]),
            "herb": (self.herb, [plant_called(row.herbs[0], "common") for row in rows]),
            "kind": (self.kind, [kind_of_liquid(row) for row in rows]),
            "belongs": (self.belongs, [row.belongs_to or "nobody" for row in rows]),
        }
        asked = " ".join(f"--{name} {text}" for name, (text, _) in said.items() if text is not None)
        there = [
            f"by {name}: {_counted(found)}"
            for name, (text, found) in said.items()
            if text is not None
        ]
        return "\n  ".join(map(shown, (f"Nothing fits {asked}. There is", *there)))


def _folded(text: str) -> str:
    return text.strip().casefold()


def _is_of(text: str) -> Callable[[RowView], bool]:
    """Whether some of a thing is of the herb named: by any name of it or a part of one."""
    wanted, found = _folded(text), known(text)
    latin = tuple(plant.latin.casefold() for plant in found.plants) if found else ()

    def is_it(row: RowView) -> bool:
        names = [plant_called(one, "both").casefold() for one in row.herbs]
        if latin and any(one.herb.casefold().startswith(latin) for one in row.herbs):
            return True
        return any(wanted in name for name in names) or row.code.casefold().startswith(wanted)

    return is_it


def _counted(found: Sequence[str]) -> str:
    """`olive oil (3) · cider vinegar (1)`, what there is most of first."""
    return " · ".join(f"{name} ({count})" for name, count in Counter(found).most_common(12))
