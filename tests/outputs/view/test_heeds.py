"""What to heed of a thing: each kind in its order, of all of it or of some, and its words."""

from datetime import date

import pytest
from msgspec.structs import replace

from tests.lives import OneJar, on, spirit
from tests.outputs import shelves
from tests.outputs.shelves import Told, told
from tracker.core.facts.amendments import Held
from tracker.core.facts.extracts import Diluted
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import LookedAt, SteepedAgain
from tracker.core.practice.practice import Practice
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.hold import HoldKind
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import things
from tracker.outputs.view.heeds import GRAVE, ORDER, Heed, heeds_in, heeds_of_row
from tracker.outputs.view.liquid import HoldView
from tracker.outputs.view.thing_view import row_of, view_of
from tracker.outputs.words.heed_words import codes_said, heed_mark, heed_sentence

TODAY = date(2025, 7, 1)
PRACTICE = Practice()


def heeds(one: Told, today: date = TODAY, flags: tuple[Flag, ...] = ()) -> tuple[Heed, ...]:
    return heeds_in(view_of(one.thing, PRACTICE, today, flags=flags))


def marks(one: Told, today: date = TODAY, flags: tuple[Flag, ...] = ()) -> list[str]:
    return [heed_mark(heed) for heed in heeds(one, today, flags)]


def with_bottles(*held: int) -> OneJar:
    """Two bottles of 100 ml and 170 ml in bulk; those bottles are on hold."""
    one = OneJar.charged()
    one.press()
    one.bottle("2025-06-04", (2, 100.0))
    for number in held:
        one.then(Held(about=one.extract(bottle=number), why="a loose lid"), "2025-06-05")
    return one


def test_a_hold_of_one_bottle_is_said_of_its_extract_as_of_some_of_it():
    one = with_bottles(1)

    (hold, _) = heeds(told(one.entries, "CAOF-25-01A"))
    assert (hold.kind, hold.codes, hold.is_whole) == ("on hold", ("CAOF-25-01A/1",), False)
    assert heed_mark(hold) == "on hold, some"
    assert heed_sentence(hold) == "CAOF-25-01A/1: on hold since 5 Jun 2025: a loose lid."
    assert marks(told(one.entries, "CAOF-25-01"))[0] == "on hold, some"
    assert marks(told(one.entries, "CAOF-25-01A/1"))[0] == "on hold"
    assert "on hold" not in marks(told(one.entries, "CAOF-25-01A/2"))


def test_one_hold_on_several_bottles_is_one_heed_of_them():
    (hold, _) = heeds(told(with_bottles(1, 2).entries, "CAOF-25-01A"))

    assert hold.codes == ("CAOF-25-01A/1", "CAOF-25-01A/2")


def test_a_hold_of_the_extract_is_said_of_all_of_it_and_of_each_bottle():
    one = with_bottles()
    one.then(Held(about=one.extract(), why="smells odd"), "2025-06-05")

    for code in ("CAOF-25-01", "CAOF-25-01A", "CAOF-25-01A/2"):
        (hold, _) = heeds(told(one.entries, code))
        assert (hold.kind, hold.is_whole, hold.why) == ("on hold", True, "smells odd")


def test_a_jar_with_new_liquid_on_its_marc_says_what_is_wrong_with_what_it_gave_first():
    one = with_bottles()
    one.then(Held(about=one.extract(), why="smells odd"), "2025-06-05")
    again = SteepedAgain(about=one.extract(), pours=(spirit(),), least="P28D")
    one.then(again, "2025-06-06")

    (hold, _) = heeds(told(one.entries, "CAOF-25-01"))
    assert not hold.is_whole
    assert hold.codes == ("CAOF-25-01A", "CAOF-25-01A/1", "CAOF-25-01A/2")


