"""The ordinary work at the counter of the demo book's dispensary: giving out and counting."""

from collections.abc import Sequence
from datetime import date

from demo_house import CORIN, HANNE, House

from tracker.core.facts.extracts import Counted, Discarded, Dispensed
from tracker.core.facts.fields import About
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.quantities import millilitres

Stocked = tuple[Jar, Extract]

# Nothing is given out in the last days before it is past.
_LAST_DAYS = 5
_MEASURES_ML = (15, 20, 20, 25, 30, 40)
# Less than this at the bottom of a vessel is sediment.
_DREGS_ML = 12
_LARGEST_ML = 100


def in_stock(house: House) -> list[Stocked]:
    """Every extract with anything left."""
    return [
        (jar, extract)
        for jar in house.jars()
        for extract in jar.extracts
        if extract.left_ml >= DROP_ML
    ]


def _last_day(extract: Extract) -> date:
    return extract.good_through or date.max


def _days_left(extract: Extract, today: date) -> int:
    return (_last_day(extract) - today).days


def serve(house: House) -> str | None:
    """Give something out to a counter slip; returns the event's id, or None if none left."""
    today = house.now.date()
    first: dict[tuple[str, str], Stocked] = {}
    for jar, extract in sorted(in_stock(house), key=lambda one: _last_day(one[1])):
        keep_ml = house.plans[jar.id].keep_ml
        is_spare = extract.left_ml >= keep_ml + (_LARGEST_ML if keep_ml else 0)
        is_good = _days_left(extract, today) > _LAST_DAYS
        if is_spare and is_good and extract.filtered_ml is not None:
            first.setdefault((jar.herb, jar.preparation), (jar, extract))
    if not first:
        return None
    found = list(first.values())
    wanted = [house.plans[jar.id].recipe.wanted for jar, _ in found]
    ((jar, extract),) = house.chance.choices(found, wanted)
    return give_out(house, jar, extract, *_how_much(house, extract))


def _how_much(house: House, extract: Extract) -> tuple[Bottle | None, int | None]:
    """From which bottle, if any, and how much; all of it is None."""
    ml = house.chance.choice(_MEASURES_ML)
    begun = [b for b in extract.bottles if DROP_ML <= b.volume_ml < b.size_ml - DROP_ML]
    full = [b for b in extract.bottles if b.volume_ml >= b.size_ml - DROP_ML]
    if full and house.may(0.1):
        return full[0], None
    if (begun and house.may(0.6)) or (extract.volume_ml < ml and extract.bottled_ml >= DROP_ML):
        bottle = (begun or full)[0]
        return bottle, ml if ml < bottle.volume_ml else None
    return None, ml if ml < extract.volume_ml else None


def give_out(
    house: House, jar: Jar, extract: Extract, bottle: Bottle | None, ml: int | None
) -> str:
    """Record one giving out; returns its event's id."""
    code = jar.extract_code(extract)
    thing = Thing(f"{code}/{bottle.number}" if bottle else code, jar, extract, bottle)
    amount = millilitres(f"{ml} ml") if ml else None
    fact = Dispensed(
        about=About(jar=jar.id, extract=extract.id, bottle=bottle.number if bottle else None),
        volume_ml=amount.value if amount else None,
        written=amount.written if amount else None,
        reference=house.next_slip(),
    )
    return house.write(CORIN, thing.code, fact)


def count_shelf(house: House, *, is_last: bool) -> None:
    """Count the shelf; a little is missing here and there."""
    for jar, extract in in_stock(house):
        if extract.filtered_ml is None or (is_last and not house.plans[jar.id].counted):
            continue
        who = house.chance.choice((HANNE, CORIN))
        for bottle in [None, *extract.bottles]:
            there_ml = extract.volume_ml if bottle is None else bottle.volume_ml
            is_full = bottle is not None and there_ml >= bottle.size_ml - DROP_ML
            if there_ml < DROP_ML or (is_full and extract.volume_ml >= DROP_ML):
                continue
            count(house, who, Thing(jar.extract_code(extract), jar, extract, bottle), there_ml)
            if is_full:
                break


def count(house: House, who: str, thing: Thing, there_ml: float) -> str:
    """Record one count; returns its event's id."""
    assert thing.extract is not None
    is_full = thing.bottle is not None and there_ml >= thing.bottle.size_ml - DROP_ML
    lost = 0.0 if is_full or house.may(0.25) else house.chance.uniform(0.0, 0.022)
    amount = millilitres(f"{int(there_ml * (1 - lost) + 0.01)} ml", may_be_none=True)
    number = thing.bottle.number if thing.bottle else None
    fact = Counted(
        about=About(jar=thing.batch.id, extract=thing.extract.id, bottle=number),
        volume_ml=amount.value,
        written=amount.written,
        known=amount.known,
    )
    code = thing.code if number is None else f"{thing.code}/{number}"
    return house.write(who, code, fact)


def clear(house: House, today: date) -> None:
    """Throw out dregs, and what is past its last good day except what is kept to show."""
    for jar, extract in in_stock(house):
        if house.plans[jar.id].keep_ml or extract.filtered_ml is None:
            continue
        if _days_left(extract, today) < -2:
            throw_out(house, jar, extract, "past its last good day", extract.bottles)
        elif extract.volume_ml < _DREGS_ML:
            throw_out(house, jar, extract, "dregs", ())


def throw_out(
    house: House, jar: Jar, extract: Extract, why: str, bottles: Sequence[Bottle]
) -> None:
    """Discard what is left of an extract in bulk, and of these bottles."""
    code = jar.extract_code(extract)
    if extract.volume_ml >= DROP_ML:
        fact = Discarded(about=About(jar=jar.id, extract=extract.id), why=why)
        house.write(HANNE, code, fact)
    for bottle in bottles:
        if bottle.volume_ml >= DROP_ML:
            about = About(jar=jar.id, extract=extract.id, bottle=bottle.number)
            house.write(HANNE, f"{code}/{bottle.number}", Discarded(about=about, why=why))
