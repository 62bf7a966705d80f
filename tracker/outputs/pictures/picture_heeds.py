"""What must not be given out of the things in a picture, and what their plants ask care for."""

from collections.abc import Iterable
from typing import Final

import msgspec

from tracker.core.reckoning.cautions import Caution, gravity
from tracker.outputs.answer_fields import Answer
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.heeds import Heed, HeedKind, heeds_in
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.caution_words import caution_lines

# What is said of codes together, the gravest first. How one thing is handled stands on that thing,
# and a picture of months to come shows what is past its date by its place.
_TOGETHER: Final[dict[HeedKind, str]] = {
    "recalled": "Recalled",
    "on hold": "On hold",
    "recalled lot": "Some of a recalled lot is in it, and it is not on hold",
    "spoilage": "Signs of spoilage were seen",
    "weak": "Too weak to keep but in the cold",
    "no date": "How long it is good is not known",
}


class Heeds(msgspec.Struct, frozen=True):
    """Codes by what is to be heeded of them, and the cautions about the plants."""

    codes: tuple[tuple[HeedKind, str], ...] = ()
    plants: tuple[Caution, ...] = ()

    def of(self, kind: HeedKind) -> list[str]:
        """The codes of which this is to be heeded."""
        return sorted({code for what, code in self.codes if what == kind})

    @property
    def recalled(self) -> list[str]:
        """What is on hold by a recall."""
        return self.of("recalled")

    @property
    def on_hold(self) -> list[str]:
        """What is on hold for another reason."""
        return self.of("on hold")

    @property
    def cautions(self) -> tuple[str, ...]:
        """The cautions in words, the gravest first."""
        return tuple(caution_lines(sorted(self.plants, key=gravity)))

    @property
    def sentences(self) -> list[str]:
        """The same as sentences; none where there is nothing to heed."""
        found = [
            f"{said}: {', '.join(codes)}."
            for kind, said in _TOGETHER.items()
            if (codes := self.of(kind))
        ]
        return [*found, *(f"{text.removesuffix('.')}." for text in self.cautions)]


def heeds_of(views: Iterable[ThingView]) -> Heeds:
    """What to heed of some things, each code and each caution once."""
    every = list(views)
    codes = {
        (one.kind, code)
        for view in every
        for one in heeds_in(view)
        if one.kind in _TOGETHER
        for code in _codes(one)
    }
    cautions = (one.caution for view in every for one in heeds_in(view))
    plants = dict.fromkeys(one for one in cautions if one is not None and one.kind == "plant")
    return Heeds(tuple(sorted(codes)), tuple(plants))


def _codes(one: Heed) -> tuple[str, ...]:
    """What a hold was put on, which is lifted by that code; else what it is true of."""
    return (one.hold.code,) if one.hold is not None and one.hold.code else one.codes


def together(found: Iterable[Heeds]) -> Heeds:
    """All of these as one."""
    every = list(found)
    return Heeds(
        tuple(sorted({code for one in every for code in one.codes})),
        tuple(dict.fromkeys(plant for one in every for plant in one.plants)),
    )


def heeds_answer(heeds: Heeds) -> Answer:
    """Codes and cautions as fields."""
    return {
        "recalled": heeds.recalled,
        "on_hold": heeds.on_hold,
        "recalled_lot_in_it": heeds.of("recalled lot"),
        "spoilage": heeds.of("spoilage"),
        "weak": heeds.of("weak"),
        "no_date": heeds.of("no date"),
        "cautions": list(heeds.cautions),
    }


def heed_lines(sentences: Iterable[str], cells: int) -> list[str]:
    """Sentences in lines no wider than this many cells, each from the start of one."""
    return [line for one in sentences for line in wrapped(one, cells)]
