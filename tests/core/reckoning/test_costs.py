"""Costs against sums worked by hand; every price is invented."""

from decimal import Decimal
from fractions import Fraction

import pytest
from msgspec.structs import replace

from tests.lives import Pen, spirit
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    Refilled,
    Restored,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Charged, DrawnOff, Recharged, Split, SplitPart, SteepedAgain
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered
from tracker.core.reckoning import costs
from tracker.core.replay.replay import replay
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.shelf import Shelf
from tracker.core.shelf.thing import Thing
from tracker.core.values.money import rounded_money, shared
from tracker.outputs.terminal.cost_lines import per_ml

HERB, SPIRIT = "herb-lot-0001", "spirit-lot-01"
JAR, PRESSED = "charge-00001", "pressing-0001"
MADE = About(jar=JAR, extract=PRESSED)


def a_book(pen: Pen, *, herb: str = "6.40", spirit_paid: str = "14.00") -> None:
    """100 g of herb for `herb`, 700 ml of spirit for `spirit_paid`: 500 ml of it poured."""
    pen.write(
        BoughtHerb(
            code="H-25-01",
            herb="Calendula officinalis",
            form="dried",
            herb_g=100.0,
            paid=herb or None,
        ),
        "2025-03-01",
        HERB,
    )
    pen.write(
        Bought(
            code="S-25-01",
            liquid="ethanol",
            volume_ml=700.0,
            ethanol_pct_vol=45.0,
            paid=spirit_paid or None,
        ),
        "2025-03-01",
        SPIRIT,
    )
    charge(pen, JAR, 100.0, 500.0)


def charge(pen: Pen, jar: str, herb_g: float, ml: float) -> None:
    fact = Charged(
        code=jar.upper(),
        herb="Calendula officinalis",
        form="dried",
        herb_g=herb_g,
        herb_water_pct_mass=0.0,
        herb_lot=HERB,
        pours=(replace(spirit(ml), lot=SPIRIT),),
        preparation="spirit on dried herb",
        least="P28D",
    )
    pen.write(fact, "2025-03-03", jar)


def press(pen: Pen, ml: float, jar: str = JAR, pressing: str = PRESSED) -> None:
    fact = Pressed(about=About(jar=jar), letter="A", volume_ml=ml, keeps="P12M")
    pen.write(fact, "2025-04-05", pressing)


def filter_to(pen: Pen, ml: float, about: About = MADE) -> None:
    pen.write(Filtered(about=about, volume_ml=ml), "2025-04-07")


def bottle(pen: Pen, *runs: tuple[int, float, str], about: About = MADE) -> None:
    first, filled = 1, []
    for count, size_ml, paid in runs:
        filled.append(BottleRun(size_ml=size_ml, count=count, first=first, paid_each=paid))
        first += count
    pen.write(Bottled(about=about, bottles=tuple(filled)), "2025-04-08")


def a_bottled_book() -> Shelf:
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    filter_to(pen, 358.0)
    bottle(pen, (3, 100.0, "0.90"), (1, 50.0, "0.70"))
    return replay(pen.entries)


def bottle_cost(shelf: Shelf, number: int) -> Decimal:
    jar = shelf.jars[JAR]
    extract = jar.extracts[0]
    thing = Thing("", jar, extract, extract.bottle(number))
    cost = costs.cost_of(thing, shelf.lots)
    assert cost is not None
    return rounded_money(cost + costs.bottles_cost(thing))


def test_a_jar_costs_what_went_in():
    """6.40 + 14.00 x 500 / 700 = 6.40 + 10.00."""
    pen = Pen()
    a_book(pen)
    shelf = replay(pen.entries)

    assert costs.cost_of(shelf.jars[JAR], shelf.lots) == Fraction("16.40")


def test_what_marc_and_filter_keep_costs_nothing_and_the_rest_the_more():
    """16.40 / 358 = 0.045810; x 100 + 0.90 = 5.48; x 50 + 0.70 = 2.99; x 8 = 0.37."""
    shelf = a_bottled_book()
    extract = shelf.jars[JAR].extracts[0]
    per_ml = costs.cost_per_ml(extract.made, shelf.lots)
    parts = [
        costs.cost_of(Thing("", shelf.jars[JAR], extract, one), shelf.lots)
        for one in extract.bottles
    ]

    assert per_ml == Fraction("16.40") / 358
    assert bottle_cost(shelf, 1) == Decimal("5.48")
    assert bottle_cost(shelf, 4) == Decimal("2.99")
    assert rounded_money(per_ml * 8) == Decimal("0.37")
    assert sum(parts) + per_ml * 8 == Fraction("16.40")
    assert sum(shared([*parts, per_ml * 8])) == Decimal("16.40")
    assert costs.cost_of(extract, shelf.lots) == Fraction("16.40")


