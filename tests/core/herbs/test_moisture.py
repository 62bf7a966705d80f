"""Water in a fresh herb that nobody stated. Published rows: `data/moisture_fresh.csv`."""

import pytest

from tests.core.herbs.published import rows
from tests.lives import OneJar, spirit
from tracker.core.facts.fields import Pour
from tracker.core.herbs.moisture import DEFAULT_PCT, fresh_moisture
from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import allowance_pct_vol, mixture_in, strength_pct_vol

MOISTURE = rows("moisture_fresh.csv")
DEFAULT = (75.0, "default for fresh herb")


def of(herb: str, part: str | None = None) -> tuple[float, str]:
    """Percent of water, and what it is based on."""
    found = fresh_moisture(herb, part)
    return found.pct_mass, found.basis


@pytest.mark.parametrize("row", MOISTURE, ids=lambda row: f"{row['latin_name']} {row['part']}")
def test_every_published_row_is_found_by_plant_and_part(row):
    pct, latin = float(row["moisture_pct_fresh"]), row["latin_name"]
    published = (pct, f"published for {latin}, {row['part']}")
    species = latin.partition(" (")[0].partition("/")[0].replace("spp.", "communis")

    assert of(species, row["part"]) == published
    assert of(species.replace(" x ", " × ").upper(), row["part"]) == published
    assert of(row["english_name"], row["part"]) == published


@pytest.mark.parametrize(
    ("herb", "part", "pct"),
    [
        ("Rosmarinus officinalis", "leaf", 67.77),
        ("Epilobium angustifolium", "leaf", 70.78),
        ("Urginea scilla", "bulb", 71.0),
        ("Sambucus canadensis", "berry", 79.8),
        ("Calendula officinalis L.", "flowers", 86.0),
        ("Hypericum perforatum", "flowering tops", 56.0),
        ("Zingiber officinale", "root", 78.89),  # the rhizome is what the trade calls root
        ("Mentha x piperita", "herb", 78.65),
        ("Taraxacum officinale", "leaf", 85.6),
        ("Taraxacum officinale", "root", 75.0),  # the whole plant, for want of the root
        ("Taraxacum officinale", None, 75.0),
        ("Cichorium intybus", "root", 80.0),
        ("Cichorium intybus", None, 92.0),  # the wetter: never stronger than it is
        ("Rumex crispus", "leaf", 93.0),
        ("Borago officinalis", "flower", 93.0),  # green like the leaf, which is published
        ("Rosa canina", "hip", 58.66),
    ],
)
def test_a_like_part_or_the_whole_plant_stands_in(herb, part, pct):
    assert of(herb, part)[0] == pct


@pytest.mark.parametrize(
    ("herb", "part"),
    [
        ("Rumex crispus", "root"),
        ("Rosa canina", "petals"),
        ("Sambucus nigra", "flower"),
        ("Foeniculum vulgare", "fruit"),
        ("Echinacea purpurea", "herb"),
        ("Salvia officinalis", "leaf"),
        ("glowing tops", None),
        ("", None),
    ],
)
def test_where_nothing_is_published_of_such_a_part_it_is_the_default(herb, part):
    """Dock leaf has 93 % water; nobody should reckon dock root with that."""
    assert of(herb, part) == DEFAULT


def test_the_allowance_of_a_default_spans_what_is_published():
    pcts = [float(row["moisture_pct_fresh"]) for row in MOISTURE]
    found = fresh_moisture("glowing tops", None)

    assert found.pct_mass - found.off_pct <= min(pcts)
    assert found.pct_mass + found.off_pct == pytest.approx(max(pcts), abs=0.5)
    assert fresh_moisture("Hypericum perforatum", None).off_pct < found.off_pct


# In a jar


def fresh(herb: str, **changes: object) -> OneJar:
    """500 g of fresh herb of no stated moisture in a litre of 95 %."""
    usual = {"herb": herb, "part": None, "form": "fresh", "herb_g": 500.0}
    usual |= {"pours": (spirit(1000.0, 95.0),), "preparation": "spirit on fresh herb"}
    return OneJar.charged(**usual | changes)


def test_a_published_moisture_reckons_as_if_it_had_been_stated():
    """OIML R 22 by hand: 500 g at 56 % in 1000 ml of 95 % are 75.8 %, simply added 74.2."""
    jar = fresh("Hypericum perforatum").now()
    water = amounts.herb_water(jar)

    assert strength_pct_vol(jar) == pytest.approx(75.8, abs=0.05)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(74.2, abs=0.05)
    assert water is not None
    assert water.ml == pytest.approx(280 / 0.9982, abs=0.01)  # 280 g; OIML R 22: 0.9982 kg/l
    assert (water.basis, water.is_default) == (
        "published for Hypericum perforatum, entire fresh plant", False,
    )  # fmt: skip


