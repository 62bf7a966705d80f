"""What must not be given out of the things in a picture, and what their plants ask care for."""

from collections.abc import Iterable, Iterator

import msgspec

from tracker.core.reckoning.cautions import Caution, gravity
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.liquid import HoldView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.caution_words import caution_lines


class Heeds(msgspec.Struct, frozen=True):
    """Codes on hold, those by a recall apart; and the cautions about the plants."""

    recalled: tuple[str, ...] = ()
    on_hold: tuple[str, ...] = ()
    plants: tuple[Caution, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """The cautions in words, the gravest first."""
        return tuple(caution_lines(sorted(self.plants, key=gravity)))

    @property
    def sentences(self) -> list[str]:
        """The same as sentences; none where there is nothing to heed."""
        found = [f"Recalled: {', '.join(self.recalled)}."] if self.recalled else []
        found += [f"On hold: {', '.join(self.on_hold)}."] if self.on_hold else []
        return [*found, *(f"{text.removesuffix('.')}." for text in self.cautions)]


def heeds_of(views: Iterable[ThingView]) -> Heeds:
    """What to heed of some things, each code and each caution once.

    Only what a plant does is said of many things together; how to handle them stands on each.
    """
    every = list(views)
    holds = {one.code: one.kind for view in every for one in _holds(view)}
    plants = dict.fromkeys(one for view in every for one in view.cautions if one.kind == "plant")
    return Heeds(
        tuple(sorted(code for code, kind in holds.items() if kind == "recall")),
        tuple(sorted(code for code, kind in holds.items() if kind != "recall")),
        tuple(plants),
    )


def _holds(view: ThingView) -> Iterator[HoldView]:
    """What holds a thing, its extracts and its bottles."""
    for extract in view.extracts:
        yield from extract.holds
    if view.row.hold is not None:
        yield view.row.hold


def together(found: Iterable[Heeds]) -> Heeds:
    """All of these as one."""
    every = list(found)
    return Heeds(
        tuple(sorted({code for one in every for code in one.recalled})),
        tuple(sorted({code for one in every for code in one.on_hold})),
        tuple(dict.fromkeys(plant for one in every for plant in one.plants)),
    )


def heed_lines(sentences: Iterable[str], cells: int) -> list[str]:
    """Sentences in lines no wider than this many cells, each from the start of one."""
    return [line for one in sentences for line in wrapped(one, cells)]
