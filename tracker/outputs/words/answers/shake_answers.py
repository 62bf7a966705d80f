"""What is answered when jars were shaken: when each is due again."""

from tracker.core.facts.jars import Shaken
from tracker.core.rules.reminders import next_shake
from tracker.outputs.words.answers.scene import Scene


def shaken_lines(scene: Scene, fact: Shaken) -> list[str]:
    """A line for each jar."""
    return [line for one in fact.jars for line in _shaken(scene, one)]


def _shaken(scene: Scene, jar_id: str) -> list[str]:
    jar = scene.jar(jar_id)
    if jar is None:
        return []
    following = next_shake(jar, scene.today)
    then = f"; next {scene.day(following)}" if following else ""
    return [f"{scene.called(jar)} shaken {scene.day(scene.entry.when)}{then}."]
