"""Lots by the supplier's number and by names of the maker's own, from outside. All invented."""

import csv
import io

import pytest

BALM = (
    'buy "Melissa officinalis" --part leaf --dried 500g --from "Hollin Farm" --their-lot S-4471 '
    "--when 2025-03-01"
)
SECOND = BALM.replace("Hollin Farm", "Ferry Market").replace("S-4471", '"s-44 71"')
SPIRIT = 'buy "2 l 45% vodka" --their-lot "VK 12" --when 2025-03-01'
POUR = '--pour "500 ml 45%" --when 2025-03-03'


@pytest.fixture
def shelf(command):
    for line in (BALM, SPIRIT):
        command.ok(line)
    return command


def codes(answer, key):
    return {one["code"] for one in answer[key]}


# The supplier's number


@pytest.mark.parametrize("number", ["S-4471", "s-4471", "'S - 4471'", "LOT-25-01"])
def test_a_lot_is_found_by_its_suppliers_number(shelf, number):
    for line in (f"show {number} --json", f"trace {number} --json"):
        assert shelf.json(line.removesuffix(" --json"))["code"] == "LOT-25-01"
    assert "bought 500 g" in shelf.told(f"history {number}")


LINES = [
    "hold {} --why moths",
    "note {} 'smells fresh'",
    "count {} 480g",
    "discard {} 10g --why moths",
    "recall {} --why 'called back'",
    "charge {} --dried 50g " + POUR,
    'charge "Melissa officinalis" --dried 50g --lot {} ' + POUR,
]


@pytest.mark.parametrize("line", LINES)
def test_whatever_takes_a_lot_takes_the_number(shelf, line):
    with_code = shelf.json(line.format("LOT-25-01"), "--dry-run")
    with_number = shelf.json(line.format("s-4471"), "--dry-run")

    assert with_number["said"] == with_code["said"]
    assert "LOT-25-01" in str(with_number) or "MEOF-25-01" in str(with_number)


def test_a_jar_of_a_lot_named_by_its_number_is_of_that_lot(shelf):
    shelf.ok(f'charge "Melissa officinalis" --dried 50g --lot s-4471 {POUR}')
    shelf.ok('top-up MEOF-25-01 --pour "100 ml vk12" --when 2025-03-04')
    shelf.ok("add-herb MEOF-25-01 --dried 10g --lot S-4471 --when 2025-03-04")

    lots = {one["code"]: one["used"] for one in shelf.json("lots")}
    assert lots == {"LOT-25-01": 60, "LOT-25-02": 100}


def test_the_list_of_lots_shows_the_number(shelf):
    assert "S-4471" in shelf.ok("lots")
    assert [one["their_lot"] for one in shelf.json("lots")] == ["S-4471", "VK 12"]


@pytest.mark.parametrize("line", ["show S-4472", "recall S-4472 --why x", "hold S-4472 --why x"])
def test_a_number_that_is_near_is_suggested(shelf, line):
    assert "did you mean S-4471?" in shelf.refused(line)


def test_a_near_number_at_the_charge_is_kept_as_a_name_and_said(shelf):
    answer = shelf.run(f'charge "Melissa officinalis" --dried 50g --lot S-4417 {POUR}')

    assert answer.code == 0
    assert "No lot has the number S-4417" in answer.err
    assert "did you mean S-4471?" in answer.err


@pytest.mark.parametrize(
    "line", ["show S-4471", "hold S-4471 --why x", f"charge S-4471 --dried 50g {POUR}"]
)
def test_of_two_lots_with_one_number_both_codes_are_named(shelf, line):
    shelf.ok(SECOND)

    err = shelf.refused(line)
    assert "2 lots have the supplier's number S-4471: LOT-25-01" in err
    assert "LOT-25-03" in err


def test_fresh_herb_and_what_was_dried_of_it_are_told_apart_by_the_form(command):
    command.ok('buy "Melissa officinalis" --fresh 500g --their-lot S-4471 --when 2025-03-01')
    command.ok("dry S-4471 100g --when 2025-03-02")
    command.ok(f"charge s-4471 --dried 50g {POUR}")

    assert [one["used"] for one in command.json("lots --all")] == [0, 50]


