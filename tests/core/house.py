"""A shelf with one of everything that a fact may be about, and an example of each kind.

Every plant is real; every code is invented.
"""

from datetime import date

from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.amendments import Away, Held, Labelled, Later, Noted, Released
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    PressedAgain,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import (
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    Split,
    SplitPart,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled


class House:
    """Every thing a fact may be about: lots, jars that macerate, and pressed ones."""

    def __init__(self) -> None:
        pen = self.pen = Pen()
        self.spirit = pen.write(
            Bought(code="SPIRIT-1", liquid="ethanol", ethanol_pct_vol=45.0, volume_ml=5000.0),
            "2025-01-01",
        )
        herb = Gathered(code="HERB-1", herb="Melissa officinalis", herb_g=500.0)
        self.herb = pen.write(herb, "2025-01-01")
        self.steeping, self.second = self._jar("ONE-1"), self._jar("TWO-1")
        self.held = self._jar("HELD-1")
        self.done, self.other = self._jar("DONE-1"), self._jar("OTHER-1")
        for one in (self.done, self.other):
            one.press()
            one.bottle("2025-06-04", (2, 50.0))
        pen.write(Dispensed(about=self.done.extract(bottle=1), volume_ml=30.0), "2025-06-05")
        self.thrown = pen.write(
            Discarded(about=self.other.extract(), volume_ml=20.0, why="spilt"), "2025-06-05"
        )
        pen.write(Held(about=self.held.jar, why="cloudy"), "2025-06-05")

    def _jar(self, code: str) -> OneJar:
        one = OneJar(self.pen)
        one.charge = self.pen.write(a_charge(code=code), "2025-03-03")
        return one


HERB = {"herb": "Melissa officinalis", "form": "dried", "herb_g": 10.0}


def examples(house: House) -> list[AnyFact]:
    """One of each kind that does something to the shelf."""
    jar, extract = house.steeping.jar, house.done.extract()
    from_lot = Pour(liquid="water", volume_ml=20.0, lot=house.spirit.id)
    out_of = Pour(liquid="extract", volume_ml=20.0, of=house.other.extract())
    both = (house.done, house.other)
    blended = tuple(Portion(about=one.extract(), volume_ml=50.0) for one in both)
    return [
        a_charge(code="NEW-1", pours=(from_lot, spirit()), filled_ml=590.0),
        a_charge(code="NEW-2", pours=(from_lot, out_of, spirit())),
        ToppedUp(about=jar, pours=(out_of,)),
        Diluted(about=extract, pours=(out_of,)),
        Found(
            code="FOUND-1",
            herb="Melissa officinalis",
            form="dried",
            volume_ml=100.0,
            charged_from=date(2023, 6, 1),
            charged_precision="season",
            least="P42D",
            longest="P6M",
        ),
        Shaken(jars=(jar.jar,)),
        ToppedUp(about=jar, pours=(spirit(50.0),)),
        HerbAdded(about=jar, **HERB),
        LookedAt(
            about=jar,
            verdict="watch",
            signs=("taste",),
            again_on=date(2026, 1, 1),
            filled_ml=565.0,
        ),
        Moved(about=jar, place="cellar"),
        DrawnOff(about=jar, letter="A", volume_ml=50.0, keeps="P12M"),
        Pressed(about=jar, letter="A", volume_ml=370.0, keeps="P12M"),
        PressedAgain(about=extract, volume_ml=20.0),
        Recharged(about=extract, least="P28D", **HERB),
        SteepedAgain(about=house.done.jar, pours=(spirit(),), least="P28D"),
        Split(about=jar, into=(SplitPart(code="A-1", share=0.5), SplitPart(code="B-1", share=0.5))),
        Joined(code="JOINED-1", parts=(jar.jar, house.second.jar.jar)),
        Filtered(about=extract, volume_ml=260.0),
        Settled(about=extract, volume_ml=250.0),
        MadeUp(about=extract, pours=(spirit(30.0),), volume_ml=300.0),
        Diluted(about=extract, pours=(spirit(30.0),)),
        Blended(code="BLEND-1", parts=blended),
        Bottled(about=extract, bottles=(BottleRun(size_ml=50.0, count=1, first=3),)),
        Refilled(
            about=house.done.extract(bottle=1),
            source=Portion(about=house.other.extract(), volume_ml=20.0),
        ),
        Dispensed(about=jar, reference="P03"),
        Counted(about=extract, volume_ml=255.0),
        Discarded(about=jar, why="mould"),
        Restored(about=house.other.extract(), discard=house.thrown.id),
        Gathered(code="HERB-2", herb="Melissa officinalis", herb_g=50.0),
        Bought(code="SPIRIT-2", liquid="ethanol", ethanol_pct_vol=45.0, volume_ml=900.0),
        BoughtHerb(code="HERB-3", herb="Melissa officinalis", form="dried", herb_g=50.0),
        Dried(about=About(jar=house.herb.id), code="DRY-1", fresh_g=100.0, herb_g=20.0),
        Recalled(about=About(jar=house.herb.id), jars=(jar.jar,), why="wrong plant"),
        Held(about=jar, why="cloudy"),
        Released(about=house.held.jar, why="clear"),
        Labelled(about=extract, lines=("Marigold",)),
        Noted(about=jar, note="dark"),
        Later(about=jar, what="shake", until=date(2025, 7, 1)),
        Away(first=date(2025, 7, 1), last=date(2025, 7, 2)),
    ]
