"""A draft of any kind about anything on the shelf, from a few numbers: mostly one that fits."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeVar

import msgspec
from msgspec.structs import fields

from tests.meeting.exact_account import Account, Key, Stock
from tests.meeting.standing_entries import corrected
from tracker.core.facts.amendments import (
    Amendment,
    Away,
    Corrected,
    Held,
    Labelled,
    Later,
    Noted,
    Released,
    SameAs,
    Struck,
)
from tracker.core.facts.entry import Entry
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
from tracker.core.facts.fields import About, Liquid, Portion, Pour, Sign
from tracker.core.facts.jars import (
    Charged,
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
from tracker.core.practice.practice import Way
from tracker.core.shelf.codes import code_stem, letter, lot_stem, next_numbers
from tracker.core.values.times import When, midnight, moment

Item = TypeVar("Item")
HERBS = ("Calendula officinalis", "Melissa officinalis", "Calluna officinalis")
SIZES = (30.0, 50.0, 10.0)

# Why something past its date stands on new herb, in case it does.
EXPLAINED = "smells as it should"


@dataclass
class Picks:
    """Small numbers, used up one by one; nought is always the plainest choice."""

    numbers: Sequence[int]
    used: int = 0

    def number(self, below: int) -> int:
        found = self.numbers[self.used % len(self.numbers)] + self.used // len(self.numbers)
        self.used += 1
        return found % below

    def of(self, items: Iterable[Item]) -> Item | None:
        """The newest things come first: what was just made is worked on most."""
        found = list(items)
        return found[-1 - self.number(len(found))] if found else None

    def seldom(self, out_of: int = 8) -> bool:
        return self.number(out_of) == out_of - 1


@dataclass
class Hand:
    """Somebody with a book before them: what they know of it, and what they choose."""

    picks: Picks
    account: Account
    entries: dict[str, Entry]
    held: set[Key]
    codes: Callable[[], list[str]]  # of jars, blends and lots
    letters: Callable[[str], list[str]]  # of one jar
    holders: Callable[[str], tuple[str, ...]]  # of one lot, in the book or only named
    named: Callable[[], list[str]]  # the lots that are only named
    now: datetime

    # When and how much

    def when(self) -> When:
        today, how = self.now.date(), self.picks.number(12)
        if how < 6:
            return When(midnight(today, self.now.tzinfo), "day")
        if how < 9:
            return moment(self.now)
        back = today - timedelta(days=self.picks.number(25))
        if how == 9:
            return When(midnight(back, self.now.tzinfo), "day")
        if how == 10:
            return When(midnight(back.replace(day=1), self.now.tzinfo), "month")
        return moment(self.now - timedelta(hours=self.picks.number(90)))

    def ml(self, most: float, least: float = 1.0) -> float:
        """Half millilitres, seldom more than there is."""
        if self.picks.seldom(16):
            return float(most) * 1.5 + 2
        steps = max(int(2 * most) - int(2 * least), 0)
        part = (8, 2, 5, 1, 10, 3)[self.picks.number(6)]
        return (int(2 * least) + steps * part // 10) / 2

    def price(self) -> str | None:
        return (None, "9.90", "0.05", "31.00")[self.picks.number(4)]

    # Things

    def jar(self, *, ended: bool = False) -> About | None:
        fits = [
            one
            for one, vat in self.account.vats.items()
            if (vat.ended is not None) is ended and (one,) not in self.held
        ]
        found = self.picks.of(list(self.account.vats) if self.picks.seldom() else fits)
        return None if found is None else About(jar=found)

    def stock(self, kinds: str = "bulk bottle", least: float = 2.0) -> tuple[About, Stock] | None:
        wanted = {2: "bulk" in kinds, 3: "bottle" in kinds}
        is_any = self.picks.seldom()
        found = self.picks.of(
            (key, one)
            for key, one in self.account.stocks.items()
            if wanted[len(key)] and (is_any or (one.ml >= least and not self.is_held(key)))
        )
        return None if found is None else (about_of(found[0]), found[1])

    def is_held(self, key: Key) -> bool:
        return any(key[:wide] in self.held for wide in range(1, len(key) + 1))

    def thing(self) -> About | None:
        every = [*((one,) for one in self.account.vats), *self.account.stocks]
        found = self.picks.of(every)
        return None if found is None else about_of(found)

    def lot(self, *, liquid: bool | None = None) -> str | None:
        kinds = {"bought"} if liquid else {"gathered", "bought_herb", "dried"}
        kinds = kinds | {"bought"} if liquid is None else kinds
        found = [one for one in self.account.lots if self.entries[one].kind in kinds]
        return self.picks.of(found)

    # What goes in

    def code(self, herb: str) -> str:
        if self.picks.seldom(10):
            return ("FOO", "FOOB", "caof-25-01A", "LOT-25-01", "X")[self.picks.number(5)]
        return next_numbers(code_stem(herb, self.now.year), self.codes())[0]

    def lot_code(self) -> str:
        if self.picks.seldom(16):
            return ("LOT-25-01", "CAOF-25-01")[self.picks.number(2)]
        return next_numbers(lot_stem(self.now.year), self.codes())[0]

    def pours(self, most: float = 300.0) -> tuple[Pour, ...]:
        return tuple(self._pour(most) for _ in range(1 + self.picks.seldom(4)))

    def _pour(self, most: float) -> Pour:
        if self.picks.seldom(3) and (source := self.stock()) is not None:
            about, stock = source
            ml = self.ml(min(most, float(stock.ml)))
            return Pour(liquid="extract", volume_ml=ml, name="an extract", of=about)
        lot = self.lot(liquid=True) if self.picks.number(2) else None
        liquid: Liquid = "water" if self.picks.seldom(5) else "ethanol"
        if self.picks.seldom(10):
            liquid = "glycerin" if self.picks.number(2) else "sugar"
        strengths = (45.0, 60.0, 96.0, 45.0, 60.0, None)
        return Pour(
            liquid=liquid,
            volume_ml=self.ml(most, 10.0),
            ethanol_pct_vol=strengths[self.picks.number(6)] if liquid == "ethanol" else 0.0,
            glycerin_pct_mass=85.0 if liquid == "glycerin" and self.picks.number(2) else None,
            lot=lot,
            paid=self.price(),
        )

    def herb(self) -> dict[str, object]:
        name = HERBS[self.picks.number(len(HERBS))]
        lot = self.lot(liquid=False) if self.picks.number(2) else None
        form = self.entries[lot].fact if lot else None
        dried = self.picks.number(2) == 0 if form is None else getattr(form, "form", "") != "fresh"
        return {
            "herb": name,
            "form": "dried" if dried else "fresh",
            "herb_g": None if self.picks.seldom() else self.ml(80.0, 10.0),
            "herb_water_pct_mass": None if dried else 70.0,
            "herb_lot": lot,
            "herb_paid": self.price(),
        }

    def rest(self) -> dict[str, object]:
        return {"least": "P14D", "longest": ("P90D", None, "P7D")[self.picks.number(3) // 2]}

    def next_letter(self, jar: str) -> str:
        taken = self.letters(jar)
        if taken and self.picks.seldom(10):
            return taken[0]
        return next(one for place in range(1, 99) if (one := letter(place)) not in taken)


def about_of(key: Key) -> About:
    jar, extract, bottle = (*key, None, None)[:3]
    return About(jar=jar, extract=extract, bottle=bottle and int(bottle))


WAYS: tuple[Way, ...] = ("percolation", "double", "simmered")
NAMES = ("Batch 7", "batch  7", "K 12/3")
SIGNS: tuple[tuple[Sign, ...], ...] = (
    ("cloudy",),
    ("mould",),
    ("taste", "colour"),
    ("slime", "gas"),
    ("sediment",),
    ("smell",),
)


# Each gives a fact, or None where there is nothing it could be about


def charged(hand: Hand) -> AnyFact | None:
    herb = hand.herb()
    return Charged(
        code=hand.code(str(herb["herb"])),
        pours=hand.pours(600.0),
        preparation="spirit on dried herb",
        filled_ml=hand.ml(600.0, 300.0) if hand.picks.seldom() else None,
        way=WAYS[hand.picks.number(3)] if hand.picks.seldom(4) else "maceration",
        belongs_to=("P03", "P04")[hand.picks.number(2)] if hand.picks.seldom(4) else None,
        lots=(NAMES[hand.picks.number(3)],) if hand.picks.seldom(4) else (),
        **herb,
        **hand.rest(),
    )


def found(hand: Hand) -> AnyFact | None:
    herb = HERBS[hand.picks.number(2)]
    ml = None if hand.picks.seldom() else hand.ml(400.0, 50.0)
    guessed = hand.picks.seldom()
    return Found(
        code=hand.code(herb),
        herb=herb,
        form="dried",
        volume_ml=ml,
        charged_from=date(2023, 6, 1) if guessed else None,
        charged_precision=("season", "day", "year")[hand.picks.number(3)],
        least="P42D" if hand.picks.seldom() else None,
        lid=("tin", "glass", "wombat")[hand.picks.number(3)],
        belongs_to="P03" if hand.picks.seldom() else None,
    )


def shaken(hand: Hand) -> AnyFact | None:
    jars = [one.jar for _ in range(1 + hand.picks.number(2)) if (one := hand.jar())]
    return Shaken(jars=tuple(dict.fromkeys(jars))) if jars else None


def topped_up(hand: Hand) -> AnyFact | None:
    about = hand.jar()
    return about and ToppedUp(about=about, pours=hand.pours(80.0))


def herb_added(hand: Hand) -> AnyFact | None:
    about = hand.jar()
    return about and HerbAdded(about=about, **hand.herb())


def looked_at(hand: Hand) -> AnyFact | None:
    verdict = ("fine", "watch", "fine", "hold")[hand.picks.number(4)]
    signs = SIGNS[hand.picks.number(len(SIGNS))]
    again = date(2026, 1, 1) if hand.picks.seldom() else None
    about = hand.thing()
    filled_ml = hand.ml(600.0, 300.0) if hand.picks.seldom() else None
    return about and LookedAt(
        about=about, verdict=verdict, signs=signs, again_on=again, filled_ml=filled_ml
    )


def moved(hand: Hand) -> AnyFact | None:
    about = hand.thing()
    return about and Moved(
        about=about,
        place="cellar",
        belongs_to=(None, "P03", "none")[hand.picks.number(3)],
    )


def drawn_off(hand: Hand) -> AnyFact | None:
    if (about := hand.jar()) is None:
        return None
    ml = hand.ml(hand.account.vats[about.jar].ml / 2)
    return DrawnOff(about=about, letter=hand.next_letter(about.jar), volume_ml=ml, keeps="P6M")


def pressed(hand: Hand) -> AnyFact | None:
    if (about := hand.jar()) is None:
        return None
    there = hand.account.vats[about.jar].ml or 200
    return Pressed(
        about=about,
        letter=hand.next_letter(about.jar),
        volume_ml=hand.ml(there, float(there) / 2 + 1),
        keeps=("P12M", "P3Y", "P1M")[hand.picks.number(3)],
    )


def pressed_again(hand: Hand) -> AnyFact | None:
    pressed_jars = {one: vat for one, vat in hand.account.vats.items() if vat.ended == "pressed"}
    found = hand.picks.of(one for one in pressed_jars if (one,) not in hand.held)
    if found is None or hand.picks.seldom():
        some = hand.stock("bulk")
        return some and PressedAgain(about=some[0], volume_ml=hand.ml(20.0))
    vat = pressed_jars[found]
    left = max(vat.ml - vat.pressed_ml, 1)
    return PressedAgain(about=About(jar=found, extract=vat.ended_by), volume_ml=hand.ml(left, 0.5))


def recharged(hand: Hand) -> AnyFact | None:
    ended = {one for one, vat in hand.account.vats.items() if vat.ended == "pressed"}
    found = hand.picks.of(key for key, one in hand.account.stocks.items() if key[0] in ended)
    if found is None:
        return None
    ml = hand.ml(hand.account.stocks[found].ml) if hand.picks.number(2) else None
    return Recharged(
        about=about_of(found), volume_ml=ml, past_date_why=EXPLAINED, **hand.herb(), **hand.rest()
    )


def steeped_again(hand: Hand) -> AnyFact | None:
    about = hand.jar(ended=True)
    pours = hand.pours(300.0)
    way: Way = "simmered" if hand.picks.seldom() else "maceration"
    return about and SteepedAgain(
        about=about, pours=pours, past_date_why=EXPLAINED, way=way, **hand.rest()
    )


def split(hand: Hand) -> AnyFact | None:
    if (about := hand.jar()) is None:
        return None
    shares = ((0.5, 0.5), (0.25, 0.25), (0.75, 0.25), (0.125,), (0.8, 0.4))[hand.picks.number(5)]
    codes = next_numbers(code_stem(HERBS[0], hand.now.year), hand.codes(), len(shares))
    parts = zip(codes, shares, strict=True)
    return Split(about=about, into=tuple(SplitPart(code=one, share=part) for one, part in parts))


def joined(hand: Hand) -> AnyFact | None:
    jars = list(dict.fromkeys(one.jar for _ in range(4) if (one := hand.jar())))[:2]
    return Joined(code=hand.code(HERBS[0]), parts=tuple(jars)) if len(jars) == 2 else None


def filtered(hand: Hand) -> AnyFact | None:
    return _cleared(hand, Filtered)


def settled(hand: Hand) -> AnyFact | None:
    return _cleared(hand, Settled)


def _cleared(hand: Hand, kind: type[Filtered] | type[Settled]) -> AnyFact | None:
    if (found := hand.stock("bulk")) is None:
        return None
    about, stock = found
    after = hand.ml(stock.ml, float(stock.ml) * 0.8)
    before = float(stock.ml) + 1.5 if hand.picks.seldom(5) else None
    return kind(about=about, volume_ml=max(after, 0.5), before_ml=before)


def made_up(hand: Hand) -> AnyFact | None:
    if (found := hand.stock("bulk")) is None:
        return None
    about, stock = found
    pours = hand.pours(60.0)
    whole = float(stock.ml) + sum(one.volume_ml for one in pours)
    return MadeUp(about=about, pours=pours, volume_ml=round(whole * 0.98, 1) or 1.0)


def diluted(hand: Hand) -> AnyFact | None:
    found = hand.stock("bulk")
    return found and Diluted(about=found[0], pours=hand.pours(60.0))


def blended(hand: Hand) -> AnyFact | None:
    wide = 2 + hand.picks.seldom(4)
    chosen = [one for _ in range(2 * wide) if (one := hand.stock())]
    if not hand.picks.seldom(16):
        chosen = list({about: (about, one) for about, one in chosen}.values())[:wide]
    if len(chosen) < 2:
        return None
    parts = tuple(Portion(about=about, volume_ml=hand.ml(one.ml)) for about, one in chosen)
    whole = sum(one.volume_ml for one in parts)
    code = next_numbers("BLEND-25-", hand.codes())[0]
    return Blended(code=code, parts=parts, volume_ml=whole * 0.97 if hand.picks.number(2) else None)


def bottled(hand: Hand) -> AnyFact | None:
    if (found := hand.stock("bulk", 20.0)) is None:
        return None
    about, stock = found
    size = SIZES[hand.picks.number(3)]
    taken = [int(key[2]) for key in hand.account.stocks if key[1:2] == (about.extract,) and key[2:]]
    first = max(taken, default=0) + 1 - hand.picks.seldom(16)
    count = 1 + hand.picks.number(max(min(int(stock.ml / int(size)), 4), 1))
    run = BottleRun(size_ml=size, count=count, first=max(first, 1), paid_each="0.90")
    return Bottled(about=about, bottles=(run,))


def refilled(hand: Hand) -> AnyFact | None:
    roomy = [key for key, one in hand.account.stocks.items() if one.size and one.size - one.ml >= 2]
    into, source = hand.picks.of(roomy), hand.stock()
    if into is None or source is None:
        return None
    bottle = hand.account.stocks[into]
    ml = hand.ml(min(bottle.size - bottle.ml, source[1].ml))
    return Refilled(about=about_of(into), source=Portion(about=source[0], volume_ml=ml))


def dispensed(hand: Hand) -> AnyFact | None:
    if hand.picks.seldom(6) and (about := hand.jar()):
        return Dispensed(about=about, reference="P03")
    if (found := hand.stock("bottle" if hand.picks.number(2) else "bulk bottle")) is None:
        return None
    ml = None if hand.picks.seldom(4) else hand.ml(found[1].ml)
    reference = ("C03", None, "Mrs Aldous Penhale")[hand.picks.number(6) // 2 % 3]
    return Dispensed(about=found[0], volume_ml=ml, reference=reference)


def counted(hand: Hand) -> AnyFact | None:
    if hand.picks.seldom(3) and (lot := hand.lot()):
        amount = hand.ml(max(hand.account.left_of(lot), 1) + 3, 0.0)
        is_liquid = hand.entries[lot].kind == "bought"
        if hand.picks.seldom(16):
            is_liquid = not is_liquid
        said = {"volume_ml" if is_liquid else "herb_g": amount}
        return Counted(about=About(jar=lot), **said)
    found = hand.stock(least=0.0)
    return found and Counted(about=found[0], volume_ml=hand.ml(found[1].ml + 3, 0.0))


def discarded(hand: Hand) -> AnyFact | None:
    of = hand.picks.number(6)
    if of == 4 and (about := hand.jar()):
        return Discarded(about=about, why="mould")
    if of == 5 and (lot := hand.lot()):
        amount = hand.ml(max(hand.account.left_of(lot), 1))
        is_liquid = hand.entries[lot].kind == "bought"
        said = {"volume_ml" if is_liquid else "herb_g": amount}
        return Discarded(about=About(jar=lot), why="spilt", **{} if hand.picks.seldom() else said)
    if (found := hand.stock()) is None:
        return None
    ml = hand.ml(found[1].ml) if hand.picks.number(2) else None
    return Discarded(about=found[0], volume_ml=ml, why="spilt")


def restored(hand: Hand) -> AnyFact | None:
    thrown = [one for one in hand.entries.values() if isinstance(one.fact, Discarded)]
    one = hand.picks.of(thrown)
    return one and Restored(about=one.fact.about, discard=one.id)


def gathered(hand: Hand) -> AnyFact | None:
    herb = HERBS[hand.picks.number(3)]
    return Gathered(code=hand.lot_code(), herb=herb, herb_g=500.0, paid=hand.price())


def bought_herb(hand: Hand) -> AnyFact | None:
    paid = hand.price()
    return BoughtHerb(code=hand.lot_code(), herb=HERBS[0], form="dried", herb_g=800.0, paid=paid)


def bought(hand: Hand) -> AnyFact | None:
    """Spirit; seldom wine of a strength that nobody knows, or glycerin."""
    is_glycerin, strong = hand.picks.seldom(), None if hand.picks.seldom(6) else 96.0
    return Bought(
        code=hand.lot_code(),
        liquid="glycerin" if is_glycerin else "ethanol",
        volume_ml=3000.0,
        ethanol_pct_vol=0.0 if is_glycerin else strong,
        their_lot="K12" if hand.picks.seldom(4) else None,
        paid=hand.price(),
    )


def dried(hand: Hand) -> AnyFact | None:
    fresh_lots = [one for one in hand.account.lots if hand.entries[one].kind == "gathered"]
    if (lot := hand.picks.of(fresh_lots) or hand.lot(liquid=False)) is None:
        return None
    fresh = hand.ml(max(hand.account.left_of(lot), 10), 5.0)
    g = round(fresh / 4, 1)
    return Dried(about=About(jar=lot), code=hand.lot_code(), fresh_g=fresh, herb_g=g)


def recalled(hand: Hand) -> AnyFact | None:
    named = hand.picks.of(hand.named()) if hand.picks.seldom(3) else None
    if named is not None and (jars := hand.holders(named)):
        name = named.partition(" ")[2]
        return Recalled(about=About(jar=jars[0]), jars=jars, named=name, why="mites")
    lot = hand.lot()
    return lot and Recalled(about=About(jar=lot), jars=hand.holders(lot), why="cloudy")


def held(hand: Hand) -> AnyFact | None:
    lot = hand.lot() if hand.picks.seldom(4) else None
    about = About(jar=lot) if lot else hand.thing()
    return about and Held(about=about, why="smell")


def released(hand: Hand) -> AnyFact | None:
    key = hand.picks.of(sorted(hand.held))
    about = hand.thing() if key is None or hand.picks.seldom() else about_of(key)
    return about and Released(about=about, why="it is well")


def labelled(hand: Hand) -> AnyFact | None:
    about = hand.thing()
    return about and Labelled(about=about, lines=("a label",))


def noted(hand: Hand) -> AnyFact | None:
    about = hand.thing()
    return about and Noted(about=about, note="seen")


def later(hand: Hand) -> AnyFact | None:
    about = hand.thing()
    until = hand.now.date() + timedelta(days=5)
    return about and Later(about=about, what="shake", until=until)


def away(hand: Hand) -> AnyFact | None:
    first = hand.now.date()
    return Away(first=first, last=first + timedelta(days=hand.picks.number(9) - 1))


def corrected_(hand: Hand) -> AnyFact | None:
    if (target := hand.picks.of(hand.entries.values())) is None:
        return None
    root, depth, values = target, 0, {}
    while isinstance(root.fact, Corrected) and root.fact.event in hand.entries:
        root, depth = hand.entries[root.fact.event], depth + 1
    if isinstance(root.fact, Amendment):
        values, root = {"note": "so it was"}, target
    elif depth and not hand.picks.seldom(4):
        values = target.fact.set
        for _ in range(depth - 1):
            values = values.get("set", {})
    if not isinstance(root.fact, Amendment):
        values = values | _other_values(hand, root)
    now = corrected(root, values)
    jars = tuple(dict.fromkeys((*target.jars, *root.jars, *now.jars)))
    for _ in range(depth - hand.picks.seldom(16)):
        values = {"set": values}
    return Corrected(event=target.id, jars=jars, set=values, why="read again")


def _other_values(hand: Hand, root: Entry) -> dict[str, object]:
    fact = root.fact
    has = {one.name for one in fields(fact)}
    choices: dict[str, Callable[[], dict[str, object]]] = {
        "note": lambda: {"note": f"note {hand.picks.number(3)}"},
        "when": lambda: _other_day(hand, root),
        "volume_ml": lambda: {"volume_ml": hand.ml(fact.volume_ml or 100, 0.5)},
        "herb_g": lambda: {"herb_g": hand.ml(fact.herb_g or 50, 0.5)},
        "fresh_g": lambda: {"fresh_g": hand.ml(fact.fresh_g, 0.5)},
        "pours": lambda: {"pours": msgspec.to_builtins(hand.pours(200.0))},
        "keeps": lambda: {"keeps": ("P2Y", "P1M")[hand.picks.number(2)]},
        "code": lambda: {"code": hand.code(HERBS[0]), "subject": "moved"},
        "paid": lambda: {"paid": "4.20"},
        "herb": lambda: {"herb": (HERBS[1], "155g", "CAOF-25-01")[hand.picks.number(3)]},
        "reference": lambda: {"reference": ("C04", "Mrs Penhale")[hand.picks.number(2)]},
        "about": lambda: {"about": msgspec.to_builtins(_alike(hand, fact.about))},
    }
    chosen = hand.picks.of(
        name for name in reversed(choices) if name in has or name in ("when", "note")
    )
    return choices[chosen or "note"]()


def _other_day(hand: Hand, root: Entry) -> dict[str, object]:
    days = (1, -1, 7, -7, 30)[hand.picks.number(5)]
    start = root.when.start + timedelta(days=days)
    return {"time": start.isoformat(), "precision": root.when.precision}


def _alike(hand: Hand, about: About) -> About:
    """Another thing of the same sort."""
    keys = [(one,) for one in hand.account.vats] if about.extract is None else []
    keys += [one for one in hand.account.stocks if about.extract is not None]
    wide = 1 + (about.extract is not None) + (about.bottle is not None)
    found = hand.picks.of(one for one in keys if len(one) == wide)
    return about if found is None else about_of(found)


def struck(hand: Hand) -> AnyFact | None:
    target = hand.picks.of(hand.entries.values())
    return target and Struck(event=target.id, jars=target.jars, why="never was")


def same_as(hand: Hand) -> AnyFact | None:
    second = hand.picks.of(hand.entries.values())
    if second is None:
        return None
    alike = [
        one
        for one in hand.entries.values()
        if one.kind == second.kind and one.jars == second.jars and one.id != second.id
    ]
    first = hand.picks.of(alike or hand.entries.values())
    jars = tuple(dict.fromkeys((*first.jars, *second.jars)))
    return SameAs(event=second.id, stands=first.id, jars=jars)


Maker = Callable[[Hand], AnyFact | None]
MAKERS: dict[str, Maker] = {
    maker.__name__.rstrip("_"): maker
    for maker in (
        *(charged, found, shaken, topped_up, herb_added, looked_at, moved, drawn_off, pressed),
        pressed_again,
        *(recharged, steeped_again, split, joined, filtered, settled, made_up, diluted, blended),
        *(bottled, refilled, dispensed, counted, discarded, restored, gathered, bought_herb),
        *(bought, dried, recalled, held, released, labelled, noted, later, away, corrected_),
        *(struck, same_as),
    )
}
