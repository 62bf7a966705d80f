"""`trace`, `recall`, `lots` and what is done on a wrong value, from outside.

The book is built from facts, as another machine would bring them. Everything is invented.
"""

import pytest
from msgspec.structs import replace

from tests.journal.on_disk import write
from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.amendments import Released
from tracker.core.facts.extracts import Blended, Diluted, Discarded, Dispensed
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.lots import Bought, BoughtHerb, Dried


class House:
    """Two jars of one lot of spirit, one of them of a lot of herb; bottles, a blend."""

    def __init__(self):
        self.pen = pen = Pen()
        self.herb = pen.write(
            BoughtHerb(
                code="HERB-1", herb="Calendula officinalis", part="flower", form="dried",
                herb_g=250.0, where="Hollow Lane Herbs", their_lot="HL-88", paid="31.50",
            ),
            "2025-03-01",
        )  # fmt: skip
        self.wine = pen.write(
            Bought(
                code="SPIRIT-1", liquid="ethanol", ethanol_pct_vol=45.0, volume_ml=2000.0,
                where="Mill Street", paid="58.00",
            ),
            "2025-03-01",
        )  # fmt: skip
        poured = (replace(spirit(), lot=self.wine.id),)
        self.one = OneJar(pen)
        self.one.charge = pen.write(a_charge(herb_lot=self.herb.id, pours=poured), "2025-03-03")
        self.one.press("2025-06-03")
        self.one.bottle("2025-06-04", (2, 100.0))
        self.given = pen.write(
            Dispensed(about=self.one.extract(bottle=1), volume_ml=30.0, reference="C03"),
            "2025-06-09",
        )
        self.thrown = pen.write(
            Discarded(about=self.one.extract(bottle=2), volume_ml=20.0, why="spilt"),
            "2025-06-10",
        )
        self.two = OneJar(pen)
        self.two.charge = pen.write(a_charge(code="MEOF-25-01", pours=poured), "2025-03-04")
        self.two.press("2025-06-05")
        parts = (
            Portion(about=self.one.extract(), volume_ml=50.0),
            Portion(about=self.two.extract(), volume_ml=70.0),
        )
        self.blend = pen.write(Blended(code="BLEND-1", parts=parts), "2025-06-12")
        self.mix = About(jar=self.blend.id, extract=self.blend.id)
        self.sold = pen.write(
            Dispensed(about=self.mix, volume_ml=25.0, reference="C07"), "2025-06-20"
        )

    def in_book(self, command):
        write(command.book, self.pen.entries)
        return command


@pytest.fixture
def house():
    return House()


@pytest.fixture
def told(command, house):
    return house.in_book(command)


def test_a_trace_goes_from_lots_to_references_and_back(told):
    answer = told.json("trace CAOF-25-01A")

    back = {(one["code"], one["g"], one["ml"]) for one in answer["came_from"]}
    assert back == {
        ("CAOF-25-01", None, 370.0), ("HERB-1", 100.0, None), ("SPIRIT-1", None, 500.0),
    }  # fmt: skip
    assert [(one["code"], one["depth"], one["on"]) for one in answer["went_into"]] == [
        ("CAOF-25-01A/1", 0, "2025-06-04"),
        ("C03", 1, "2025-06-09"),
        ("CAOF-25-01A/2", 0, "2025-06-04"),
        ("BLEND-1", 0, "2025-06-12"),
        ("C07", 1, "2025-06-20"),
    ]


def test_a_reference_is_traced_to_every_lot_that_is_in_what_it_was_given(told):
    answer = told.json("trace --for c07")

    codes = [one["code"] for one in answer["came_from"]]
    assert {"BLEND-1", "CAOF-25-01A", "MEOF-25-01A", "HERB-1", "SPIRIT-1"} <= set(codes)
    assert answer["went_into"] == []


def test_a_blend_is_traced_by_its_code(told):
    answer = told.json("trace BLEND-1")

    assert answer["kind"] == "extract"
    assert {one["code"] for one in answer["went_into"]} == {"C07"}


def test_a_trace_on_the_screen_is_a_tree_no_wider_than_80_columns(told):
    lines = told.ok("trace HERB-1").splitlines()

    assert lines[0] == "marigold flower, dried  HERB-1, lot"
    assert lines[1:6] == [
        "came from",
        "  nothing that is in the book",
        "went into",
        "  CAOF-25-01  100 g charged 3 Mar 2025",
        "    CAOF-25-01A  370 ml pressed 3 Jun 2025",
    ]
    assert max(map(len, lines)) <= 80


