"""A marigold extract poured on lemon balm, pressed, bottled and let down. Invented.

Worked by hand. The spirit costs 30.00 for 1000 ml, 0.03 a millilitre. The first jar has 100 g
of herb for 8.00 and 500 ml of it for 15.00: its 400 ml that were pressed cost 23.00, and of
the 500 ml that stood on the herb each stands for 0.2 g.

200 ml of it go on 50 g of new herb for 4.00, with 100 ml of the spirit for 3.00:

    herb     200 ml x 0.2 g = 40 g of the first, 50 g of the second
    ethanol  (200 ml + 100 ml) x 60 % = 180 ml in 300 ml
    cost     23.00 x 200/400 + 4.00 + 3.00 = 18.50

240 ml of the 300 ml are pressed, and carry all of the cost. 100 ml are bottled; the 140 ml in
bulk hold 140/300 of the herb and 84 ml of ethanol, and come to 200 ml with 60 ml of water.
"""

import pytest

from tests.command import Command

STORY = (
    'buy "1000 ml 60%" --paid 30.00 --when 2025-01-05',
    'charge "Calendula officinalis" --part flower --dried 100g --water 0% --paid 8.00 '
    '--pour "500 ml LOT-25-01" --least 28d --when 2025-01-06',
    "press CAOF-25-01 400ml --when 2025-03-03",
    'charge "Melissa officinalis" --part herb --dried 50g --water 0% --paid 4.00 '
    '--pour "200 ml CAOF-25-01A" --pour "100 ml LOT-25-01" --least 28d --when 2025-03-04',
    "press MEOF-25-01 240ml --when 2025-05-05",
    "bottle MEOF-25-01A 2x50ml --when 2025-05-06",
    'dilute MEOF-25-01A --pour "60 ml water" --when 2025-05-07',
)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory):
    command = Command(tmp_path_factory.mktemp("kitchen")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command


def herbs(answer) -> dict[str, float]:
    return {one["herb"]: one["herb_g"] for one in answer["herbs"]}


def test_herb_spirit_and_cost_come_along_in_proportion(kitchen):
    jar = kitchen.asked("show MEOF-25-01 --on 2025-03-05")

    assert herbs(jar) == {"Calendula officinalis": 40, "Melissa officinalis": 50}
    assert (jar["volume_ml"], jar["poured_ml"]) == (300, 300)
    assert jar["strength_pct_vol"] == 60
    assert (jar["cost"], jar["cost_of_herb"], jar["cost_of_menstruum"]) == (
        "18.50",
        "8.00",  # 8.00 x 200/400 + 4.00
        "10.50",  # 15.00 x 200/400 + 3.00
    )


def test_what_is_left_of_the_first_extract_carries_the_rest(kitchen):
    rest = kitchen.asked("show CAOF-25-01A")

    assert rest["volume_ml"] == 200
    assert rest["cost"] == "11.50"
    assert rest["good_through"] == "2026-03-03"


def test_the_spirit_of_the_lot_is_counted_once(kitchen):
    """500 ml and 100 ml of it were used; what came by the extract is among the 500."""
    (lot,) = kitchen.asked("lots")

    assert lot["left"] == 400


def test_the_second_pressing_has_its_own_day_and_all_the_cost(kitchen):
    extract = kitchen.asked("show MEOF-25-01A --on 2025-05-05")

    assert extract["good_through"] == "2026-05-05"
    assert extract["cost"] == "18.50"


def test_let_down_with_water_it_holds_what_it_held(kitchen):
    extract = kitchen.asked("show MEOF-25-01A")

    assert extract["volume_ml"] == 200
    assert extract["strength_simple_pct_vol"] == 42  # 84 ml in 200 ml
    found = herbs(extract)
    assert found["Calendula officinalis"] == pytest.approx(40 * 140 / 300, abs=0.001)
    assert found["Melissa officinalis"] == pytest.approx(50 * 140 / 300, abs=0.001)


def test_a_bottle_filled_before_is_as_strong_as_it_was(kitchen):
    bottle = kitchen.asked("show MEOF-25-01A/1")

    assert bottle["strength_pct_vol"] == 60
