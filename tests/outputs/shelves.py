"""Shelves with one fact each that every output must say. All invented, but for the plants."""

from dataclasses import dataclass, replace
from datetime import date

from tests.lives import OneJar, Pen, a_charge, on, spirit
from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Diluted,
    Dispensed,
    Pressed,
    PressedAgain,
    Refilled,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Found, HerbAdded, LookedAt, SteepedAgain
from tracker.core.facts.lots import BoughtHerb, Recalled
from tracker.core.replay.replay import replay
from tracker.core.shelf.thing import Batch, Thing, things


@dataclass(frozen=True)
class Told:
    """A shelf as its entries leave it, and the thing in question."""

    entries: tuple[Entry, ...]
    batches: tuple[Batch, ...]
    thing: Thing


def told(entries: list[Entry], code: str) -> Told:
    batches = tuple(replay(entries).batches)
    (thing,) = (one for batch in batches for one in things(batch) if one.code == code)
    return Told(tuple(entries), batches, thing)


def held_by_a_look() -> Told:
    """Mould was seen in the extract on 9 June 2025."""
    one = OneJar.charged()
    one.press()
    seen = LookedAt(about=one.extract(), verdict="hold", signs=("mould",))
    one.then(seen, "2025-06-09")
    return told(one.entries, "CAOF-25-01A")


def to_look_at_again() -> Told:
    """Flecks were seen in the jar on 9 June 2025, and the day to look again is 12 June."""
    one = OneJar.charged(shake=())
    again = date(2025, 6, 12)
    seen = LookedAt(about=one.jar, verdict="watch", signs=("flecks",), again_on=again)
    one.then(seen, "2025-06-09")
    return told(one.entries, "CAOF-25-01")


def under_bare_metal() -> Told:
    one = OneJar.charged(lid="tin", shake=())
    return told(one.entries, "CAOF-25-01")


def found_and_guessed_at() -> Told:
    """Charged in the summer of 2024, by a guess: from 42 days after 31 August, 12 October."""
    pen = Pen()
    guess = {"charged_from": date(2024, 6, 1), "charged_precision": "season", "least": "P42D"}
    found = Found(code="CAOF-25-01", herb="Rosa canina", form="dried", volume_ml=400.0, **guess)
    entry = pen.write(found, "2025-03-05")
    pen.write(Released(about=About(jar=entry.id), why="smells right"), "2025-03-06")
    return told(pen.entries, "CAOF-25-01")


def recalled() -> Told:
    """The lot its herb came from was called back."""
    one = OneJar.charged()
    one.press()
    call = Recalled(about=About(jar="lot-0001"), jars=(one.charge.id,), why="wrong plant")
    one.then(call, "2025-06-09")
    return told(one.entries, "CAOF-25-01A")


def of_a_named_lot() -> Told:
    """Charged from a lot that is not in the book."""
    return told(OneJar.charged(lots=("Batch 7",)).entries, "CAOF-25-01")


def of_a_harmful_plant() -> Told:
    one = OneJar.charged(herb="Aconitum napellus", part="root")
    one.press()
    return told(one.entries, "CAOF-25-01A")


def of_two_herbs() -> Told:
    """A harmless herb, and less of a harmful one that was added a week later."""
    one = OneJar.charged()
    more = HerbAdded(
        about=one.jar, herb="Aconitum napellus", part="root", form="fresh", herb_g=20.0
    )
    one.then(more, "2025-03-10")
    one.press("2025-06-12")
    return told(one.entries, "CAOF-25-01A")


def of_a_poured_extract() -> Told:
    """A harmless herb, and the extract of a harmful one poured over it: 40 g of that came in.

    Of the harmful one itself nothing is left, and its own jar is left out: nothing else names it.
    """
    pen = Pen()
    harmful = OneJar(pen)
    harmful.charge = pen.write(
        a_charge(code="ACNA-25-01", herb="Aconitum napellus", part="root"), "2025-01-02"
    )
    harmful.press("2025-02-03")
    extract = Pour(liquid="extract", volume_ml=200.0, name="ACNA-25-01A", of=harmful.extract())
    one = OneJar(pen)
    one.charge = pen.write(a_charge(pours=(spirit(300.0), extract)), "2025-03-03")
    one.press()
    pen.write(Dispensed(about=harmful.extract(), volume_ml=170.0), "2025-06-07")
    whole = told(pen.entries, "CAOF-25-01A")
    return replace(whole, batches=(whole.thing.batch,))