def test_a_recall_holds_what_is_here_and_lists_what_left(told):
    answer = told.json("recall HERB-1 --why 'the merchant called it back'")

    assert {(one["code"], one["g"] or one["ml"]) for one in answer["on_hold"]} == {
        ("HERB-1", 150.0),
        ("CAOF-25-01A", 120.0),
        ("CAOF-25-01A/1", 70.0),
        ("CAOF-25-01A/2", 80.0),
        ("BLEND-1", 95.0),
    }
    assert [(one["on"], one["ml"], one["reference"], one["how"]) for one in answer["left"]] == [
        ("2025-06-09", 30.0, "C03", "dispensed"),
        ("2025-06-10", 20.0, None, "discarded"),
        ("2025-06-20", 25.0, "C07", "dispensed"),
    ]
    for code, held in (("CAOF-25-01A/1", True), ("BLEND-1", True), ("MEOF-25-01A", False)):
        assert told.asked(f"show {code}")["on_hold"] is held
    assert told.asked("show HERB-1")["recalled"] == "the merchant called it back"


def test_a_recall_is_said_in_words_and_written_only_once_it_is_meant(told):
    before = told.written()
    said = told.ok("recall HERB-1 --why 'called back' --dry-run")

    assert told.written() == before
    assert said.startswith("Would record: marigold flower HERB-1 recalled: called back.\n")
    assert "\nOn hold from now on:\n" in said
    assert "C03" in said
    assert max(map(len, said.splitlines()[1:])) <= 80


def test_what_was_dried_of_a_recalled_lot_is_recalled_as_well(command):
    pen = Pen()
    fresh = pen.write(
        BoughtHerb(code="FRESH-1", herb="Melissa officinalis", form="fresh", herb_g=900.0),
        "2025-06-01",
    )
    pen.write(
        Dried(about=About(jar=fresh.id), code="DRY-1", fresh_g=800.0, herb_g=150.0),
        "2025-06-08",
    )
    write(command.book, pen.entries)

    command.ok("recall FRESH-1 --why 'sprayed'")

    lots = {one["code"]: one for one in command.json("lots --all")}
    assert lots["DRY-1"]["recalled"] == "sprayed"
    assert lots["FRESH-1"]["left"] == 100.0


def test_what_a_recalled_lot_gets_into_later_is_named_until_it_is_on_hold(told, house):
    told.ok("recall SPIRIT-1 --why 'smells of petrol'")
    late = OneJar(Pen("cellar-bo", house.pen.recorded))
    late.charge = late.pen.write(
        a_charge(code="LATE-1", pours=(replace(spirit(), lot=house.wine.id),)), "2025-07-01"
    )
    write(told.book, late.entries)

    why = told.json("check")["questions"][0]["why"]
    traced = told.run("trace SPIRIT-1")

    assert why.startswith("LATE-1: not on hold, and some of lot SPIRIT-1 is in it")
    assert "RECALLED: LATE-1: not on hold" in traced.err
    told.ok("recall SPIRIT-1 --why 'smells of petrol: again'")
    assert told.json("check")["questions"] == []


def test_what_was_released_after_a_recall_is_named_as_long_as_the_recall_stands(told, house):
    told.ok("recall HERB-1 --why 'called back'")
    house.pen.entries.clear()
    later = Pen("cellar-bo", house.pen.recorded)
    later.write(Released(about=About(jar=house.blend.id), why="tested"), "2099-01-01")
    write(told.book, later.entries)

    questions = [one["why"] for one in told.json("check")["questions"]]

    assert [why.partition(":")[0] for why in questions] == ["BLEND-1"]


def test_two_jars_of_one_code_are_named_until_one_is_relabelled(command):
    pen = Pen()
    pen.write(a_charge(), "2025-03-03")
    second = pen.write(a_charge(), "2025-03-04")
    write(command.book, pen.entries)

    (question,) = command.json("check")["questions"]
    assert question["event"] == second.id
    assert question["why"].endswith("relabel this one as CAOF-25-01b")
    command.ok(f"correct {second.id} --set code=CAOF-25-02 --why relabelled")
    assert command.json("check")["questions"] == []


def test_a_lot_says_what_was_used_and_what_is_left(told):
    lots = {one["code"]: one for one in told.json("lots")}

    spirit_left = lots["SPIRIT-1"]
    assert (spirit_left["used"], spirit_left["left"], spirit_left["unit"]) == (1000, 1000, "ml")
    herb = lots["HERB-1"]
    assert (herb["used"], herb["left"], herb["paid"]) == (100.0, 150.0, "31.50")
    assert (herb["where"], herb["their_lot"]) == ("Hollow Lane Herbs", "HL-88")


def test_lots_on_the_screen_and_as_csv(told):
    lines = told.ok("lots").splitlines()
    csv = told.ok("lots --csv").splitlines()

    assert max(map(len, lines)) <= 80
    assert "HERB-1" in lines[1].split()
    assert lines[1].endswith("in stock")
    assert csv[0].startswith("code,kind,state,what")
    assert len(csv) == 3


