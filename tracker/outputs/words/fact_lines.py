"""Each fact in words, in one line."""

from collections.abc import Mapping

from tracker.core.facts.amendments import (
    Away,
    Corrected,
    Labelled,
    Later,
    Noted,
    SameAs,
    Struck,
)
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Bottled,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    PressedAgain,
    Restored,
)
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.facts.kinds import Recorded, Unknown
from tracker.core.facts.ties import HOUSE
from tracker.core.rules.undoing import is_undo
from tracker.core.values.day_words import short_day
from tracker.core.values.kind_words import kind_said, reminder_said
from tracker.core.values.times import parse_period
from tracker.outputs.words import flows
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.ingredients import herb, herb_alone, pours, whose
from tracker.outputs.words.lid_words import barrier_said, lid_said
from tracker.outputs.words.pressing_methods import method_said
from tracker.outputs.words.ways_of_making import way_name


def said(fact: Recorded, names: Mapping[str, str] = flows.NO_NAMES) -> str:
    """The fact in words, without its subject, time or writer.

    Args:
        fact: what was recorded.
        names: what the entries that it may amend are called, by their ids; one that is not
            among them is called by its id. And the codes of what it takes from, by `code_key`.
    """
    text = _said(fact, names)
    return f"{text} – {fact.note}" if fact.note and not isinstance(fact, Noted) else text


def entry_said(
    entry: Entry, names: Mapping[str, str] = flows.NO_NAMES, plant: str | None = None
) -> str:
    """The fact with its subject: `lemon balm leaf MEOF-26-02 shaken`.

    Args:
        entry: what was recorded.
        names: as `said` takes them.
        plant: what its subject is called, where that is to be said.
    """
    if entry.subject == HOUSE:
        return said(entry.fact, names)
    subject = f"{plant} {entry.subject}" if plant else entry.subject
    return f"{subject} {said(entry.fact, names)}"


_OfJar = Charged | Shaken | ToppedUp | LookedAt | Moved
_OfExtract = Pressed | PressedAgain | Filtered | Bottled | Dispensed | Counted
_OfRecord = Noted | Labelled | Later | Away | Corrected | Struck | SameAs


def _said(fact: Recorded, names: Mapping[str, str]) -> str:
    if isinstance(fact, _OfJar):
        return _jar_said(fact)
    if isinstance(fact, _OfExtract):
        return _extract_said(fact)
    if isinstance(fact, _OfRecord):
        return _record_said(fact, names)
    match fact:
        case Discarded():
            return f"discarded {_much(fact)}: {fact.why}"
        case Restored():
            return f"restored: {fact.why}" if fact.why else "restored"
        case Unknown():
            return f"{kind_said(fact.kind)}: a kind or version not known here"
        case _:
            return flows.flow_said(fact, names)


def _jar_said(fact: _OfJar) -> str:
    match fact:
        case Charged():
            return _charged(fact)
        case Shaken():
            others = len(fact.jars) - 1
            return f"shaken, with {others} more" if others else "shaken"
        case ToppedUp():
            return f"topped up with {pours(fact.pours)}"
        case LookedAt():
            return _looked_at(fact)
        case Moved():
            jar = f", in a {fact.jar_ml:g} ml jar" if fact.jar_ml else ""
            return "moved" + _where(fact.place, fact.lid, fact.barrier) + jar + whose(fact)


def _extract_said(fact: _OfExtract) -> str:
    match fact:
        case Pressed():
            return _pressed(fact)
        case PressedAgain():
            how = f" {method_said(fact.how)}" if fact.how else ""
            return f"pressed again {ml(fact.volume_ml, fact.written)}{how}"
        case Filtered():
            through = f" through {fact.through}" if fact.through else ""
            return f"filtered to {ml(fact.volume_ml, fact.written)}{through}"
        case Bottled():
            return _bottled(fact)
        case Dispensed():
            reference = f" for {fact.reference}" if fact.reference else ""
            if fact.about.extract is None:
                return f"given out whole, with its herb{f',{reference}' if reference else ''}"
            return f"dispensed {_much(fact)}{reference}"
        case Counted():
            return f"counted {_there(fact)}"


