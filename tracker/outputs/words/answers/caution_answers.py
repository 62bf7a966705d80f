"""What to be careful of in what was recorded: of every herb of whatever anything went into."""

from collections.abc import Iterable, Iterator, Sequence

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Blended, Diluted, Dispensed, MadeUp, Refilled
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import (
    Charged,
    Found,
    HerbAdded,
    Joined,
    Recharged,
    Split,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.lots import BoughtHerb, Gathered
from tracker.core.herbs.plant_cautions import is_unknown
from tracker.core.reckoning.cautions import CLOSING, Caution, cautions, fire_of_pours, of_herb
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Thing
from tracker.outputs.words.caution_words import caution_text

# After these all is said of what it went into; after anything else what is new there.
_INFLOWS = Charged | Found | HerbAdded | Recharged | Joined | Blended | Refilled


def caution_remarks(recorded: Recorded) -> Iterator[str]:
    """Each thing to be careful of once, the closing line last.

    The lid is in the answer of the charge itself.
    """
    for herb in dict.fromkeys(_unknown(recorded)):
        yield f"Nothing is known here of {herb}: look it up before it is used."
    found = dict.fromkeys(one for entry in recorded.entries for one in _of(recorded, entry))
    for one in found:
        yield f"{'Care' if one.kind == 'care' else 'Caution'}: {caution_text(one)}."
    if any(one.kind == "plant" for one in found):
        yield CLOSING


def _of(recorded: Recorded, entry: Entry) -> Iterable[Caution]:
    fact = entry.fact
    if isinstance(fact, Gathered | BoughtHerb):
        return of_herb(fact.herb, fact.part, fact.common, fact.form)
    about = getattr(fact, "about", None)
    if not isinstance(about, About):
        about = About(jar=entry.id)
    if isinstance(fact, Recharged):  # it is in its jar now
        about = About(jar=about.jar)
    every = _said(recorded.after, about)
    if isinstance(fact, Charged):
        return _as_poured(every, fact.pours)
    if isinstance(fact, _INFLOWS):
        return every
    if isinstance(fact, Dispensed):  # what can harm is said again as it leaves the shelf
        return [one for one in every if one.kind == "plant"]
    if isinstance(fact, Split):
        return ()
    if isinstance(fact, ToppedUp | SteepedAgain | MadeUp | Diluted):
        return _new(_said(recorded.before, about), every, fact.pours)
    return _corrected(recorded, entry)


def _as_poured(every: Sequence[Caution], pours: Iterable[Pour]) -> list[Caution]:
    """With fire by the strongest pour, which stands open beside what it is poured into."""
    poured = list(fire_of_pours(one for one in pours if one.of is None))
    if not poured:
        return list(every)
    others = [one for one in every if one.kind != "fire"]
    place = next((at for at, one in enumerate(others) if one.kind != "plant"), len(others))
    return [*others[:place], *poured, *others[place:]]


def _new(
    before: Sequence[Caution], every: Sequence[Caution], pours: Iterable[Pour]
) -> list[Caution]:
    """The cautions this adds: fire only once, unless the pours bring stronger spirit."""
    had_fire = any(one.kind == "fire" for one in before)
    same = [one for one in every if one.kind == "fire"] if had_fire else []
    return [one for one in _as_poured(every, pours) if one not in before and one not in same]


def _unknown(recorded: Recorded) -> Iterator[str]:
    """Herbs put in a jar that no table has; what nothing is said of is not therefore safe."""
    for fact in (entry.fact for entry in recorded.entries):
        if not isinstance(fact, Charged | Found):
            continue
        if is_unknown(fact.herb, fact.part, fact.common, fact.form):
            yield fact.herb


def _said(part: ShelfPart, about: About) -> list[Caution]:
    thing = part.thing(about)
    if not isinstance(thing, Thing):
        return []
    return [one for one in cautions(thing.batch, thing.made) if one.kind != "lid"]


def _corrected(recorded: Recorded, entry: Entry) -> Iterator[Caution]:
    """What a correction brings that was not to be careful of before."""
    if entry.id not in recorded.roots:
        return
    for batch_id in recorded.after.batches:
        about = About(jar=batch_id)
        before = _said(recorded.before, about)
        yield from (one for one in _said(recorded.after, about) if one not in before)
