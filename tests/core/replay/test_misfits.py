"""How what does not fit is flagged: by kind and fields, whatever words are put to it later."""

import inspect
from datetime import UTC, datetime
from typing import get_args, get_type_hints

import msgspec
import pytest
from msgspec.structs import replace

from tests.lives import OneJar, Pen, on, spirit
from tracker.core.facts.amendments import Held, Later, Noted, Released
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    Settled,
)
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import DrawnOff, LookedAt, Moved, Shaken, Split, SplitPart, ToppedUp
from tracker.core.facts.lots import BoughtHerb, Dried
from tracker.core.replay.replay import replay
from tracker.core.shelf.end import DiscardedEnd, PressedEnd, SplitEnd
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import (
    AfterEnd,
    DatedBefore,
    LetterGivenTwice,
    Misfit,
    MoreAfter,
    MoreThanThere,
    NotOfSuch,
    SecondPressing,
)
from tracker.outputs.words.flags import flag_text


def misfits(one: OneJar) -> list[Misfit]:
    return [flag.misfit for flag in one.now().flags]


def test_what_is_done_after_the_end_says_how_it_ended():
    one = OneJar.charged()
    one.press("2025-06-03")
    one.shake("2025-06-05")
    one.then(ToppedUp(about=one.jar, pours=(spirit(10.0),)), "2025-06-06")

    end = PressedEnd(on("2025-06-03"), one.pressing.id)
    assert misfits(one) == [
        AfterEnd("shaken", on("2025-06-05"), end),
        AfterEnd("topped_up", on("2025-06-06"), end),
    ]


@pytest.mark.parametrize("how", ["split", "discarded"])
def test_a_pressing_after_another_end_says_which(how):
    one = OneJar.charged()
    parts = (SplitPart(code="S1", share=0.5), SplitPart(code="S2", share=0.5))
    fact = (
        Split(about=one.jar, into=parts) if how == "split" else Discarded(about=one.jar, why="old")
    )
    ended = one.then(fact, "2025-05-01")
    one.press("2025-05-01")

    ends = {"split": SplitEnd, "discarded": DiscardedEnd}
    end = ends[how](on("2025-05-01"), ended.id)
    assert misfits(one) == [AfterEnd("pressed", on("2025-05-01"), end)]
    assert one.now().end == end
    assert one.now().pressing is None


def test_a_second_pressing_names_both_and_asks():
    one = OneJar.charged()
    first = one.press("2025-06-03", ml=370.0)
    second = one.then(replace(first.fact, volume_ml=330.0), "2025-06-04")

    (flag,) = one.now().flags
    assert flag.asks
    assert flag.misfit == SecondPressing(330.0, first.id, on("2025-06-03"), 370.0, second.id)


def test_a_letter_given_twice_has_to_be_relabelled():
    from tracker.core.shelf.codes import wants_relabelling

    one = OneJar.charged()
    for day in ("2025-04-01", "2025-04-02"):
        one.then(DrawnOff(about=one.jar, letter="A", volume_ml=50.0, keeps="P12M"), day)

    (flag,) = one.now().flags
    assert flag.misfit == LetterGivenTwice("A", "Ab")
    assert wants_relabelling(flag)


def test_more_than_there_was_says_how_much_of_what():
    one = OneJar.charged()
    one.press(ml=370.0)
    one.bottle("2025-06-04", (1, 100.0))
    one.then(Dispensed(about=one.extract(), volume_ml=300.0), "2025-06-05")
    one.then(Dispensed(about=one.extract(1), volume_ml=120.0), "2025-06-06")

    assert misfits(one) == [
        MoreThanThere("dispensed", 300.0, 270.0),
        MoreThanThere("dispensed", 120.0, 100.0, bottle=1),
    ]


def of_an_extract(about: About) -> list[object]:
    return [
        LookedAt(about=about),
        Moved(about=about, place="cellar"),
        Held(about=about, why="cloudy"),
        Later(about=about, what="expired", until=datetime(2025, 8, 1, tzinfo=UTC).date()),
        Noted(about=about, note="clear"),
        Filtered(about=about, volume_ml=300.0),
        Settled(about=about, volume_ml=300.0),
        Bottled(about=about, bottles=(BottleRun(size_ml=50.0, count=1, first=7),)),
        Dispensed(about=about, volume_ml=10.0),
        Counted(about=about, volume_ml=300.0),
        Discarded(about=about, why="old", volume_ml=10.0),
    ]


@pytest.mark.parametrize("place", range(11))
def test_whatever_is_dated_before_an_extract_was_pressed_is_flagged(place):
    one = OneJar.charged()
    one.press("2025-06-03")
    one.then(of_an_extract(one.extract())[place], "2025-05-20")

    assert DatedBefore(on("2025-05-20"), "pressed", on("2025-06-03")) in misfits(one)


def test_what_is_dated_before_a_bottle_was_filled_is_flagged():
    one = OneJar.charged()
    one.press("2025-06-03")
    one.bottle("2025-07-01", (1, 100.0))
    one.then(Dispensed(about=one.extract(1), volume_ml=10.0), "2025-06-20")

    assert misfits(one) == [DatedBefore(on("2025-06-20"), "filled", on("2025-07-01"))]


@pytest.mark.parametrize("kind", ["shaken", "pressed", "drawn off", "looked at"])
def test_whatever_is_dated_before_the_charge_is_flagged(kind):
    one = OneJar.charged("2025-03-03")
    fact = {
        "shaken": Shaken(jars=(one.charge.id,)),
        "pressed": Pressed(about=one.jar, letter="A", volume_ml=300.0, keeps="P12M"),
        "drawn off": DrawnOff(about=one.jar, letter="A", volume_ml=50.0, keeps="P12M"),
        "looked at": LookedAt(about=one.jar),
    }[kind]
    one.then(fact, "2025-02-20")

    assert misfits(one) == [DatedBefore(on("2025-02-20"), "charged", on("2025-03-03"))]