def test_a_recall_by_a_number_is_of_every_lot_that_has_it_once_that_is_sure(shelf):
    shelf.ok(SECOND)
    shelf.ok(f"charge LOT-25-01 --dried 50g {POUR}")
    shelf.ok(f"charge LOT-25-03 --dried 50g {POUR}")
    before = shelf.written()

    err = shelf.refused("recall S-4471 --why mites")
    assert "2 lots have that supplier's number" in err
    assert "LOT-25-01, LOT-25-03" in err
    assert shelf.written() == before
    answer = shelf.json("recall S-4471 --why mites --sure")
    assert codes(answer, "on_hold") == {"LOT-25-01", "LOT-25-03", "MEOF-25-01", "MEOF-25-02"}
    assert all(one["on_hold"] for one in shelf.json("shelf"))


def test_a_recall_by_a_number_is_asked_about_at_a_terminal(shelf):
    shelf.ok(SECOND)

    said = shelf.at_terminal("recall S-4471 --why mites", typed="y\n")

    assert "2 lots have that supplier's number" in said.out + said.err
    assert all(one["recalled"] == "mites" for one in shelf.json("lots") if one["unit"] == "g")


def test_a_code_of_a_jar_and_a_number_that_begins_like_it_are_not_mixed_up(shelf):
    shelf.ok(f'charge "Melissa officinalis" --dried 50g --code S-44715 {POUR}')

    err = shelf.refused("show S-4471", code=2)
    assert "S-44715" in err
    assert "LOT-25-01" in err
    assert shelf.json("show S-44715")["kind"] == "jar"


# Names of the maker's own

NAMED = 'charge "Melissa officinalis" --dried {}g --water 0% --lot "{}" ' + POUR


@pytest.fixture
def market(command):
    command.ok(NAMED.format(50, "Batch 7 from the market"))
    command.ok(NAMED.format(60, "batch 7  from the MARKET"))
    command.ok(NAMED.format(70, "Batch 70"))
    command.ok("press MEOF-25-01 200ml --when 2025-07-01")
    command.ok("bottle MEOF-25-01A 2x50ml --when 2025-07-01")
    command.ok("dispense MEOF-25-01A/1 20ml --for C03 --when 2025-07-02")
    return command


def test_a_name_is_one_lot_in_every_output(market):
    name = "Batch 7 from the market"

    for code in ("MEOF-25-01", "MEOF-25-02"):
        assert market.json(f"show {code}")["lots"] == [name]
        assert name in market.ok(f"show {code}")
        assert f"lot {name}" in market.told(f"history {code}")
        record = market.json(f"record {code}")
        assert record["components"][0]["lot"] == name
        assert any(one.startswith(f"{name}: ") for one in record["lots"])
        assert name in codes(market.json(f"trace {code}"), "came_from")


@pytest.mark.parametrize("text", ["batch 7", "BATCH 7 from the market", "batch  7 from"])
def test_a_name_is_traced_to_every_jar_that_names_it(market, text):
    answer = market.json("trace", text)

    assert answer["code"] == "Batch 7 from the market"
    into = codes(answer, "went_into")
    assert {"MEOF-25-01", "MEOF-25-01A", "MEOF-25-01A/1", "C03", "MEOF-25-02"} == into - {
        "MEOF-25-01A/2"
    }


def test_a_name_is_called_back_and_holds_all_that_names_it(market):
    answer = market.json("recall 'batch 7' --why mites --when 2025-07-05")

    assert codes(answer, "on_hold") == {
        "MEOF-25-01A", "MEOF-25-01A/1", "MEOF-25-01A/2", "MEOF-25-02",
    }  # fmt: skip
    # 500 ml stand on 50 g, so 20 ml stand for 2 g.
    assert [(one["code"], one["reference"], one["of_lot"]) for one in answer["left"]] == [
        ("MEOF-25-01A/1", "C03", 2)
    ]
    held = market.refused("dispense MEOF-25-01A/2 10ml --for C04 --when 2025-07-06")
    assert "recalled with lot Batch 7 from the market: mites" in held
    assert market.json("show MEOF-25-02")["recalled"] is True
    assert market.json("show MEOF-25-03")["on_hold"] is False


