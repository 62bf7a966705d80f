"""Lots called back where other things meet them: jars that left whole, and another writer."""

import shutil

import pytest

from tests.bench.counting import counted
from tests.command import Command
from tracker.core.reckoning.flows.not_on_hold import not_held

HERB = 'buy "Calendula officinalis" --dried 500g --their-lot K12 --when 2025-05-01'
CHARGE = 'charge LOT-25-01 --dried {}g --pour "300 ml 45%" --least 28d --when {}'


@pytest.fixture
def kitchen(tmp_path) -> Command:
    """500 g of a lot, 100 g of it in a jar."""
    (tmp_path / "kitchen").mkdir()
    command = Command(tmp_path / "kitchen", writer="kitchen")
    command.ok(HERB)
    command.ok(CHARGE.format(100, "2025-06-01"))
    return command


@pytest.fixture
def merged(kitchen, tmp_path) -> Command:
    """The kitchen called the lot back; the loft did not know, charged from it and bottled."""
    (tmp_path / "loft").mkdir()
    loft = Command(tmp_path / "loft", writer="loft")
    shutil.copytree(kitchen.book, loft.book)
    kitchen.ok("recall K12 --why moths --when 2025-07-10")
    loft.ok(CHARGE.format(50, "2025-07-05"))
    loft.ok("press CAOF-25-02 250ml --when 2025-08-10")
    loft.ok("bottle CAOF-25-02A 2x50ml --when 2025-08-11")
    shutil.copy(loft.book / "events" / "loft.jsonl", kitchen.book / "events")
    return kitchen


def test_the_list_of_a_recall_has_a_jar_that_left_whole_and_all_of_the_lot(kitchen):
    """100 g stand in one jar and 50 g left in the other; 350 g are not used."""
    kitchen.ok(CHARGE.format(50, "2025-06-01"))
    kitchen.ok("dispense CAOF-25-02 --for P03 --when 2025-06-20")
    answer = kitchen.json("recall K12 --why moths --when 2025-07-10")

    (left,) = answer["left"]
    assert (left["code"], left["reference"], left["of_lot"]) == ("CAOF-25-02", "P03", 50.0)
    (balance,) = answer["balance"]
    sums = {name: balance[name] for name in ("given", "inside", "left", "stayed")}
    assert sums == {"given": 50.0, "inside": 100.0, "left": 350.0, "stayed": 0.0}
    assert kitchen.json("trace LOT-25-01")["balance"] == balance
    assert "recalled: moths, 2 put on hold" in kitchen.told("history CAOF-25-01")


def test_one_jar_on_hold_is_one_jar(kitchen):
    kitchen.ok("recall K12 --why moths --when 2025-07-10")

    assert "recalled: moths, 1 put on hold" in kitchen.told("history CAOF-25-01")


STOPPED = [
    ("dispense CAOF-25-02A/1 --for C04", "CAOF-25-02A/1"),
    ("dispense CAOF-25-02A 20ml --for C04", "CAOF-25-02A"),
    ("bottle CAOF-25-02A 1x50ml", "CAOF-25-02A"),
    ('dilute CAOF-25-02A --pour "50 ml water"', "CAOF-25-02A"),
    ('charge Melissa --dried 20g --pour "100 ml CAOF-25-02A" --pour "100 ml 45%" --least 28d',
     "CAOF-25-02A"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "code"), STOPPED)
def test_what_has_a_recalled_lot_in_it_and_no_hold_is_asked_about(merged, line, code):
    err = merged.refused(f"{line} --when 2025-08-20")

    assert f"{code}: some of lot LOT-25-01 is in it, recalled 10 Jul 2025, and it is not on" in err
    assert "stillroom recall LOT-25-01 --why …; or release the lot; or add --sure" in err
    merged.ok(f"{line} --when 2025-08-20 --sure")


def test_a_label_for_it_is_asked_about_and_says_so(merged):
    assert "not on hold" in merged.refused("label CAOF-25-02A/1")

    merged.ok("label CAOF-25-02A/1 --sure")
    (said,) = [
        " ".join(one["data"]["lines"]) for one in merged.lines() if one["type"] == "labelled"
    ]
    assert "Lot LOT-25-01 was called back." in said
    assert "RECALLED " in said
    assert "DO NOT USE" in said


def test_however_many_labels_what_has_it_inside_is_looked_for_once(merged):
    codes = ("CAOF-25-02A", "CAOF-25-02A/1", "CAOF-25-02A/2")

    with counted(not_held) as calls:
        err = merged.refused(f"label {' '.join(codes)}")
    assert all(f"{code}: some of lot LOT-25-01 is in it" in err for code in codes)
    assert calls["not_held"] == 1