def test_a_crock_split_into_two_jars_splits_its_cost():
    """(5.00 + 95.00) / 2 = 50.00; / 1010 = 0.0495; x 50 = 2.48, + 0.80 = 3.28."""
    pen = Pen()
    a_book(pen, herb="5.00", spirit_paid="133.00")  # 133.00 x 500 / 700 = 95.00
    halves = (SplitPart(code="A", share=0.5), SplitPart(code="B", share=0.5))
    pen.write(Split(about=About(jar=JAR), into=halves), "2025-03-04", "split-000001")
    one, other = "split-000001.1", "split-000001.2"
    before = replay(pen.entries)
    press(pen, 1030.0, one)
    about = About(jar=one, extract=PRESSED)
    filter_to(pen, 1010.0, about)
    bottle(pen, (1, 50.0, "0.80"), about=about)
    shelf = replay(pen.entries)
    extract = shelf.jars[one].extracts[0]
    thing = Thing("", shelf.jars[one], extract, extract.bottles[0])

    assert costs.cost_of(before.jars[one], before.lots) == 50
    assert costs.cost_of(before.jars[other], before.lots) == 50
    assert costs.cost_of(before.jars[JAR], before.lots) is None
    assert rounded_money(costs.cost_per_ml(extract.made, shelf.lots), Decimal("0.0001")) == Decimal(
        "0.0495"
    )
    assert rounded_money(costs.cost_of(thing, shelf.lots)) == Decimal("2.48")
    assert rounded_money(costs.cost_of(thing, shelf.lots) + costs.bottles_cost(thing)) == Decimal(
        "3.28"
    )
    assert costs.cost_of(extract, shelf.lots) == 50


def test_a_dried_lot_costs_its_part_of_the_fresh_one_and_that_its_part_again():
    """9.00 for 600 g; 400 g dried: 6.00; 60 g of the 80 g: 4.50; 30 g of the 60 g: 2.25."""
    pen = Pen()
    pen.write(
        Gathered(code="F", herb="Achillea millefolium", herb_g=600.0, paid="9.00"),
        "2025-06-01",
        "gathered-001",
    )
    pen.write(
        Dried(about=About(jar="gathered-001"), code="D", fresh_g=400.0, herb_g=80.0),
        "2025-06-09",
        "dried-000001",
    )
    pen.write(
        Dried(about=About(jar="dried-000001"), code="E", fresh_g=60.0, herb_g=60.0),
        "2025-06-19",
        "dried-000002",
    )
    lots = replay(pen.entries).lots

    assert costs.lot_cost(lots["dried-000001"], lots) == 6
    assert costs.lot_cost(lots["dried-000002"], lots) == Fraction("4.50")
    del lots["gathered-001"]
    assert costs.lot_cost(lots["dried-000002"], lots) is None


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (Fraction(50, 1010), "0.04950"),  # 0.049504...
        (Fraction(1, 3), "0.3333"),
        (Fraction(2, 3000), "0.0006667"),
        (Fraction("12.345"), "12.35"),
        (Fraction(1234), "1234.00"),
        (Fraction(0), "0.00"),
    ],
)
def test_a_price_per_ml_has_four_digits_that_count_and_never_less_than_cents(amount, text):
    assert per_ml(amount) == text
    assert per_ml(amount, "EUR") == f"{text} EUR"


def test_what_has_no_price_is_named_and_the_rest_is_still_reckoned():
    pen = Pen()
    a_book(pen, herb="")
    shelf = replay(pen.entries)

    assert costs.cost_of(shelf.jars[JAR], shelf.lots) == 10
    assert costs.unpriced(shelf.jars[JAR], shelf.lots) == ("Calendula officinalis",)


def test_where_nothing_has_a_price_there_is_no_cost_and_not_nought():
    pen = Pen()
    a_book(pen, herb="", spirit_paid="")
    press(pen, 370.0)
    shelf = replay(pen.entries)

    assert costs.cost_of(shelf.jars[JAR], shelf.lots) is None
    assert costs.cost_per_ml(shelf.jars[JAR].extracts[0].made, shelf.lots) is None
    assert costs.cost_of(Contents(), {}) is None


def test_an_old_marc_costs_nothing_in_the_second_steep():
    """The first extract carries the 16.40; the second what was poured anew: 100 ml, 2.00."""
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    pours = (replace(spirit(100.0), lot=SPIRIT),)
    pen.write(SteepedAgain(about=About(jar=JAR), pours=pours, least="P14D"), "2025-04-06")
    shelf = replay(pen.entries)
    jar = shelf.jars[JAR]

    assert costs.cost_of(jar, shelf.lots) == 2
    assert costs.cost_of(jar.extracts[0], shelf.lots) == Fraction("16.40")
    assert costs.unpriced(jar, shelf.lots) == ()


