"""Stretches of a life: herb in the jar, liquid in date, on hold or past its date, and to come."""

from datetime import date, timedelta
from typing import Literal

import msgspec

from tracker.outputs.pictures.life.jar_life import Life
from tracker.outputs.pictures.life.moments import Liquid

What = Literal["within", "herb", "extract", "held", "past", "come"]


class Span(msgspec.Struct, frozen=True):
    """A stretch of days, and what it is of."""

    what: What
    first: date
    last: date


def jar_spans(life: Life) -> list[Span]:
    """Each steep, from when it is sure to have begun; what is on hold, and what is to come."""
    begun = life.begun
    spans = []
    if begun.kind == "charged" and begun.first < begun.last:
        spans.append(Span("within", begun.first, begun.last))
    for one in life.steeps:
        ended = one.ended
        spans.append(Span("herb", one.begun, life.today if ended is None else ended))
        if ended is None and life.held is not None:
            spans.append(Span("held", max(one.begun, life.held), life.today))
        if ended is None and life.last > life.today:
            ends = [moment.last for moment in life.of("ready", "longest")]
            spans.append(Span("come", life.today, max([life.today, *ends])))
    return [one for one in spans if one.last >= one.first]


def liquid_spans(life: Life) -> list[list[Span]]:
    """The stretches of each liquid, while any of it is there."""
    return [_of(one, life.today) for one in life.liquids]


def _of(one: Liquid, today: date) -> list[Span]:
    until = today if one.gone is None else min(one.gone, today)
    in_date = until if one.last is None else min(until, one.last)
    spans = [Span("extract", one.begun, in_date)] if in_date >= one.begun else []
    if one.last is not None and until > one.last:
        spans.append(Span("past", max(one.begun, one.last + timedelta(days=1)), until))
    if one.held is not None and one.held <= until:
        spans.append(Span("held", one.held, until))
    if one.gone is None and one.last is not None and one.last > today:
        spans.append(Span("come", today, one.last))
    return spans
