"""Lots of herb and liquid: what came in, what was used, what is left: `lots`, `show LOT`."""

from collections.abc import Callable, Sequence

from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames
from tracker.core.reckoning.flows.lot_balance import Account, Missing
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.day_words import UNDATED, Present
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, caution_fields, day, hold_fields, rounded
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, columned, styled
from tracker.outputs.view.lot_view import LotState, LotView
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.amount_words import plain
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import hold_name, hold_said

_NAME = Column("", least=20)
_FROM = Column("FROM", least=10)
_USED = Column("USED", right=True)
_PAID = Column("PAID", right=True)
_Said = Callable[[LotView], str | Cell]
_STATES: dict[LotState, Cell] = {
    "recalled": Cell("RECALLED", "bad"),
    "on hold": Cell("ON HOLD", "bad"),
    "overdrawn": Cell("OVERDRAWN", "bad"),
    "used up": Cell("used up", "faint"),
    "in stock": Cell("in stock"),
}


def lot_table(lots: Sequence[LotView], names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """Each lot with what came in and what became of it; `names` is what plants are called by."""
    called = listed([_herbs(lot) for lot in lots], names)
    columns: list[tuple[Column, Sequence[str | Cell]]] = [
        (replace(_NAME, within=called.within), called.full()),
        *((head, [cell(lot) for lot in lots]) for head, cell in _columns(lots)),
    ]
    return columned(columns, (_FROM, _USED, _PAID), total=total, colour=colour)


def _herbs(lot: LotView) -> Sequence[HerbView]:
    """The herb of a lot; a liquid stands for itself."""
    herb = lot.substance if lot.herb is None else lot.herb
    return [HerbView(herb, lot.form or "", lot.part, lot.common, None, lot.known)]


def _columns(lots: Sequence[LotView]) -> list[tuple[Column, _Said]]:
    """Every column; suppliers' numbers and what is missing where there are any."""
    numbered = any(lot.their_lot for lot in lots)
    missing = any(abs(lot.account.unaccounted) >= DROP_ML for lot in lots)
    found: list[tuple[Column, _Said]] = [(Column("CODE"), lambda lot: lot.code)]
    if numbered:
        found.append((Column("THEIR LOT"), lambda lot: lot.their_lot or "–"))
    found += [
        (_FROM, lambda lot: lot.where or lot.how),
        (_USED, lambda lot: _plain(_taken(lot.account))),
    ]
    if missing:
        found.append((Column("MISSING", right=True), lambda lot: _plain(lot.account.unaccounted)))
    found += [
        (Column("LEFT", right=True), _left),
        (_PAID, lambda lot: lot.paid or "–"),
        (Column("STATE"), lambda lot: _STATES[lot.state]),
    ]
    return found


def _left(lot: LotView) -> str:
    """`340 of 640 g`; a lot of which none was taken is said once."""
    left, amount = _plain(lot.account.left), _plain(lot.account.amount)
    return f"{left} {lot.unit}" if left == amount else f"{left} of {amount} {lot.unit}"


def _taken(one: Account) -> float:
    return one.used + one.dried + one.discarded


def _plain(amount: float) -> str:
    return plain(amount, "").rstrip()


def lot_fields(lot: LotView) -> Answer:
    """One lot as fields; amounts in `unit`."""
    from tracker.outputs.words.caution_words import caution_lines

    one, careful = lot.account, lot.cautions
    return {
        "code": lot.code,
        "kind": "lot",
        "state": lot.state,
        "what": lot.what,
        "form": lot.form,
        "dried_from": lot.parent,
        "how": lot.how,
        "on": day(lot.on),
        "where": lot.where,
        "their_lot": lot.their_lot,
        "unit": lot.unit,
        "amount": rounded(one.amount),
        "known": lot.known,
        "used": rounded(one.used),
        "dried": rounded(one.dried),
        "discarded": rounded(one.discarded),
        "unaccounted": rounded(one.unaccounted),
        "counted": None if one.counted is None else day(one.counted),
        "left": rounded(one.left),
        "unweighed_uses": one.unweighed,
        "paid": lot.paid,
        "on_hold": lot.hold is not None,
        "recalled": lot.hold.why if lot.hold is not None and lot.is_recalled else None,
        "hold": hold_fields(lot.hold),
        "cautions": caution_lines(careful),
        "caution_details": [caution_fields(one) for one in careful],
        "flags": [flag_text(flag) for flag in lot.flags],
    }


def _found(one: Missing, unit: str) -> str:
    found = "unaccounted" if one.amount >= 0 else "more than the book had"
    return f"{plain(abs(one.amount), unit)} {found}"


def show_lot(
    lot: LotView,
    uses: Sequence[str],
    *,
    colour: bool,
    sources: bool = False,
    present: Present = UNDATED,
) -> list[str]:
    """Everything known of a lot; `uses` say what took any of it, a line each.

    With `sources` every caution names its source, and how much of that was read.
    """
    from tracker.outputs.words.caution_words import caution_lines

    unit, one = lot.unit, lot.account
    rows = [("state", lot.state), (lot.how, present.said(lot.on))]
    if lot.hold is not None:
        rows.append((hold_name(lot.hold), hold_said(lot.hold, lot.code, present)))
    rows += [("dried from", lot.parent)] if lot.parent else []
    careful = caution_lines(lot.cautions, sources=sources)
    rows += [("" if place else "caution", text) for place, text in enumerate(careful)]
    rows += [("from", lot.where)] if lot.where else []
    rows += [("their lot", lot.their_lot)] if lot.their_lot else []
    rows += [("paid", lot.paid)] if lot.paid else []
    rows.append(("amount", f"{_plain(one.amount)} {unit}, {lot.known}"))
    if lot.water_pct_mass is not None:
        rows.append(("water", f"{lot.water_pct_mass:g} % of the herb"))
    gone = (("used", one.used), ("dried", one.dried), ("discarded", one.discarded))
    rows += [(name, f"{_plain(much)} {unit}") for name, much in gone if much]
    if one.unweighed:
        rows.append(("used", f"{one.unweighed} times more, of unknown weight"))
    rows += [("counted", f"{present.said(each.on)}: {_found(each, unit)}") for each in one.missing]
    rows.append(("left", f"{_plain(one.left)} {unit}"))
    rows += [("went into" if place == 0 else "", use) for place, use in enumerate(uses)]
    rows += [("does not fit", flag_text(flag, present)) for flag in lot.flags]
    title = styled(shown(f"{lot.what}  {lot.code}"), "bold", colour=colour)
    return [title, *(f"  {name:<18}{shown(value)}" for name, value in rows)]
