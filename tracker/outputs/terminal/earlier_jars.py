"""What earlier jars gave: `yields`, and the batches of a herb side by side: `batches`."""

from collections.abc import Mapping, Sequence
from datetime import date

from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames, Practice
from tracker.core.reckoning import amounts
from tracker.core.reckoning import past_yields as own
from tracker.core.reckoning.costs import Lots, cost_per_ml
from tracker.core.reckoning.past_yields import Spread, Yield
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing, extract_of, whole
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, day, rounded
from tracker.outputs.terminal.cost_lines import per_ml
from tracker.outputs.terminal.name_column import ListedNames
from tracker.outputs.terminal.table import Cell, Column, columned, cut, styled, table, width
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.view.thing_view import RowView, row_of
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.plant_names import plant_called, plants_named, the_form, the_part
from tracker.outputs.words.standing import days_said, ratio_said, strength_said
from tracker.outputs.words.ways_of_making import way_name

_NAME = Column("", least=18)
_PRESSED = Column("PRESSED")
_HELD = Column("HELD ml/g", right=True)
_LOST = Column("LOST %", right=True)
_DAYS = Column("DAYS", right=True)
_SPOILT = Column("SPOILT", right=True)
_NAME_CELLS = 10
_BELOW = {
    _PRESSED.head: "The middle of that many pressings, and the range.",
    _HELD.head: "HELD: by the marc, per g.",
    _LOST.head: "LOST: by filter and lees.",
    _SPOILT.head: "SPOILT: thrown out, the jar or most of an extract.",
}


