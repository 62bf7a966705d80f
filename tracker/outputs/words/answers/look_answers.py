"""What is answered when somebody looked."""

from tracker.core.facts.jars import LookedAt
from tracker.core.values.command_words import command
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.due.due_lines import signs_said
from tracker.outputs.words.fact_lines import said


def look_lines(scene: Scene, fact: LookedAt) -> list[str]:
    """What was seen; where that holds the thing, what is held and how it is released."""
    code = scene.code(fact.about)
    lines = [f"{scene.named(fact.about)} {said(fact)}."]
    if fact.verdict != "hold":
        return lines
    held = code.rpartition("/")[0] if fact.about.bottle else code
    why = f" because of {signs_said(fact.signs)}" if fact.signs else ""
    release = f"once it is seen to: {command('release', held, options='--why …')}"
    batch = scene.recorded.after.batches.get(fact.about.jar)
    extracts = () if batch is None else batch.extracts
    bottled = any(one.bottles for one in extracts if fact.about.extract in (None, one.id))
    also = ", and what was bottled of it" if bottled else ""
    return [*lines, f"{held} is on hold{why}{also}; {release}"]
