"""What to measure out, how strong it comes to, and what a jar takes: text and fields.

Numbers a person measures by are shown to three digits or the whole gram, never more.
"""

from typing import TYPE_CHECKING

from tracker.core.menstruum.mixture import Mixture
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.sizing import (
    DISPLACEMENT_BASIS,
    DISPLACEMENT_ML_PER_G,
    FLUID_OUNCE_ML,
    OUNCE_G,
    Filling,
    Housed,
    ratio_in_ounces,
)
from tracker.outputs.answer_fields import Answer, rounded
from tracker.outputs.terminal.table import Column, table

if TYPE_CHECKING:  # `show` needs none of it
    from tracker.core.menstruum.recipe import Measured, Recipe

_PARTS = (Column("WHAT", least=10), Column("G", right=True), Column("ML", right=True))


def amount(value: float) -> str:
    """A number to measure by: three digits, and whole ones from a hundred."""
    size = abs(value)
    return f"{value:.0f}" if size >= 99.95 else f"{value:.1f}" if size >= 9.995 else f"{value:.2f}"


def rough(value: float) -> str:
    """A reckoned amount nobody measures to the drop: whole numbers from ten."""
    return f"{value:.0f}" if abs(value) >= 9.95 else f"{value:.1f}"


def ratio(value: float) -> str:
    """R of 1:R: `1:5`, `1:5.22`."""
    return "1:" + f"{value:.2f}".rstrip("0").rstrip(".")


def _pct(value: float) -> str:
    return f"{value:.1f}"


# What a mixture comes to


def strength(mixed: Mixture, of: str, at: str) -> list[str]:
    """How strong a mixture is, with its allowance and the plain sums beside it."""
    lines = [f"{of}, at {at}:"]
    if mixed.volume_ml is None or mixed.ethanol_pct_vol is None:
        lines.append(f"  strength   not reckoned: {mixed.why}")
        return [*lines, _simple(mixed)]
    off = f" ± {mixed.allowance_pct_vol:.1f}" if mixed.allowance_pct_vol else ""
    by_mass = (
        f" ({_pct(mixed.ethanol_pct_mass)} % by mass)"
        if mixed.ethanol_pct_mass is not None and mixed.ethanol_ml
        else ""
    )
    lines.append(f"  strength   {_pct(mixed.ethanol_pct_vol)}{off} % vol{by_mass}")
    if mixed.glycerin_pct_vol:
        lines.append(f"  glycerin   {_pct(mixed.glycerin_pct_vol)} % vol")
    heavy = f", {mixed.density_kg_m3:.1f} kg/m³" if mixed.density_kg_m3 else ""
    lines += [f"  volume     {amount(mixed.volume_ml)} ml{heavy}", _simple(mixed)]
    return [*lines, f"  note       {mixed.why}"] if mixed.why else lines


def _simple(mixed: Mixture) -> str:
    simple = mixed.simple_ethanol_pct_vol
    pct = "–" if simple is None else _pct(simple)
    return f"  volumes simply added: {amount(mixed.simple_volume_ml)} ml, {pct} % vol"


def strength_answer(mixed: Mixture, at: str) -> Answer:
    """The same as fields; None is what cannot be known."""
    return {
        "volume_ml": rounded(mixed.volume_ml),
        "strength_pct_vol": rounded(mixed.ethanol_pct_vol),
        "strength_pct_mass": rounded(mixed.ethanol_pct_mass),
        "glycerin_pct_vol": rounded(mixed.glycerin_pct_vol),
        "density_kg_m3": rounded(mixed.density_kg_m3, 2),
        "simple_volume_ml": rounded(mixed.simple_volume_ml),
        "simple_strength_pct_vol": rounded(mixed.simple_ethanol_pct_vol),
        "allowance_pct_vol": rounded(mixed.allowance_pct_vol, 1),
        "at": at,
        "why": mixed.why or None,
    }


# What to measure out


def what(part: "Measured") -> str:
    """A part by name: `95% spirit`, `water`, `glycerin`."""
    return f"{part.ethanol_pct_vol:g}% spirit" if part.liquid == "ethanol" else part.liquid


def mix(recipe: "Recipe", at: str, *, colour: bool) -> list[str]:
    """Grams and millilitres of each part, both ways of measuring, and what is lost."""
    glycerin = f", {_pct(recipe.glycerin_pct_vol)} % glycerin" if recipe.glycerin_pct_vol else ""
    off = f" ± {recipe.allowance_pct_vol:.1f}" if recipe.allowance_pct_vol else ""
    head = f"{amount(recipe.volume_ml)} ml of {_pct(recipe.ethanol_pct_vol)}{off} % vol{glycerin}"
    rows = [[what(part), amount(part.g), amount(part.ml)] for part in recipe.parts]
    return [f"{head}, at {at}:", *table(_PARTS, rows, colour=colour), *_ways(recipe)]


