"""What pressing gave, by method: the share of all that was in the jar, and what marc held."""

from collections.abc import Iterable, Sequence
from datetime import date
from statistics import median
from typing import get_args

import msgspec

from tracker.core.practice.practice import Way
from tracker.core.reckoning.likely_yield import METHODS, method_of
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, rounded
from tracker.outputs.pictures.picture_heeds import (
    Heeds,
    heed_lines,
    heeds_answer,
    heeds_of,
    together,
)
from tracker.outputs.terminal.table import Column, columned, styled
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.liquid import ExtractView
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.heed_words import codes_said
from tracker.outputs.words.plant_names import herbs_named, the_form
from tracker.outputs.words.ways_of_making import way_name

NOT_SAID = "not said"
_STRIP_CELLS = 21  # five per cent each, 0 to 100


class Pressing(msgspec.Struct, frozen=True):
    """One jar's pressing: % of menstruum and herb water, and ml held by each gram of herb."""

    code: str
    herb: str
    method: str
    form: str
    pressed_ml: float
    given_pct: float
    held_ml_per_g: float | None
    heeds: Heeds


class ByMethod(msgspec.Struct, frozen=True):
    """The pressings of one method on herb of one form, the least yield first."""

    method: str
    form: str
    pressings: tuple[Pressing, ...]

    @property
    def heeds(self) -> Heeds:
        """What to heed of its jars."""
        return together(one.heeds for one in self.pressings)

    @property
    def given_pct(self) -> tuple[float, float, float]:
        """The least, the middle and the most % given."""
        shares = [one.given_pct for one in self.pressings]
        return shares[0], median(shares), shares[-1]

    @property
    def held_ml_per_g(self) -> float | None:
        """The middle of what marc held, ml per g; None where no herb was weighed."""
        held = [one.held_ml_per_g for one in self.pressings if one.held_ml_per_g is not None]
        return median(held) if held else None

    @property
    def in_words(self) -> str:
        """The picture in words, for people who cannot see it."""
        least, middle, most = self.given_pct
        return (
            f"{self.method}, {self.form} herb: {len(self.pressings)}, "
            f"{least:.0f} to {most:.0f} %, middle {middle:.0f} %"
        )


def pressings(views: Iterable[ThingView], today: date) -> list[ByMethod]:
    """The last pressing of each jar by that day, by method and by form of the herb."""
    found = [
        _pressing(view, view.extract)
        for view in views
        if view.row.kind == "jar" and view.extract is not None
        if view.extract.pressed.earliest <= today
    ]
    order = [*METHODS, *map(way_name, get_args(Way)), NOT_SAID]
    kinds = sorted(
        {(one.method, one.form) for one in found},
        key=lambda kind: (order.index(kind[0]), kind[1]),
    )
    return [
        ByMethod(
            method,
            form,
            tuple(
                sorted(
                    (one for one in found if (one.method, one.form) == (method, form)),
                    key=lambda one: (one.given_pct, one.code),
                )
            ),
        )
        for method, form in kinds
    ]


def _method(row: RowView, pressed: ExtractView) -> str:
    """How it was pressed; what was not macerated stands by its own way, and never among others."""
    if row.steep_way not in (None, "maceration"):
        return way_name(row.steep_way)
    return method_of(pressed.how) or NOT_SAID


def _pressing(view: ThingView, pressed: ExtractView) -> Pressing:
    row, steep = view.row, view.steep
    in_it_ml = view.made.liquid_ml if steep is None else steep.menstruum_ml
    return Pressing(
        row.code,
        herbs_named(row.herbs),
        _method(row, pressed),
        the_form(row.herbs),
        pressed.pressed_ml,
        pressed.pressed_ml / in_it_ml * 100 if in_it_ml else 0.0,
        None if steep is None else steep.held_ml_per_g,
        heeds_of([view]),
    )


_COLUMNS = (
    Column("METHOD"),
    Column("HERB"),
    *(Column(head, right=True, near=True) for head in ("JARS", "LEAST", "MIDDLE", "MOST", "HELD")),
)
_STRIP = Column("0 % ........... 100 %", near=True)
_NUMBERS = "LEAST, MIDDLE and MOST in %; HELD by the marc, ml per g, the middle one."
_DIGITS = "A digit is so many jars within five per cent (+ for ten or more), a dot is none."


def lines(found: Sequence[ByMethod], *, total: int, colour: bool) -> list[str]:
    """A row for each method, with every pressing in its place between 0 and 100 %."""
    if not found:
        return []
    rows = [
        [
            one.method,
            one.form,
            str(len(one.pressings)),
            *(f"{share:.0f}" for share in one.given_pct),
            "–" if one.held_ml_per_g is None else f"{one.held_ml_per_g:.2f}",
            strip([press.given_pct for press in one.pressings]),
        ]
        for one in found
    ]
    columns = list(zip((*_COLUMNS, _STRIP), map(list, zip(*rows, strict=True)), strict=True))
    body = columned(columns, (_STRIP,), total=total, colour=colour)
    below = f"{_NUMBERS} {_DIGITS}" if _STRIP.head in body[0] else _NUMBERS
    heeds = [shown(one) for one in together(one.heeds for one in found).sentences]
    title = "What pressing gave, % of the menstruum and herb water that were in the jar"
    return [
        *(styled(one, "bold", colour=colour) for one in wrapped(title, total)),
        "",
        *body,
        "",
        *wrapped(below, min(total, 80)),
        *(["", *heed_lines(heeds, total)] if heeds else []),
    ]


def strip(shares_pct: Iterable[float]) -> str:
    """How many shares lie in each five per cent from 0 to 100, in a cell each."""
    counts = [0] * _STRIP_CELLS
    for share in shares_pct:
        counts[min(max(int(share // 5), 0), _STRIP_CELLS - 1)] += 1
    return "".join("." if not one else str(one) if one < 10 else "+" for one in counts)


def none_counts(again: Sequence[str]) -> str:
    """Why there is no pressing to show, in a sentence.

    Args:
        again: the codes of jars that were pressed and are steeping again.
    """
    if not again:
        return "Nothing was pressed yet."
    steep = "is" if len(again) == 1 else "are"
    return (
        f"Only a jar's last pressing counts, and {codes_said(tuple(again))} {steep} steeping again."
    )


def pressings_in_words(found: Sequence[ByMethod], again: Sequence[str] = ()) -> str:
    """The picture in words, for people who cannot see it; `again` as in `none_counts`."""
    words = "; ".join(one.in_words for one in found)
    said = f"{words}." if words else none_counts(again)
    return " ".join([said, *together(one.heeds for one in found).sentences])


def pressing_answers(found: Iterable[ByMethod]) -> list[Answer]:
    """The pressings as fields."""
    return [
        {
            "method": one.method,
            "form": one.form,
            "least_pct": rounded(one.given_pct[0], 1),
            "middle_pct": rounded(one.given_pct[1], 1),
            "most_pct": rounded(one.given_pct[2], 1),
            "held_ml_per_g": rounded(one.held_ml_per_g),
            **heeds_answer(one.heeds),
            "pressings": [
                {
                    "code": press.code,
                    "herb": press.herb,
                    "pressed_ml": rounded(press.pressed_ml),
                    "given_pct": rounded(press.given_pct, 1),
                    "held_ml_per_g": rounded(press.held_ml_per_g),
                }
                for press in one.pressings
            ],
        }
        for one in found
    ]
