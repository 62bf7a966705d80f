"""Lots of herb and liquid: what came in, what was used, what is left: `lots`, `show LOT`."""

from collections.abc import Sequence

from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, caution_fields, day, hold_fields, rounded
from tracker.outputs.terminal.table import Cell, Column, Row, styled, table
from tracker.outputs.view.lot_view import LotState, LotView
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.plant_names import narrow_name

_HERB_CELLS = 20
_COLUMNS = (
    Column("CODE", least=10),
    Column("WHAT", least=16),
    Column("FROM", least=6),
    Column("AMOUNT", right=True),
    Column("USED", right=True),
    Column("LEFT", right=True),
    Column("PAID", right=True),
    Column("STATE"),
)
_STATES: dict[LotState, Cell] = {
    "recalled": Cell("RECALLED", "bad"),
    "on hold": Cell("ON HOLD", "warn"),
    "overdrawn": Cell("OVERDRAWN", "bad"),
    "used up": Cell("used up", "faint"),
    "in stock": Cell("in stock"),
}


def lot_table(lots: Sequence[LotView], *, total: int, colour: bool) -> list[str]:
    """Each lot with what came in and what became of it."""
    rows: list[Row] = [
        [
            lot.code,
            narrow_name(lot.what, _HERB_CELLS),
            lot.where or lot.how,
            f"{_plain(lot.account.amount)} {lot.unit}",
            _plain(lot.account.used + lot.account.dried + lot.account.discarded),
            _plain(lot.account.left),
            lot.paid or "–",
            _STATES[lot.state],
        ]
        for lot in lots
    ]
    return table(_COLUMNS, rows, total=total, colour=colour)


def _plain(amount: float) -> str:
    return f"{amount:.1f}".removesuffix(".0")


def lot_fields(lot: LotView) -> Answer:
    """One lot as fields; amounts in `unit`."""
    from tracker.outputs.words.caution_words import caution_lines

    one, careful = lot.account, lot.cautions
    return {
        "code": lot.code,
        "kind": "lot",
        "state": lot.state,
        "what": lot.what,
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


def show_lot(
    lot: LotView, uses: Sequence[str], *, colour: bool, sources: bool = False
) -> list[str]:
    """Everything known of a lot; `uses` say what took any of it, a line each.

    With `sources` every caution names its source, and how much of that was read.
    """
    from tracker.outputs.words.caution_words import caution_lines

    unit, one = lot.unit, lot.account
    rows = [("state", lot.state), (lot.how, str(lot.on))]
    if lot.hold is not None:
        rows.append((hold_name(lot.hold), hold_said(lot.hold, lot.code)))
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
    rows.append(("left", f"{_plain(one.left)} {unit}"))
    rows += [("went into" if place == 0 else "", use) for place, use in enumerate(uses)]
    rows += [("does not fit", flag_text(flag)) for flag in lot.flags]
    title = styled(shown(f"{lot.code}  {lot.what}"), "bold", colour=colour)
    return [title, *(f"  {name:<18}{shown(value)}" for name, value in rows)]
