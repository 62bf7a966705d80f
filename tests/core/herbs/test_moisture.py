"""Water in a fresh herb that nobody stated. Published rows: `data/moisture_fresh.csv`."""

import pytest

from tests.core.herbs.published import rows
from tests.lives import OneJar, spirit
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


def test_a_dried_herb_counts_as_dry_even_unweighed():
    """Then its strength is that of what was poured."""
    jar = OneJar.charged(herb="Hypericum perforatum", herb_g=None).now()

    assert amounts.herb_water(jar).ml == 0.0
    assert strength_pct_vol(jar) == pytest.approx(45.0)
    assert amounts.herb_water(fresh("Hypericum perforatum", herb_g=None).now()) is None
    assert allowance_pct_vol(fresh("Hypericum perforatum", herb_g=None).now()) is None


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