def test_what_holds_some_of_a_recalled_lot_and_is_on_no_hold_says_so():
    one = told(with_bottles().entries, "CAOF-25-01A")
    batch = one.thing.batch.id

    whole = Flag(batch, NotHeld(("CAOF-25-01A", "CAOF-25-01A/1"), "LOT-25-02", on("2025-06-09")))
    some = Flag(batch, NotHeld(("CAOF-25-01A/1",), "LOT-25-02", on("2025-06-09")))
    other = Flag(batch, NotHeld(("MEOF-25-01A",), "LOT-25-02", on("2025-06-09")))
    assert marks(one, flags=(whole,))[0] == "recalled lot in it"
    assert marks(one, flags=(some,))[0] == "recalled lot in it, some"
    assert marks(one, flags=(other,)) == ["care"]
    (inside, _) = heeds(one, flags=(whole,))
    assert heed_sentence(inside) == (
        "Some of lot LOT-25-02 is in it, recalled 9 Jun 2025, and it is not on hold."
    )


def test_a_liquid_past_its_date_says_so_from_the_day_after():
    one = told(with_bottles().entries, "CAOF-25-01A")

    assert marks(one, date(2026, 6, 3)) == ["care"]
    assert marks(one, date(2026, 6, 4)) == ["past 3 Jun 2026", "care"]


def test_nothing_is_said_of_the_date_of_what_is_gone():
    one = OneJar.charged()
    one.press()
    one.bottle("2025-06-04", (1, 370.0))
    (bottle,) = (thing for thing in things(one.now()) if thing.bottle is not None)

    row = row_of(bottle, PRACTICE, date(2027, 1, 1))
    assert [heed.kind for heed in heeds_of_row(row)] == ["past"]
    assert heeds_of_row(replace(row, state="discarded")) == ()
    assert heeds_of_row(replace(row, state="empty")) == ()


def test_a_weak_liquid_says_since_when_and_till_when_it_is_good():
    one = OneJar.charged()
    one.press()
    water = Pour(liquid="water", volume_ml=900.0)
    one.then(Diluted(about=one.extract(), pours=(water,)), "2025-06-10")
    thing = told(one.entries, "CAOF-25-01A")

    (weak, _) = heeds(thing, date(2025, 6, 11))
    assert (weak.kind, weak.since, weak.through) == ("weak", date(2025, 6, 10), date(2025, 6, 13))
    assert heed_sentence(weak) == "Weak since 10 Jun 2025: keep it cold, good through 13 Jun 2025."
    assert marks(thing) == ["weak", "past 13 Jun 2025", "care"]


def test_a_date_nobody_knows_is_never_left_out():
    one = OneJar.charged()
    one.pressing = one.press(on("2025-06-03", "unknown"))

    assert marks(told(one.entries, "CAOF-25-01A")) == ["no date known", "care"]


def test_signs_that_call_for_a_hold_and_were_to_be_watched_are_said():
    one = OneJar.charged()
    seen = LookedAt(about=one.jar, verdict="watch", signs=("mould", "flecks", "smell"))
    one.then(seen, "2025-06-09")

    (sign, _) = heeds(told(one.entries, "CAOF-25-01"))
    assert heed_mark(sign) == "mould and an off smell found"
    assert heed_sentence(sign) == "Mould and an off smell was found 9 Jun 2025: look again."


def test_of_several_plants_each_is_named():
    every = heeds(shelves.of_two_herbs())

    assert [(one.kind, one.herb, one.of_several) for one in every] == [
        ("external only", "Aconitum napellus", True),
        ("care", "Calendula officinalis", True),
    ]
    assert not any(one.of_several for one in heeds(shelves.of_a_harmful_plant()))


def test_a_plant_that_may_be_a_poison_is_said_to_be_one_perhaps():
    sure = told(OneJar.charged(herb="Digitalis purpurea", part="leaf").entries, "CAOF-25-01")
    maybe = told(OneJar.charged(herb="foxglove or comfrey").entries, "CAOF-25-01")

    assert marks(sure)[0] == "poison"
    assert "poison" not in marks(maybe)


