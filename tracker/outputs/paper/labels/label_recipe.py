"""What a liquid was made of, on paper: ratio with its basis, strength, what was poured."""

from tracker.core.menstruum.liquids import called, strength_said
from tracker.core.shelf.contents import Poured
from tracker.outputs.paper.labels.label_lines import POURED_RANK, RECIPE_RANK, LabelLine, Run, line
from tracker.outputs.view.thing_view import RowView, ThingView
from tracker.outputs.words.amount_words import basis_said, meant_text, ratio_number
from tracker.outputs.words.lists_said import list_said
from tracker.outputs.words.ways_of_making import OF_ONE_HERB, way_said

# From this much on, a strength by a default for the herb's water is said beside what was
# poured: measures of a kitchen are no closer. A choice, no source.
_LEAST_SAID_PCT_VOL = 2.0


def recipe_of(view: ThingView) -> list[LabelLine]:
    """The ratio, small beside it what it is by, the strength, and what was poured."""
    bold = [Run(one, "B") for one in (_ratio(view), strong(view)) if one is not None]
    small = _basis(view)
    if not bold:
        return [line(f"{small}, {poured(view)}", rank=RECIPE_RANK)]
    first, *behind = bold
    made = LabelLine((first,), "strong", RECIPE_RANK, (Run(small),), behind=tuple(behind))
    return [made, line(poured(view), rank=POURED_RANK)]


def _ratio(view: ThingView) -> str | None:
    return None if view.row.ratio is None else ratio_number(view.row.ratio)


def _basis(view: ThingView) -> str:
    """`by menstruum poured`; without a ratio, why there is none."""
    ratio = view.row.ratio
    return (_no_ratio(view) if ratio is None else f"by {basis_said(ratio.basis)}") + _meant(view)


def strong(view: ThingView) -> str | None:
    """`45 % vol`, `about 45 % vol`, that nobody knows; None of what has no spirit in it."""
    if (said := _strength(view.row)) is not None:
        return f"{said.removesuffix('.0')} % vol"
    is_known = view.row.strength is not None or view.row.simple_strength_pct_vol is not None
    return None if is_known else "strength not known"


def poured(view: ThingView) -> str:
    """`percolation, in grain spirit 96 % vol and water`."""
    pours = list_said(dict.fromkeys(_pour(pour) for pour in view.made.pours))
    said = [way_of(view), f"in {pours}" if pours else "what was poured is not known"]
    return ", ".join(one for one in said if one)


def way_of(view: ThingView) -> str | None:
    """How it is made, where it does not just macerate."""
    return OF_ONE_HERB if view.of_one_herb else way_said(view.row.way, view.row.steep_way)


def ratio_line(view: ThingView) -> str:
    """`1:5 (menstruum poured)`: a ratio never stands without its basis."""
    ratio = view.row.ratio
    if ratio is None:
        return _no_ratio(view) + _meant(view)
    return f"{ratio_number(ratio)} ({basis_said(ratio.basis)}{_meant(view)})"


def _meant(view: ThingView) -> str:
    steep = view.steep
    if steep is None or steep.ratio_meant_basis != "finished" or view.extract is not None:
        return ""
    return f"; meant {meant_text(steep.ratio_meant, 'finished')}"


def _no_ratio(view: ThingView) -> str:
    if view.made.again:
        return "marc steeped again"
    return "parts of no one ratio" if view.made.basis == "mixed" else "herb not weighed"


def menstruum(view: ThingView) -> str:
    """What was poured, and how strong that is with all that went in where it differs.

    `spirit 45 % vol`, or `spirit 95 % vol; 75.8 % vol in all`. What only a default for the
    herb's water makes different has to be more than `_LEAST_SAID_PCT_VOL`.
    """
    pours, known = view.made.pours, view.row.strength
    said = list_said(dict.fromkeys(_pour(pour) for pour in pours))
    strength = _strength(view.row)
    strengths = {pour.ethanol_pct_vol for pour in pours}
    is_sum_of_one = known is None and len(strengths) == 1
    if (
        strength is None
        or is_sum_of_one
        or {f"{one or 0.0:.1f}" for one in strengths} == {strength}
    ):
        return said
    if known is not None and known.is_guess:
        off = (abs(known.pct_vol - (pour.ethanol_pct_vol or 0.0)) for pour in pours)
        if max(off, default=0.0) < _LEAST_SAID_PCT_VOL:
            return said
    return f"{said}; {strength} % vol in all"


def _strength(row: RowView) -> str | None:
    """`45.0`; `about 45` by a default for the herb's water, or by the simple sum."""
    if row.strength is not None:
        pct_vol = row.strength.pct_vol
        text = f"about {pct_vol:.0f}" if row.strength.is_guess else f"{pct_vol:.1f}"
        return text if pct_vol else None
    simple = row.simple_strength_pct_vol
    return f"about {simple:.0f}" if simple else None


def _pour(pour: Poured) -> str:
    if pour.liquid != "ethanol" and pour.ethanol_pct_vol is not None:
        return called(pour.liquid, 0.0, pour.glycerin_pct_mass, pour.name)
    return f"{pour.name or 'spirit'} {strength_said(pour.ethanol_pct_vol)}"
