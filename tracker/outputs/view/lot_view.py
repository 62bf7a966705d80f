"""A lot of herb or liquid as outputs read it: what came in, what became of it, what is left."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Literal

import msgspec

from tracker.core.reckoning.flows.lot_balance import Account, accounts, weighed
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import When
from tracker.outputs.view.liquid import HoldView

if TYPE_CHECKING:
    from tracker.core.reckoning.cautions import Caution

LotState = Literal["recalled", "on hold", "overdrawn", "used up", "in stock"]


class LotView(msgspec.Struct, frozen=True):
    """Everything reckoned of a lot; amounts in `unit`, g or ml.

    Attributes:
        what: herb or liquid, in a few words.
        substance: the same without the form, which a liquid has not.
        parent: the code of the lot it was dried from.
        herb: the plant, of a lot of herb; its part, common name and form beside it.
        how: gathered, bought or dried.
        account: what was used, dried, thrown out, and what is left.
    """

    code: str
    state: LotState
    what: str
    substance: str
    form: str | None
    how: str
    parent: str | None
    on: When
    where: str | None
    their_lot: str | None
    unit: str
    known: str
    water_pct_mass: float | None
    paid: str | None
    account: Account
    hold: HoldView | None
    flags: tuple[Flag, ...]
    herb: str | None = None
    part: str | None = None
    common: str | None = None

    @property
    def is_recalled(self) -> bool:
        """Whether it was called back."""
        return self.state == "recalled"

    @property
    def cautions(self) -> "tuple[Caution, ...]":
        """What its herb asks care for; the tables of plants load slowly, and a row has no room."""
        from tracker.core.reckoning.cautions import of_herb

        if self.herb is None:
            return ()
        return of_herb(self.herb, self.part, self.common, self.form or "dried")

    @property
    def is_worth_a_row(self) -> bool:
        """Whether some of it is left, or somebody should look at it."""
        return self.state != "used up"


def lot_views(lots: Sequence[Lot], batches: Iterable[Batch]) -> list[LotView]:
    """Each lot with what the jars and blends made of it."""
    codes = {lot.id: lot.code for lot in lots}
    return [_view(lot, one, codes) for lot, one in accounts(lots, batches)]


def _view(lot: Lot, one: Account, codes: Mapping[str, str]) -> LotView:
    hold = lot.hold
    if lot.ml_of_gram is not None:
        one = weighed(one, lot.ml_of_gram)
    return LotView(
        code=lot.code,
        state=_state(lot, one),
        what=lot.what,
        substance=lot.substance,
        form=lot.form,
        how=lot.how,
        parent=None if lot.parent is None else codes.get(lot.parent.jar),
        on=lot.on,
        where=lot.where,
        their_lot=lot.their_lot,
        unit=lot.unit if lot.ml_of_gram is None else "g",
        known=lot.known,
        water_pct_mass=lot.water_pct_mass,
        paid=lot.paid,
        account=one,
        hold=None if hold is None else HoldView(hold.kind, hold.on, hold.why, lot.code),
        flags=tuple(lot.flags),
        herb=lot.herb,
        part=lot.part,
        common=lot.common,
    )


def _state(lot: Lot, one: Account) -> LotState:
    if lot.hold is not None:
        return "recalled" if lot.recalled is not None else "on hold"
    if one.is_overdrawn:
        return "overdrawn"
    return "used up" if one.is_used_up else "in stock"