def test_lids_and_fire_say_what_is_known_of_them():
    bare = told(OneJar.charged(lid="tin").entries, "CAOF-25-01")
    unknown = told(OneJar.charged(lid="white one").entries, "CAOF-25-01")

    assert "bare metal lid" in marks(bare)
    assert "lid not known" in marks(unknown)
    assert marks(shelves.of_unknown_strength())[:2] == ["flammable", "may be flammable"]


def test_what_was_used_past_its_date_says_why():
    one = OneJar.charged()
    one.press()
    again = SteepedAgain(
        about=one.extract(),
        pours=(spirit(),),
        least="P28D",
        past_date_why="smelt of nothing but marigold",
    )
    one.then(again, "2026-06-06")

    (late,) = (one for one in heeds(told(one.entries, "CAOF-25-01")) if one.kind == "used late")
    assert heed_sentence(late) == (
        "Used past its date, or with none: smelt of nothing but marigold."
    )


def test_what_is_well_has_nothing_to_heed():
    one = OneJar.charged(herb="Rosa canina", part="fruit")

    assert heeds(told(one.entries, "CAOF-25-01")) == ()


@pytest.mark.parametrize("kind", ORDER)
def test_every_kind_has_a_mark_of_a_few_words(kind):
    hold = HoldView("word", on("2025-06-03"), "mould", "CAOF-25-01")
    for is_sure in (True, False):
        heed = Heed(
            kind, is_sure=is_sure, through=TODAY, signs=("mould",), hold=hold, lot="LOT-25-01"
        )

        assert 0 < len(heed_mark(heed)) < 25
        assert heed_mark(replace(heed, is_whole=False)) == f"{heed_mark(heed)}, some"


def test_the_gravest_come_first():
    assert ORDER[: len(GRAVE)] == tuple(one for one in ORDER if one in GRAVE)
    kinds = [one.kind for one in heeds(shelves.of_two_herbs())]

    assert kinds == sorted(kinds, key=ORDER.index)


@pytest.mark.parametrize(("kind", "said"), [("recall", "recalled"), ("look", "on hold")])
def test_a_row_says_what_holds_it_without_any_table_of_plants(kind: HoldKind, said):
    row = row_of(told(with_bottles().entries, "CAOF-25-01A").thing, PRACTICE, TODAY)
    held = replace(row, hold=HoldView(kind, on("2025-06-03"), "mould", "CAOF-25-01A"))

    assert [heed_mark(one) for one in heeds_of_row(held)] == [said]


def test_of_many_codes_the_first_are_said_and_how_many_more_there_are():
    codes = tuple(f"CAOF-25-01A/{number}" for number in range(1, 14, 2))

    assert codes_said(codes[:4]) == ", ".join(codes[:4])
    assert codes_said(codes) == "CAOF-25-01A/1, CAOF-25-01A/3, CAOF-25-01A/5 and 4 more"


def test_codes_that_follow_each_other_are_a_range_and_none_is_left_out():
    codes = ("CAOF-25-01A", *(f"CAOF-25-01A/{number}" for number in range(2, 111)))

    assert codes_said(codes) == "CAOF-25-01A, CAOF-25-01A/2..110"


def test_a_bottle_refilled_from_a_harmful_plant_is_named_in_what_it_is_of():
    """Its extract and its jar have none of it: their own labels stay as they are."""
    told_ = shelves.a_bottle_of_something_harmful()
    by_code = {thing.code: thing for batch in told_.batches for thing in things(batch)}

    for code in ("CAOF-25-01", "CAOF-25-01A"):
        view = view_of(by_code[code], PRACTICE, TODAY)
        first, *others = heeds_in(view)
        assert (first.kind, first.codes, first.is_whole) == (
            "external only",
            ("CAOF-25-01A/1",),
            False,
        )
        assert heed_sentence(first).startswith("CAOF-25-01A/1: external use only. Aconitum")
        assert [heed_mark(one) for one in others] == ["care"]
    assert marks(told_)[0] == "external use only"
    assert [
        heed_mark(one) for one in heeds_in(view_of(by_code["CAOF-25-01A/2"], PRACTICE, TODAY))
    ] == ["care"]
