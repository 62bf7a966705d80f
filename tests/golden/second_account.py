"""What each morning's digest must say, reckoned a second time and by other means.

Nothing of the program is imported: the lines of the book are read with `json`, calendar time is
dateutil's, and the rules are those of design and docs/reminders.md, written down once more. A
thing is looked at by walking the lines that name it, each morning from the first.
"""

import json
import re
import tomllib
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from operator import itemgetter
from pathlib import Path

from dateutil.relativedelta import relativedelta

DAY = timedelta(days=1)
MOST_PRESSING = (  # docs/reminders.md, the table
    *("safety", "weak", "past-longest", "expired", "away", "shake", "look", "ready"),
    *("expiring", "undated", "count"),
)
EVERY_DAY = {"safety", "weak", "past-longest", "shake"}  # every day until it is done
EXPIRING = timedelta(days=30)  # the practice's own, where practice.toml says nothing
WEAK_BELOW, WEAK_KEEPS = 0.20, 3 * DAY  # docs/menstruum.md: of the volume; days from then on
WATERY = {"ethanol", "water"}  # what is judged by its ethanol alone
FRESH_WATER = 0.8  # of a fresh herb's weight: no jar of the demo book is near enough to matter
LOOK_LAPSES = timedelta(days=7)  # a look that nobody took is asked for a week long
NOTHING_ML = 0.05
SPOILING = {"mould", "slime", "gas", "smell"}  # docs/reminders.md, looks
LONG_AGO = date(1970, 1, 1)
LASTS = {"month": relativedelta(months=1), "season": relativedelta(months=3),
         "year": relativedelta(years=1)}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """One line of a digest; the days and millilitres it may name beside the code."""

    code: str
    what: str
    since: date
    named: frozenset[date] = frozenset()
    ml: float | None = None
    until: date | None = None  # it was put off until then
    ready: "Line | None" = None  # that it is ready as well, beside a shake or a look

    @property
    def once(self):
        """What is said once, is said once under this."""
        return self.code, self.what, self.until or self.since


@dataclass
class Liquor:
    """What was poured together, volumes simply added, and since when it has been weak."""

    ml: float = 0.0
    pure: float = 0.0
    liquids: frozenset = frozenset()
    since: date | None = None

    def with_more(self, day, pours=(), water_ml=0.0, others=()):
        """Poured together on a day; a part that is weak still is weak since its own day."""
        parts = [self, *others]
        whole = Liquor(
            sum(one.ml for one in parts) + sum(one["volume_ml"] for one in pours) + water_ml,
            sum(one.pure for one in parts)
            + sum(one["volume_ml"] * one.get("ethanol_pct_vol", 0.0) / 100 for one in pours),
            frozenset().union(*(one.liquids for one in parts), (one["liquid"] for one in pours)),
        )
        if whole.ml and whole.liquids <= WATERY and whole.pure / whole.ml < WEAK_BELOW:
            whole.since = min([day, *(one.since for one in parts if one.since)])
        return whole

    def some(self, ml):
        """So much of it."""
        share = ml / self.ml if self.ml else 0.0
        return Liquor(self.ml * share, self.pure * share, self.liquids, self.since)


def _fresh_water(data):
    return (data.get("herb_g") or 0.0) * FRESH_WATER if data.get("form") == "fresh" else 0.0


def _first_of(days):
    """The earliest; not known where any is not."""
    known = list(days)
    return None if None in known else min(known)


@dataclass
class Steep:
    """Herb in liquid: a jar until it is pressed."""

    code: str
    charged: tuple[date, date]  # the first and last day it can have been
    began: tuple[date, date]
    herb_in: date | None
    least: relativedelta | None
    longest: date | None
    shake: list
    looks: list[date]
    liquids: set[str]
    lid: str = ""
    barrier: str | None = None
    shaken: date | None = None
    touched: date | None = None
    held: date | None = None
    look: tuple[date, str, tuple, str | None] | None = None  # the day, and when to look again
    later: dict = field(default_factory=dict)
    out: bool = False
    liquor: Liquor = field(default_factory=Liquor)

    @property
    def ready(self):
        """The day it is ready; None where its beginning or its minimum is not known."""
        return None if None in (self.herb_in, self.least) else self.herb_in + self.least


