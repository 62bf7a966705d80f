"""What a lot is called: its herb as its maker says it, or its liquid."""

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.lot import Lot
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.plant_names import called, called_in_a_list


def lot_called(lot: Lot, names: PlantNames) -> str:
    """`lemon balm leaf, dried`; `96 % vol grain spirit`."""
    if lot.herb is None:
        return lot.what
    return called((_herb(lot, lot.herb),), names)


def lot_in_a_list(lot: Lot, names: PlantNames) -> str:
    """The same without the form of a herb: `lemon balm leaf`."""
    return lot.what if lot.herb is None else called_in_a_list((_herb(lot, lot.herb),), names)


def _herb(lot: Lot, herb: str) -> HerbView:
    return HerbView(herb, lot.form or "dried", lot.part, lot.common, lot.amount, lot.known)
