"""What is in every vessel, in exact fractions, from the entries alone: a second reckoning.

It shares no code with the core but the facts and the water that a weighed herb brings.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from dateutil.relativedelta import relativedelta

from tests.meeting.standing_entries import standing
from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import AnyFact, things_of
from tracker.core.herbs.water import WATER_KG_L
from tracker.core.values.times import When

Origin = tuple[str, int]  # the event that put it in, and its place there; the herb is 0
Key = tuple[str, ...]  # a jar, an extract of it, a bottle of that
OUT_OF_NOTHING = {"charged", "found", "gathered", "bought_herb", "bought"}
DROP = Fraction(1, 20)


@dataclass(frozen=True)
class Mix:
    """Amounts of everything that went in, and shares of what was paid for it."""

    parts: dict[Origin, Fraction] = field(default_factory=dict)
    costs: dict[Origin, Fraction] = field(default_factory=dict)

    def times(self, factor: Fraction, costs: Fraction | None = None) -> "Mix":
        costs = factor if costs is None else costs
        return Mix(
            {origin: much * factor for origin, much in self.parts.items()},
            {origin: much * costs for origin, much in self.costs.items()},
        )

    def plus(self, other: "Mix") -> "Mix":
        return Mix(_sum(self.parts, other.parts), _sum(self.costs, other.costs))


def _sum(one: dict[Origin, Fraction], other: dict[Origin, Fraction]) -> dict[Origin, Fraction]:
    return {
        origin: one.get(origin, Fraction(0)) + other.get(origin, Fraction(0))
        for origin in one | other
    }


@dataclass
class Vat:
    """Herb and liquid together, until it ends; `mix` is all of it."""

    ml: Fraction
    mix: Mix
    ended: str | None = None
    ended_on: When | None = None
    ended_by: str = ""
    pressed_ml: Fraction = Fraction(0)
    till: date | None = None  # what comes off it is good for no longer

    def until(self, days: Iterable[date]) -> None:
        """Good through the earliest of these days at most."""
        self.till = min((day for day in (self.till, *days) if day is not None), default=None)

    def take(self, part: Fraction) -> tuple[Fraction, Mix]:
        taken = self.ml * part, self.mix.times(part)
        self.ml, self.mix = self.ml * (1 - part), self.mix.times(1 - part)
        return taken


@dataclass
class Stock:
    """Bulk or a bottle: so much liquid, and what each ml of it is made of."""

    ml: Fraction
    each: Mix
    good: date
    size: Fraction | None = None

    def put(self, ml: Fraction, each: Mix) -> None:
        """So much of another liquid goes in."""
        whole = self.ml + ml
        if whole:
            self.each = self.each.times(self.ml / whole).plus(each.times(ml / whole))
        self.ml = whole

    def take(self, ml: Fraction) -> None:
        self.ml = max(self.ml - ml, Fraction(0))


@dataclass
class LotLeft:
    """What came in, and where it went."""

    amount: Fraction
    price: Fraction | None
    is_liquid: bool = False
    used: list[tuple[int, Fraction]] = field(default_factory=list)  # by place in the history
    discards: dict[str, tuple[int, Fraction]] = field(default_factory=dict)
    count: tuple[int, Fraction] = (-1, Fraction(0))  # the last one

    def left(self) -> Fraction:
        """What there can be of it; thrown out without a number is all that was left then.

        What happened before the last count is not asked for: the count says what there was.
        """
        since, counted = self.count
        there = self.amount if since < 0 else counted
        there -= sum(amount for place, amount in self.used if place > since)
        gone = Fraction(0)
        for place, one in self.discards.values():
            if place > since:
                gone += max(there - gone, Fraction(0)) if one >= self.amount else one
        return there - gone


@dataclass
class Gone:
    """What a discard took, to be put back."""

    key: Key
    ml: Fraction
    each: Mix
    good: date


class Account:
    """Everything of a book, told from its entries."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.vats: dict[str, Vat] = {}
        self.stocks: dict[Key, Stock] = {}
        self.lots: dict[str, LotLeft] = {}
        self._used: dict[str, list[tuple[int, Fraction]]] = defaultdict(list)
        self.prices: dict[Origin, Fraction | None] = {}
        self.ethanol: dict[Origin, Fraction | None] = {}  # % vol of each pour, where it is known
        self._lot_of: dict[Origin, tuple[str, Fraction | None]] = {}
        self._discards: dict[str, Gone] = {}
        self._blends: set[str] = set()
        happened = standing(entries)
        self._places = {one.id: place for place, one in enumerate(happened)}
        self._waiting = {one.id: one for one in happened}
        for one in happened:
            if one.kind in OUT_OF_NOTHING and not _poured_of(one.fact):
                self._tell(one)
        for one in happened:
            self._tell(one)

    def left_of(self, lot: str) -> Fraction:
        """How much there is left of a lot; less than nothing where more was used."""
        self.lots[lot].used = self._used[lot]
        return self.lots[lot].left()

    def cost(self, mix: Mix) -> Fraction | None:
        """What a mix cost; None where nothing of it was priced."""
        known = [
            price * share
            for origin, share in mix.costs.items()
            if (price := self._price(origin)) is not None
        ]
        return sum(known, Fraction(0)) if known else None

    def _price(self, origin: Origin) -> Fraction | None:
        if (paid := self.prices.get(origin)) is not None:
            return paid
        lot, amount = self._lot_of.get(origin, ("", None))
        found = self.lots.get(lot)
        if found is None or found.price is None or amount is None:
            return None
        return found.price * amount / found.amount

    # In order

    def _tell(self, entry: Entry) -> None:
        if self._waiting.pop(entry.id, None) is None:
            return
        while (opener := self._opener(entry.fact)) is not None:
            self._tell(opener)
        tell = getattr(self, f"_{entry.kind}", None)
        if tell is not None:
            tell(entry, entry.fact)

    def _opener(self, fact: AnyFact) -> Entry | None:
        """What has to be told first, if it still waits: a thing is opened before it is used."""
        events = [getattr(fact, "discard", "")]
        for about in things_of(fact):
            key = _key(about)
            if about.jar not in self.vats | self.lots and about.jar not in self._blends:
                events.append(about.jar.partition(".")[0])
            elif about.extract is not None and key[:2] not in self.stocks:
                events.append(about.extract)
            elif about.bottle is not None and key not in self.stocks:
                events += [one.id for one in self._waiting.values() if _fills(one, about)]
        return next((self._waiting[one] for one in events if one in self._waiting), None)

    # Into a jar

    def _taken_in(
        self, entry: Entry, *, herb: bool, pours: bool
    ) -> tuple[Fraction, Mix, list[date]]:
        """How much of what, and the last good days of what was poured out of extracts."""
        ml, parts, costs, shares, days = Fraction(0), {}, {}, Mix(), []
        fact, origin = entry.fact, (entry.id, 0)
        if herb:
            g = None if fact.herb_g is None else Fraction(fact.herb_g)
            parts[origin] = g or Fraction(0)
            pct = fact.herb_water_pct_mass
            if pct is None:  # dried herb: 10 %, common practice, no source
                pct = 10 if fact.form == "dried" else 0
            ml += (g or 0) * Fraction(pct) / 100 / Fraction(WATER_KG_L)
            self._paid(origin, g, fact.herb_lot, fact.herb_paid, costs)
        for place, pour in enumerate(fact.pours if pours else (), 1):
            origin = (entry.id, place)
            if pour.of is not None and (source := self.stocks.get(_key(pour.of))) is not None:
                ml += Fraction(pour.volume_ml)
                shares = shares.plus(source.each.times(Fraction(pour.volume_ml)))
                days.append(source.good)
                source.take(Fraction(pour.volume_ml))
                continue
            parts[origin] = Fraction(pour.volume_ml)
            pct_vol = pour.ethanol_pct_vol
            self.ethanol[origin] = None if pct_vol is None else Fraction(pct_vol)
            ml += Fraction(pour.volume_ml)
            self._paid(origin, Fraction(pour.volume_ml), pour.lot, pour.paid, costs)
        return ml, Mix(parts, costs).plus(shares), days

    def _paid(self, origin, amount, lot, paid, costs) -> None:
        if lot is None and paid is None:
            return
        costs[origin] = Fraction(1)
        self.prices[origin] = None if paid is None else Fraction(paid)
        if lot is not None:
            self._lot_of[origin] = (lot, amount)
            self._used[lot].append((self._places[origin[0]], amount or Fraction(0)))

    def _put_in(self, vat: Vat, entry: Entry, *, herb: bool, pours: bool) -> None:
        ml, mix, days = self._taken_in(entry, herb=herb, pours=pours)
        vat.ml, vat.mix = vat.ml + ml, vat.mix.plus(mix)
        is_new = entry.kind != "steeped_again"  # an extract in date on new herb has a new day
        vat.until(day for day in days if not is_new or day < entry.when.latest)

    def _charged(self, entry, fact) -> None:
        self.vats[entry.id] = Vat(Fraction(0), Mix())
        self._put_in(self.vats[entry.id], entry, herb=True, pours=True)

    def _found(self, entry, fact) -> None:
        ml = Fraction(fact.volume_ml or 0)
        parts = {(entry.id, 0): Fraction(0)} | ({("", 0): ml} if ml else {})
        self.vats[entry.id] = Vat(ml, Mix(parts))

    def _is_over(self, entry, vat: Vat | None) -> bool:
        """Whether it is no jar, it went elsewhere, or it was pressed on an earlier day."""
        if vat is None or vat.ended is None:
            return vat is None
        return vat.ended != "pressed" or entry.when.earliest > vat.ended_on.latest

    def _topped_up(self, entry, fact) -> None:
        vat = self.vats.get(fact.about.jar)
        if not self._is_over(entry, vat):
            self._put_in(vat, entry, herb=False, pours=True)

    def _herb_added(self, entry, fact) -> None:
        vat = self.vats.get(fact.about.jar)
        if not self._is_over(entry, vat):
            self._put_in(vat, entry, herb=True, pours=False)

    # Out of a jar

    def _drawn_off(self, entry, fact) -> None:
        vat, ml = self.vats.get(fact.about.jar), Fraction(fact.volume_ml)
        if self._is_over(entry, vat):
            return
        part = min(ml / vat.ml, Fraction(1)) if vat.ml else Fraction(0)
        taken = vat.take(part)[1]
        self._open(entry, ml, taken.times(1 / ml))

    def _pressed(self, entry, fact) -> None:
        vat, ml = self.vats.get(fact.about.jar), Fraction(fact.volume_ml)
        if vat is None or vat.ended is not None:
            return
        self._open(entry, ml, vat.mix.times(1 / max(vat.ml, ml), 1 / ml))
        vat.mix = Mix(vat.mix.parts)  # the extract carries all that was paid
        vat.pressed_ml = ml
        self._end(vat, entry, "pressed")

    def _pressed_again(self, entry, fact) -> None:
        vat, stock = self.vats.get(fact.about.jar), self.stocks.get(_key(fact.about)[:2])
        if vat is None or stock is None or vat.ended != "pressed":
            return
        if vat.ended_by != fact.about.extract:
            return
        ml = Fraction(fact.volume_ml)
        taken = min(ml, max(vat.ml - vat.pressed_ml, Fraction(0)))
        part = taken / vat.ml if vat.ml else Fraction(0)
        stock.put(ml, Mix(vat.mix.parts).times(part / ml))
        vat.pressed_ml += ml

    def _open(self, entry, ml: Fraction, each: Mix) -> None:
        vat = self.vats[entry.fact.about.jar]
        good = entry.when.earliest + _span(entry.fact.keeps)
        good = min(day for day in (good, vat.till) if day is not None)
        self.stocks[entry.fact.about.jar, entry.id] = Stock(ml, each, good)

    def _end(self, vat: Vat, entry: Entry, how: str) -> None:
        vat.ended, vat.ended_on, vat.ended_by = how, entry.when, entry.id

    def _recharged(self, entry, fact) -> None:
        vat, stock = self.vats.get(fact.about.jar), self.stocks.get(_key(fact.about))
        if vat is None or stock is None or vat.ended is None:
            return
        ml = stock.ml if fact.volume_ml is None else Fraction(fact.volume_ml)
        vat.ml, vat.mix = ml, stock.each.times(ml)
        vat.till = stock.good if stock.good < entry.when.latest else None
        stock.take(ml)
        self._begin(vat, entry, herb=True, pours=False)

    def _steeped_again(self, entry, fact) -> None:
        vat = self.vats.get(fact.about.jar)
        if vat is None or vat.ended != "pressed":
            return
        held = max(vat.ml - vat.pressed_ml, Fraction(0))
        vat.take(1 - held / vat.ml if vat.ml else Fraction(1))
        self._begin(vat, entry, herb=False, pours=True)

    def _begin(self, vat: Vat, entry: Entry, *, herb: bool, pours: bool) -> None:
        vat.ended = vat.ended_on = None
        self._put_in(vat, entry, herb=herb, pours=pours)

    def _split(self, entry, fact) -> None:
        vat = self.vats.get(fact.about.jar)
        shares = [Fraction(one.share) for one in fact.into]
        if vat is None or vat.ended is not None or sum(shares) > 1 + Fraction(1, 10**9):
            return
        for place, share in enumerate(shares, 1):
            self.vats[f"{entry.id}.{place}"] = Vat(
                vat.ml * share, vat.mix.times(share), till=vat.till
            )
        if sum(shares) > 1 - Fraction(1, 10**9):
            self._end(vat, entry, "split")
        else:
            vat.take(sum(shares))

    def _joined(self, entry, fact) -> None:
        vats = [self.vats.get(one) for one in fact.parts]
        if any(one is None or one.ended is not None for one in vats):
            return
        whole = Vat(Fraction(0), Mix())
        for one in vats:
            whole.ml, whole.mix = whole.ml + one.ml, whole.mix.plus(one.mix)
            whole.until([one.till])
            self._end(one, entry, "joined")
        self.vats[entry.id] = whole

    # Extracts and bottles

    def _filtered(self, entry, fact) -> None:
        stock = self.stocks.get(_key(fact.about)[:2])
        if stock is None:
            return
        before = stock.ml if fact.before_ml is None else Fraction(fact.before_ml)
        stock.ml = Fraction(fact.volume_ml)
        if before > stock.ml:  # what stays behind costs nothing
            stock.each = stock.each.times(Fraction(1), before / stock.ml)

    _settled = _filtered

    def _diluted(self, entry, fact) -> None:
        stock = self.stocks.get(_key(fact.about)[:2])
        if stock is None:
            return
        if any(key == _key(fact.about)[:2] for key in _poured_of(fact)):
            return
        before_ml, each = stock.ml, stock.each
        ml, mix, days = self._taken_in(entry, herb=False, pours=True)
        after = before_ml + ml if fact.volume_ml is None else Fraction(fact.volume_ml)
        stock.each = each.times(before_ml).plus(mix).times(1 / after)
        stock.ml = after
        stock.good = min([stock.good, *days])

    _made_up = _diluted

    def _bottled(self, entry, fact) -> None:
        key = _key(fact.about)[:2]
        runs = {run.first + place: run for run in fact.bottles for place in range(run.count)}
        many = sum(run.count for run in fact.bottles)
        if (bulk := self.stocks.get(key)) is None or len(runs) < many:
            return
        if any((*key, str(number)) in self.stocks for number in runs):
            return
        for number, run in runs.items():
            size = Fraction(run.size_ml)
            self.stocks[*key, str(number)] = Stock(size, bulk.each, bulk.good, size)
        bulk.take(sum(Fraction(run.size_ml) for run in runs.values()))

    def _blended(self, entry, fact) -> None:
        parts = [(self.stocks.get(_key(one.about)), Fraction(one.volume_ml)) for one in fact.parts]
        if any(stock is None for stock, _ in parts):
            return
        mix = Mix()
        for stock, ml in parts:
            mix = mix.plus(stock.each.times(ml))
        whole = sum(ml for _, ml in parts) if fact.volume_ml is None else Fraction(fact.volume_ml)
        good = min(stock.good for stock, _ in parts)
        for stock, ml in parts:
            stock.take(ml)
        self._blends.add(entry.id)
        self.stocks[entry.id, entry.id] = Stock(whole, mix.times(1 / whole), good)

    def _refilled(self, entry, fact) -> None:
        into = self.stocks.get(_key(fact.about))
        source, ml = self.stocks.get(_key(fact.source.about)), Fraction(fact.source.volume_ml)
        if into is None or into.size is None or source is None or source is into:
            return
        into.good = min(into.good, source.good) if into.ml >= DROP else source.good
        into.put(ml, source.each)
        source.take(ml)

    def _dispensed(self, entry, fact) -> None:
        stock = self.stocks.get(_key(fact.about))
        vat = self.vats.get(fact.about.jar) if fact.about.extract is None else None
        if vat is not None and vat.ended is None:
            self._end(vat, entry, "given out")
        if stock is not None:
            stock.take(stock.ml if fact.volume_ml is None else Fraction(fact.volume_ml))

    def _counted(self, entry, fact) -> None:
        if (lot := self.lots.get(fact.about.jar)) is not None:
            there = fact.volume_ml if lot.is_liquid else fact.herb_g
            place = self._places[entry.id]
            if there is not None and place > lot.count[0]:
                lot.count = (place, Fraction(there))
        elif (stock := self.stocks.get(_key(fact.about))) is not None:
            stock.ml = Fraction(fact.volume_ml)

    def _discarded(self, entry, fact) -> None:
        key = _key(fact.about)
        if fact.about.jar in self.lots:
            lot = self.lots[fact.about.jar]
            gone = fact.volume_ml if lot.is_liquid else fact.herb_g
            all_of_it = lot.amount if gone is None else Fraction(gone)
            lot.discards[entry.id] = (self._places[entry.id], all_of_it)
        elif (stock := self.stocks.get(key)) is not None:
            ml = stock.ml if fact.volume_ml is None else Fraction(fact.volume_ml)
            self._discards[entry.id] = Gone(key, ml, stock.each, stock.good)
            stock.take(ml)
        elif len(key) == 1 and (vat := self.vats.get(key[0])) and vat.ended is None:
            self._end(vat, entry, "discarded")

    def _restored(self, entry, fact) -> None:
        if fact.about.jar in self.lots:
            self.lots[fact.about.jar].discards.pop(fact.discard, None)
        elif fact.about.extract is None:
            vat = self.vats.get(fact.about.jar)
            if vat and vat.ended == "discarded" and vat.ended_by == fact.discard:
                vat.ended = vat.ended_on = None
        elif (gone := self._discards.get(fact.discard)) and gone.key[:2] == _key(fact.about)[:2]:
            del self._discards[fact.discard]
            stock = self.stocks[gone.key]
            is_bottle = len(gone.key) == 3
            is_alone = is_bottle and stock.ml < DROP
            stock.good = gone.good if is_alone else min(stock.good, gone.good)
            stock.put(gone.ml, gone.each)

    # Lots

    def _gathered(self, entry, fact) -> None:
        amount = fact.volume_ml if fact.kind == "bought" else fact.herb_g
        paid = None if fact.paid is None else Fraction(fact.paid)
        self.lots[entry.id] = LotLeft(Fraction(amount), paid, fact.kind == "bought")

    _bought = _bought_herb = _gathered

    def _dried(self, entry, fact) -> None:
        if (parent := self.lots.get(fact.about.jar)) is None:
            return
        fresh = Fraction(fact.fresh_g)
        self._used[fact.about.jar].append((self._places[entry.id], fresh))
        price = None if parent.price is None else parent.price * fresh / parent.amount
        self.lots[entry.id] = LotLeft(Fraction(fact.herb_g), price)


def _key(about: About) -> Key:
    found = (about.jar, about.extract, about.bottle and str(about.bottle))
    return tuple(one for one in found if one is not None)


def _poured_of(fact: AnyFact) -> list[Key]:
    """What its pours come out of."""
    found = (pour.of for pour in getattr(fact, "pours", ()))
    return [_key(of) for of in found if of is not None]


def _fills(entry: Entry, about: About) -> bool:
    fact = entry.fact
    return (
        entry.kind == "bottled"
        and fact.about.extract == about.extract
        and any(run.first <= about.bottle < run.first + run.count for run in fact.bottles)
    )


def _span(iso: str) -> relativedelta:
    """A period such as P1Y2M10D."""
    units = {"Y": "years", "M": "months", "W": "weeks", "D": "days"}
    spans = defaultdict(int)
    number = ""
    for sign in iso[1:]:
        if sign.isdigit():
            number += sign
        else:
            spans[units[sign]] += int(number)
            number = ""
    return relativedelta(**spans)
