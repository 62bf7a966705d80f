"""Two lots of lemon balm in three jars, and one lot is called back. Invented, worked by hand.

Jar BA is of the first lot, BC of the second, BB of both: 100 g of the first, and 50 g of the
second a day later. All is 1:5 in 50 % spirit, so 5 ml stand for 1 g wherever they go.

    paid: 300 g at 9.00, 0.03 a g; 200 g at 8.00, 0.04 a g; 3 l of spirit at 60.00, 0.02 a ml
    BA    100 g x 0.03               + 500 ml x 0.02 =  3.00 + 10.00 = 13.00, pressed 400 ml
    BB    100 g x 0.03 + 50 g x 0.04 + 750 ml x 0.02 =  5.00 + 15.00 = 20.00, pressed 600 ml
    BC    100 g x 0.04               + 500 ml x 0.02 =  4.00 + 10.00 = 14.00, pressed 400 ml
    BLN   200 ml of BA + 300 ml of BB = half of each = 6.50 + 10.00 = 16.50, 500 ml

Dried herb is stated to have no water: the answers count it as dry.
"""

import pytest

from tests.command import Command

STORY = (
    'buy "Melissa officinalis" --part leaf --dried 300g --from "Hollin Farm" --paid 9.00 '
    "--when 2025-03-01",
    'buy "Melissa officinalis" --part leaf --dried 200g --from "Ferry Market" --paid 8.00 '
    "--when 2025-03-01",
    'buy "3 l 50%" --paid 60.00 --when 2025-03-01',
    'charge LOT-25-01 --dried 100g --water 0% --pour "500 ml LOT-25-03" --least 28d --shake none '
    "--code BA --when 2025-03-03",
    'charge LOT-25-01 --dried 100g --water 0% --pour "500 ml LOT-25-03" --least 28d --shake none '
    "--code BB --when 2025-03-03",
    "add-herb BB --dried 50g --water 0% --lot LOT-25-02 --when 2025-03-04",
    'top-up BB --pour "250 ml LOT-25-03" --when 2025-03-04',
    'charge LOT-25-02 --dried 100g --water 0% --pour "500 ml LOT-25-03" --least 28d --shake none '
    "--code BC --when 2025-03-05",
    "press BA 400ml --with hand --when 2025-04-05",
    "press BB 600ml --with hand --when 2025-04-06",
    "press BC 400ml --with hand --when 2025-04-07",
    'blend --part "200 ml BAA" --part "300 ml BBA" --code BLN --when 2025-04-10',
    "bottle BLN 4x100ml@0.50 --when 2025-04-11",
    "bottle BCA 3x100ml@0.50 --when 2025-04-11",
    "dispense BLN/1 --for C01 --when 2025-04-20",
    "dispense BCA/1 60ml --for C02 --when 2025-04-21",
    "dispense BAA 50ml --for C03 --when 2025-04-22",
)
RECALL = 'recall LOT-25-02 --why "the market called it back" --when 2025-05-01'


