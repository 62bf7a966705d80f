"""What a lot is called: its herb as its maker says it, or its liquid."""

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.lot import Lot
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.plant_names import called


def lot_called(lot: Lot, names: PlantNames) -> str:
    """`lemon balm leaf, dried`; `96 % vol grain spirit`."""
    if lot.herb is None:
        return lot.what
    herb = HerbView(lot.herb, lot.form or "dried", lot.part, lot.common, lot.amount, lot.known)
    return called((herb,), names)
