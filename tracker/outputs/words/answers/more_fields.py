"""What an answer in JSON holds besides the entries and their words."""

from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.reckoning.flows.recall import Reach
from tracker.core.rules.consequences import is_remark
from tracker.core.rules.recorded import LotCounted, Recorded
from tracker.outputs.answer_fields import Answer, day, rounded
from tracker.outputs.terminal import trace_lines
from tracker.outputs.words.fact_lines import said


def more_fields(recorded: Recorded) -> Answer:
    """What the answer holds besides the entries and their words, as fields."""
    found: Answer = {}
    for more in recorded.more.values():
        if isinstance(more, Reach):
            # One answer for all the lots of a supplier's number; each list names its things.
            found["on_hold"] = [*_list(found, "on_hold"), *trace_lines.here_answers(more.here)]
            found["left"] = [*_list(found, "left"), *trace_lines.left_answers(more.left)]
            found["balance"] = [*_list(found, "balance"), trace_lines.balance_answer(more)]
        if isinstance(more, LotCounted):
            found |= {
                "unaccounted": rounded(more.missing),
                "left": rounded(more.left),
                "unit": more.unit,
            }
    facts = [one.fact for one in recorded.entries]
    if any(isinstance(one, Corrected | Struck) and not is_remark(one) for one in facts):
        found["meanwhile"] = [
            {
                "id": one.id,
                "number": recorded.names[one.id],
                "kind": one.kind,
                "code": one.subject,
                "on": day(one.when),
                "recorded": one.recorded,
                "said": said(one.fact),
            }
            for one in recorded.meanwhile
        ]
    return found


def _list(found: Answer, name: str) -> list[object]:
    known = found.get(name, [])
    assert isinstance(known, list)
    return known