@dataclass
class Bottle:
    ml: float
    good: date | None


@dataclass
class Extract:
    """What a pressing, a draw-off or a blend gave."""

    code: str
    jar: str
    opened: tuple[date, date]
    good: date | None
    bulk: float
    bottles: dict = field(default_factory=dict)
    gone: dict = field(default_factory=dict)  # what each discard took, and from which bottle
    counted: date | None = None
    held: date | None = None
    look: tuple[date, str, tuple, str | None] | None = None
    later: dict = field(default_factory=dict)
    liquor: Liquor = field(default_factory=Liquor)

    @property
    def left(self):
        return self.bulk + sum(one.ml for one in self.bottles.values())

    @property
    def good_through(self):
        """The first day on which some of what is left ends to be good."""
        inside = [one.good for one in self.bottles.values() if one.ml >= NOTHING_ML]
        days = [self.own_good, *inside] if self.bulk >= NOTHING_ML or not inside else inside
        return min((day for day in days if day), default=None)

    @property
    def own_good(self):
        """Its own last good day, sooner where it is weak; None where nobody knows."""
        if self.liquor.since is None:
            return self.good
        return min(day for day in (self.good, self.liquor.since + WEAK_KEEPS) if day)

    def take(self, ml, number):
        """Take so much, or all, from the bulk or a bottle; returns what was there of it."""
        if number is None:
            taken = self.bulk if ml is None else min(ml, self.bulk)
            self.bulk -= taken
        else:
            bottle = self.bottles[number]
            taken = bottle.ml if ml is None else min(ml, bottle.ml)
            bottle.ml -= taken
        return taken


def span(text):
    """An ISO 8601 period of months and days."""
    number = {unit: int(n) for n, unit in re.findall(r"(\d+)([MD])", text)}
    return relativedelta(months=number.get("M", 0), days=number.get("D", 0))


@cache
def days_of(day: str, precision: str) -> tuple[date, date]:
    """The first and last day a line's happening can have been."""
    day = date.fromisoformat(day)
    if precision == "unknown":
        return LONG_AGO, day
    lasts = LASTS.get(precision)
    return day, day if lasts is None else day + lasts - DAY


def _unless_unknown(line, day):
    return None if line["precision"] == "unknown" else day


def lines_of(book: Path):
    """Every line of a book, in the order they were written down."""
    files = sorted((book / "events").glob("*.jsonl"))
    lines = [json.loads(line) for file in files for line in file.read_text("utf-8").splitlines()]
    return sorted(lines, key=lambda one: (one["recordedtime"], one["source"], one["sequence"]))


def in_force(lines: list) -> list:
    """The lines that count, as amended, in the order in which they happened."""
    gone, set_to, same = set(), defaultdict(list), {}
    for line in reversed(lines):  # an amendment comes after what it amends
        data = line["data"]
        if line["type"] in ("struck", "corrected", "same_as") and line["id"] not in gone:
            if line["type"] == "struck":
                gone.add(data["event"])
            elif line["type"] == "corrected":
                set_to[data["event"]].insert(0, data["set"])
            else:
                gone.add(data["event"])
                same[data["event"]] = data["stands"]
    kept = [
        _corrected(line, set_to.get(line["id"], [])) for line in lines if line["id"] not in gone
    ]
    kept = [_of_what_stands(line, same) for line in kept]
    return sorted(kept, key=itemgetter("time", "recordedtime", "source", "sequence"))


def _of_what_stands(line, same):
    about = line["data"].get("about")
    if not about or about.get("extract") not in same:
        return line
    about = about | {"extract": same[about["extract"]]}
    return line | {"data": line["data"] | {"about": about}}


def _corrected(line, sets):
    for values in sets:
        own = {name: values[name] for name in ("time", "precision", "subject") if name in values}
        data = line["data"] | {name: to for name, to in values.items() if name not in own}
        line = line | own | {"data": data}
    return line


