"""What is answered when an extract or a bottle was made, worked on, or given out."""

from collections.abc import Sequence
from datetime import date
from typing import assert_never

from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    PressedAgain,
    Refilled,
    Settled,
)
from tracker.core.facts.fields import About
from tracker.core.reckoning import keeps
from tracker.core.reckoning.amounts import hard_bound_ml, held_ml_per_g, poured_ml
from tracker.core.reckoning.double_extract import next_of_double
from tracker.core.reckoning.odd_yield import OddYield
from tracker.core.reckoning.ratios import ratio_in
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import ShelfPart
from tracker.core.shelf.thing import Thing, extract_of
from tracker.core.values.few_digits import trimmed
from tracker.outputs.words.amount_words import days_text, ml, ratio_text, strength_text
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.ways_of_making import OF_ONE_HERB, next_of_double_said

OfExtract = (
    Pressed
    | PressedAgain
    | Filtered
    | Settled
    | MadeUp
    | Diluted
    | Blended
    | Bottled
    | Refilled
    | Dispensed
    | Counted
)


def extract_lines(scene: Scene, fact: OfExtract) -> list[str]:
    """The answer to what was done with an extract or a bottle."""
    match fact:
        case Pressed():
            return _pressed(scene, scene.jar(fact.about.jar))
        case PressedAgain():
            return _pressed_again(scene, fact)
        case Blended():
            return [_blended(scene, fact)]
        case Filtered() | Settled():
            return [_cleared(scene, fact)]
        case MadeUp() | Diluted():
            return [_mixed(scene, fact)]
        case Bottled():
            return _bottled(scene, fact)
        case Refilled():
            return [_refilled(scene, fact)]
        case Dispensed():
            return [_dispensed(scene, fact)]
        case Counted():
            return [_counted(scene, fact)]
        case _:
            assert_never(fact)


def _pressed(scene: Scene, jar: Jar | None) -> list[str]:
    extract = jar.extract(scene.entry.id) if jar is not None else None
    if jar is None or extract is None:
        return [f"{scene.entry.subject}: the pressing is kept, but does not count."]
    fact = scene.entry.fact
    written = fact.written if isinstance(fact, Pressed) else None
    text = f"{scene.called(jar)} {extract.opened} {ml(extract.pressed_ml, written)}"
    text += f" of {ml(poured_ml(jar))} poured" if hard_bound_ml(jar) else ""
    days = days_text(jar, scene.today)
    text += f", {days} {'day' if days == '1' else 'days'} on the herb{_held(jar)}."
    ratio = ratio_in(extract.made)
    counted = f", {ratio_text(ratio)}" if ratio is not None and ratio.basis == "finished" else ""
    until = scene.until(extract_of(jar, extract))
    lines = [text, f"Extract {jar.extract_code(extract)}{counted}, {until}."]
    following = next_of_double(jar)
    lines += [f"Next: {next_of_double_said(following)}."] if following is not None else []
    return [*lines, *_odd(scene)]


def _held(jar: Jar) -> str:
    held = held_ml_per_g(jar)
    return f"; the marc held {trimmed(held)} ml per g" if held is not None else ""


def _pressed_again(scene: Scene, fact: PressedAgain) -> list[str]:
    jar, extract = scene.jar(fact.about.jar), scene.extract(fact.about)
    if jar is None or extract is None:
        return [f"{scene.entry.subject}: that it was pressed again is kept, but does not count."]
    until = scene.until(scene.after(fact.about))
    return [
        f"{scene.named(fact.about)} {said(fact)}: {ml(extract.pressed_ml)} in all of "
        f"{ml(poured_ml(jar))} poured{_held(jar)}.",
        f"{ml(extract.volume_ml)} in bulk, {until}, as the first pressing.",
        *_odd(scene),
    ]


def _odd(scene: Scene) -> list[str]:
    """A second look at a volume outside the likely band: a warning, never a refusal."""
    found = scene.recorded.more.get(scene.entry.id)
    if not isinstance(found, OddYield):
        return []
    from tracker.outputs.words import outlook

    usual = f"{outlook.likely(found.likely)} would be usual" if found.likely else "That is little"
    meant_ml = found.in_ounces_ml
    in_ounces = f" (the other way it is {meant_ml:.0f} ml)" if meant_ml else ""
    text = f"{usual}: ml or oz{in_ounces}? Which jar?"
    if not found.suits:
        return [text]
    more = f" and {len(found.suits) - 3} more" if len(found.suits) > 3 else ""
    return [f"{text} It would be usual for {', '.join(found.suits[:3])}{more}."]


def _blended(scene: Scene, fact: Blended) -> str:
    parts = " + ".join(
        f"{ml(part.volume_ml)} of {_code(scene.after(part.about))}" for part in fact.parts
    )
    made = scene.batch(scene.entry.id)
    if made is None:
        return f"{fact.code} blended: {parts}."
    extract = made.extracts[0]
    ratio, until = ratio_text(ratio_in(extract.made)), scene.until(extract_of(made, extract))
    how = _by_which(extract.good_through, [scene.after(part.about) for part in fact.parts])
    is_double = isinstance(made, Blend) and made.of_one_herb
    double = f" It is {OF_ONE_HERB}." if is_double else ""
    return (
        f"{scene.called(made)} blended: {parts}: {ml(extract.volume_ml)}, {ratio}, "
        f"{strength_text(extract.made)} % vol, {until}{how}.{double}"
    )


