"""Books of one shape and thousands of lines: each could cost the square of its size."""

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta

from tests.lives import a_charge, on
from tracker.core.facts.amendments import Corrected, Labelled, Noted, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Dispensed,
    Pressed,
    Refilled,
    Restored,
)
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Joined, LookedAt, Shaken, Split, SplitPart, ToppedUp
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.lots import BoughtHerb, Dried, Recalled
from tracker.core.values.times import When

WRITER = "stranger"
FIRST = date(2025, 3, 3)


class Stranger:
    """Somebody who writes line after line, each a second later."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []

    def say(self, fact: AnyFact, *, days: int = 0, subject: str = "CAOF-25-01") -> str:
        """One more line; its id."""
        number = len(self.entries) + 1
        event = f"{WRITER}-{number:08d}"
        recorded = datetime(2025, 6, 1, tzinfo=UTC) + timedelta(seconds=number)
        when: When = on(FIRST + timedelta(days=days))
        self.entries.append(Entry(event, WRITER, number, subject, when, recorded, fact))
        return event

    def pressed(self, code: str = "CAOF-25-01") -> About:
        """A jar that was charged and pressed; its extract."""
        jar = self.say(a_charge(code=code))
        press = Pressed(about=About(jar=jar), letter="A", volume_ml=370.0, keeps="P36M")
        return About(jar=jar, extract=self.say(press, days=30))


def jars_of_one_code(size: int) -> Sequence[Entry]:
    """As many jars, all of one code."""
    one = Stranger()
    for _ in range(size):
        one.say(a_charge())
    return one.entries


def events_of_one_jar(size: int) -> Sequence[Entry]:
    """One jar, shaken and looked at for years."""
    one = Stranger()
    jar = one.say(a_charge())
    for number in range(size - 1):
        looked = LookedAt(about=About(jar=jar), signs=("cloudy",))
        one.say(looked if number % 5 == 0 else Shaken(jars=(jar,)), days=number % 200)
    return one.entries


def blend_of_many_parts(size: int) -> Sequence[Entry]:
    """A blend of so many extracts."""
    one = Stranger()
    parts = [one.pressed(f"CAOF-25-{number:04d}") for number in range(size // 2)]
    portions = tuple(Portion(about=part, volume_ml=1.0) for part in parts)
    one.say(Blended(code="BLEND-25-01", parts=portions), days=40)
    return one.entries


def blends_of_blends(size: int) -> Sequence[Entry]:
    """A blend of a blend of a blend."""
    one = Stranger()
    about, other = one.pressed(), one.pressed("CAOF-25-02")
    for number in range(size - 4):
        parts = (Portion(about=about, volume_ml=1.0), Portion(about=other, volume_ml=0.01))
        event = one.say(Blended(code=f"BLEND-25-{number:04d}", parts=parts), days=40)
        about = About(jar=event, extract=event)
    return one.entries


def pours_of_pours(size: int) -> Sequence[Entry]:
    """Extracts poured on new herb, pressed and poured on."""
    one = Stranger()
    about = one.pressed()
    for number in range(size // 2 - 1):
        pour = Pour(liquid="extract", volume_ml=100.0, name="an extract", of=about)
        charge = a_charge(code=f"CAOF-25-{number + 2:04d}", pours=(pour,))
        jar = one.say(charge, days=31)
        press = Pressed(about=About(jar=jar), letter="A", volume_ml=100.0, keeps="P36M")
        about = About(jar=jar, extract=one.say(press, days=31))
    return one.entries


def corrections_of_one_line(size: int) -> Sequence[Entry]:
    """One line, put right so often."""
    one = Stranger()
    jar = one.say(a_charge())
    for number in range(size - 1):
        values: dict[str, object] = {"herb_g": float(number % 90 + 10)}
        one.say(Corrected(event=jar, jars=(jar,), set=values, why="weighed once more"))
    return one.entries


def strikes_of_strikes(size: int) -> Sequence[Entry]:
    """A strike of a strike of a strike."""
    one = Stranger()
    jar = one.say(a_charge())
    event = one.say(Noted(about=About(jar=jar), note="a remark"))
    for _ in range(size - 2):
        event = one.say(Struck(event=event, jars=(jar,), why="not so"))
    return one.entries


def lots_of_lots(size: int) -> Sequence[Entry]:
    """A lot that was dried of a lot that was dried of a lot."""
    one = Stranger()
    herb = "Calendula officinalis"
    lot = one.say(BoughtHerb(code="LOT-25-0001", herb=herb, form="fresh", herb_g=1e6, paid="9.90"))
    for number in range(size - 2):
        dried = Dried(
            about=About(jar=lot), code=f"LOT-25-{number + 2:04d}", fresh_g=1.0, herb_g=1.0
        )
        lot = one.say(dried)
    one.say(a_charge(herb_lot=lot))
    return one.entries


def lots_of_one_number(size: int) -> Sequence[Entry]:
    """As many lots of one supplier's number, each charged in a jar."""
    one = Stranger()
    for number in range(size // 2):
        lot = one.say(
            BoughtHerb(
                code=f"LOT-25-{number:04d}",
                herb="Calendula officinalis",
                form="dried",
                herb_g=100.0,
                where="a field",
                their_lot="K 12/3",
            )
        )
        one.say(a_charge(code=f"CAOF-25-{number:04d}", herb_lot=lot, lots=("K 12/3",)))
    return one.entries


def bottles_that_are_not_there(size: int) -> Sequence[Entry]:
    """Bottles filled, and as many named that nobody filled yet."""
    one = Stranger()
    about = one.pressed()
    for number in range(size // 2 - 1):
        bottle = About(jar=about.jar, extract=about.extract, bottle=500_000 + number)
        one.say(Dispensed(about=bottle, volume_ml=0.1), days=31)
        run = BottleRun(size_ml=0.01, count=1, first=number + 1)
        one.say(Bottled(about=about, bottles=(run,)), days=32)
    return one.entries


def ten_thousand_bottles(size: int) -> Sequence[Entry]:
    """One extract in very many bottles, each given out or labelled."""
    one = Stranger()
    about = one.pressed()
    run = BottleRun(size_ml=0.001, count=min(size, 10_000), first=1)
    one.say(Bottled(about=about, bottles=(run,)), days=31)
    for number in range(size - 3):
        bottle = About(jar=about.jar, extract=about.extract, bottle=number + 1)
        printed = Labelled(about=bottle, lines=("Calendula",))
        one.say(printed if number % 2 else Dispensed(about=bottle), days=32)
    return one.entries


def splits_of_splits(size: int) -> Sequence[Entry]:
    """A jar split into two, one of these into two, and so on; joined again."""
    one = Stranger()
    jar, left = one.say(a_charge()), []
    for number in range(size - 2):
        parts = tuple(SplitPart(code=f"CAOF-25-{2 * number + k}", share=0.5) for k in (2, 3))
        event = one.say(Split(about=About(jar=jar), into=parts))
        left.append(f"{event}.1")
        jar = f"{event}.2"
    one.say(Joined(code="CAOF-25-9999", parts=(jar, *left)))
    return one.entries


def topped_up_for_ever(size: int) -> Sequence[Entry]:
    """One jar that is topped up with ever more liquids."""
    one = Stranger()
    jar = one.say(a_charge())
    for number in range(size - 1):
        pour = Pour(liquid="ethanol", volume_ml=0.1, ethanol_pct_vol=45.0, name=f"K {number}")
        one.say(ToppedUp(about=About(jar=jar), pours=(pour,)), days=1)
    return one.entries


def refilled_round_and_round(size: int) -> Sequence[Entry]:
    """Two bottles poured into each other, over and over."""
    one = Stranger()
    about = one.pressed()
    run = BottleRun(size_ml=50.0, count=2, first=1)
    one.say(Bottled(about=about, bottles=(run,)), days=31)
    bottles = [About(jar=about.jar, extract=about.extract, bottle=number) for number in (1, 2)]
    for number in range(size - 3):
        source = Portion(about=bottles[number % 2], volume_ml=1.0)
        one.say(Refilled(about=bottles[1 - number % 2], source=source), days=32)
    return one.entries


def pressed_many_times(size: int) -> Sequence[Entry]:
    """One jar, pressed over and over under one letter, as on as many machines."""
    one = Stranger()
    jar = one.say(a_charge())
    for _ in range(size - 1):
        press = Pressed(about=About(jar=jar), letter="A", volume_ml=300.0, keeps="P36M")
        one.say(press, days=30)
    return one.entries


def recalled_over_and_over(size: int) -> Sequence[Entry]:
    """One lot in very many jars, called back again and again."""
    one = Stranger()
    herb = "Calendula officinalis"
    lot = one.say(BoughtHerb(code="LOT-25-01", herb=herb, form="dried", herb_g=1e6))
    many = size - 6
    jars = [one.say(a_charge(code=f"CAOF-25-{k:04d}", herb_lot=lot)) for k in range(many)]
    for _ in range(5):
        one.say(Recalled(about=About(jar=lot), jars=tuple(jars[::2]), why="called back"), days=2)
    return one.entries


def every_lot_recalled(size: int) -> Sequence[Entry]:
    """As many lots as jars, one in each, and every one of them called back and on no hold."""
    one = Stranger()
    herb = "Calendula officinalis"
    for k in range(size // 3):
        code = f"LOT-25-{k:04d}"
        lot = one.say(BoughtHerb(code=code, herb=herb, form="dried", herb_g=1e6))
        one.say(a_charge(code=f"CAOF-25-{k:04d}", herb_lot=lot))
        one.say(Recalled(about=About(jar=lot), jars=(), why="called back"), days=2)
    return one.entries


def restored_before_discarded(size: int) -> Sequence[Entry]:
    """Restored again and again, what was never thrown out."""
    one = Stranger()
    about = one.pressed()
    for number in range(size - 2):
        one.say(Restored(about=about, discard=f"nothing-{number:06d}"), days=31)
    return one.entries


def remarks_about_nothing(size: int) -> Sequence[Entry]:
    """A jar, and remarks about as many that nobody ever charged."""
    one = Stranger()
    one.say(a_charge())
    for number in range(size - 1):
        about = About(jar=f"nothing-{number:06d}")
        one.say(Noted(about=about, note="a remark"), days=2, subject=f"MEOF-25-{number:04d}")
    return one.entries


SHAPES: dict[str, Callable[[int], Sequence[Entry]]] = {
    made.__name__: made
    for made in (
        jars_of_one_code,
        events_of_one_jar,
        blend_of_many_parts,
        blends_of_blends,
        pours_of_pours,
        corrections_of_one_line,
        strikes_of_strikes,
        lots_of_lots,
        lots_of_one_number,
        bottles_that_are_not_there,
        ten_thousand_bottles,
        splits_of_splits,
        topped_up_for_ever,
        refilled_round_and_round,
        pressed_many_times,
        recalled_over_and_over,
        every_lot_recalled,
        restored_before_discarded,
        remarks_about_nothing,
    )
}
