"""What a verb has spoken of: what `.` stands for in the next."""

from tracker.core.facts.extracts import Pressed
from tracker.core.facts.ties import HOUSE, WHOLE_SHELF
from tracker.core.rules.recorded import Recorded


def named_in(recorded: Recorded) -> list[str]:
    """The codes that an answer names, each once; of a pressing, the extract that came of it."""
    codes: list[str] = []
    for entry in recorded.entries:
        own = entry.subject.split()
        if isinstance(entry.fact, Pressed) and len(own) == 1:
            own = [f"{own[0]}{entry.fact.letter}"]
        codes += own
    ours = {WHOLE_SHELF, HOUSE}
    return [code for code in dict.fromkeys(codes) if code not in ours]