def _by_which(day: date | None, parts: Sequence[Thing | Lot | None]) -> str:
    """Which of its parts a blend has its last good day from."""
    if day is None:
        return ""
    days = [one.good_through for one in parts if isinstance(one, Thing)]
    is_earliest = all(one is None or one >= day for one in days)
    return ", the earliest of its parts" if is_earliest else ", as its strong parts"


def _cleared(scene: Scene, fact: Filtered | Settled) -> str:
    extract, code = scene.extract(fact.about), scene.named(fact.about)
    if extract is None:
        return f"{code} {said(fact)}."
    if isinstance(fact, Settled):
        return f"{code} {said(fact)}; lees {ml(extract.lees_ml)}."
    share = extract.filter_loss_ml / extract.pressed_ml
    return f"{code} {said(fact)}: {ml(extract.filter_loss_ml)} lost, {trimmed(100 * share)} %."


def _mixed(scene: Scene, fact: MadeUp | Diluted) -> str:
    extract, code = scene.extract(fact.about), scene.named(fact.about)
    if extract is None:
        return f"{code} {said(fact)}."
    return (
        f"{code} {said(fact)}: {ml(extract.volume_ml)}, {ratio_text(ratio_in(extract.made))}, "
        f"{strength_text(extract.made)} % vol; {scene.until(scene.after(fact.about))}."
    )


def _bottled(scene: Scene, fact: Bottled) -> list[str]:
    extract, code = scene.extract(fact.about), scene.named(fact.about)
    if extract is None:
        return [f"{code} {said(fact)}."]
    until = scene.until(scene.after(fact.about))
    return [
        f"{code} {said(fact)}; {ml(extract.volume_ml)} left in bulk.",
        f"{until[0].upper()}{until[1:]}, {_as_what(scene, fact.about)}.",
    ]


def _as_what(scene: Scene, about: About) -> str:
    """What the last good day goes by."""
    thing = scene.after(about)
    if isinstance(thing, Thing) and keeps.weak_spell(thing.made, scene.practice) is not None:
        return "too weak to keep"
    is_blend = isinstance(thing, Thing) and isinstance(thing.batch, Blend)
    return "the earliest of its parts" if is_blend else "as the pressing"


def _refilled(scene: Scene, fact: Refilled) -> str:
    thing, source = scene.after(fact.about), scene.after(fact.source.about)
    there_ml = _volume_ml(scene.recorded.after, fact.about)
    return (
        f"{scene.named(fact.about)} {said(fact)} of {_code(source)}: {ml(there_ml)} in it, "
        f"{scene.until(thing)}."
    )


def _dispensed(scene: Scene, fact: Dispensed) -> str:
    code = scene.named(fact.about)
    if fact.about.extract is None and scene.jar(fact.about.jar) is not None:
        return f"{code} {said(fact)}; it is in no reminder from now on."
    return f"{code} {said(fact)}; {_left_of(scene, fact)}."


def _left_of(scene: Scene, fact: Dispensed | Discarded) -> str:
    """`70 ml left`; where all of it was meant, how much that was."""
    left_ml = _volume_ml(scene.recorded.after, fact.about)
    if left_ml:
        return f"{ml(left_ml)} left"
    was_ml = _volume_ml(scene.recorded.before, fact.about)
    return f"that was {ml(was_ml)}" if was_ml and not fact.volume_ml else "nothing left"


def discarded_line(scene: Scene, fact: Discarded) -> str:
    """What was thrown out of something, and what is left of an extract or a bottle."""
    line = f"{scene.named(fact.about)} {said(fact)}"
    is_liquid = fact.about.extract is not None and fact.herb_g is None
    return f"{line}; {_left_of(scene, fact)}." if is_liquid else f"{line}."


def _counted(scene: Scene, fact: Counted) -> str:
    before_ml = _volume_ml(scene.recorded.before, fact.about)
    if fact.volume_ml is None:
        return f"{scene.named(fact.about)} {said(fact)}."
    missing_ml = before_ml - fact.volume_ml
    return (
        f"{scene.named(fact.about)} {said(fact)}; the book said {ml(before_ml)}: "
        f"{ml(abs(missing_ml))} {'unaccounted' if missing_ml >= 0 else 'more'}."
    )


def _volume_ml(shelf: ShelfPart, about: About) -> float:
    """What there is of a bottle, or in bulk of an extract."""
    thing = shelf.thing(about)
    if not isinstance(thing, Thing):
        return 0.0
    held = thing.bottle or thing.extract
    return held.volume_ml if held is not None else 0.0


def _code(thing: Thing | Lot | None) -> str:
    return "something that is not there" if thing is None else thing.code