class Shelf:
    """Every jar and extract as the lines leave them."""

    def __init__(self, lines: list) -> None:
        self.steeps: dict[str, Steep] = {}
        self.extracts: dict[str, Extract] = {}
        self.codes: dict[str, str] = {}
        self.pressed: set[str] = set()
        self.away: list[tuple[date, date]] = []
        for line in lines:
            if does := getattr(self, f"_{line['type']}", None):
                does(line, line["data"], *days_of(line["time"][:10], line["precision"]))

    def _thing(self, data):
        about = data["about"]
        found = self.extracts if about.get("extract") else self.steeps
        return found.get(about.get("extract") or about["jar"])

    def _in_time(self, jar, first):
        """The steep of a jar, if it was not over before that day."""
        steep = self.steeps.get(jar)
        return None if steep is None or (steep.out and first > steep.out) else steep

    # Jars

    def _charged(self, line, data, first, last):
        longest = data.get("longest")
        self.steeps[line["id"]] = Steep(
            data["code"], (first, last), (first, last), _unless_unknown(line, last),
            span(data["least"]),
            first + span(longest) if longest and line["precision"] != "unknown" else None,
            data.get("shake", []), [first + DAY * n for n in data.get("look_days", [])],
            {pour["liquid"] for pour in data["pours"]}, data.get("lid", ""), data.get("barrier"),
            liquor=Liquor().with_more(first, data["pours"], _fresh_water(data)),
        )  # fmt: skip

    def _found(self, line, data, first, last):
        least, longest = data.get("least"), data.get("longest")
        guess = data.get("charged_from")
        began = (LONG_AGO, last)
        if guess:
            began = days_of(guess, data.get("charged_precision", "day"))
        self.steeps[line["id"]] = Steep(
            data["code"], began, began, began[1] if guess else None, least and span(least),
            began[0] + span(longest) if guess and longest else None, [], [], {"not known"},
            data.get("lid", ""), data.get("barrier"), held=first,
        )  # fmt: skip

    def _split(self, line, data, first, last):
        whole = self.steeps[data["about"]["jar"]]
        for place, part in enumerate(data["into"], 1):
            child = copy(whole)
            child.code, child.later = part["code"], {}
            self.steeps[f"{line['id']}.{place}"] = child
        if sum(part["share"] for part in data["into"]) > 0.999:
            whole.out = last

    def _joined(self, line, data, first, last):
        parts = [self.steeps[one] for one in data["parts"]]
        latest = max(parts, key=lambda one: one.ready or date.max)
        watched = [one.look for one in parts if one.look and one.look[1] == "watch"]
        oldest = min(parts, key=lambda one: one.charged)
        ends = [one.longest for one in parts if one.longest]
        self.steeps[line["id"]] = Steep(
            data["code"], oldest.charged, latest.began, latest.herb_in, latest.least,
            min(ends, default=None), latest.shake, [], set().union(*(one.liquids for one in parts)),
            held=next((one.held for one in parts if one.held), None),
            # It was shaken when the last of its parts that needed it was.
            shaken=min((one.shaken for one in parts if one.shaken), default=None),
            look=max(watched, key=lambda one: (bool(SPOILING & {*one[2]}), one[0]), default=None),
            liquor=Liquor().with_more(first, others=[one.liquor for one in parts]),
        )  # fmt: skip
        for one in parts:
            one.out = last

    def _shaken(self, line, data, first, last):
        for jar in data["jars"]:
            if steep := self._in_time(jar, first):
                steep.shaken, steep.touched = first, last

    def _topped_up(self, line, data, first, last):
        if steep := self._in_time(data["about"]["jar"], first):
            steep.touched = last
            steep.liquids = steep.liquids | {pour["liquid"] for pour in data["pours"]}
            steep.liquor = steep.liquor.with_more(first, data["pours"])

    def _herb_added(self, line, data, first, last):
        if steep := self._in_time(data["about"]["jar"], first):
            steep.touched = steep.herb_in = last
            steep.liquor = steep.liquor.with_more(first, water_ml=_fresh_water(data))

    def _moved(self, line, data, first, last):
        if "lid" in data:
            steep = self._thing(data)
            steep.lid, steep.barrier = data["lid"], data.get("barrier")

    def _looked_at(self, line, data, first, last):
        thing = self._thing(data)
        signs = tuple(data.get("signs", ()))
        thing.look = (first, data["verdict"], signs, data.get("again_on"))
        thing.later.pop("look", None)
        if isinstance(thing, Steep):
            thing.touched = last
            self._moved(line, data, first, last)

    def _later(self, line, data, first, last):
        self._thing(data).later[data["what"]] = date.fromisoformat(data["until"])

    def _away(self, line, data, first, last):
        self.away.append((date.fromisoformat(data["first"]), date.fromisoformat(data["last"])))

    # Holds

    def _held(self, line, data, first, last):
        if thing := self._thing(data):
            thing.held = first

    def _released(self, line, data, first, last):
        if thing := self._thing(data):
            thing.held = None
            if thing.look and thing.look[1] == "hold":
                thing.look = (first, "watch", thing.look[2], None)

    def _recalled(self, line, data, first, last):
        for one in data["jars"]:
            for thing in (self.steeps.get(one), self.extracts.get(one)):
                if thing is not None:
                    thing.held = first

    # Steeps end and begin

    def _open(self, line, data, first, last):
        steep = self.steeps[data["about"]["jar"]]
        self.extracts[line["id"]] = Extract(
            steep.code + data["letter"], data["about"]["jar"], (first, last),
            None if line["precision"] == "unknown" else first + span(data["keeps"]),
            data["volume_ml"], liquor=steep.liquor.some(data["volume_ml"]),
        )  # fmt: skip
        return steep

    def _drawn_off(self, line, data, first, last):
        self._open(line, data, first, last)
        steep = self.steeps[data["about"]["jar"]]
        steep.liquor = steep.liquor.some(max(steep.liquor.ml - data["volume_ml"], 0.0))

    def _pressed(self, line, data, first, last):
        if not self.steeps[data["about"]["jar"]].out:
            self._open(line, data, first, last).out = last

    def _begin(self, data, first, last):
        steep = self.steeps[data["about"]["jar"]]
        steep.began, steep.herb_in, steep.out = (first, last), last, False
        steep.least, steep.shake = span(data["least"]), data.get("shake", [])
        steep.longest = first + span(data["longest"]) if "longest" in data else None
        steep.shaken, steep.looks, steep.later = None, [], {}
        steep.liquids = steep.liquids | {pour["liquid"] for pour in data.get("pours", [])}
        return steep

    def _recharged(self, line, data, first, last):
        extract = self._thing(data)
        taken = extract.take(data.get("volume_ml"), None)
        steep = self._begin(data, first, last)
        steep.liquor = extract.liquor.some(taken).with_more(first, water_ml=_fresh_water(data))

    def _steeped_again(self, line, data, first, last):
        steep = self._begin(data, first, last)
        given = [one for one in self.extracts.values() if one.jar == data["about"]["jar"]]
        held = steep.liquor.some(max(steep.liquor.ml - given[-1].liquor.ml, 0.0))
        steep.liquor = held.with_more(first, data["pours"])

    # Extracts and bottles

    def _filtered(self, line, data, first, last):
        self._thing(data).bulk = data["volume_ml"]

    _settled = _filtered

    def _made_up(self, line, data, first, last):
        extract = self._thing(data)
        poured = sum(pour["volume_ml"] for pour in data["pours"])
        extract.liquor = extract.liquor.some(extract.bulk).with_more(first, data["pours"])
        extract.bulk = data.get("volume_ml", extract.bulk + poured)

    _diluted = _made_up

    def _bottled(self, line, data, first, last):
        extract = self._thing(data)
        for run in data["bottles"]:
            for number in range(run["first"], run["first"] + run["count"]):
                extract.take(run["size_ml"], None)
                extract.bottles[number] = Bottle(run["size_ml"], extract.own_good)

    def _dispensed(self, line, data, first, last):
        self._thing(data).take(data.get("volume_ml"), data["about"].get("bottle"))

    def _counted(self, line, data, first, last):
        extract, number = self._thing(data), data["about"].get("bottle")
        extract.counted = first
        if number is None:
            extract.bulk = data["volume_ml"]
        else:
            extract.bottles[number].ml = data["volume_ml"]

    def _discarded(self, line, data, first, last):
        thing = self._thing(data)
        if isinstance(thing, Steep):
            thing.out = thing.out or last
        elif thing is not None:  # not a lot
            number = data["about"].get("bottle")
            thing.gone[line["id"]] = number, thing.take(data.get("volume_ml"), number)

    def _restored(self, line, data, first, last):
        extract = self._thing(data)
        number, ml = extract.gone.pop(data["discard"])
        if number is None:
            extract.bulk += ml
        else:
            extract.bottles[number].ml += ml

    def _refilled(self, line, data, first, last):
        bottle = self._thing(data).bottles[data["about"]["bottle"]]
        source, number = self._thing(data["source"]), data["source"]["about"].get("bottle")
        good = source.own_good if number is None else source.bottles[number].good
        bottle.good = _first_of((bottle.good, good)) if bottle.ml >= NOTHING_ML else good
        bottle.ml += data["source"]["volume_ml"]
        source.take(data["source"]["volume_ml"], number)

    def _blended(self, line, data, first, last):
        goods, held, ml, liquors = [], None, 0.0, []
        for part in data["parts"]:
            extract, number = self._thing(part), part["about"].get("bottle")
            goods.append(extract.own_good if number is None else extract.bottles[number].good)
            liquors.append(extract.liquor.some(part["volume_ml"]))
            held = held or extract.held or self.steeps[extract.jar].held
            extract.take(part["volume_ml"], number)
            ml += part["volume_ml"]
        self.extracts[line["id"]] = Extract(
            data["code"],
            line["id"],
            (first, last),
            _first_of(goods),
            data.get("volume_ml", ml),
            held=held,
            liquor=Liquor().with_more(first, others=liquors),
        )


