"""What must not be given out of the things in a picture, and what their plants ask care for."""

from collections.abc import Iterable
from typing import Final

import msgspec

from tracker.core.reckoning.cautions import Caution, gravity
from tracker.core.shelf.contents import DROP_ML
from tracker.outputs.answer_fields import Answer
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.heeds import Heed, HeedKind, heeds_in
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.caution_words import caution_lines
from tracker.outputs.words.due.due_lines import signs_said

# What is said of codes together, the gravest first. How one thing is handled stands on that thing,
# and a picture of months to come shows what is past its date by its place.
_TOGETHER: Final[dict[HeedKind, str]] = {
    "recalled": "Recalled",
    "on hold": "On hold",
    "recalled lot": "Some of a recalled lot is in it, and it is not on hold",
    "spoilage": "Found",
    "weak": "Too weak to keep but in the cold",
    "no date": "How long it is good is not known",
}


class CodeHeeded(msgspec.Struct, frozen=True, order=True):
    """A code and what is to be heeded of it; `signs`: what was seen."""

    kind: HeedKind
    code: str
    signs: tuple[str, ...] = ()


class Heeds(msgspec.Struct, frozen=True):
    """Codes by what is to be heeded of them, and the cautions about the plants."""

    codes: tuple[CodeHeeded, ...] = ()
    plants: tuple[Caution, ...] = ()

    def of(self, kind: HeedKind) -> list[str]:
        """The codes of which this is to be heeded."""
        return sorted({one.code for one in self.codes if one.kind == kind})

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
        found = []
        for kind, said in _TOGETHER.items():
            for signs in sorted({one.signs for one in self.codes if one.kind == kind}):
                codes = [one.code for one in self.codes if (one.kind, one.signs) == (kind, signs)]
                what = f"{said} {signs_said(signs)}" if signs else said
                found.append(f"{what}: {', '.join(codes)}.")
        return [*found, *(f"{text.removesuffix('.')}." for text in self.cautions)]


def heeds_of(views: Iterable[ThingView]) -> Heeds:
    """What to heed of some things, each code and each caution once.

    Only what a plant does is said of many things together; how to handle them stands on each.
    """
    found = [(view, one) for view in views for one in heeds_in(view)]
    codes = {
        CodeHeeded(one.kind, code, one.signs)
        for view, one in found
        if one.kind in _TOGETHER
        for code in _codes(view, one)
    }
    plants = dict.fromkeys(
        one.caution for _, one in found if one.caution is not None and one.caution.kind == "plant"
    )
    return Heeds(tuple(sorted(codes)), tuple(plants))


def _codes(view: ThingView, one: Heed) -> tuple[str, ...]:
    """What a hold was put on, which is lifted by that code; else what it is true of.

    Of a jar whose herb is out that is what it gave.
    """
    if one.hold is not None and one.hold.code:
        return (one.hold.code,)
    if one.is_whole and view.row.kind == "jar" and not view.row.is_macerating:
        left = tuple(extract.code for extract in view.extracts if extract.left_ml >= DROP_ML)
        return left or one.codes
    return one.codes


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
