"""What is answered when something that was just changed is weak, or may not keep."""

from tracker.core.facts.extracts import Blended, Diluted, MadeUp, Pressed, Refilled
from tracker.core.facts.fields import About
from tracker.core.facts.jars import (
    DrawnOff,
    HerbAdded,
    Joined,
    Recharged,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import AnyFact
from tracker.core.shelf.thing import Thing
from tracker.outputs.words.answers.scene import Scene


def keeping_lines(scene: Scene, fact: AnyFact) -> list[str]:
    """Whether what was changed keeps, where it is not fine; a charge says so itself."""
    thing = _changed(scene, fact)
    said = "" if thing is None else keeping_said(scene, thing)
    return [f"{thing.code}: {said}"] if thing is not None and said else []


def keeping_said(scene: Scene, thing: Thing) -> str:
    """`Warning: 18.0 % vol is below 20 %: likely to spoil. Add …; good through …`."""
    from tracker.core.reckoning import keeps
    from tracker.core.reckoning.fortification import keeping_of
    from tracker.outputs.words import outlook

    found = keeping_of(thing.batch, scene.practice, thing.extract, thing.bottle)
    if found is None or found.level == "fine":
        return ""
    said = f"{found.level.capitalize()}: {outlook.keeping(found)}"
    if keeps.weak_spell(thing.made, scene.practice) is None:
        return f"{said}."
    last = keeps.weak_through(thing, scene.practice)
    if last is None:
        return f"{said}. Keep it cold; how long it keeps is not known."
    if last < scene.entry.when.earliest:
        return f"{said}. As it is, its last good day was {scene.day(last)}."
    return f"{said}. As it is, good through {scene.day(last)}, kept cold."


def _changed(scene: Scene, fact: AnyFact) -> Thing | None:
    """What a fact made of other things than before."""
    match fact:
        case ToppedUp() | HerbAdded() | SteepedAgain() | MadeUp() | Diluted() | Refilled():
            about = fact.about
        case Recharged():
            about = About(jar=fact.about.jar)
        case Pressed() | DrawnOff():
            about = About(jar=fact.about.jar, extract=scene.entry.id)
        case Blended():
            about = About(jar=scene.entry.id, extract=scene.entry.id)
        case Joined():
            about = About(jar=scene.entry.id)
        case _:
            return None
    thing = scene.after(about)
    return thing if isinstance(thing, Thing) else None
