"""Books for the page and the pictures: hostile names, every script, many jars. All invented."""

from datetime import timedelta
from itertools import count
from pathlib import Path

from msgspec.structs import replace

from tests.journal.on_disk import write
from tests.lives import DAY_ONE, Pen, a_charge
from tracker.bench.bench import Bench
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun, Dispensed, Pressed
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt, Shaken

# The longest accepted plant name that anybody here knows of, then other scripts.
LONG = "Arctostaphylos uva-ursi subsp. adenotricha var. longissima f. grandifolia-microphylla"
SCRIPTS = (
    LONG,
    "Königskerzenblüten vom Südhang über dem Mühlbach",
    "当归与黄芪以及枸杞子和甘草的混合根部切片",
    "البابونج الألماني المجفف من الحقل الشرقي",
    "Зверобой продырявленный",
    "Pneumonoultramicroscopicsilicovolcanoconiosisplantaginifoliaformissimus" * 2,
)

# What ends an element, an attribute, a comment, a style, CDATA, a template, a formula.
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onload='alert(1)",
    "</title></style></svg><svg onload=alert(1)>",
    "--><!--<iframe src=//example.org>",
    "]]></desc><a href='javascript:alert(1)'>x</a>",
    "{{ 7*7 }}{% for x in () %}${7*7}#{7*7}",
    "&lt;b&gt; &amp;amp; &#x3c;script&#x3e;",
    "$\\frac{1}{0}$ \\undefined{",
    "100 % \\x00 %s %n",
    "a\ufffeb\uffffc",
    "javascript:alert(1)",
)


def book(home: Path, entries: list[Entry], now: str = "2026-01-01 12:00") -> Bench:
    """A bench of a book with these entries, its clock standing."""
    from tests.command import Command

    command = Command(home)
    command.practice('zone = "Europe/Berlin"\n')
    write(command.book, entries)
    return command.bench(now)


class Keeper:
    """Writes many jars with one pen."""

    def __init__(self) -> None:
        self.pen = Pen()
        self._numbers = count(1)

    def jar(self, when: str = "2025-03-03", *, id: str | None = None, **changes: object) -> Entry:
        """A charge under the next code."""
        code = changes.pop("code", f"N{next(self._numbers):03d}")
        return self.pen.write(a_charge(code=code, **changes), when, id)

    def shake(self, jar: Entry, *days: str) -> None:
        """Shaken on each day."""
        for day in days:
            self.pen.write(Shaken(jars=(jar.id,)), day)

    def press(self, jar: Entry, when: str = "2025-06-10", **more: object) -> Entry:
        """Pressed, 370 ml by hand."""
        fact = Pressed(
            about=About(jar=jar.id), letter="A", volume_ml=370.0, keeps="P12M", how="by hand"
        )
        return self.pen.write(replace(fact, **more), when)

    def bottle(self, jar: Entry, extract: Entry, when: str, bottles: int) -> Entry:
        """So many bottles of 50 ml."""
        run = BottleRun(size_ml=50.0, count=bottles, first=1)
        about = About(jar=jar.id, extract=extract.id)
        return self.pen.write(Bottled(about=about, bottles=(run,)), when)

    def dispense(self, jar: Entry, extract: Entry, when: str, ml: float, **more: object) -> Entry:
        """Some of the bulk given out."""
        about = About(jar=jar.id, extract=extract.id)
        return self.pen.write(Dispensed(about=about, volume_ml=ml, **more), when)


def in_every_script() -> list[Entry]:
    """A jar of each name, and one of each pressed."""
    keeper = Keeper()
    for name in SCRIPTS:
        keeper.shake(keeper.jar(herb=name, common=name, place=name[:100]), "2025-03-05")
        keeper.press(keeper.jar(herb=name, part=name[:100]))
    return keeper.pen.entries


def hostile() -> list[Entry]:
    """Every text a person can write, hostile."""
    keeper = Keeper()
    for number, text in enumerate(HOSTILE):
        words = dict.fromkeys(("herb", "common", "part", "place", "lid", "barrier"), text)
        jar = keeper.jar(
            code=f"{text[:30]}{number}",
            lots=(text,),
            by=text,
            note=text,
            ratio_meant=text,
            **words,
        )
        look = LookedAt(about=About(jar=jar.id), verdict="watch", signs=("mould",), note=text)
        keeper.pen.write(look, "2025-03-05")
        other = keeper.jar(code=f"{number}{text[:30]}", **words)
        extract = keeper.press(other, how=text[:60], note=text)
        keeper.bottle(other, extract, "2025-06-12", 2)
        keeper.dispense(other, extract, "2025-06-13", 10.0, reference=text[:40], note=text)
    return keeper.pen.entries


def many(jars: int) -> list[Entry]:
    """So many jars over two years, each shaken, a third pressed, bottled and dispensed of."""
    keeper = Keeper()
    for number in range(jars):
        first = DAY_ONE.date() - timedelta(days=number % 700)
        name = ("Melissa officinalis", "Calendula officinalis", "Inula helenium")[number % 3]
        jar = keeper.jar(first.isoformat(), herb=name)
        for week in range(8):
            keeper.shake(jar, (first + timedelta(days=1 + week * 7)).isoformat())
        if number % 3 == 0:
            out = first + timedelta(days=95)
            extract = keeper.press(jar, out.isoformat())
            keeper.bottle(jar, extract, out.isoformat(), 3)
            for month in range(4):
                day = out + timedelta(days=20 + month * 30)
                keeper.dispense(jar, extract, day.isoformat(), 20.0)
    return keeper.pen.entries
