"""How a steep ends and another begins: pressed, drawn off, recharged, steeped again.

Recharged is new herb in an old extract, steeped again is new menstruum on an old marc. Both
go on in the same jar, and are never taken for each other.

Each function changes the jar and returns None, or returns how the fact does not fit.
"""

from itertools import chain, count
from typing import Literal, get_args

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Pressed, PressedAgain
from tracker.core.facts.fields import Known
from tracker.core.facts.jars import DrawnOff, Recharged, SteepedAgain, Steeping
from tracker.core.reckoning.amounts import hard_bound_ml
from tracker.core.reckoning.weakness import remade
from tracker.core.replay.days_that_count import is_past, is_weak
from tracker.core.replay.extract_changes import no_extract, remake
from tracker.core.replay.jar_changes import keep_no_longer, over, take_in, take_share
from tracker.core.replay.pours_in import Batches, put_in
from tracker.core.replay.taken import take_bulk, used
from tracker.core.shelf.codes import letter
from tracker.core.shelf.contents import (
    DROP_ML,
    Contents,
    portion,
    scaled_costs,
    share,
    simmered_pours,
    together,
)
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
    MovedOn,
    NotPressedYet,
    SecondPressing,
)
from tracker.core.values.times import parse_period

_SUREST = get_args(Known)


def pressed(jar: Jar, entry: Entry, fact: Pressed) -> Misfit | None:
    """The jar gave an extract; a second pressing of the same steep is a question, not a sum."""
    first = jar.pressing
    if first is not None:
        return SecondPressing(fact.volume_ml, first.id, first.pressed, first.pressed_ml, entry.id)
    if jar.end is not None:
        return AfterEnd(fact.kind, entry.when, jar.end)
    whole = jar.contents
    ml = fact.volume_ml if fact.volume_ml > whole.volume_ml else whole.ml
    made = replace(whole, ml=ml, costs_ml=fact.volume_ml)
    most_ml = hard_bound_ml(jar)
    misfit = _open(jar, entry, fact, made)
    jar.extracts[-1].before_ml = made.volume_ml
    if most_ml is not None and fact.volume_ml > most_ml + DROP_ML:
        misfit = MoreThanThere(fact.kind, fact.volume_ml, most_ml)
    jar.end = PressedEnd(entry.when, entry.id, _pressed_how(jar))
    # What the marc keeps costs nothing, which is known; the extract carries it all.
    jar.costs = scaled_costs(jar.costs, 0.0)
    return misfit


def pressed_again(jar: Jar, entry: Entry, fact: PressedAgain) -> Misfit | None:
    """The same marc gave more of the same liquid; the extract has it, and keeps its first day."""
    extract = jar.extract(fact.about.extract or "")
    if extract is None:
        return no_extract(fact)
    if jar.pressing is not extract:
        return MovedOn(fact.kind)
    more_ml, most_ml = fact.volume_ml, hard_bound_ml(jar)
    made, all_ml = extract.made, extract.pressed_ml + more_ml
    is_as_pressed = (made.herbs, made.pours) == (jar.herbs, jar.pours)
    if is_as_pressed and extract.volume_ml == extract.pressed_ml:
        ml = all_ml if all_ml > made.volume_ml else made.ml
        extract.made = replace(made, ml=ml, costs_ml=all_ml)
    else:
        more = _more_of(jar.contents, extract.pressed_ml, more_ml)
        whole = together([portion(made, extract.volume_ml), more])
        remake(extract, remade(whole, (*made.spells, *more.spells), entry.when))
    extract.volume_ml += more_ml
    extract.pressed_ml += more_ml
    extract.later_ml += more_ml
    extract.known = max(extract.known, fact.known, key=_SUREST.index)
    extract.sources += (Flow(entry.id, "pressed again", entry.when, jar.id, ml=more_ml),)
    if most_ml is not None and extract.pressed_ml > most_ml + DROP_ML:
        return MoreThanThere(fact.kind, extract.pressed_ml, most_ml)
    return None


def _more_of(whole: Contents, pressed_ml: float, more_ml: float) -> Contents:
    """What came out after so much of it had: no more of anything than was left.

    What it cost and the herb charged for it are the extract's since the first pressing.
    """
    left_ml = max(whole.volume_ml - pressed_ml, 0.0)
    more = portion(whole, min(more_ml, left_ml))
    return replace(
        more,
        ml=more_ml if more_ml > left_ml else more.ml,
        costs=(),
        charged_g=None if more.charged_g is None else 0.0,
    )