def test_a_recharge_with_a_part_leaves_the_rest_its_share():
    """150 of 370 ml go back: 16.40 x 150 / 370; new herb for 3.10 comes to it."""
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    pen.write(
        Recharged(
            about=MADE,
            herb="Calendula officinalis",
            form="dried",
            herb_g=40.0,
            herb_paid="3.10",
            volume_ml=150.0,
            least="P14D",
        ),
        "2025-04-06",
    )
    shelf = replay(pen.entries)
    jar = shelf.jars[JAR]

    back = Fraction("16.40") * 150 / 370
    assert costs.cost_of(jar, shelf.lots) == pytest.approx(back + Fraction("3.10"), abs=1e-9)
    assert costs.cost_of(jar.extracts[0], shelf.lots) == pytest.approx(
        Fraction("16.40") - back, abs=1e-9
    )


def test_nothing_goes_back_on_herb_that_is_still_in_the_jar():
    """A draw-off poured back would otherwise be all that is in the jar."""
    pen = Pen()
    a_book(pen)
    drawn = DrawnOff(about=About(jar=JAR), letter="A", volume_ml=100.0, keeps="P6M")
    pen.write(drawn, "2025-03-20", PRESSED)
    again = Recharged(
        about=MADE, herb="Calendula officinalis", form="dried", herb_g=40.0, least="P14D"
    )
    flagged = pen.write(again, "2025-03-21")
    jar = replay(pen.entries).jars[JAR]

    assert [flag.event for flag in jar.flags] == [flagged.id]
    assert jar.contents.volume_ml == pytest.approx(400)
    assert jar.extracts[0].volume_ml == 100


def test_more_drawn_off_than_was_reckoned_costs_no_more_than_there_was():
    pen = Pen()
    a_book(pen)
    drawn = DrawnOff(about=About(jar=JAR), letter="A", volume_ml=510.0, keeps="P6M")
    pen.write(drawn, "2025-03-20", PRESSED)
    shelf = replay(pen.entries)

    assert costs.cost_of(shelf.jars[JAR].extracts[0], shelf.lots) == Fraction("16.40")


def test_making_up_and_blending_and_refilling_carry_the_cost_along():
    """370 ml at 16.40 made up with 30 ml at 1.20: 17.60 in 400 ml, 0.044 per ml."""
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    pours = (Pour(liquid="ethanol", volume_ml=30.0, ethanol_pct_vol=45.0, paid="1.20"),)
    pen.write(MadeUp(about=MADE, pours=pours, volume_ml=400.0), "2025-04-07")
    bottle(pen, (2, 100.0, "0.90"))
    pen.write(Dispensed(about=replace(MADE, bottle=1), volume_ml=60.0), "2025-04-09")
    source = Portion(about=MADE, volume_ml=60.0)
    pen.write(Refilled(about=replace(MADE, bottle=1), source=source), "2025-04-10")
    parts = (Portion(about=MADE, volume_ml=100.0),
             Portion(about=replace(MADE, bottle=2), volume_ml=50.0))  # fmt: skip
    pen.write(Blended(code="B", parts=parts, volume_ml=148.0), "2025-04-11", "blend-000001")
    shelf = replay(pen.entries)
    jar, blend = shelf.jars[JAR], shelf.blends["blend-000001"]

    assert costs.cost_per_ml(jar.extracts[0].made, shelf.lots) == pytest.approx(
        Fraction("0.044"), abs=1e-12
    )
    assert costs.cost_of(blend, shelf.lots) == pytest.approx(Fraction("6.60"), abs=1e-9)
    assert bottle_cost(shelf, 1) == Decimal("5.30")
    whole = costs.cost_of(jar, shelf.lots) + costs.cost_of(blend, shelf.lots)
    assert whole == pytest.approx(Fraction("17.60") - 60 * Fraction("0.044"), abs=1e-9)


def test_what_a_discard_took_comes_back_as_it_was_though_the_bulk_changed_since():
    """70 ml at 16.40 / 370 go, the 300 left are filtered to 290: back come 70 at the old."""
    pen = Pen()
    a_book(pen)
    press(pen, 370.0)
    gone = pen.write(Discarded(about=MADE, volume_ml=70.0, why="spilt"), "2025-04-06")
    filter_to(pen, 290.0)
    pen.write(Restored(about=MADE, discard=gone.id), "2025-04-08")
    shelf = replay(pen.entries)
    extract = shelf.jars[JAR].extracts[0]

    assert extract.volume_ml == 360
    assert costs.cost_of(extract, shelf.lots) == pytest.approx(Fraction("16.40"), abs=1e-9)