def test_the_maker_s_own_moisture_comes_first():
    water = amounts.herb_water(fresh("Hypericum perforatum", herb_water_pct_mass=70.0).now())

    assert (water.basis, water.pct_mass, water.off_pct) == ("stated", 70.0, 0.0)


def test_a_plant_of_which_nothing_is_known_has_the_default_and_says_so():
    water = amounts.herb_water(fresh("glowing tops").now())

    assert (water.basis, water.is_default) == ("default for fresh herb", True)
    assert water.ml == pytest.approx(5 * DEFAULT_PCT / 0.9982, rel=1e-4)


def dried(**changes: object) -> OneJar:
    return OneJar.charged(**({"herb_water_pct_mass": None} | changes))


def test_water_stays_in_dried_herb_and_its_strength_and_dry_weight_say_so():
    """10 % of 100 g, common practice; by hand 500 ml of 45 % and 10 of water are 44.1 %."""
    jar = dried().now()
    water = amounts.herb_water(jar)

    assert water.ml == pytest.approx(10 / 0.9982, rel=1e-4)  # OIML R 22: 0.9982 kg/l
    assert (water.pct_mass, water.off_pct) == (10.0, 5.0)
    assert (water.basis, water.is_default) == ("common practice for dried herb", True)
    assert strength_pct_vol(jar) == pytest.approx(44.1, abs=0.05)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(22500 / 510.02, abs=0.01)
    assert amounts.dry_herb_g(jar) == pytest.approx(90.0)


def test_the_allowance_of_a_dried_herb_covers_5_and_15_per_cent():
    jar = dried().now()
    off = allowance_pct_vol(jar)

    for pct in (5.0, 15.0):
        other = strength_pct_vol(dried(herb_water_pct_mass=pct).now())
        assert abs(other - strength_pct_vol(jar)) <= off < 1


def test_the_bound_of_a_dried_herb_takes_in_the_most_water_it_may_have():
    assert amounts.hard_bound_ml(dried().now()) == pytest.approx(500 + 15 / 0.9982, abs=0.01)
    assert amounts.hard_bound_ml(dried(herb_water_pct_mass=0.0).now()) == pytest.approx(500)


@pytest.mark.parametrize("form", ["dried", "fresh"])
def test_of_a_herb_nobody_weighed_the_water_is_not_known_unless_it_has_none(form):
    """Unknown is never zero."""
    jar = dried(herb="Hypericum perforatum", form=form, herb_g=None).now()
    stated = dried(form=form, herb_g=None, herb_water_pct_mass=0.0).now()

    assert amounts.herb_water(jar) is strength_pct_vol(jar) is allowance_pct_vol(jar) is None
    assert amounts.herb_water(stated).ml == 0.0
    assert strength_pct_vol(stated) == pytest.approx(45.0)


@pytest.mark.parametrize("pct", [None, 0.0, 10.0])
def test_what_the_marc_held_is_of_what_was_poured_however_dry_the_herb(pct):
    """370 of 500 ml on 100 g: 1.3 ml per gram."""
    one = dried(herb_water_pct_mass=pct)
    one.press(ml=370.0)

    assert amounts.held_ml_per_g(one.now()) == pytest.approx(1.3)


def test_oil_leaves_the_water_in_dried_herb():
    oil = Pour(liquid="oil", volume_ml=500.0)
    jar = dried(pours=(oil,), preparation="oil").now()

    assert mixture_in(jar).volume_ml == 500.0
    assert strength_pct_vol(jar) == 0.0


def test_a_wine_on_dried_herb_is_said_with_what_its_water_may_take():
    """15 g of water in 500 ml of 12 % are 12 x 15 / 515 = 0.35 points."""
    wine = Pour(liquid="other", volume_ml=500.0, ethanol_pct_vol=12.0, name="wine")
    jar = dried(pours=(wine,), preparation="other").now()

    assert strength_pct_vol(jar) == 12.0
    assert allowance_pct_vol(jar) == pytest.approx(0.35, abs=0.01)


def test_the_allowance_covers_the_driest_and_the_wettest_it_may_have_been():
    jar = fresh("glowing tops").now()
    strength, allowance = strength_pct_vol(jar), allowance_pct_vol(jar)

    for pct in (55.0, 95.0):
        other = strength_pct_vol(fresh("glowing tops", herb_water_pct_mass=pct).now())
        assert abs(other - strength) <= allowance
    assert allowance < 10
    stated = fresh("glowing tops", herb_water_pct_mass=75.0).now()
    assert allowance_pct_vol(stated) == mixture_in(stated).allowance_pct_vol


@pytest.mark.parametrize("herb", ["Apium graveolens", "Hypericum perforatum", "glowing tops"])
def test_the_hard_bound_stays_generous_where_the_maker_did_not_state_the_water(herb):
    """A bound must never refuse a real measurement: a published mean is no limit."""
    unstated = fresh(herb).now()

    assert amounts.hard_bound_ml(unstated) >= 1000 + 500 * 0.95