@pytest.fixture(scope="module")
def balm(tmp_path_factory):
    """The command after the recall, and what the recall answered."""
    command = Command(tmp_path_factory.mktemp("balm")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    command.rehearsed = command.json(RECALL, "--dry-run")
    command.recalled = command.json(RECALL)
    return command


def codes(answer, key):
    return {one["code"] for one in answer[key]}


def test_herb_of_two_lots_in_one_jar_is_one_to_five_and_ready_by_the_later(balm):
    jar = balm.asked("show BB --on 2025-03-04")

    assert jar["herb_g"] == pytest.approx(150)
    assert jar["ratio"] == pytest.approx(5.0)
    assert jar["earliest_press"] == "2025-04-01"  # 4 March and 28 days
    assert (jar["common"], jar["part"]) == ("lemon balm", "leaf")


def test_the_blend_stands_for_its_parts_and_keeps_as_the_first_of_them(balm):
    blend = balm.asked("show BLN --on 2025-04-11")

    assert blend["herb_g"] == pytest.approx(40 + 60)
    assert blend["ratio"] == pytest.approx(5.0)
    assert blend["strength_pct_vol"] == pytest.approx(50.0, abs=0.1)
    assert (blend["volume_ml"], blend["bottled_ml"]) == (100, 400)
    assert blend["good_through"] == "2026-04-05"  # BA was pressed a day before BB
    assert (blend["common"], blend["part"]) == ("lemon balm", "leaf")


def test_the_lots_add_up(balm):
    lots = {one["code"]: (one["used"], one["left"]) for one in balm.asked("lots --all")}

    assert lots == {
        "LOT-25-01": (200, 100), "LOT-25-02": (150, 50), "LOT-25-03": (1750, 1250),
    }  # fmt: skip


def test_the_money_adds_up_to_the_cent(balm):
    """The blend carries half of BA and of BB; what stays behind carries the other half."""
    cost = {
        code: balm.asked(f"show {code} --on 2025-04-11")["cost"]
        for code in ("BLN", "BAA", "BBA", "BCA", "BLN/1")
    }

    assert cost == {
        "BLN": "16.50", "BAA": "6.50", "BBA": "10.00", "BCA": "14.00",
        "BLN/1": "3.30",  # a fifth of 16.50
    }  # fmt: skip
    # 13.00 + 20.00 + 14.00 were spent on the three jars.
    assert sum(float(cost[one]) for one in ("BLN", "BAA", "BBA", "BCA")) == 47.0
    assert balm.asked("show BLN/1 --on 2025-04-11")["cost_with_bottles"] == "3.80"


def test_the_recall_lists_what_is_there_and_what_left(balm):
    for answer in (balm.rehearsed, balm.recalled):
        assert codes(answer, "on_hold") == {
            "LOT-25-02", "BBA", "BCA", "BCA/1", "BCA/2", "BCA/3", "BLN", "BLN/2", "BLN/3", "BLN/4",
        }  # fmt: skip
        left = [(one["code"], one["ml"], one["reference"]) for one in answer["left"]]
        assert left == [("BLN/1", 100, "C01"), ("BCA/1", 60, "C02")]


def test_what_holds_any_of_it_is_given_to_nobody_and_the_rest_is(balm):
    for code in ("BBA", "BLN", "BLN/2", "BCA/3"):
        line = f"dispense {code} 10ml --for C04 --when 2025-05-02"
        assert "called it back" in balm.refused(line)
    blend = 'blend --part "10 ml BAA" --part "10 ml BCA" --when 2025-05-02'
    lot = 'charge LOT-25-02 --dried 10g --pour "50 ml 50%" --when 2025-05-02'

    assert "called it back" in balm.refused(blend)
    assert "recalled on" in balm.refused(lot)
    assert balm.asked("show BBA")["on_hold"]
    assert not balm.asked("show BAA")["on_hold"]
    assert "140 ml left" in balm.ok("dispense BAA 10ml --for C04 --when 2025-05-02 --dry-run")


def test_the_trace_leads_from_the_lot_to_the_references_and_back(balm):
    down, up, other = (
        balm.asked(f"trace {what}") for what in ("LOT-25-02", "--for C01", "--for C03")
    )

    assert {"BB", "BBA", "BLN", "BLN/1", "C01", "BC", "BCA", "BCA/1", "C02"} <= codes(
        down, "went_into"
    )
    assert not {"BA", "BAA", "C03"} & codes(down, "went_into")
    assert codes(up, "came_from") == {
        "BLN/1", "BLN", "BAA", "BA", "BBA", "BB", "LOT-25-01", "LOT-25-02", "LOT-25-03",
    }  # fmt: skip
    assert codes(other, "came_from") == {"BAA", "BA", "LOT-25-01", "LOT-25-03"}


def test_a_held_jar_wants_the_maker_and_the_book_is_whole(balm):
    due = {line["code"]: line["what"] for line in balm.asked("due --on 2025-05-02")}

    assert {due.get(code) for code in ("BLN", "BBA", "BCA")} == {"safety"}
    assert "BAA" not in due
    assert "The book is whole" in balm.ok("check")
