"""Names of plants as people read them: in full, for a narrow column, and as they are called."""

from collections.abc import Sequence

from tracker.core.herbs.common_names import common_name
from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.thing import Batch
from tracker.outputs.view.made import HerbView, herbs_of


def called(herbs: Sequence[HerbView], names: PlantNames) -> str:
    """Every herb as its maker says it, the heaviest first: `lemon balm leaf, dried`.

    Args:
        herbs: those of one liquid; part and form are said once where they are the same of all.
        names: what its maker goes by; `both` gives `lemon balm (Melissa officinalis) leaf, dried`.
    """
    if len({(one.part, one.form) for one in herbs}) > 1:
        return " + ".join(f"{_with_part(one, names)}, {one.form}" for one in herbs)
    plants = list(dict.fromkeys(plant_called(one, names) for one in herbs[:-1]))
    last = _with_part(herbs[-1], names)
    return " + ".join([*(one for one in plants if one != last), f"{last}, {herbs[-1].form}"])


def called_in_a_list(herbs: Sequence[HerbView], names: PlantNames) -> str:
    """Every herb without its form, for one of several things in a line: `lemon balm leaf`."""
    return " + ".join(dict.fromkeys(_with_part(one, names) for one in herbs))


def batch_called(batch: Batch, names: PlantNames) -> str:
    """The same of all that is in a jar or blend."""
    return called_in_a_list(herbs_of(batch, batch.contents), names)


def plant_called(herb: HerbView, names: PlantNames) -> str:
    """A plant alone: `lemon balm`; by its Latin name where it has no other."""
    if names == "latin" or (common := herb.common or common_name(herb.herb)) is None:
        return herb.herb
    is_same = names == "common" or common.lower() == herb.herb.lower()
    return common if is_same else f"{common} ({herb.herb})"


def _with_part(herb: HerbView, names: PlantNames) -> str:
    """`elder flower`; nothing is added to `elderflower`."""
    plant = plant_called(herb, names)
    says_it = herb.part is None or plant.lower().endswith(herb.part.lower())
    return plant if says_it else f"{plant} {herb.part}"


def herbs_named(herbs: Sequence[HerbView]) -> str:
    """Every herb as a line says it: `Calendula officinalis flower, dried`, joined by ` + `.

    Part and form are said once where they are the same of all.
    """
    return " + ".join(f"{plant}{rest}" for plant, rest in herbs_apart(herbs))


def herbs_apart(herbs: Sequence[HerbView]) -> list[tuple[str, str]]:
    """Every herb as its plant and what follows that; two scripts may meet between them."""
    if len({(one.part, one.form) for one in herbs}) > 1:
        return [(one.herb, _part_and_form(one)) for one in herbs]
    plants = list(dict.fromkeys(one.herb for one in herbs))
    return [*((one, "") for one in plants[:-1]), (plants[-1], _part_and_form(herbs[0]))]


def plants_named(herbs: Sequence[HerbView]) -> str:
    """Every plant by the name it goes by, without part and form."""
    return " + ".join(dict.fromkeys(one.herb for one in herbs))


def _part_and_form(herb: HerbView) -> str:
    """` flower, dried`."""
    return f"{f' {herb.part}' if herb.part else ''}, {herb.form}"


def the_part(herbs: Sequence[HerbView]) -> str | None:
    """The part that was used, where it is the same of every herb."""
    parts = {one.part for one in herbs}
    return herbs[0].part if len(parts) == 1 else None


def the_form(herbs: Sequence[HerbView]) -> str:
    """`fresh`, `dried`, or both."""
    return " and ".join(sorted({one.form for one in herbs}, reverse=True))


def the_common(herbs: Sequence[HerbView]) -> str | None:
    """The common name as the maker wrote it, where it names all there is."""
    return herbs[0].common if len({one.herb for one in herbs}) == 1 else None


def herb_name(batch: Batch) -> str:
    """Every herb of a jar or blend as a line says it."""
    return herbs_named(herbs_of(batch, batch.contents))


def harmful_first(herbs: Sequence[HerbView]) -> Sequence[HerbView]:
    """Herbs in their order, but what can harm people before the others."""
    if len(herbs) < 2:
        return herbs
    from tracker.core.herbs.plant_cautions import harm  # tables that a row of one herb needs not

    return sorted(herbs, key=lambda one: harm(one.herb, one.part, one.common, one.form) is None)


def common_of(herbs: Sequence[HerbView]) -> str | None:
    """The common name of a herb: as recorded, else the one its Latin name has in the table."""
    if len({one.herb for one in herbs}) > 1:
        return None  # a table has the names of plants, not of blends
    return the_common(herbs) or common_name(herbs[0].herb)
