"""What was said of an event afterwards, below it: strikes and corrections."""

from collections.abc import Mapping, Sequence

import msgspec

from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.replay.in_force import amendments, in_force, with_values
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.times import Hemisphere
from tracker.outputs.view.history import Telling
from tracker.outputs.words.fact_lines import said

# Lines of what was said of an amendment: a chain of hundreds would run off any screen.
_MOST_WITHIN = 40


class Amended(msgspec.Struct, frozen=True):
    """The amendments among some entries, by what they amend, and which of them stand."""

    telling: Telling
    by_target: Mapping[str, Sequence[Entry]]
    alive: set[str]

    def below(self, entry: Entry) -> tuple[list[str], Entry]:
        """What was said of an entry, and the entry as that makes it.

        Each amendment goes on from what the last one made of it; what was said of an amendment
        stands below it, further in.
        """
        told: dict[str, tuple[list[str], Entry]] = {}
        # The innermost first, and no call within a call: a chain may be longer than Python allows.
        for one in reversed(self._outermost_first(entry)):
            lines: list[str] = []
            now = one
            for amending in self.by_target.get(one.id, ()):
                if amending.id not in told:
                    continue  # two machines can make amendments name each other
                more, as_it_stands = told[amending.id]
                own, now = self._said(now, as_it_stands)
                if len(more) > _MOST_WITHIN:
                    more = [*more[:_MOST_WITHIN], "and more, further in"]
                lines += [*own, *(f"  {line}" for line in more)]
            told[one.id] = lines, now
        return told[entry.id]

    def _outermost_first(self, entry: Entry) -> list[Entry]:
        """The entry, what was said of it, what was said of that, and so on; each once."""
        found = {entry.id: entry}
        todo = [entry]
        while todo:
            for one in self.by_target.get(todo.pop(0).id, ()):
                if one.id not in found:
                    found[one.id] = one
                    todo.append(one)
        return list(found.values())

    def _said(self, entry: Entry, amendment: Entry) -> tuple[list[str], Entry]:
        fact, names = amendment.fact, self.telling.names
        day = short_day(amendment.recorded.astimezone(self.telling.zone).date())
        is_alive = amendment.id in self.alive
        by = f"{names.get(amendment.id, amendment.id)}, {day}"
        by += "" if is_alive else ", which was struck"
        if isinstance(fact, Struck):
            return [f"STRUCK by {by}: {fact.why}"], entry
        if isinstance(fact, SameAs):
            why = f": {fact.why}" if fact.why else ""
            return [f"COUNTS AS {names.get(fact.stands, fact.stands)}, says {by}{why}"], entry
        assert isinstance(fact, Corrected)
        if not is_alive:
            return [f"CORRECTED by {by}: {fact.why}"], entry
        try:
            after = with_values(entry, fact.set)
        except ValueError as reason:
            return [f"correction {by} means nothing: {reason}"], entry
        return [
            f"CORRECTED by {by}: {fact.why}",
            f"now: {_now(entry, after, self.telling.hemisphere)}",
        ], after


def amended_among(entries: Sequence[Entry], telling: Telling) -> Amended:
    """The amendments among these entries."""
    return Amended(telling, amendments(entries), in_force(entries))


def _now(before: Entry, after: Entry, hemisphere: Hemisphere | None) -> str:
    """What is so since a correction: as much of it as differs."""
    was, now = said(before.fact), said(after.fact)
    parts = [short_when(after.when, hemisphere=hemisphere)] if after.when != before.when else []
    parts += [after.subject] if after.subject != before.subject else []
    parts += [f"by {after.fact.by}"] if after.fact.by != before.fact.by else []
    parts += [now] if now != was or not parts else []
    return ", ".join(parts)