def reasons(shelf: Shelf, today: date, count_every: relativedelta | None):
    """Every line that holds today, whether it was said before or not."""
    for steep in shelf.steeps.values():
        if not steep.out:
            for line in _of_steep(steep, today):
                yield from _put_off(line, steep.later, today)
    for extract in shelf.extracts.values():
        if extract.left >= NOTHING_ML:
            jar = shelf.steeps.get(extract.jar)
            for line in _of_extract(extract, jar, today, count_every):
                yield from _put_off(line, extract.later, today)


def _put_off(line: Line, later: dict, today: date) -> Iterator[Line]:
    until = later.get(line.what, line.since)
    if line.what in ("safety", "weak", "undated") or until <= line.since:
        yield line
    elif until <= today:
        yield Line(line.code, line.what, line.since, line.named, line.ml, until)


def _of_look(code, look, today) -> Iterator[Line]:
    if look and (look[1] == "hold" or (look[1] == "watch" and SPOILING & {*look[2]})):
        yield Line(code, "safety", look[0])
    if look and look[3] and date.fromisoformat(look[3]) <= today:
        again = date.fromisoformat(look[3])
        yield Line(code, "look", again, frozenset({look[0]}))


def _of_liquor(code, liquor) -> Iterator[Line]:
    if liquor.since is not None:
        named = frozenset({liquor.since, liquor.since + WEAK_KEEPS})
        yield Line(code, "weak", liquor.since, named)