def yields(lines: Sequence[Yield], names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """A line for each herb, form and method: the median, and the range where there is one."""
    lines = sorted(lines, key=lambda one: plant_called(_herb(one), names).lower())
    called = ListedNames(tuple(([_herb(one)], _way(one)) for one in lines), names)
    columns: list[tuple[Column, Sequence[str | Cell]]] = [
        (replace(_NAME, within=called.within), called.full()),
        (_PRESSED, [f"{one.pressed} {one.method or '–'}" if one.pressed else "–" for one in lines]),
        (_HELD, [said(one.held_ml_per_g, 1) for one in lines]),
        (_LOST, [said(one.lost_pct, 0) for one in lines]),
        (_DAYS, [said(one.days, 0) for one in lines]),
        (_SPOILT, [f"{one.spoiled} of {one.ended}" for one in lines]),
    ]
    body = columned(columns, (_DAYS, _LOST), total=total, colour=colour)
    below = " ".join(text for head, text in _BELOW.items() if head in body[0])
    return [*body, "", *wrapped(below, min(total, 80))]


def _herb(one: Yield) -> HerbView:
    return HerbView(one.herb, one.form, None, one.common, None, "")


def _way(one: Yield) -> str:
    return "" if one.way == "maceration" else f", {way_name(one.way)}"


def said(values: Spread | None, digits: int) -> str:
    """`1.3 (1.0–1.9)`, `1.3` for a single one, or a dash."""
    if values is None:
        return "–"
    middle, low, high = (
        f"{number:.{digits}f}" for number in (values.median, values.low, values.high)
    )
    return middle if values.n == 1 or low == high else f"{middle} ({low}–{high})"


def yields_answers(lines: Sequence[Yield]) -> list[Answer]:
    """The same as fields; each spread says of how many it is."""
    return [
        {
            "herb": one.herb,
            "form": one.form,
            "way": one.way,
            "method": one.method,
            "pressed": one.pressed,
            "held_ml_per_g": _spread(one.held_ml_per_g, 2),
            "given_pct": _spread(one.given_pct, 1),
            "lost_pct": _spread(one.lost_pct, 1),
            "days": _spread(one.days, 1),
            "ended": one.ended,
            "thrown_out": one.spoiled,
        }
        for one in lines
    ]


def yields_rows(lines: Sequence[Yield]) -> list[Answer]:
    """The fields flat, for CSV: `days_low`, `days_median` and so on."""
    return [
        {
            f"{name}_{part}" if part else name: inner
            for name, value in answer.items()
            for part, inner in (value.items() if isinstance(value, dict) else [("", value)])
        }
        for answer in yields_answers(lines)
    ]


def _spread(values: Spread | None, digits: int) -> Answer:
    if values is None:
        return {"n": 0, "low": None, "median": None, "high": None}
    return {
        "n": values.n,
        "low": rounded(values.low, digits),
        "median": rounded(values.median, digits),
        "high": rounded(values.high, digits),
    }


def batches(
    jars: Sequence[Jar],
    notes: Mapping[str, Sequence[str]],
    lots: Lots,
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
) -> list[str]:
    """Batches of a herb side by side, as many of the newest as the screen has room for.

    Below them what was noted of each; `notes` are by the id of a jar.
    """
    room = max((total - _NAME_CELLS) // (2 + max(width(shown(one.code)) for one in jars)), 1)
    jars = jars[:room]
    fields = [_batch(one, lots, practice, today) for one in jars]
    columns = [Column(""), *(Column(one.code, least=8) for one in jars)]
    rows = [
        [name, *(one[name] for one in fields)]
        for name in fields[0]
        if any(one[name] != "–" for one in fields)
    ]
    views = [herb for jar in jars for herb in herbs_of(jar, jar.contents)[:1]]
    plants = dict.fromkeys(plant_called(one, practice.names) for one in views)
    title = styled(cut(shown(" + ".join(plants)), total), "bold", colour=colour)
    lines = [title, *table(columns, rows, total=total, colour=colour)]
    told = [shown(f"{one.code}  {note}") for one in jars for note in notes.get(one.id, ())]
    return [*lines, *([""] if told else []), *told]


def _batch(jar: Jar, lots: Lots, practice: Practice, today: date) -> dict[str, str]:
    row, extract, made = _row(jar, practice, today), jar.pressing, _last(jar).made
    held, lost = amounts.held_ml_per_g(jar), _lost(jar)
    grams = jar.herb_g
    return {
        "charged": str(jar.charged),
        "herb": f"{'–' if grams is None else f'{grams:.0f} g'} {the_form(row.herbs)}",
        "part": the_part(row.herbs) or "–",
        "ratio": ratio_said(row.ratio),
        "% vol": strength_said(row),
        "days": days_said(row.days_on_herb),
        "stands": _state(row),
        "how": (extract.how or "–") if extract else "–",
        "pressed ml": f"{extract.pressed_ml:.0f}" if extract else "–",
        "held ml/g": "–" if held is None else f"{held:.1f}",
        "lost %": "–" if lost is None else f"{lost:.0f}",
        "left ml": f"{sum(one.left_ml for one in jar.extracts):.0f}" if jar.extracts else "–",
        "cost a ml": per_ml(cost_per_ml(made, lots)) or "–",
        "looked at": _verdict(jar) or "–",
    }


def _last(jar: Jar) -> Thing:
    """The jar as long as its herb is in, then its last extract."""
    if jar.is_macerating or not jar.extracts:
        return whole(jar)
    return extract_of(jar, jar.extracts[-1])


def _row(jar: Jar, practice: Practice, today: date) -> RowView:
    return row_of(_last(jar), practice, today)


def _state(row: RowView) -> str:
    return row.state if row.hold is None else hold_name(row.hold).upper()


def _lost(jar: Jar) -> float | None:
    """What filter and lees kept of the last extract that was cleared, %."""
    found = [lost for one in jar.extracts if (lost := own.lost_pct(one)) is not None]
    return found[-1] if found else None


def _verdict(jar: Jar) -> str | None:
    """The last verdict on the batch: of its extracts, else of the jar."""
    looks = [one.look for one in reversed(jar.extracts) if one.look is not None]
    look = looks[0] if looks else jar.look
    return None if look is None else ", ".join((look.verdict, *look.signs))


def batches_answers(
    jars: Sequence[Jar],
    notes: Mapping[str, Sequence[str]],
    lots: Lots,
    practice: Practice,
    today: date,
) -> list[Answer]:
    """The same as fields, one object a batch."""
    return [
        _fields(jar, lots, practice, today) | {"notes": list(notes.get(jar.id, ()))} for jar in jars
    ]


def _fields(jar: Jar, lots: Lots, practice: Practice, today: date) -> Answer:
    row, extract, made = _row(jar, practice, today), jar.pressing, _last(jar).made
    strength = row.strength
    return {
        "code": jar.code,
        "herb": plants_named(row.herbs),
        "form": the_form(row.herbs),
        "charged": day(jar.charged),
        "state": row.state,
        "on_hold": row.hold is not None,
        "recalled": row.is_recalled,
        "herb_g": rounded(jar.herb_g),
        "ratio": rounded(None if row.ratio is None else row.ratio.r),
        "ratio_basis": None if row.ratio is None else row.ratio.basis,
        "strength_pct_vol": rounded(None if strength is None else strength.pct_vol, 2),
        "days_on_herb": own.days_on_herb(jar, today),
        "how": extract.how if extract else None,
        "pressed": day(extract.pressed) if extract else None,
        "pressed_ml": rounded(extract.pressed_ml) if extract else None,
        "held_ml_per_g": rounded(amounts.held_ml_per_g(jar)),
        "lost_pct": rounded(_lost(jar), 1),
        "left_ml": rounded(sum(one.left_ml for one in jar.extracts)),
        "cost_per_ml": per_ml(cost_per_ml(made, lots)),
        "looked_at": _verdict(jar),
        "thrown_out": own.is_spoiled(jar),
    }
