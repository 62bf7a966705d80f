"""What is answered when jars were shaken: when each is due again."""

from collections.abc import Iterator

from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.rules.reminders import next_shake
from tracker.outputs.words.answers.scene import Scene, Told


def shaken(scene: Scene, fact: Shaken) -> Iterator[Told]:
    """A line for each jar."""
    for jar_id in fact.jars:
        if (jar := scene.jar(jar_id)) is not None:
            following = next_shake(jar, scene.today)
            then = f"; next {scene.day(following)}" if following else ""
            line = f"{scene.called(jar)} shaken {scene.day(scene.entry.when)}{then}."
            yield scene.told(About(jar=jar_id), [line], is_everyday=True)