def _of_steep(steep: Steep, today: date) -> Iterator[Line]:
    if steep.held:
        yield Line(steep.code, "safety", steep.held)
    yield from _of_look(steep.code, steep.look, today)
    is_metal = "metal" in steep.lid and not steep.barrier  # the one word for it in the book
    if is_metal and steep.liquids & {"ethanol", "vinegar", "other", "not known"}:
        charged, by = steep.charged
        yield Line(steep.code, "safety", by if charged == LONG_AGO else charged)
    yield from _of_liquor(steep.code, steep.liquor)
    if steep.longest and today > steep.longest:
        yield Line(steep.code, "past-longest", steep.longest + DAY)
    if steep.ready and steep.ready <= today:
        yield Line(steep.code, "ready", steep.ready, frozenset({steep.ready}))
    last = max(steep.shaken or steep.began[1], steep.began[1])
    every = _every(steep, today)
    if every and today >= last + DAY * every:
        yield Line(steep.code, "shake", last + DAY * every, frozenset({last}))
    asked = [day for day in steep.looks if day <= today]
    lapsed = not asked or today > asked[-1] + LOOK_LAPSES
    if not lapsed and (steep.touched is None or steep.touched < asked[-1]):
        yield Line(steep.code, "look", asked[-1])


def _every(steep: Steep, today: date) -> int | None:
    """How many days apart the phase in force asks for shakes."""
    number = (today - steep.began[0]).days
    for phase in steep.shake:
        if number <= phase.get("through_day", number):
            over = phase.get("until_ready") and steep.ready and today >= steep.ready
            return None if over else phase["every_days"]
    return None