def test_what_is_dated_before_a_jar_was_split_off_is_flagged():
    """It carries the day of the charge, which is long before there was the jar."""
    one = OneJar.charged("2025-03-03")
    parts = (SplitPart(code="S1", share=0.5), SplitPart(code="S2", share=0.5))
    split = one.then(Split(about=one.jar, into=parts), "2025-04-01")
    one.then(LookedAt(about=About(jar=f"{split.id}.1")), "2025-03-10")

    (flag,) = replay(one.entries).jars[f"{split.id}.1"].flags
    assert flag.misfit == DatedBefore(on("2025-03-10"), "split", on("2025-04-01"))


def test_what_is_dated_before_a_lot_or_a_blend_is_flagged():
    pen = Pen()
    herb = BoughtHerb(code="LOT-25-01", herb="Calendula officinalis", form="fresh", herb_g=100.0)
    lot = pen.write(herb, "2025-03-01")
    about = About(jar=lot.id)
    pen.write(Held(about=about, why="damp"), "2025-02-01")
    pen.write(Dried(about=about, code="LOT-25-02", fresh_g=50.0, herb_g=10.0), "2025-02-02")
    one = OneJar.charged()
    one.press()
    parts = (Portion(about=one.extract(), volume_ml=10.0),) * 2
    blend = one.then(Blended(code="B", parts=parts), "2025-06-10")
    liquid = About(jar=blend.id, extract=blend.id)
    one.then(Released(about=liquid, why="clear"), "2025-06-09")
    one.then(Held(about=liquid, why="cloudy"), "2025-06-09")

    before = [
        DatedBefore(on(day), "bought", on("2025-03-01")) for day in ("2025-02-01", "2025-02-02")
    ]
    assert [flag.misfit for flag in replay(pen.entries).lots[lot.id].flags] == before
    found = [flag.misfit for flag in replay(one.entries).blends[blend.id].flags]
    assert found[-1] == DatedBefore(on("2025-06-09"), "blended", on("2025-06-10"))


def test_a_pressing_that_a_back_dated_draw_off_leaves_too_little_for_is_flagged():
    """490 ml of 500 ml pressed fits; with 200 ml drawn off before that it does not."""
    one = OneJar.charged(herb_g=20.0, form="dried")
    pressing = one.press("2025-06-03", ml=490.0)
    assert misfits(one) == []
    draw = DrawnOff(about=one.jar, letter="B", volume_ml=200.0, keeps="P12M")
    one.then(draw, "2025-05-01")

    (flag,) = one.now().flags
    assert flag.event == pressing.id
    assert (flag.misfit.did, flag.misfit.wanted_ml) == ("pressed", 490.0)
    assert 299.0 < flag.misfit.there_ml < 305.0  # 300 ml and the most water 20 g may bring


@pytest.mark.parametrize("kind", [Filtered, Settled])
def test_what_was_said_of_before_does_not_make_more_of_it_than_there_was(kind):
    one = OneJar.charged()
    one.press("2025-06-03", ml=370.0)
    one.then(Dispensed(about=one.extract(), volume_ml=100.0), "2025-06-10")
    one.then(kind(about=one.extract(), before_ml=360.0, volume_ml=350.0), "2025-06-11")

    assert misfits(one) == [MoreAfter(kind.kind, 270.0, 350.0)]


def test_what_no_blend_can_take_is_flagged():
    one = OneJar.charged()
    one.press()
    parts = (Portion(about=one.extract(), volume_ml=10.0),) * 2
    blend = one.then(Blended(code="B", parts=parts), "2025-06-10")
    one.then(ToppedUp(about=About(jar=blend.id), pours=(spirit(10.0),)), "2025-06-11")
    one.then(Shaken(jars=(blend.id,)), "2025-06-12")

    found = [flag.misfit for flag in replay(one.entries).blends[blend.id].flags]
    assert found == [NotOfSuch("topped_up", "blend"), NotOfSuch("shaken", "blend")]


def an_example(kind: type[Misfit]) -> Misfit:
    """One of a kind, its fields filled by their types."""
    values = {
        "str": "x",
        "float": 2.0,
        "int": 3,
        "When": on("2025-03-03"),
        "End": DiscardedEnd(on("2025-03-03"), "e"),
        "datetime": datetime(2025, 3, 3, tzinfo=UTC),
        "tuple[str, ...]": ("x",),
    }
    hints = get_type_hints(kind)
    filled = {}
    for name, parameter in inspect.signature(kind).parameters.items():
        if parameter.default is not inspect.Parameter.empty:
            continue
        hint = hints[name]
        literal = get_args(hint)[0] if "Literal" in str(hint) else None
        text = getattr(hint, "__name__", str(hint)) if "tuple" not in str(hint) else str(hint)
        text = "End" if "PressedEnd" in str(hint) else text
        filled[name] = literal or values[text]
    return kind(**filled)


@pytest.mark.parametrize("kind", get_args(Misfit), ids=lambda kind: kind.__name__)
def test_every_kind_has_words_and_goes_through_the_read_model(kind):
    flag = Flag("event-01", an_example(kind), asks=True)

    assert len(flag_text(flag).split()) > 1 or kind.__name__ == "Unreadable"
    assert msgspec.json.decode(msgspec.json.encode(flag), type=Flag) == flag