def test_a_name_is_released_as_it_was_called_back(market):
    market.ok("recall 'batch 7' --why mites --when 2025-07-05")
    market.ok("release 'batch 7 from the market' --why 'no mites' --when 2025-07-06")

    assert not any(market.json(f"show {code}")["on_hold"] for code in ("MEOF-25-01A", "MEOF-25-02"))
    assert "nothing is on hold with that lot" in market.refused("release 'batch 7' --why again")


def test_a_name_charged_after_the_recall_is_named_until_it_is_on_hold(market):
    market.ok("recall 'batch 7' --why mites --when 2025-07-05")
    market.ok(NAMED.format(40, "batch 7 from the market").replace("03-03", "07-06"))

    (question,) = [one["why"] for one in market.json("check")["questions"]]
    assert question.startswith("MEOF-25-04: not on hold, and some of lot Batch 7 from the market")
    assert any("not on hold" in one for one in market.json("show MEOF-25-04")["flags"])
    assert "QUESTION about MEOF-25-04" in market.run("due --on 2025-07-07").err


def test_a_name_that_nothing_bears_is_unknown_and_what_is_near_is_said(market):
    err = market.refused("recall 'Batch 71' --why mites")

    assert "Nothing in the book goes by Batch 71" in err
    assert "did you mean Batch 70?" in err


def test_two_names_that_begin_alike_are_not_guessed_between(market):
    market.ok(NAMED.format(30, "Batch 7 of the fair"))

    err = market.refused("recall 'batch 7' --why mites")
    assert "Batch 7 from the market, Batch 7 of the fair" in err


def test_a_name_that_is_the_number_of_a_lot_bought_later_is_that_lot(command):
    command.ok(NAMED.format(50, "S-4471"))
    command.ok(BALM)

    answer = command.json("recall S-4471 --why mites")

    assert codes(answer, "on_hold") == {"LOT-25-01", "MEOF-25-01"}


# The list


def test_the_list_of_a_recall_is_there_as_csv_and_json_afterwards(shelf):
    shelf.ok(f"charge LOT-25-01 --dried 100g --water 0% {POUR}")
    shelf.ok("press MEOF-25-01 400ml --when 2025-07-01")
    shelf.ok("dispense MEOF-25-01A 40ml --for C03 --when 2025-07-02")
    shelf.ok("count LOT-25-01 390g --when 2025-07-03")
    shelf.ok("recall S-4471 --why mites --when 2025-07-04")

    rows = list(csv.DictReader(io.StringIO(shelf.ok("trace S-4471 --csv"))))
    answer = shelf.json("trace S-4471")

    # 400 of 500 ml: 80 of the 100 g; 40 ml of them stand for 8 g; 10 g were missing.
    assert [(one["where"], one["code"], one["of_lot"]) for one in rows] == [
        ("here", "LOT-25-01", "390.0"),
        ("here", "MEOF-25-01A", "72.0"),
        ("left", "MEOF-25-01A", "8.0"),
        ("left", "LOT-25-01", "10.0"),
    ]
    assert answer["balance"] == {
        "unit": "g", "came_in": 500, "left": 390, "inside": 72, "given": 8, "discarded": 0,
        "missing": 10, "stayed": 20, "unknown": 0,
    }  # fmt: skip
    assert "Only a lot has a list" in shelf.refused("trace MEOF-25-01 --csv", code=2)