def test_pours_into_a_extract_count_and_more_than_there_was_is_named(told, house):
    diluted = Pen("cellar-bo", house.pen.recorded)
    pours = (replace(spirit(1100.0), lot=house.wine.id),)
    diluted.write(Diluted(about=house.two.extract(), pours=pours), "2025-06-14")
    write(told.book, diluted.entries)

    lots = {one["code"]: one for one in told.json("lots")}

    assert lots["SPIRIT-1"]["left"] == -100.0
    assert lots["SPIRIT-1"]["state"] == "overdrawn"
    why = told.json("check")["questions"][0]["why"]
    assert why.startswith("100 ml more of lot SPIRIT-1 was used than there was")


def test_a_used_up_lot_is_listed_only_with_all(command):
    pen = Pen()
    pen.write(Bought(code="ONE-1", liquid="water", volume_ml=500.0), "2025-03-01")
    lot = pen.entries[0]
    one = OneJar(pen)
    one.charge = pen.write(a_charge(pours=(replace(spirit(), lot=lot.id),)), "2025-03-03")
    write(command.book, pen.entries)

    assert command.json("lots") == []
    assert [lot["left"] for lot in command.json("lots --all")] == [0.0]


def test_a_lot_is_shown_told_and_noted(told):
    shown = told.ok("show HERB-1")
    told.ok("note HERB-1 'smells fresh'")

    assert "their lot         HL-88" in shown
    assert "went into         CAOF-25-01  100 g, 3 Mar 2025" in shown
    history = told.told("history HERB-1")
    assert "bought 250 g Calendula officinalis flower, dried from Hollow Lane Herbs" in history
    assert "note: smells fresh" in history


def test_a_correction_names_what_was_done_on_the_wrong_value(told, house):
    pressing = house.one.pressing.id
    answer = told.json(f"correct {pressing} --set volume=330ml --why misread")

    kinds = [(one["kind"], one["id"]) for one in answer["meanwhile"]]
    assert kinds == [
        ("bottled", house.one.entries[4].id),
        ("dispensed", house.given.id),
        ("discarded", house.thrown.id),
        ("blended", house.blend.id),
        ("dispensed", house.sold.id),
    ]


def test_a_strike_says_so_in_words_and_a_remark_reaches_nothing(told, house):
    struck = told.ok(f"strike {house.two.pressing.id} --why 'wrong jar' --sure")
    remarked = told.json(f"correct {house.one.pressing.id} --set note=cool --why forgot")

    assert "Done on what it said before; look at each again:" in struck
    assert "dispensed 25 ml for C07" in struck
    assert "dispensed 30 ml for C03" not in struck
    assert "meanwhile" not in remarked


@pytest.mark.parametrize("reference", ["C03", "A.B.", "ab", "RX-2026/17", "S2306", "42"])
def test_codes_and_initials_are_references(told, reference):
    told.ok("dispense CAOF-25-01A/1 1ml --sure --for", reference)


@pytest.mark.parametrize(
    "reference",
    ["Anna", "ANNA", "Mrs Hill", "anna.hill@example.org", "12 Mill Lane", "0170 123456",
     "01701234567", "1961-03-14", "O'Neil", "Eva", "王小明", "Bo-C03-Hill"],
)  # fmt: skip
def test_what_looks_like_a_name_or_an_address_is_refused(told, reference):
    err = told.refused("dispense CAOF-25-01A/1 1ml --for", reference, code=2)

    assert "may tell who somebody is" in err
    assert "practice.toml" in err


def test_a_maker_may_let_any_reference_in(told):
    told.practice('references = "any"\n')

    told.ok("dispense CAOF-25-01A/1 1ml --sure --for", "Mrs Hill")

    assert {one["code"] for one in told.json("trace CAOF-25-01A/1")["went_into"]} == {
        "C03", "Mrs Hill",
    }  # fmt: skip


def test_on_a_day_a_trace_ends_with_what_had_happened_by_then(told):
    early = told.told("trace HERB-1 --on 2025-03-03")
    assert "What happened through 3 Mar 2025, as it is known now." in early
    assert "100 g charged" in early
    assert "pressed" not in early

    told.ok("recall HERB-1 --why 'the merchant called it back'")
    assert "RECALLED" in told.told("trace HERB-1 --on 2025-03-03")
    assert "it was not there on 1 Jan 2024" in told.refused("trace HERB-1 --on 2024-01-01")


def test_lots_on_a_day_are_what_was_left_then(told):
    used = {one["code"]: one["used"] for one in told.json("lots --all")}
    before = {one["code"]: one["used"] for one in told.json("lots --all --on 2025-03-01")}

    assert used["HERB-1"] == 100
    assert before["HERB-1"] == 0

    told.ok("recall HERB-1 --why 'the merchant called it back'")
    assert "HERB-1: on hold since" in told.run("lots --on 2025-03-01").err
