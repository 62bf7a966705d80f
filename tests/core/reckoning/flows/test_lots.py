"""What became of a lot: never counted twice, never lost."""

import pytest
from hypothesis import given

from tests.hypothesis_profile import USUAL
from tests.lives import Pen, books
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Discarded, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.lots import BoughtHerb, Dried
from tracker.core.reckoning.flows.lot_balance import account, accounts, left, overdrawn
from tracker.core.replay.replay import replay
from tracker.core.rules.references import looks_personal
from tracker.core.shelf.contents import DROP_ML


def a_lot(pen: Pen) -> Entry:
    return pen.write(
        BoughtHerb(code="HERB-1", herb="Melissa officinalis", form="fresh", herb_g=500.0),
        "2025-06-01",
    )


def the_account(pen: Pen):
    shelf = replay(pen.entries)
    return accounts([shelf.lots[pen.entries[0].id]], shelf.batches)[0][1]


def test_drying_and_throwing_out_take_from_a_lot():
    pen = Pen()
    lot = About(jar=a_lot(pen).id)
    pen.write(Dried(about=lot, code="HERB-1D", fresh_g=300.0, herb_g=60.0), "2025-06-02")
    pen.write(Discarded(about=lot, herb_g=50.0, why="wilted"), "2025-06-03")

    one = the_account(pen)

    assert (one.dried, one.discarded, one.left) == (300.0, 50.0, 150.0)


def test_a_lot_thrown_out_whole_is_what_was_left_of_it_and_comes_back_as_that():
    pen = Pen()
    lot = About(jar=a_lot(pen).id)
    pen.write(Dried(about=lot, code="HERB-1D", fresh_g=300.0, herb_g=60.0), "2025-06-02")
    thrown = pen.write(Discarded(about=lot, why="mould"), "2025-06-03")

    assert (the_account(pen).discarded, the_account(pen).left) == (200.0, 0.0)
    pen.write(Restored(about=lot, discard=thrown.id), "2025-06-04")
    assert the_account(pen).left == 200.0


def test_more_dried_than_there_was_is_below_zero_and_asks():
    pen = Pen()
    lot = About(jar=a_lot(pen).id)
    pen.write(Dried(about=lot, code="HERB-1D", fresh_g=700.0, herb_g=60.0), "2025-06-02")
    shelf = replay(pen.entries)

    (flag,) = overdrawn([*shelf.lots.values()], shelf.batches)

    assert the_account(pen).left == -200.0
    assert flag.event == lot.jar
    assert flag.asks


@given(books())
@USUAL
def test_what_came_in_is_used_dried_thrown_out_or_left(entries):
    """The uses are summed from the entries' own pours, in force and not refused, by hand."""
    shelf = replay(entries)
    jars = list(shelf.batches)
    for lot in shelf.lots.values():
        taken = {
            (use.event, use.place): use.amount
            for jar in jars
            for use in jar.uses
            if use.lot == lot.id
        }

        one = account(lot, [use for jar in jars for use in jar.uses if use.lot == lot.id])

        assert one.used == pytest.approx(sum(taken.values()))  # none counted in two jars
        assert one.amount == pytest.approx(one.used + one.dried + one.discarded + one.left)
        assert one.left == left(lot, jars)
        assert one.is_overdrawn == (one.left < -DROP_ML)


@pytest.mark.parametrize(
    "reference",
    ["C03", "A.B.", "AB", "ab", "RX-2026/17", "S2306", "42", "123456", "Ж-7", "#12"],
)
def test_a_code_is_no_name(reference):
    assert looks_personal(reference) is None


@pytest.mark.parametrize(
    ("reference", "why"),
    [
        ("Anna", "is a word"),
        ("HILL", "is a word"),
        ("eva", "is a word"),
        ("a@b", "address"),
        ("12 Mill Lane", "more than one word"),
        ("a\tb", "more than one word"),
        ("1234567", "telephone"),
        ("1961-03-14", "telephone"),
        ("O'N", "marks"),
        ("王", "may be a name"),
        ("A1" * 11, "longer"),
    ],
)
def test_what_may_be_somebody_is_told_apart(reference, why):
    assert why in (looks_personal(reference) or "")