def test_a_label_is_not_asked_about_once_a_line_before_it_held_what_it_is_for(merged):
    page = merged.home / "page.txt"
    page.write_text("label CAOF-25-02A/1\nhold CAOF-25-02 --why moths\nlabel CAOF-25-02A/2\n")
    err = merged.refused(f"enter {page}")

    assert "CAOF-25-02A/1: some of lot LOT-25-01 is in it" in err
    assert "CAOF-25-02A/2: some of lot LOT-25-01 is in it" not in err


def test_the_digest_the_list_of_what_is_due_and_the_page_name_it_until_it_is_on_hold(merged):
    why = "some of lot LOT-25-01 is in it, recalled 10 Jul 2025, and it is not on hold"
    due = {one["code"]: one for one in merged.json("due --on 2025-08-20")}

    assert due["CAOF-25-02A"]["what"] == "safety"
    assert due["CAOF-25-02A"]["why"] == why
    assert "CAOF-25-02A/1" not in due  # its extract says so
    shortly = "CAOF-25-02A: holds some of recalled lot LOT-25-01, and is not on hold"
    assert shortly in merged.ok("remind --plain --printed")
    page = merged.ok("page").replace("\N{NO-BREAK SPACE}", " ")
    assert why in page
    assert "CAOF-25-02A/2: not on hold, and some of lot LOT-25-01" in page
    assert any("not on hold" in one for one in merged.json("record CAOF-25-02")["flags"])

    merged.ok("recall LOT-25-01 --why moths --when 2025-08-21")
    assert "not on hold" not in merged.ok("page") + merged.ok("due")
    assert "it is on hold" in merged.refused(STOPPED[0][0]).replace("CAOF-25-02 is", "it is")


def test_what_left_before_the_recall_is_not_asked_about(merged):
    merged.ok(f"{STOPPED[3][0]} --when 2025-08-12 --sure")
    merged.ok("release LOT-25-01 --why 'tested clean' --when 2025-08-13")

    merged.ok("dispense CAOF-25-02A/1 --for C04 --when 2025-08-20")


def test_a_dried_lot_that_no_recall_knew_of_is_asked_about_where_it_is_used(kitchen, tmp_path):
    kitchen.ok('gather "Melissa officinalis" --fresh 500g --when 2025-06-01')
    (tmp_path / "loft").mkdir()
    loft = Command(tmp_path / "loft", writer="loft")
    shutil.copytree(kitchen.book, loft.book)
    kitchen.ok("recall LOT-25-02 --why sprayed --when 2025-06-03")
    loft.ok("dry LOT-25-02 100g --of 500g --when 2025-06-02")
    shutil.copy(loft.book / "events" / "loft.jsonl", kitchen.book / "events")
    line = 'charge LOT-25-03 --dried 50g --pour "300 ml 45%" --least 28d --when 2025-07-01'

    assert "LOT-25-03: some of lot LOT-25-02 is in it" in kitchen.refused(line)


def test_a_release_lists_what_is_still_here_and_on_hold(kitchen):
    kitchen.ok(CHARGE.format(50, "2025-06-01"))
    kitchen.ok("dispense CAOF-25-02 --for P03 --when 2025-06-20")
    kitchen.ok("recall K12 --why moths --when 2025-07-10")

    assert "CAOF-25-01  100 g charged 1 Jun 2025  RECALLED" in kitchen.ok("trace K12")
    out = kitchen.ok("release LOT-25-01 --why 'tested clean' --when 2025-07-11")
    assert "Still on hold with it: CAOF-25-01." in out


def test_struck_a_jar_is_here_again_and_still_on_hold(kitchen):
    """Then it counts as on the shelf: 150 g in jars, and nothing given out."""
    kitchen.ok(CHARGE.format(50, "2025-06-01"))
    kitchen.ok("dispense CAOF-25-02 --for P03 --when 2025-06-20")
    kitchen.ok("recall K12 --why moths --when 2025-07-10")
    assert [one["code"] for one in kitchen.json("due --on 2025-07-11")] == ["CAOF-25-01"]

    kitchen.ok(f"strike {kitchen.event('dispensed')} --why 'it came back' --sure")
    balance = kitchen.json("trace K12")["balance"]
    assert (balance["inside"], balance["given"]) == (150.0, 0.0)
    assert "is on hold" in kitchen.refused("press CAOF-25-02 250ml --when 2025-07-11")