def test_a_recall_reaches_what_was_refilled_and_given_out_of_it(shelf):
    """Dried, charged, blended, poured into a working bottle, given out: two flows and more."""
    shelf.ok('gather "Melissa officinalis" --fresh 500g --when 2025-06-01')
    shelf.ok("dry LOT-25-03 100g --when 2025-06-05")
    shelf.ok('charge LOT-25-04 --dried 50g --pour "250 ml 45%" --when 2025-06-06')
    shelf.ok('charge "Salvia officinalis" --dried 50g --pour "250 ml 45%" --when 2025-06-06')
    shelf.ok("press MEOF-25-01 200ml --when 2025-09-10")
    shelf.ok("press SAOF-25-01 200ml --when 2025-09-10")
    parts = '--part "100 ml MEOF-25-01A" --part "100 ml SAOF-25-01A"'
    shelf.ok(f"blend {parts} --code MIX --when 2025-09-11")
    shelf.ok("bottle SAOF-25-01A 1x100ml --when 2025-09-11")
    shelf.ok("dispense SAOF-25-01A/1 60ml --for C01 --when 2025-09-12")
    shelf.ok("refill SAOF-25-01A/1 --from MIX --volume 50ml --when 2025-09-13")
    shelf.ok("dispense SAOF-25-01A/1 30ml --for C02 --when 2025-09-14")

    answer = shelf.json("recall LOT-25-03 --why 'wrong field' --when 2025-09-15")

    assert [one["reference"] for one in answer["left"]] == ["C02"]
    assert {"MIX", "MEOF-25-01A", "SAOF-25-01A/1"} <= codes(answer, "on_hold")
    (one,) = answer["balance"]
    parts = ("left", "inside", "given", "discarded", "missing", "stayed")
    assert one["came_in"] == 500
    assert sum(one[name] for name in parts) == pytest.approx(500, abs=0.5)


# On hold


USES = [
    'charge LOT-25-01 --dried 50g --pour "250 ml 45%"',
    "add-herb ME --dried 5g --lot LOT-25-01",
    'top-up ME --pour "50 ml LOT-25-02"',
    'steep-again DONE --pour "50 ml LOT-25-02"',
    'dilute DONEA --pour "50 ml LOT-25-02"',
    'dilute DONEA --to 250ml --pour "50 ml LOT-25-02"',
    "recharge DONEA --dried 5g --lot LOT-25-01",
    "dry LOT-25-03 100g",
]


@pytest.fixture
def held(shelf):
    shelf.ok('gather "Melissa officinalis" --fresh 500g --when 2025-03-01')
    for code in ("ME", "DONE"):
        shelf.ok(f'charge "Melissa officinalis" --dried 50g --code {code} {POUR}')
    shelf.ok("press DONE 200ml --when 2025-07-01")
    shelf.ok("hold LOT-25-01 LOT-25-02 LOT-25-03 --why moths --when 2025-07-02")
    return shelf


@pytest.mark.parametrize("line", USES)
def test_a_lot_on_hold_is_not_used_by_any_verb(held, line):
    before = held.written()

    assert "is on hold, since 2 Jul 2025: moths" in held.refused(f"{line} --when 2025-07-03 --sure")
    assert held.written() == before


def test_a_lot_used_before_it_was_called_back_is_asked_about_and_then_named(shelf):
    shelf.ok("recall LOT-25-01 --why mites --when 2025-04-01")
    line = f"charge LOT-25-01 --dried 50g {POUR}"

    err = shelf.refused(line)
    shelf.ok(f"{line} --sure")

    assert "it was recalled on 1 Apr 2025, and this is dated before that: mites" in err
    (question,) = [one["why"] for one in shelf.json("check")["questions"]]
    assert question.startswith("MEOF-25-01: not on hold, and some of lot LOT-25-01 is in it")
    assert question in shelf.json("show MEOF-25-01")["flags"]


def test_a_discard_that_was_taken_back_is_not_on_the_list(shelf):
    shelf.ok(f"charge LOT-25-01 --dried 50g {POUR}")
    shelf.ok("discard MEOF-25-01 --why mould --when 2025-03-10")
    shelf.ok("restore MEOF-25-01 --when 2025-03-11")

    answer = shelf.json("recall LOT-25-01 --why mites --when 2025-04-01")

    assert answer["left"] == []
    assert codes(answer, "on_hold") == {"LOT-25-01", "MEOF-25-01"}
