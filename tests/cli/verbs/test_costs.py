"""What `show` and `stock --cost` say of money; prices invented, sums worked by hand."""

import csv
from decimal import Decimal

import pytest

from tests.books import written_down
from tests.command import Command
from tests.core.reckoning.test_costs import a_book, bottle, filter_to, press
from tests.lives import Pen


@pytest.fixture(scope="module")
def priced(tmp_path_factory):
    """16.40 in 358 ml: 3 x 100 ml, 1 x 50 ml and 8 ml in bulk."""
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    filter_to(pen, 358.0)
    bottle(pen, (3, 100.0, "0.90"), (1, 50.0, "0.70"))
    return written_down(Command(tmp_path_factory.mktemp("priced")), pen.entries)


def test_show_says_what_a_extract_and_each_of_its_bottles_cost(priced):
    lines = [" ".join(line.split()) for line in priced.ok("show CHARGE-00001A").splitlines()]

    assert "cost 16.40 EUR for what is left = herb 6.40 + menstruum 10.00" in lines
    assert "cost per ml 0.04581 EUR" in lines
    assert "bottle of 100 ml 5.48 EUR = 4.58 + 0.90 the bottle" in lines
    assert "bottle of 50 ml 2.99 EUR = 2.29 + 0.70 the bottle" in lines
    assert "cost of the bulk 0.37 EUR for 8 ml" in lines


def test_show_of_one_bottle_says_it_with_and_without_the_glass(priced):
    lines = [" ".join(line.split()) for line in priced.ok("show CHARGE-00001A/1").splitlines()]
    answer = priced.json("show CHARGE-00001A/1")

    assert "with its bottle 5.48 EUR = 4.58 + 0.90" in lines
    assert (answer["cost"], answer["cost_with_bottles"]) == ("4.58", "5.48")
    # 6.40 x 100 / 358 = 1.788 and 10.00 x 100 / 358 = 2.793: 4.58 together.
    assert (answer["cost_of_herb"], answer["cost_of_menstruum"]) == ("1.79", "2.79")
    assert answer["cost_of_bottles"] == "0.90"
    assert answer["cost_per_ml"] == "0.04581"
    assert (answer["currency"], answer["cost_partial"]) == ("EUR", [])


def test_the_parts_of_the_stock_add_up_to_the_cent(priced):
    """4.581 + 4.581 + 4.581 + 2.291 + 0.366 rounded one by one would be 16.40 by luck only."""
    (row,) = priced.json("stock")
    parts = [row["bulk_cost"], *(one["cost"] for one in row["bottles"])]

    assert sum(map(Decimal, parts)) == Decimal(row["cost"]) == Decimal("16.40")
    assert [one["cost_with_bottle"] for one in row["bottles"]] == ["5.48"] * 3 + ["2.99"]
    assert row["cost_with_bottles"] == "19.80"  # 16.40 + 3 x 0.90 + 0.70


def test_the_stock_has_a_column_for_it_within_80_cells(priced):
    head, row = priced.ok("stock --cost --on 2025-04-09").splitlines()

    assert head.split()[-5:] == ["COST", "PER", "ML", "GOOD", "THROUGH"]
    assert "16.40" in row.split()
    assert "0.04581" in row.split()
    assert max(len(head), len(row)) <= 80


def test_the_csv_has_the_same_amounts(priced):
    (row,) = csv.DictReader(priced.ok("stock --csv").splitlines())

    assert (row["cost"], row["cost_per_ml"], row["currency"]) == ("16.40", "0.04581", "EUR")


def test_what_has_no_price_is_said_beside_the_cost_of_the_rest(tmp_path):
    """10.00 for the spirit; nobody said what the herb cost."""
    pen = Pen()
    a_book(pen, herb="")
    press(pen, 370.0)
    command = written_down(Command(tmp_path), pen.entries)

    said = " ".join(command.ok("show CHARGE-00001A").split())
    assert "= herb – + menstruum 10.00, without Calendula officinalis: no price" in said
    assert command.json("show CHARGE-00001A")["cost_partial"] == ["Calendula officinalis"]
    assert "~10.00" in command.ok("stock --cost --on 2025-05-01")


def test_a_book_without_prices_says_nothing_of_money(worked):
    assert "cost" not in worked.ok("show CAOF-25-01A")
    assert worked.json("show CAOF-25-01A")["cost"] is None
    assert "–" in worked.ok("stock --cost")


def test_what_the_money_is_called_is_a_rule_of_the_makers_own(command):
    command.practice('currency = "a name far too long"\n')

    assert "currency" in command.refused("practice", code=2)
    command.practice('currency = "CHF"\n')
    rules = {one["rule"]: one["in_force"] for one in command.json("practice")}
    assert rules["currency"] == "CHF"
