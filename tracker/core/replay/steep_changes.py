"""How a steep ends and another begins: pressed, drawn off, recharged, steeped again.

Recharged is new herb in an old extract, steeped again is new menstruum on an old marc. Both
go on in the same jar, and are never taken for each other.

Each function changes the jar and returns None, or returns how the fact does not fit.
"""

from itertools import count

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Pressed
from tracker.core.facts.fields import Rest
from tracker.core.facts.jars import DrawnOff, Recharged, SteepedAgain
from tracker.core.reckoning.amounts import hard_bound_ml
from tracker.core.replay.extract_changes import no_extract, take_bulk
from tracker.core.replay.jar_changes import over, take_in, take_share
from tracker.core.shelf.codes import letter
from tracker.core.shelf.contents import DROP_ML, Contents, portion, scaled_costs, share
from tracker.core.shelf.end import PressedEnd
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import gravest
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import (
    AfterEnd,
    LetterGivenTwice,
    Misfit,
    MoreThanThere,
    NotPressedYet,
    SecondPressing,
)
from tracker.core.values.times import parse_period


def pressed(jar: Jar, entry: Entry, fact: Pressed) -> Misfit | None:
    """The jar gave an extract; a second pressing of the same steep is a question, not a sum."""
    first = jar.pressing
    if first is not None:
        return SecondPressing(fact.volume_ml, first.id, first.pressed, first.pressed_ml, entry.id)
    if jar.end is not None:
        return AfterEnd(fact.kind, entry.when, jar.end)
    whole = jar.contents
    ml = fact.volume_ml if fact.volume_ml > whole.volume_ml else whole.ml
    made = Contents(whole.herbs, whole.pours, ml, whole.costs, fact.volume_ml)
    most_ml = hard_bound_ml(jar)
    misfit = _open(jar, entry, fact, made)
    if most_ml is not None and fact.volume_ml > most_ml + DROP_ML:
        misfit = MoreThanThere(fact.kind, fact.volume_ml, most_ml)
    jar.end = PressedEnd(entry.when, entry.id)
    # What the marc keeps costs nothing, which is known; the extract carries it all.
    jar.costs = scaled_costs(jar.costs, 0.0)
    return misfit


def drawn_off(jar: Jar, entry: Entry, fact: DrawnOff) -> Misfit | None:
    """Some of the liquid became an extract; the herb stays in the rest."""
    if misfit := over(jar, entry.when, fact.kind):
        return misfit
    whole = jar.contents
    there_ml = whole.volume_ml
    taken = portion(whole, min(fact.volume_ml, there_ml))
    if fact.volume_ml > there_ml:  # all that was there, in more than was reckoned
        taken = replace(taken, ml=fact.volume_ml)
    twice = _open(jar, entry, fact, taken)
    jar.drawn_ml += fact.volume_ml
    take_share(jar, max(1 - fact.volume_ml / there_ml, 0.0) if there_ml else 0.0)
    if fact.volume_ml > there_ml + DROP_ML:
        return MoreThanThere(fact.kind, fact.volume_ml, there_ml)
    return twice


def _open(jar: Jar, entry: Entry, fact: Pressed | DrawnOff, made: Contents) -> Misfit | None:
    """Open an extract; a letter that two machines gave while apart is the first one's."""
    is_pressed = isinstance(fact, Pressed)
    taken = {one.letter for one in jar.extracts}
    letters = (letter(place) for place in count(len(taken) + 1))
    own = (
        fact.letter
        if fact.letter not in taken
        else next(one for one in letters if one not in taken)
    )
    jar.extracts.append(
        Extract(
            id=entry.id,
            letter=own,
            pressed=entry.when,
            pressed_ml=fact.volume_ml,
            volume_ml=fact.volume_ml,
            keeps=parse_period(fact.keeps),
            made=made,
            opened="pressed" if is_pressed else "drawn off",
            how=fact.how if isinstance(fact, Pressed) else None,
            marc=fact.marc if isinstance(fact, Pressed) else None,
            known=fact.known,
        )
    )
    if own == fact.letter:
        return None
    return LetterGivenTwice(fact.letter, own)


def recharged(jar: Jar, entry: Entry, fact: Recharged) -> Misfit | None:
    """An old extract stands on new herb; what it stood for goes on to count."""
    extract = jar.extract(fact.about.extract or "")
    if extract is None:
        return no_extract(fact)
    if jar.is_macerating:
        return NotPressedYet(fact.kind)
    back_ml = extract.volume_ml if fact.volume_ml is None else fact.volume_ml
    back = portion(extract.made, back_ml)
    misfit = take_bulk(extract, back_ml, fact.kind)
    extract.passed_on_ml += back_ml
    jar.herbs, jar.pours, jar.costs, jar.liquid_ml = (
        back.herbs,
        back.pours,
        back.costs,
        back.ml,
    )
    jar.hold = gravest((extract.hold, jar.hold))
    _begin(jar, entry, fact)
    take_in(jar, entry, fact, ())
    jar.sources += (
        Flow(entry.id, "recharged", entry.when, jar.id, extract=extract.id, ml=back_ml),
    )
    jar.marc_g = fact.herb_g
    jar.again = False
    jar.ratio_meant = fact.ratio_meant
    return misfit


def steeped_again(jar: Jar, entry: Entry, fact: SteepedAgain) -> Misfit | None:
    """New menstruum stands on the old marc, and on what the marc had held back."""
    if jar.pressing is None:
        return NotPressedYet(fact.kind)
    whole_ml = jar.contents.volume_ml
    held_ml = max(whole_ml - jar.pressing.pressed_ml, 0.0)
    held = share(jar.contents, held_ml / whole_ml if whole_ml else 0.0)
    jar.herbs, jar.pours, jar.liquid_ml = held.herbs, held.pours, held.ml
    jar.costs = held.costs
    _begin(jar, entry, fact)
    take_in(jar, entry, None, fact.pours)
    jar.again = True
    jar.ratio_meant = None
    return None


def _begin(jar: Jar, entry: Entry, rest: Rest) -> None:
    jar.steeps += 1
    jar.since, jar.herb_added = entry.when, None
    jar.end = None
    jar.drawn_ml = 0.0
    jar.least = parse_period(rest.least)
    jar.longest = parse_period(rest.longest) if rest.longest else None
    jar.longest_by = None
    jar.shake = rest.shake
    jar.look_days = ()
    jar.last_shaken = None
    jar.put_off = {}