def _pressed_how(jar: Jar) -> Literal["pressed", "collected"]:
    return "collected" if jar.steep_way == "percolation" else "pressed"


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
    """Open an extract; a letter that two machines gave while apart is the first one's.

    The other goes by it with a small letter after it, which nobody can have been given, so that
    no third one has to change.
    """
    is_pressed, keeps = isinstance(fact, Pressed), parse_period(fact.keeps)
    taken = {one.letter for one in jar.extracts}
    others = (f"{fact.letter}{letter(place).lower()}" for place in count(2))
    own = next(one for one in chain((fact.letter,), others) if one not in taken)
    jar.extracts.append(
        Extract(
            id=entry.id,
            letter=own,
            pressed=entry.when,
            pressed_ml=fact.volume_ml,
            volume_ml=fact.volume_ml,
            keeps=keeps,
            made=made,
            opened=_pressed_how(jar) if is_pressed else "drawn off",
            how=fact.how if isinstance(fact, Pressed) else None,
            marc=fact.marc if isinstance(fact, Pressed) else None,
            known=fact.known,
            keeps_days=not keeps.months and is_weak(made),
            best_by=jar.best_by,
            is_undated=jar.is_undated,
            steep=jar.steeps,
            steep_way=jar.steep_way,
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
    back, last = portion(extract.made, back_ml), extract.good_through
    used(extract, None, entry)
    misfit = take_bulk(extract, back_ml, fact.kind)
    extract.passed_on_ml += back_ml
    _fill(jar, back)
    jar.hold = gravest((extract.hold, jar.hold))
    _begin(jar, entry, fact)
    take_in(jar, put_in({}, entry, fact, ()), entry.when)
    jar.best_by = last if last is not None and is_past(last, entry.when) else None
    jar.is_undated = last is None
    jar.sources += (
        Flow(entry.id, "recharged", entry.when, jar.id, extract=extract.id, ml=back_ml),
    )
    jar.marc_g = fact.herb_g
    jar.again, jar.of_old_marc = False, back.again
    jar.way = jar.steep_way = "maceration"
    jar.ratio_meant = fact.ratio_meant
    jar.past_date_why = fact.past_date_why or jar.past_date_why
    return misfit


def _fill(jar: Jar, inside: Contents) -> None:
    """Nothing but this is in the jar from now on; what water its herb brought is in the liquid."""
    jar.herbs, jar.pours, jar.liquid_ml = inside.herbs, inside.pours, inside.ml
    jar.costs, jar.charged_g, jar.spells = inside.costs, inside.charged_g, inside.spells
    jar.basis = inside.basis or jar.ratio_basis
    jar.dried_water_ml = jar.fresh_water_ml = 0.0


def steeped_again(batches: Batches, jar: Jar, entry: Entry, fact: SteepedAgain) -> Misfit | None:
    """New menstruum stands on the old marc, and on what the marc had held back.

    An extract that is poured on old marc meets no new herb: its own day goes on to count.
    """
    if jar.pressing is None:
        return NotPressedYet(fact.kind)
    whole_ml = jar.contents.volume_ml
    used(jar.pressing, None, entry)
    held_ml = max(whole_ml - jar.pressing.pressed_ml, 0.0)
    held = share(jar.contents, held_ml / whole_ml if whole_ml else 0.0)
    # The extract stands for all the herb that was charged, and what the marc keeps for none.
    _fill(jar, replace(held, charged_g=None if held.charged_g is None else 0.0))
    _begin(jar, entry, fact)
    new = put_in(batches, entry, None, fact.pours)
    take_in(jar, new, entry.when)
    keep_no_longer(jar, new.day_in(jar.contents))
    if fact.way == "simmered":
        jar.pours = simmered_pours(jar.pours)
    jar.again, jar.steep_way = True, fact.way
    jar.ratio_meant = None
    jar.past_date_why = fact.past_date_why or jar.past_date_why
    return new.misfit


def _begin(jar: Jar, entry: Entry, rest: Steeping) -> None:
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
