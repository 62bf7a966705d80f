"""What is answered when a lot was dried, called back or released."""

from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.extracts import Counted
from tracker.core.facts.fields import About
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.reckoning.flows.recall import Here, Reach
from tracker.core.rules.recorded import LotCounted, StillHeld
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.lot import Lot
from tracker.core.values.day_words import Present
from tracker.outputs.terminal import trace_lines
from tracker.outputs.words.amount_words import plain
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.flows import came_in


def came_in_line(scene: Scene, fact: Gathered | Bought | BoughtHerb) -> str:
    """What came in, by its name: `sage leaf LOT-26-01 bought: 500 g dried, paid 24`."""
    lot = scene.after(About(jar=scene.entry.id))
    if lot is None:
        return f"{scene.entry.subject} {said(fact)}."
    note = f" – {fact.note}" if fact.note else ""
    return f"{scene.called(lot)} {came_in(fact)}{note}."


def dried_line(scene: Scene, fact: Dried) -> str:
    """What a lot of fresh herb weighs dried."""
    lost = 1 - fact.herb_g / fact.fresh_g
    return f"{scene.named(fact.about)} {said(fact)}, {100 * lost:.0f} % lost."


def counted_line(scene: Scene, fact: Counted, found: LotCounted) -> str:
    """What was found of a lot, and what the book said there was."""
    there = (fact.herb_g if found.unit == "g" else fact.volume_ml) or 0.0
    unaccounted = "unaccounted" if found.missing >= 0 else "more"
    line = (
        f"{scene.named(fact.about)} {said(fact)}; the book said "
        f"{plain(there + found.missing, found.unit)}: "
        f"{plain(abs(found.missing), found.unit)} {unaccounted}"
    )
    is_used_since = abs(found.left - there) >= DROP_ML
    return line + (f"; {plain(found.left, found.unit)} left now." if is_used_since else ".")


def hold_lines(scene: Scene, fact: Held | Released) -> list[str]:
    """A hold set or lifted, and what stays on hold."""
    lines = [f"{scene.named(fact.about)} {said(fact)}."]
    still = scene.recorded.more.get(scene.entry.id)
    if isinstance(still, StillHeld):
        lines.append(f"Still on hold with it: {', '.join(still.codes)}.")
    return lines


def recall_lines(scene: Scene, fact: Recalled, columns: int) -> list[str]:
    """What holds any of a lot that was called back, and what left with some of it."""
    lot = scene.after(About(jar=fact.about.jar))
    called = scene.named(fact.about) if isinstance(lot, Lot) else scene.code(fact.about)
    head = f"{called if fact.named is None else fact.named} recalled: {fact.why}."
    reach = scene.recorded.more.get(scene.entry.id)
    return [head, *_reach(reach, scene.present, columns)] if isinstance(reach, Reach) else [head]


def _reach(reach: Reach, present: Present, columns: int) -> list[str]:
    lines = ["On hold from now on:"] if reach.here else ["Nothing on the shelf holds any of it."]
    lines += [f"  {_kept(one, reach.unit)}" for one in reach.here]
    if not reach.left:
        lines.append("Nothing of it left the shelf.")
    else:
        table = trace_lines.left_table(
            reach.left, reach.unit, present, total=columns - 2, colour=False
        )
        lines += ["Left the shelf with some of it:", *(f"  {line}" for line in table)]
    return [*lines, *trace_lines.balance_lines(reach)]


def _kept(one: Here, unit: str) -> str:
    text = f"{one.code}  {one.kind}, {trace_lines.amount(one.ml, one.g)}"
    if one.kind == "lot":
        return text
    return f"{text}; {trace_lines.of_lot(one.of_lot, unit)} of the lot in it"