def of_unknown_strength() -> Told:
    """In vodka of no known strength and 50 ml of 60 %; nothing else tells till when it keeps."""
    one = OneJar.charged(
        pours=(Pour(liquid="ethanol", volume_ml=450.0, ethanol_pct_vol=None, name="vodka"),
               spirit(50.0, 60.0))
    )  # fmt: skip
    one.press()
    return told(one.entries, "CAOF-25-01A")


def a_bottle_good_for_less_long() -> Told:
    """Refilled from an older extract, which is good through 1 September 2025."""
    pen = Pen()
    old = OneJar(pen)
    old.charge = pen.write(a_charge(code="CAOF-24-01"), "2024-05-01")
    old.press("2024-09-01")
    one = OneJar(pen)
    one.charge = pen.write(a_charge(), "2025-03-03")
    one.press("2025-06-03")
    one.bottle("2025-06-04", (2, 100.0))
    bottle = one.extract(bottle=1)
    one.then(Dispensed(about=bottle, volume_ml=30.0), "2025-06-05")
    source = Portion(about=old.extract(), volume_ml=30.0)
    one.then(Refilled(about=bottle, source=source), "2025-06-06")
    return told(pen.entries, "CAOF-25-01A/1")


def a_bottle_of_something_harmful() -> Told:
    """Refilled from the extract of a harmful plant, of which itself nothing is left."""
    pen = Pen()
    harmful = OneJar(pen)
    harmful.charge = pen.write(
        a_charge(code="ACNA-25-01", herb="Aconitum napellus", part="root"), "2025-01-02"
    )
    harmful.press("2025-04-03")
    one = OneJar(pen)
    one.charge = pen.write(a_charge(), "2025-03-03")
    one.press("2025-06-03")
    one.bottle("2025-06-04", (2, 100.0))
    bottle = one.extract(bottle=1)
    one.then(Dispensed(about=bottle, volume_ml=30.0), "2025-06-05")
    source = Portion(about=harmful.extract(), volume_ml=30.0)
    one.then(Refilled(about=bottle, source=source), "2025-06-06")
    one.then(Dispensed(about=harmful.extract(), volume_ml=340.0), "2025-06-07")
    whole = told(pen.entries, "CAOF-25-01A/1")
    return replace(whole, batches=(whole.thing.batch,))


def a_struck_pressing() -> Told:
    one = OneJar.charged()
    one.strike(one.press())
    return told(one.entries, "CAOF-25-01")


def a_blend() -> Told:
    """Of two herbs on 10 June 2025, good through 3 June 2026 as its parts are."""
    pen = Pen()
    parts = []
    for code, herb, part in (
        ("CAOF-25-01", "Calendula officinalis", "flower"),
        ("MEOF-25-01", "Melissa officinalis", "herb"),
    ):
        charge = pen.write(a_charge(code=code, herb=herb, part=part), "2025-03-03")
        fact = Pressed(about=About(jar=charge.id), letter="A", volume_ml=370.0, keeps="P12M")
        pressing = pen.write(fact, "2025-06-03")
        about = About(jar=charge.id, extract=pressing.id)
        parts.append(Portion(about=about, volume_ml=100.0))
    blend = pen.write(Blended(code="BLND-25-01", parts=tuple(parts)), "2025-06-10")
    bottled = Bottled(
        about=About(jar=blend.id, extract=blend.id),
        bottles=(BottleRun(size_ml=50.0, count=1, first=1),),
    )
    pen.write(bottled, "2025-06-11")
    return told(pen.entries, "BLND-25-01")