def _of_extract(extract: Extract, jar: Steep | None, today, count_every) -> Iterator[Line]:
    code, good = extract.code, extract.good_through
    if extract.held:
        yield Line(code, "safety", extract.held)
    yield from _of_look(code, extract.look, today)
    if jar is not None and jar.out:  # a hold on the jar holds what came out of it
        if jar.held:
            yield Line(code, "safety", jar.held)
        if jar.look and jar.look[1] == "hold":
            yield Line(code, "safety", jar.look[0])
    if extract.bulk >= NOTHING_ML or extract.bottles:
        yield from _of_liquor(code, extract.liquor)
    yield from _of_date(code, good, today, extract)
    if count_every:
        counted = extract.counted or (extract.opened[0] if good else extract.opened[1])
        if counted + count_every <= today:
            named = frozenset({counted})
            yield Line(code, "count", counted + count_every, named, extract.left)


def _of_date(code, good, today, extract) -> Iterator[Line]:
    if good is None:
        yield Line(code, "undated", extract.opened[1], ml=extract.left)
    elif today > good:
        yield Line(code, "expired", good + DAY, frozenset({good}), extract.left)
    elif today >= good - EXPIRING:
        yield Line(code, "expiring", good - EXPIRING, frozenset({good}), extract.left)


def _while_away(shelf: Shelf, first: date, last: date) -> set[str]:
    """The codes that something will happen to while nobody is there, or just before."""
    codes = set()
    for steep in shelf.steeps.values():
        passes = steep.longest and first - DAY <= steep.longest <= last
        ready = steep.ready and first <= steep.ready <= last
        if not steep.out and (ready or passes):
            codes.add(steep.code)
    for extract in shelf.extracts.values():
        good = extract.good_through
        if extract.left >= NOTHING_ML and good and first - DAY <= good <= last:
            codes.add(extract.code)
    return codes


def digests(book: Path, first: date, last: date) -> Iterator[tuple[date, dict[str, list[Line]]]]:
    """For each day, what may be said of each code: several where reasons of one kind meet."""
    practice = tomllib.loads((book / "practice.toml").read_text("utf-8"))
    number, unit = practice["reminders"]["count every"].split()
    every = relativedelta(**{unit: int(number)})
    written, said = lines_of(book), set()
    for today in (first + DAY * n for n in range((last - first).days + 1)):
        # Those written down before this day began.
        known = bisect_left(written, today.isoformat(), key=itemgetter("recordedtime"))
        shelf = Shelf(in_force(written[:known]))
        if any(begin <= today <= end for begin, end in shelf.away):
            yield today, {}
            continue
        lines = list(reasons(shelf, today, every))
        graver = {line.code for line in lines if line.what in ("safety", "weak", "past-longest")}
        due = _most_pressing(
            line for line in lines
            if line.what in EVERY_DAY or line.once not in said
            if line.what != "ready" or line.code not in graver
        )  # fmt: skip
        told = [line for own in due.values() for line in own]
        said |= {line.once for line in told} | {line.ready.once for line in told if line.ready}
        for begin, end in shelf.away:
            if begin == today + DAY:
                for code in _while_away(shelf, begin, end) - due.keys():
                    due[code] = [Line(code, "away", begin)]
        yield today, due


def _most_pressing(lines: Iterable[Line]) -> dict[str, list[Line]]:
    by_code = defaultdict(list)
    for line in lines:
        by_code[line.code].append(line)
    most = {}
    for code, own in by_code.items():
        gravest = min(own, key=lambda one: MOST_PRESSING.index(one.what)).what
        ready = next((one for one in own if one.what == "ready"), None)
        beside = ready if gravest in ("shake", "look") else None
        most[code] = [replace(one, ready=beside) for one in own if one.what == gravest]
    return most