def _ways(recipe: "Recipe") -> list[str]:
    if len(recipe.parts) < 2:
        return []
    whole, last = f"{amount(recipe.volume_ml)} ml", recipe.made_up_with
    lines = ["By weight: the grams, in any order."]
    if last is None:
        lines.append(f"By volume: the millilitres; mixed they come to {whole}.")
    else:
        lines += [
            f"By volume: the others first, then {last.liquid} up to {whole}:",
            "the strength is then right, however much it shrinks.",
        ]
    lost_ml = recipe.contraction_ml
    if abs(lost_ml) >= 0.0005 * recipe.volume_ml:
        word = "less" if lost_ml > 0 else "more"
        lines.append(
            f"The volumes add up to {amount(recipe.simple_volume_ml)} ml; mixed it is "
            f"{rough(abs(lost_ml))} ml {word}."
        )
    return lines


def mix_answer(recipe: "Recipe", at: str) -> Answer:
    """The same as fields."""
    last = recipe.made_up_with
    return {
        "parts": [
            {"what": what(part), "ml": rounded(part.ml, 2), "g": rounded(part.g, 2)}
            for part in recipe.parts
        ],
        "volume_ml": rounded(recipe.volume_ml),
        "strength_pct_vol": rounded(recipe.ethanol_pct_vol),
        "glycerin_pct_vol": rounded(recipe.glycerin_pct_vol),
        "simple_volume_ml": rounded(recipe.simple_volume_ml),
        "contraction_ml": rounded(recipe.contraction_ml),
        "allowance_pct_vol": rounded(recipe.allowance_pct_vol, 1),
        "made_up_with": what(last) if last else None,
        "reachable": recipe.reachable,
        "why": recipe.why or None,
        "at": at,
    }


# What a jar takes


def size(
    filling: Filling,
    housed: Housed,
    herb_band_g: tuple[float, float] | None,
    *,
    headspace: float,
    ounces: UnitSystem | None,
) -> list[str]:
    """Herb, menstruum and jar, with what was taken for granted."""
    form, vessel = filling.form, housed.vessel
    many = f"{housed.count} of " if housed.count > 1 else ""
    holds = "" if vessel.name == f"{vessel.ml:g} ml" else f" ({rough(vessel.ml)} ml)"
    empty = f", {headspace:.0%} left empty" if headspace else ""
    band = ""
    if herb_band_g is not None:
        low, high = (_mass(grams, ounces) for grams in herb_band_g)
        band = f"; {low} to {high} by how it packs"
    return [
        f"  {form} herb  {_mass(filling.herb_g, ounces)}{band}",
        f"  menstruum   {_volume(filling.menstruum_ml, ounces)}",
        f"  ratio       {_ratio(filling.ratio, ounces)}",
        f"  they fill   {_volume(filling.filled_ml, ounces)}",
        f"  jar         {many}{vessel.name}{holds}{empty}",
        f"One gram of {form} herb is taken to fill {DISPLACEMENT_ML_PER_G[form]:.1f} ml:",
        f"{DISPLACEMENT_BASIS[form]}.",
    ]


def _mass(grams: float, ounces: UnitSystem | None) -> str:
    return f"{grams / OUNCE_G:.1f} oz ({rough(grams)} g)" if ounces else f"{rough(grams)} g"


def _volume(ml: float, ounces: UnitSystem | None) -> str:
    if ounces is None:
        return f"{rough(ml)} ml"
    return f"{ml / FLUID_OUNCE_ML[ounces]:.1f} fl oz ({rough(ml)} ml)"


def _ratio(value: float, ounces: UnitSystem | None) -> str:
    if ounces is None:
        return f"{ratio(value)} in g:ml"
    return f"{ratio(ratio_in_ounces(value, ounces))} in oz:fl oz, which is {ratio(value)} in g:ml"


def size_answer(
    filling: Filling,
    housed: Housed,
    herb_band_g: tuple[float, float] | None,
    units: UnitSystem,
) -> Answer:
    """The same as fields; the amounts are for all the jars together."""
    band = herb_band_g or (filling.herb_g, filling.herb_g)
    return {
        "form": filling.form,
        "herb_g": rounded(filling.herb_g, 2),
        "herb_band_g": {"from": rounded(band[0], 1), "to": rounded(band[1], 1)},
        "menstruum_ml": rounded(filling.menstruum_ml, 2),
        "jar": housed.vessel.name,
        "jar_ml": rounded(housed.vessel.ml, 2),
        "jars": housed.count,
        "ratio": rounded(filling.ratio),
        "ratio_oz_fl_oz": rounded(ratio_in_ounces(filling.ratio, units)),
        "filled_ml": rounded(filling.filled_ml, 2),
        "displacement_ml_per_g": DISPLACEMENT_ML_PER_G[filling.form],
    }
