"""What is answered when a lid is bare metal, or may be."""

from collections.abc import Iterator

from tracker.core.facts.jars import Charged, Found, Joined, LookedAt, Moved, Split
from tracker.core.facts.kinds import AnyFact
from tracker.core.facts.ties import children
from tracker.core.reckoning.lids import lid_in_doubt
from tracker.core.shelf.jar import Jar
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.lid_words import barrier_said, lid_said


def lid_lines(scene: Scene, fact: AnyFact) -> Iterator[str]:
    """A caution for each jar that the fact leaves under a lid that may be eaten."""
    for jar_id in _jars_told(scene, fact):
        jar = scene.jar(jar_id)
        if jar is None or not jar.is_macerating or jar.lid is None:
            continue
        state = lid_in_doubt(jar)
        if state == "bare":
            yield f"{jar.code}: Caution: bare metal lid; put a barrier under it."
        elif state == "unknown":
            under = f" with {barrier_said(jar.barrier)} under it" if jar.barrier else ""
            yield (
                f"{jar.code}: Caution: whether the {lid_said(jar.lid)}{under} is bare metal is "
                "not known; say what it is made of, such as glass, plastic or steel."
            )


def _jars_told(scene: Scene, fact: AnyFact) -> tuple[str, ...]:
    """The jars opened, those of which the lid was said, and those it newly concerns."""
    match fact:
        case Charged() | Found() | Joined():
            return (scene.entry.id,)
        case Split():
            return children(scene.entry.id, fact)
        case LookedAt() | Moved() if fact.lid is not None or fact.barrier is not None:
            return (fact.about.jar,)
        case _:
            return tuple(one for one in scene.entry.jars if _is_new(scene, one))


def _is_new(scene: Scene, jar_id: str) -> bool:
    """Whether its lid was in no doubt before: spirit or vinegar came under it."""
    was = scene.recorded.before.batches.get(jar_id)
    return isinstance(was, Jar) and lid_in_doubt(was) is None
