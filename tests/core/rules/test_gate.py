"""What the gate says of any fact: that things are there, days, holds, names and lots."""

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from tests.core.house import HERB as MELISSA
from tests.core.house import House, examples
from tests.core.rules.asking import NOW, misuses, said, verdict
from tests.lives import OneJar, a_charge, at, on
from tracker.core.facts.amendments import Away, Held, Noted, Released
from tracker.core.facts.extracts import Diluted, Dispensed, MadeUp
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import (
    Found,
    HerbAdded,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import traits_of
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.practice.practice import Practice
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When

HOUSE = House()
EXAMPLES = examples(HOUSE)
BY_KIND = [pytest.param(fact, id=fact.kind) for fact in EXAMPLES]


def fitting(fact):
    """The example with a code that its kind may give: those of the table are free names."""
    return replace(fact, code="LOT-25-09") if traits_of(fact).opens == "lot" else fact


@pytest.mark.parametrize("fact", BY_KIND)
def test_what_fits_is_admitted_without_a_word(fact):
    """One example of every kind: every other test changes one thing about it."""
    assert verdict(HOUSE.pen.entries, fitting(fact)).findings == ()


# Things


GONE = About(jar="nothing-0000")


@pytest.mark.parametrize(
    "fact",
    [
        Noted(about=GONE),
        Shaken(jars=(HOUSE.steeping.charge.id, GONE.jar)),
        Dispensed(about=HOUSE.done.extract(bottle=9)),
        LookedAt(about=About(jar=HOUSE.done.charge.id, extract=GONE.jar)),
        Dried(about=GONE, code="LOT-25-09", fresh_g=1.0, herb_g=1.0),
        Recalled(about=GONE, why="cloudy"),
        Recalled(about=About(jar=HOUSE.herb.id), jars=(GONE.jar,), why="cloudy"),
    ],
    ids=lambda fact: fact.kind,
)
def test_nothing_happens_to_what_nothing_opens(fact):
    findings = verdict(HOUSE.pen.entries, fact).findings

    assert {(one.rule, one.weight) for one in findings} == {("thing", "refusal")}


# Days


@pytest.mark.parametrize(
    "when",
    [
        When(NOW),
        When(NOW + timedelta(minutes=4)),  # clocks of two machines differ by a little
        When(NOW + timedelta(days=900), "unknown"),
        on("2026-01-01"),
        on("2025-06-01", "month"),
        on("2026-01-01", "year"),
        on("1995-01-01", "year"),
    ],
    ids=str,
)
def test_what_has_begun_may_be_recorded(when):
    assert verdict([], a_charge(), when).findings == ()


@pytest.mark.parametrize(
    "when",
    [
        When(NOW + timedelta(minutes=6)),
        on("2026-01-02"),
        on("2026-02-01", "month"),
        on("2026-03-01", "season"),
        on("2027-01-01", "year"),
    ],
    ids=str,
)
def test_what_has_not_come_yet_is_refused(when):
    assert said(verdict([], a_charge(), when)) == {("date", "CAOF-25-01", "refusal")}


@pytest.mark.parametrize("fact", BY_KIND)
def test_nothing_of_any_kind_lies_in_the_future(fact):
    assert "date" in {one.rule for one in verdict(HOUSE.pen.entries, fact, "2026-03-01").refusals}


OPENED = [
    ("2025-03-02", HOUSE.steeping.jar, "ONE-1"),
    ("2025-06-02", HOUSE.done.extract(), "DONE-1A"),
    ("2025-06-03", HOUSE.done.extract(bottle=1), "DONE-1A/1"),
    ("2024-12-31", About(jar=HOUSE.spirit.id), "SPIRIT-1"),
]


@pytest.mark.parametrize(("day_before", "about", "code"), OPENED, ids=[one[2] for one in OPENED])
def test_nothing_happens_to_a_thing_before_there_was_one(day_before, about, code):
    entries = HOUSE.pen.entries
    (finding,) = verdict(entries, Noted(about=about), day_before).findings
    day = date.fromisoformat(day_before) + timedelta(days=1)

    assert (finding.rule, finding.code, finding.weight) == ("date", code, "refusal")
    assert short_day(day) in finding.what
    assert verdict(entries, Noted(about=about), on(day)).findings == ()


@pytest.mark.parametrize("when", [on("2025-03-01", "month"), at("2025-03-03T07:00+01:00")], ids=str)
def test_a_time_that_may_lie_after_the_opening_is_let_pass(when):
    """The charge is known to the day only: which came first that day is not."""
    assert verdict(HOUSE.pen.entries, Noted(about=HOUSE.steeping.jar), when).findings == ()


def test_a_jar_charged_on_a_day_nobody_knows_bars_no_earlier_one():
    one = OneJar.charged(When(on("2025-03-03").start, "unknown"))

    assert verdict(one.entries, Noted(about=one.jar), "2020-01-01").findings == ()


def test_days_away_have_an_order():
    backwards = Away(first=date(2025, 7, 2), last=date(2025, 7, 1))
    found = verdict([], backwards)

    assert said(found) == {("order", "the days away", "refusal")}
    assert misuses(found) == {True}


# Holds: what changes or takes what is in a thing is stopped, and nothing else is


def held(house: House, how: str) -> None:
    """Put everything on hold that the examples work on."""
    things = [house.steeping.jar, house.second.jar, house.done.jar, house.other.jar]
    if how == "extract":
        things = [house.done.extract(), house.other.extract()]
    for about in things:
        is_look = how == "look"
        fact = LookedAt(about=about, verdict="hold") if is_look else Held(about=about, why="smell")
        house.pen.write(fact, "2025-06-06")
    for lot in (house.spirit, house.herb):
        recalled = how == "look"
        about = About(jar=lot.id)
        fact = Recalled(about=about, why="cloudy") if recalled else Held(about=about, why="smell")
        house.pen.write(fact, "2025-06-06")


@pytest.mark.parametrize("how", ["word", "look"])
@pytest.mark.parametrize("place", range(len(EXAMPLES)), ids=[fact.kind for fact in EXAMPLES])
def test_a_hold_stops_what_changes_the_contents_and_nothing_else(place, how):
    house = House()
    fact = examples(house)[place]
    held(house, how)
    rules = {one.rule for one in verdict(house.pen.entries, fitting(fact)).refusals}
    stops = traits_of(fact).contents == "changed"

    assert rules == ({"hold"} if stops else set())


@pytest.mark.parametrize("bottle", [None, 1])
def test_what_belongs_to_something_on_hold_is_on_hold(bottle):
    house = House()
    held(house, "extract")
    found = verdict(house.pen.entries, Dispensed(about=house.done.extract(bottle), volume_ml=5.0))
    code = "DONE-1A/1" if bottle else "DONE-1A"

    assert said(found) == {("hold", code, "refusal")}
    assert "release DONE-1A " in found.refusals[0].do


@pytest.mark.parametrize(
    ("about", "code"),
    [(HOUSE.steeping.jar, "ONE-1"), (HOUSE.done.extract(), "DONE-1A")],
    ids=["jar", "extract"],
)
def test_what_is_not_on_hold_is_not_released(about, code):
    found = verdict(HOUSE.pen.entries, Released(about=about, why="clear"))

    assert said(found) == {("hold", code, "refusal")}


def test_what_is_held_with_its_jar_is_released_with_it():
    house = House()
    house.pen.write(Held(about=house.done.jar, why="smell"), "2025-06-06")
    found = verdict(house.pen.entries, Released(about=house.done.extract(), why="clear"))

    assert said(found) == {("hold", "DONE-1A", "refusal")}
    assert "release DONE-1 " in found.refusals[0].do
    assert verdict(house.pen.entries, Released(about=house.done.jar, why="clear")).findings == ()


def test_a_bottle_is_held_with_its_extract():
    found = verdict(HOUSE.pen.entries, Held(about=HOUSE.done.extract(bottle=1), why="smell"))

    assert said(found) == {("kind", "DONE-1A/1", "refusal")}
    assert "DONE-1A" in found.refusals[0].do


# Names and codes


def gathered(code="LOT-25-09", herb="Melissa officinalis"):
    return Gathered(code=code, herb=herb, herb_g=50.0)


def bought_herb(code="LOT-25-09", herb="Melissa officinalis"):
    return BoughtHerb(code=code, herb=herb, form="dried", herb_g=50.0)


def added(herb="Melissa officinalis"):
    return HerbAdded(about=HOUSE.steeping.jar, herb=herb, form="dried", herb_g=5.0)


def found_jar(herb="Melissa officinalis"):
    return Found(code="NEW-1", herb=herb, form="dried")


def recharged(herb="Melissa officinalis"):
    return Recharged(about=HOUSE.done.extract(), least="P28D", **MELISSA | {"herb": herb})


PLANTS = [lambda herb: a_charge(code="NEW-1", herb=herb), found_jar, added, recharged]
PLANTS += [lambda herb: gathered(herb=herb), lambda herb: bought_herb(herb=herb)]
BY_PLANT = pytest.mark.parametrize(
    "of", PLANTS, ids=["charged", "found", "added", "recharged", "gathered", "bought"]
)


@BY_PLANT
@pytest.mark.parametrize("name", ["DONE-25-01A", "CAOF-25-01", "melo-25-11b/3", "155g", "-", "TEA"])
def test_a_code_or_a_weight_is_no_plant(of, name):
    found = verdict(HOUSE.pen.entries, of(name), taken={"TEA"})

    assert {(one.rule, one.weight) for one in found.findings} == {("name", "refusal")}
    assert misuses(found) == {True}


@BY_PLANT
@pytest.mark.parametrize("name", ["Calendula", "× Ruttya", "鬱金", "Ringelblume 'Nova'"])
def test_a_plant_is_called_what_its_maker_calls_it(of, name):
    assert verdict(HOUSE.pen.entries, of(name)).findings == ()


def test_letters_of_two_scripts_in_a_name_are_a_warning():
    """The first letter is Cyrillic: nobody finds it by typing."""
    found = verdict([], a_charge(herb="\u0421alendula officinalis"))

    assert {(one.rule, one.weight) for one in found.findings} == {("name", "warning")}
    assert "CYRILLIC" in found.warnings[0].what.upper()


@pytest.mark.parametrize(
    "code", ["A", "-A1", "A1-", "A 1", "A/1", "A" * 21, "LOT-25-01", "lot-25-1"]
)
def test_a_code_of_ones_own_can_be_said_and_typed(code):
    assert said(verdict([], a_charge(code=code))) == {("code", code, "refusal")}


@pytest.mark.parametrize("code", ["A1", "CAOF-25-01", "a" * 20])
def test_a_free_code_is_given(code):
    assert verdict([], a_charge(code=code)).findings == ()


@pytest.mark.parametrize(
    ("fact", "code"),
    [
        (a_charge(code="new-1"), "new-1"),
        (Found(code="NEW-1", herb="Melissa", form="dried"), "NEW-1"),
        (gathered("LOT-25-08"), "LOT-25-08"),
        (bought_herb("LOT-25-08"), "LOT-25-08"),
        (Bought(code="LOT-25-08", liquid="water", volume_ml=1.0), "LOT-25-08"),
    ],
    ids=lambda value: getattr(value, "kind", ""),
)
def test_a_code_that_is_taken_is_not_given_again(fact, code):
    found = verdict(HOUSE.pen.entries, fact, taken={"NEW-1", "LOT-25-08"})

    assert said(found) == {("code", code, "refusal")}


@pytest.mark.parametrize("code", ["SPIRIT", "LOT-2025-1", "LOT-25", "MEOF-25-01"])
@pytest.mark.parametrize("of", [gathered, bought_herb])
def test_the_code_of_a_lot_looks_like_one(of, code):
    assert said(verdict([], of(code))) == {("code", code, "refusal")}


@pytest.mark.parametrize(
    ("text", "is_code"),
    [("C03", True), ("A.B.", True), ("Mrs Aldous Penhale", False), ("penhale", False)],
)
def test_a_reference_that_may_name_somebody_is_refused_unless_the_practice_lets_it(text, is_code):
    given = Dispensed(about=HOUSE.done.extract(), volume_ml=5.0, reference=text)
    found = verdict(HOUSE.pen.entries, given)
    anybody = verdict(HOUSE.pen.entries, given, practice=Practice(references="any"))

    assert said(found) == (set() if is_code else {("reference", "DONE-1A", "refusal")})
    assert misuses(found) == (set() if is_code else {True})
    assert anybody.findings == ()


# Lots that herb and liquid are taken from


def from_spirit(ml=200.0, lot=None):
    return Pour(liquid="ethanol", volume_ml=ml, ethanol_pct_vol=45.0, lot=lot or HOUSE.spirit.id)


def charged(**changes):
    return a_charge(code="NEW-1", **changes)


HERB_LOT = {"form": "fresh", "herb_lot": HOUSE.herb.id}


@pytest.mark.parametrize(
    ("fact", "when", "expected"),
    [
        (charged(pours=(from_spirit(lot="nothing-0000"),)), "2025-06-10", ("thing", "the lot")),
        (charged(herb_lot="nothing-0000"), "2025-06-10", ("thing", "the lot")),
        (charged(pours=(from_spirit(),)), "2024-12-31", ("date", "SPIRIT-1")),
        (charged(pours=(from_spirit(lot=HOUSE.herb.id),)), "2025-06-10", ("kind", "HERB-1")),
        (charged(herb_lot=HOUSE.spirit.id), "2025-06-10", ("kind", "SPIRIT-1")),
        (charged(**HERB_LOT | {"form": "dried"}), "2025-06-10", ("form", "HERB-1")),
    ],
    ids=["no lot", "no lot of herb", "later", "herb poured", "spirit weighed", "other form"],
)
def test_a_lot_is_there_and_of_what_is_used(fact, when, expected):
    assert said(verdict(HOUSE.pen.entries, fact, when)) == {(*expected, "refusal")}


EXTRACT = HOUSE.done.extract()
USING = [
    lambda ml: charged(pours=(from_spirit(ml),)),
    lambda ml: ToppedUp(about=HOUSE.steeping.jar, pours=(from_spirit(ml),)),
    lambda ml: SteepedAgain(about=HOUSE.done.jar, pours=(from_spirit(ml),), least="P28D"),
    lambda ml: MadeUp(about=EXTRACT, pours=(from_spirit(ml),), volume_ml=ml + 260.0),
    lambda ml: Diluted(about=EXTRACT, pours=(from_spirit(ml),)),
]


@pytest.mark.parametrize(
    "using", USING, ids=["charged", "topped up", "steeped again", "made up", "diluted"]
)
def test_more_than_is_left_of_a_lot_is_a_warning(using):
    """Scales and jugs differ: 5000 ml came in, and nothing of it was used.

    Whether so much goes on so little herb is another question.
    """

    def of_lots(ml):
        found = said(verdict(HOUSE.pen.entries, using(ml)))
        return {one for one in found if one[0] != "room"}

    assert of_lots(5000.0) == set()
    assert of_lots(5001.0) == {("lot", "SPIRIT-1", "warning")}


def test_two_pours_of_one_lot_are_taken_together():
    twice = charged(herb_g=1000.0, pours=(from_spirit(3000.0), from_spirit(2001.0)))

    assert said(verdict(HOUSE.pen.entries, twice)) == {("lot", "SPIRIT-1", "warning")}


@pytest.mark.parametrize(
    "using",
    [
        charged,
        lambda **herb: HerbAdded(about=HOUSE.steeping.jar, **MELISSA | herb),
        lambda **herb: Recharged(about=EXTRACT, least="P28D", **MELISSA | herb),
    ],
    ids=["charged", "added", "recharged"],
)
def test_more_herb_than_is_left_of_its_lot_is_a_warning(using):
    """500 g were gathered."""
    assert verdict(HOUSE.pen.entries, using(**HERB_LOT, herb_g=500.0)).findings == ()
    assert said(verdict(HOUSE.pen.entries, using(**HERB_LOT, herb_g=501.0))) == {
        ("lot", "HERB-1", "warning")
    }


DRY = {"code": "LOT-25-09", "fresh_g": 100.0, "herb_g": 20.0}


def dried(lot, **changes):
    return Dried(about=About(jar=lot), **DRY | changes)


def house_with_dry_herb():
    house = House()
    house.dry = house.pen.write(dried(house.herb.id), "2025-06-05")
    return house


@pytest.mark.parametrize(
    ("of", "expected"),
    [
        (lambda house: dried(house.spirit.id), ("kind", "SPIRIT-1")),
        (lambda house: dried(house.steeping.charge.id), ("kind", "ONE-1")),
        (lambda house: dried(house.dry.id, code="LOT-25-10"), ("form", "LOT-25-09")),
        (lambda house: dried(house.herb.id, fresh_g=401.0), ("amount", "HERB-1")),
        (lambda house: dried(house.herb.id, herb_g=101.0), ("amount", "HERB-1")),
        (lambda house: dried(house.herb.id, code="HAY"), ("code", "HAY")),
    ],
    ids=["a liquid", "a jar", "dry already", "more than is left", "gained by it", "no code"],
)
def test_only_fresh_herb_is_dried_and_only_what_is_left(of, expected):
    house = house_with_dry_herb()

    assert said(verdict(house.pen.entries, of(house))) == {(*expected, "refusal")}


def test_all_that_is_left_of_a_lot_can_be_dried():
    house = house_with_dry_herb()

    assert verdict(house.pen.entries, dried(house.herb.id, fresh_g=400.0)).findings == ()


@pytest.mark.parametrize("of", [lambda a: LookedAt(about=a), lambda a: Moved(about=a, place="x")])
def test_a_lot_is_neither_looked_at_nor_moved(of):
    found = verdict(HOUSE.pen.entries, of(About(jar=HOUSE.spirit.id)))

    assert said(found) == {("kind", "SPIRIT-1", "refusal")}
