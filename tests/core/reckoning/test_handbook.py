"""Formulas of old pharmacopoeias and of published monographs come out as they are printed.

`handbook_recipes.csv`: maceration formulas of public-domain pharmacopoeias and dispensatories,
each row with its title; `monograph_tinctures.csv`: ratio and strength from EMA/HMPC documents,
each row with its number. A row or cell "from memory" was not on the page and is left out.
"""

import csv
import re
from pathlib import Path

import pytest

from tests.lives import OneJar, on, spirit
from tracker.core.menstruum.mixture import Part, mixture
from tracker.core.menstruum.recipe import Stock, measure_out
from tracker.core.reckoning import amounts
from tracker.core.reckoning.sizing import filling_of_herb, filling_of_room, ratio_in_ounces
from tracker.core.reckoning.strength import strength_pct_vol
from tracker.core.values.times import parse_period
from tracker.quantities import grams, millilitres

DATA = Path(__file__).parents[1] / "menstruum" / "data"


def table(name):
    lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if line and not line.startswith("#")))


RECIPES = {row["id"]: row for row in table("handbook_recipes")}
MONOGRAPHS = table("monograph_tinctures")

# By weight throughout and the strength of the spirit not shown: no ratio of g to ml.
BY_WEIGHT = {"R25", "R26"}


def printed_ratio(row):
    """R of 1:R or of so many per cent w/v; None where the row states neither."""
    if found := re.match(r"1:(\d+(?:\.\d+)?)", row["ratio"]):
        return float(found[1])
    found = re.search(r"(\d+)% w/v", row["ratio"])
    return 100 / float(found[1]) if found else None


def basis(row):
    """By finished volume where it is always made up to one; else by what is poured."""
    made_up = row["made_up_to_volume"]
    return "finished" if made_up.startswith("yes") and "necessary" not in made_up else "poured"


def printed_days(row):
    """Whole days on the herb as printed; None where it is percolated, not shown or recalled."""
    days = row["maceration_days"]
    if "from memory" in days or "percolat" in row["method"] + days:
        return None
    if days == "2 + 1 night":
        return 3
    found = re.fullmatch(r"(\d+)(?: \([^)]*\))?", days)
    return int(found[1]) if found else None


def herb(row):
    """Grams; British ounces as the pharmacopoeias meant them, and a part is a gram."""
    amount, unit = re.match(r"([\d.]+) ?(oz)?", row["grams_drug"]).groups()
    return grams(f"{amount} {unit or 'g'}", "british").value


def liquid(text):
    """Millilitres of the volume a cell begins with; a part of liquid is a millilitre."""
    amount = re.match(r"[\d.]+ ?(?:fl oz|pints?|quart|parts?)?", text)[0].strip()
    is_metric = re.fullmatch(r"[\d.]+(?: parts?)?", amount)
    return millilitres(f"{amount.split()[0]} ml" if is_metric else amount, "british").value


STATED = [key for key, row in RECIPES.items() if printed_ratio(row) and key not in BY_WEIGHT]
POURED = [key for key in STATED if basis(RECIPES[key]) == "poured"]
FINISHED = [key for key in STATED if basis(RECIPES[key]) == "finished"]
DAYS = [key for key, row in RECIPES.items() if printed_days(row) is not None]


def charged(key, **more):
    """The formula put in a jar; the strength does not matter to its ratio."""
    row = RECIPES[key]
    first = row["menstruum_first_mL"] or row["finished_volume_mL"]
    usual = {"herb_g": herb(row), "pours": (spirit(liquid(first), 60.0),)}
    return OneJar.charged("1898-01-01", **(usual | more)).now()


def test_no_row_that_states_something_is_passed_over():
    assert len(RECIPES) == 34
    assert (len(POURED), len(FINISHED)) == (14, 13)
    assert len(DAYS) == 23  # five are from memory, six not stated or percolated


@pytest.mark.parametrize("key", POURED)
def test_a_ratio_by_menstruum_poured_is_as_printed(key):
    row = RECIPES[key]
    ratio = amounts.ratio(charged(key))
    if "oz" in row["grams_drug"]:
        ratio = ratio_in_ounces(ratio, "british")

    assert ratio == pytest.approx(printed_ratio(row), abs=0.05)


@pytest.mark.parametrize("key", FINISHED)
def test_a_ratio_by_finished_volume_makes_up_to_the_volume_printed(key):
    row = RECIPES[key]
    filling = filling_of_herb(herb(row), printed_ratio(row), "dried")

    assert filling.menstruum_ml == pytest.approx(liquid(row["finished_volume_mL"]), rel=0.001)


@pytest.mark.parametrize("key", FINISHED)
def test_a_ratio_by_finished_volume_is_never_taken_for_one_by_what_was_poured(key):
    row = RECIPES[key]
    meant = f"1:{printed_ratio(row):g}"
    jar = charged(key, ratio_meant=meant, ratio_basis="finished")
    first = row["menstruum_first_mL"]

    assert (jar.ratio_meant, jar.ratio_basis) == (meant, "finished")
    if first and liquid(first) < liquid(row["finished_volume_mL"]):
        assert amounts.ratio(jar) < printed_ratio(row)


@pytest.mark.parametrize("key", DAYS)
def test_the_days_on_the_herb_are_as_printed(key):
    days = printed_days(RECIPES[key])
    jar = charged("R01", least=parse_period(f"{days}d").iso)

    assert (amounts.earliest_press(jar) - on("1898-01-01").earliest).days == days


# Monographs


def planned(row):
    """Every ratio with every strength that a row states."""
    ratios = re.search(r"1:(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))?", row["ratio"])
    if row["seen"] != "seen" or ratios is None:
        return []
    strengths = [float(text) for text in row["ethanol_pct_vv"].split("-")]
    return [(float(one), pct) for one in ratios.groups() if one for pct in strengths]


PLANNED = sorted({plan for row in MONOGRAPHS for plan in planned(row)})


def test_every_monograph_that_was_seen_and_states_a_ratio_is_planned():
    without = [row["latin_name"] for row in MONOGRAPHS if not planned(row)]
    seen = [row for row in MONOGRAPHS if row["seen"] == "seen"]

    assert (len(MONOGRAPHS), len(seen)) == (43, 32)
    assert len(MONOGRAPHS) - len(without) == 30  # two of those seen show no ratio


@pytest.mark.parametrize(("ratio", "pct_vol"), PLANNED)
def test_a_monograph_tincture_is_sized_and_mixed_to_its_ratio_and_strength(ratio, pct_vol):
    """A 500 ml jar of dried herb, its menstruum mixed from 96 % and water."""
    filling = filling_of_room(500.0, ratio, "dried")
    recipe = measure_out(
        [Stock("ethanol", 96.0), Stock("water")],
        ethanol_pct_vol=pct_vol,
        volume_ml=filling.menstruum_ml,
    )
    poured = mixture([Part(one.liquid, one.ml, one.ethanol_pct_vol) for one in recipe.parts])
    jar = OneJar.charged(
        herb_g=filling.herb_g, pours=(spirit(poured.volume_ml, poured.ethanol_pct_vol),)
    ).now()

    assert recipe.reachable
    assert filling.filled_ml == pytest.approx(500.0)
    assert amounts.ratio(jar) == pytest.approx(ratio, rel=1e-6)
    assert strength_pct_vol(jar) == pytest.approx(pct_vol, abs=1e-6)
