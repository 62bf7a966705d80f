"""The plants of a label: the Latin name large, then part, form and what they are called."""

from collections.abc import Sequence

from tracker.outputs.paper.labels.label_lines import LabelLine, Role, Run
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.latin_names import latin_runs, short_genera
from tracker.outputs.words.lists_said import list_said
from tracker.outputs.words.plant_names import common_of


def names(herbs: Sequence[HerbView], *, under_rank: int = 0, cut: bool = False) -> list[LabelLine]:
    """Every plant of a liquid, and under that its part, form and common name.

    Args:
        herbs: the heaviest first.
        under_rank: how soon the second line may be left off.
        cut: whether a genus may be cut short where there is no room.
    """
    plants = list(dict.fromkeys(one.herb for one in herbs))
    genera = short_genera(plants) if cut else {}
    fewer = _unparted(_joined([genera.get(one, one) for one in plants])) if cut else ()
    role: Role = "name" if len(plants) == 1 else "names"
    plant = LabelLine(_joined(plants), role, shorter=fewer)
    return [plant, LabelLine((Run(under(herbs)),), "under", under_rank)]


def _unparted(runs: Sequence[Run]) -> tuple[Run, ...]:
    """A genus cut short stays on the line of what follows it."""
    return tuple(run._replace(text=run.text.replace(". ", ".\u00a0")) for run in runs)


def _joined(plants: Sequence[str]) -> tuple[Run, ...]:
    """Latin words in italics; ranks, authors and what is no Latin upright."""
    runs: list[Run] = []
    for place, plant in enumerate(plants):
        runs += [Run(" + ")] if place else []
        runs += [Run(words, "I" if italic else "") for words, italic in latin_runs(plant)]
    return tuple(runs)


def under(herbs: Sequence[HerbView]) -> str:
    """`flower, dried · marigold`; said of each herb apart where part and form differ."""
    if len({one.herb for one in herbs}) > 1 and len({_made(one) for one in herbs}) > 1:
        return " + ".join(f"{common_of([one]) or one.herb} {part_and_form(one)}" for one in herbs)
    commons = [name for one in herbs if (name := common_of([one])) and name != one.herb]
    said = [parts_and_forms(herbs), " + ".join(dict.fromkeys(commons))]
    return " · ".join(one for one in said if one)


def _made(one: HerbView) -> tuple[str | None, str]:
    return one.part, one.form


def part_and_form(one: HerbView) -> str:
    """`flower, dried`."""
    return f"{one.part}, {one.form}" if one.part else one.form


def parts_and_forms(herbs: Sequence[HerbView]) -> str:
    """Part and form, each said once: `flower, fresh and dried`, `leaf and root, dried`."""
    parts = list(dict.fromkeys(one.part for one in herbs))
    forms = list(dict.fromkeys(one.form for one in herbs))
    if len(parts) == 1:
        forms.sort(key=lambda form: form == "dried")
        part = f"{parts[0]}, " if parts[0] else ""
        return f"{part}{list_said(forms)}"
    if len(forms) == 1 and None not in parts:
        return f"{list_said(str(part) for part in parts)}, {forms[0]}"
    return " + ".join(dict.fromkeys(part_and_form(one) for one in herbs))