def a_percolate() -> Told:
    """P03's, meant by finished volume: 480 ml of 100 g were collected, and 20 ml more pressed."""
    one = OneJar.charged(way="percolation", belongs_to="P03", least="P1D", shake=())
    one.press("2025-06-03", 480.0)
    one.then(PressedAgain(about=one.extract(), volume_ml=20.0), "2025-06-04")
    return told(one.entries, "CAOF-25-01A")


def given_out_whole() -> Told:
    """A jar that left with its herb on 2 June 2025, the day before it was ready."""
    one = OneJar.charged()
    one.then(Dispensed(about=one.jar, reference="P03"), "2025-06-02")
    return told(one.entries, "CAOF-25-01")


def a_held_bottle() -> Told:
    """Two bottles and 170 ml in bulk; the first bottle is on hold."""
    one = OneJar.charged()
    one.press()
    one.bottle("2025-06-04", (2, 100.0))
    one.then(Held(about=one.extract(bottle=1), why="a loose lid"), "2025-06-05")
    return told(one.entries, "CAOF-25-01A")


def recalled_and_not_held() -> Told:
    """Of a lot that was called back; this jar was written down on another machine, too late."""
    pen = Pen()
    bought = BoughtHerb(code="LOT-25-01", herb="Calendula officinalis", form="dried", herb_g=500.0)
    lot = pen.write(bought, "2025-02-03")
    pen.write(Recalled(about=About(jar=lot.id), why="mites"), "2025-06-09")
    one = OneJar(pen)
    one.charge = pen.write(a_charge(herb_lot=lot.id), "2025-03-03")
    one.press()
    return told(pen.entries, "CAOF-25-01A")


def a_blend_recalled() -> Told:
    """The lot of one of its parts was called back."""
    before = a_blend()
    pen = Pen(entries=list(before.entries))
    ids = {batch.code: batch.id for batch in before.batches}
    jars = (ids["MEOF-25-01"], ids["BLND-25-01"])
    pen.write(Recalled(about=About(jar="lot-0001"), jars=jars, why="wrong plant"), "2025-06-12")
    return told(pen.entries, "BLND-25-01")


def of_a_poison() -> Told:
    one = OneJar.charged(code="DIPU-25-01", herb="Digitalis purpurea", part="leaf")
    one.press()
    return told(one.entries, "DIPU-25-01A")


def mould_to_be_watched() -> Told:
    """Mould was seen in the jar on 9 June 2025, and it is only to be looked at again."""
    one = OneJar.charged(shake=())
    seen = LookedAt(about=one.jar, verdict="watch", signs=("mould",))
    one.then(seen, "2025-06-09")
    return told(one.entries, "CAOF-25-01")


def weak() -> Told:
    """Made 13 % vol on 10 June 2025: good through 13 June, kept cold."""
    one = OneJar.charged()
    one.press()
    water = Pour(liquid="water", volume_ml=900.0)
    one.then(Diluted(about=one.extract(), pours=(water,)), "2025-06-10")
    return told(one.entries, "CAOF-25-01A")


def pressed_nobody_knows_when() -> Told:
    one = OneJar.charged()
    one.press(on("2025-06-03", "unknown"))
    return told(one.entries, "CAOF-25-01A")


def a_plain_one() -> Told:
    """Nothing wrong with it but that some people are allergic to it: good through 3 June 2026."""
    one = OneJar.charged()
    one.press()
    return told(one.entries, "CAOF-25-01A")


def a_corrected_pressing() -> Told:
    """370 ml were written down, and 350 it was."""
    one = OneJar.charged()
    one.correct(one.press(), {"volume_ml": 350.0})
    return told(one.entries, "CAOF-25-01A")


def a_second_steep() -> Told:
    """New spirit on the old marc on 6 June 2025, to be pressed from 4 July; the first is there."""
    one = OneJar.charged()
    one.press()
    again = SteepedAgain(about=one.extract(), pours=(spirit(),), least="P28D")
    one.then(again, "2025-06-06")
    return told(one.entries, "CAOF-25-01")
