"""Lots of herb and liquid: what came in, what was used, what is left: `lots`, `show LOT`."""

from collections.abc import Sequence

from tracker.core.reckoning.lot_balance import Account
from tracker.core.shelf.lot import Lot
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, day, rounded
from tracker.outputs.terminal.table import Cell, Column, styled, table
from tracker.outputs.words.flags import flag_text
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


def state(lot: Lot, one: Account) -> str:
    """How a lot stands, in a word or two."""
    if lot.recalled is not None:
        return "RECALLED"
    if lot.hold is not None:
        return "ON HOLD"
    if one.is_overdrawn:
        return "OVERDRAWN"
    return "used up" if one.is_used_up else "in stock"


_STYLE = {"RECALLED": "bad", "ON HOLD": "warn", "OVERDRAWN": "bad", "used up": "faint"}


def lots(shelved: Sequence[tuple[Lot, Account]], *, total: int, colour: bool) -> list[str]:
    """Each lot with what came in and what became of it."""
    rows: list[list[str | Cell]] = [
        [
            lot.code,
            narrow_name(lot.what, _HERB_CELLS),
            lot.where or lot.how,
            f"{_plain(one.amount)} {lot.unit}",
            _plain(one.used + one.dried + one.discarded),
            _plain(one.left),
            lot.paid or "–",
            Cell(state(lot, one), _STYLE.get(state(lot, one), "")),
        ]
        for lot, one in shelved
    ]
    return table(_COLUMNS, rows, total=total, colour=colour)


def _plain(amount: float) -> str:
    return f"{amount:.1f}".removesuffix(".0")


def answer(lot: Lot, one: Account) -> Answer:
    """One lot as fields; amounts in `unit`."""
    return {
        "code": lot.code,
        "kind": "lot",
        "state": state(lot, one).lower(),
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
        "on_hold": lot.on_hold,
        "recalled": None if lot.recalled is None else lot.recalled.why,
        "flags": [flag_text(flag) for flag in lot.flags],
    }


def show(lot: Lot, one: Account, uses: Sequence[str], *, colour: bool) -> list[str]:
    """Everything known of a lot; `uses` say what took any of it, a line each."""
    unit = lot.unit
    rows = [("state", state(lot, one).lower()), (lot.how, str(lot.on))]
    rows += [("from", lot.where)] if lot.where else []
    rows += [("their lot", lot.their_lot)] if lot.their_lot else []
    rows += [("paid", lot.paid)] if lot.paid else []
    rows.append(("amount", f"{_plain(one.amount)} {unit}, {lot.known}"))
    if lot.water_pct_mass is not None:
        rows.append(("water", f"{lot.water_pct_mass:g} % of the herb"))
    rows += [
        (name, f"{_plain(much)} {unit}")
        for name, much in (
            ("used", one.used),
            ("dried", one.dried),
            ("discarded", one.discarded),
        )
        if much
    ]
    if one.unweighed:
        rows.append(("used", f"{one.unweighed} times more, of unknown weight"))
    rows.append(("left", f"{_plain(one.left)} {unit}"))
    if lot.hold is not None:
        name = "recalled" if lot.recalled else "on hold"
        rows.append((name, f"{lot.hold.on}: {lot.hold.why}"))
    rows += [("went into" if place == 0 else "", use) for place, use in enumerate(uses)]
    rows += [("does not fit", flag_text(flag)) for flag in lot.flags]
    title = styled(shown(f"{lot.code}  {lot.what}"), "bold", colour=colour)
    return [title, *(f"  {name:<18}{shown(value)}" for name, value in rows)]
