"""What is answered when something was done to herb and liquid in a jar."""

from typing import assert_never

from tracker.core.facts.jars import (
    Charged,
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    Recharged,
    Split,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.ties import children
from tracker.core.practice.shake_plan import plan_text
from tracker.core.reckoning.amounts import (
    earliest_press,
    longest_day,
    poured_on_ml,
)
from tracker.core.reckoning.ratios import ratio_of
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import extract_of, whole
from tracker.outputs.words.amount_words import (
    grams,
    meant_text,
    ml,
    ratio_number,
    ratio_text,
    strength_text,
)
from tracker.outputs.words.answers.keeping_answers import keeping_said
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.fact_lines import charge_said, said
from tracker.outputs.words.ingredients import pours
from tracker.outputs.words.things_said import codes_said
from tracker.outputs.words.ways_of_making import press_verb

OfJar = (
    Charged | ToppedUp | HerbAdded | DrawnOff | Recharged | SteepedAgain | Split | Joined | Found
)


def jar_lines(scene: Scene, fact: OfJar) -> list[str]:
    """The answer to what was done to a jar."""
    match fact:
        case Charged():
            return _charged(scene, fact)
        case Found():
            return [_found(scene, fact)]
        case Split():
            return _split(scene, fact)
        case Joined():
            return _joined(scene, fact)
        case ToppedUp() | HerbAdded() | DrawnOff() | Recharged() | SteepedAgain():
            return _steeped(scene, fact)
        case _:
            assert_never(fact)


def _found(scene: Scene, fact: Found) -> str:
    jar = scene.jar(scene.entry.id)
    if jar is None:
        return f"{fact.code} {said(fact)}."
    dates = _dates(jar, scene)
    return (
        f"{scene.called(jar)} {said(fact)}. {dates[0].upper()}{dates[1:]}. "
        "It is on hold until it is released."
    )


def _charged(scene: Scene, fact: Charged) -> list[str]:
    jar = scene.jar(scene.entry.id)
    if jar is None:
        return [f"{fact.code} {said(fact)}."]
    lines = [f"{scene.called(jar)} {charge_said(fact)}.", f"{_reckoned(jar, scene)}."]
    keeping = keeping_said(scene, whole(jar))
    return [*lines, keeping] if keeping else lines


def _reckoned(jar: Jar, scene: Scene) -> str:
    """`1:5, ~44 % vol; press from 31 Mar; shake: daily 14d, weekly`."""
    found, strength = ratio_of(whole(jar)), strength_text(jar)
    parts = [f"{ml(poured_on_ml(jar))} in all"] if len(jar.pours) > 1 else []
    parts += [ratio_number(found, 2)] if found else []
    if jar.ratio_basis == "finished":
        meant = f"meant {meant_text(jar.ratio_meant, jar.ratio_basis)}"
        parts = [*parts[:-1], f"{parts[-1]} ({meant})"] if parts else [meant]
    parts += [f"{strength} % vol"] if strength != "–" else []
    dates = [", ".join(parts)] if parts else []
    return "; ".join([*dates, _dates(jar, scene), f"shake: {plan_text(jar.shake)}"])


def _dates(jar: Jar, scene: Scene) -> str:
    """`press from 31 Mar, not after 3 Jun`, or that the day is not known."""
    ready, last = earliest_press(jar), longest_day(jar)
    verb = press_verb(jar.steep_way)
    first = f"{verb} from {scene.day(ready)}" if ready else _undated(jar, verb)
    return first + (f", not after {scene.day(last)}" if last else "")


def _undated(jar: Jar, verb: str) -> str:
    if jar.least is None:
        return f"when to {verb} is not known"
    return f"{verb} after {jar.least}, from a day that is not known"


def _steeped(
    scene: Scene, fact: ToppedUp | HerbAdded | DrawnOff | Recharged | SteepedAgain
) -> list[str]:
    jar, code = scene.jar(fact.about.jar), scene.named(fact.about)
    if jar is None:
        return [f"{code} {said(fact)}."]
    match fact:
        case ToppedUp():
            strength = strength_text(jar)
            strong = f", {strength} % vol" if strength != "–" else ""
            in_all = f"{ml(poured_on_ml(jar))} in all, {ratio_text(ratio_of(whole(jar)))}{strong}"
            return [f"{code} topped up with {pours(fact.pours)}: {in_all}; {_dates(jar, scene)}."]
        case HerbAdded():
            return [f"{code} {said(fact)}.", f"{jar.code}: {_now(jar, scene)}"]
        case SteepedAgain():
            return [f"{code} {said(fact)}.", f"{jar.code}: {_now(jar, scene)}"]
        case Recharged():
            return [f"{code} {said(fact)}.", f"{jar.code}: {_now(jar, scene)}"]
        case DrawnOff():
            return _drawn_off(jar, scene)
        case _:
            assert_never(fact)


def _drawn_off(jar: Jar, scene: Scene) -> list[str]:
    extract = jar.extract(scene.entry.id)
    if extract is None:
        return [f"{jar.code}: the draw-off is kept, but does not count."]
    opened, until = jar.extract_code(extract), scene.until(extract_of(jar, extract))
    fact = scene.entry.fact
    off = ml(extract.pressed_ml, fact.written if isinstance(fact, DrawnOff) else None)
    return [
        f"{scene.called(jar)} drawn off {off}: extract {opened}, {until}.",
        f"{jar.code}: {_now(jar, scene)}",
    ]


def _now(jar: Jar, scene: Scene) -> str:
    strength = strength_text(jar)
    strong = f", {strength} % vol" if strength != "–" else ""
    known = ratio_text(ratio_of(whole(jar)))
    shown = f", {known}" if known != "–" else ""
    return f"{ml(jar.contents.volume_ml)}{shown}{strong}; {_dates(jar, scene)}."


def _split(scene: Scene, fact: Split) -> list[str]:
    opened = [scene.jar(one) for one in children(scene.entry.id, fact)]
    shares: dict[str, list[str]] = {}
    for jar in opened:
        if jar is not None:
            shares.setdefault(_what_is_in(jar), []).append(jar.code)
    lines = [f"{codes_said(codes)}: {share}." for share, codes in shares.items()]
    return [f"{scene.named(fact.about)} {said(fact)}.", *lines]


def _joined(scene: Scene, fact: Joined) -> list[str]:
    parts = " + ".join(one.code for part in fact.parts if (one := scene.jar(part)) is not None)
    jar = scene.jar(scene.entry.id)
    if jar is None:
        return [f"{parts} joined: {fact.code}."]
    return [f"{scene.called(jar)} joined from {parts}: {_what_is_in(jar)}."]


def _what_is_in(jar: Jar) -> str:
    marc = f"{grams(jar.marc_g)}, " if jar.marc_g is not None else ""
    return (
        f"{marc}{ml(jar.contents.volume_ml)}, {ratio_text(ratio_of(whole(jar)))}, "
        f"{strength_text(jar)} % vol"
    )