def _record_said(fact: _OfRecord, names: Mapping[str, str]) -> str:
    """What is said of the record itself, of paper and of reminders."""
    match fact:
        case Noted():
            return f"note: {fact.note}"
        case Labelled():
            many = f", {fact.copies} copies" if fact.copies > 1 else ""
            return f"labelled{many}: {' / '.join(fact.lines)}"
        case Later():
            return f"reminder put off until {short_day(fact.until)}: {reminder_said(fact.what)}"
        case Away():
            return f"away from {short_day(fact.first)} through {short_day(fact.last)}"
        case Corrected() | Struck() | SameAs():
            return _amends(fact, names)


def past_date(days: int) -> str:
    """`; past its date by 3 days`, behind a use of something that was; else nothing."""
    return f"; past its date by {days} {'day' if days == 1 else 'days'}" if days else ""


def _pressed(fact: Pressed) -> str:
    text = f"pressed {ml(fact.volume_ml, fact.written)}"
    text += f" {method_said(fact.how)}" if fact.how else ""
    text += f", marc {fact.marc}" if fact.marc else ""
    return f"{text}; keeps {parse_period(fact.keeps)}"


def _bottled(fact: Bottled) -> str:
    runs = ", ".join(f"{run.count} × {ml(run.size_ml)}" for run in fact.bottles)
    first, last = fact.bottles[0], fact.bottles[-1]
    end = last.first + last.count - 1
    numbers = f"{first.first}" if first.first == end else f"{first.first}–{end}"
    return f"bottled {runs}, numbered {numbers}"


def _there(fact: Counted) -> str:
    if fact.herb_g is not None:
        return f"{fact.herb_g:g} g"
    return "–" if fact.volume_ml is None else ml(fact.volume_ml, fact.written)


def _much(fact: Dispensed | Discarded) -> str:
    if isinstance(fact, Discarded) and fact.herb_g is not None:
        return f"{fact.herb_g:g} g"
    return ml(fact.volume_ml, fact.written) if fact.volume_ml else "all"


def _amends(fact: Corrected | Struck | SameAs, names: Mapping[str, str]) -> str:
    event = names.get(fact.event, fact.event)
    why = f" ({fact.why})" if fact.why else ""
    match fact:
        case Corrected():
            from tracker.outputs.words.answers.field_values import (
                set_said,  # few lines are corrections
            )

            return f"corrects {event}: {set_said(fact.set)}{why}"
        case Struck():
            if is_undo(fact):
                why = fact.why.partition(": ")[2]
                return f"undoes {event}{f' ({why})' if why else ''}"
            return f"strikes {event}{why}"
        case SameAs():
            return f"the same event: {event} is {names.get(fact.stands, fact.stands)}{why}"


def charge_said(fact: Charged) -> str:
    """A charge where its plant and its days are said beside it."""
    way = "" if fact.way == "maceration" else f" ({way_name(fact.way)})"
    lots = f"; lot {', '.join(fact.lots)}" if fact.lots else ""
    text = f"charged: {herb_alone(fact)} in {pours(fact.pours)}{way}{_filled(fact)}{lots}"
    return f"{text}{whose(fact)}{f' – {fact.note}' if fact.note else ''}"


def _charged(fact: Charged) -> str:
    longest = f", at most {parse_period(fact.longest)}" if fact.longest else ""
    way = "" if fact.way == "maceration" else f" ({way_name(fact.way)})"
    longest += f"; lot {', '.join(fact.lots)}" if fact.lots else ""
    return (
        f"charged {herb(fact)} in {pours(fact.pours)}{way}{_filled(fact)}; "
        f"at least {parse_period(fact.least)}{longest}{whose(fact)}"
    )


def _looked_at(fact: LookedAt) -> str:
    signs = f": {', '.join(fact.signs)}" if fact.signs else ""
    again = f", again {short_day(fact.again_on)}" if fact.again_on else ""
    return f"looked at{signs}, {fact.verdict}{again}{_filled(fact)}" + _where(
        None, fact.lid, fact.barrier
    )


def _filled(fact: Charged | LookedAt) -> str:
    if fact.filled_ml is None:
        return ""
    about = "about " if fact.filled_known == "by eye" else ""
    return f", filled to {about}{ml(fact.filled_ml, fact.filled_written)}"


def _where(place: str | None, lid: str | None, barrier: str | None) -> str:
    text = f" to {place}" if place else ""
    text += f", {lid_said(lid)}" if lid else ""
    return text + (f", {barrier_said(barrier)} under it" if barrier else "")
