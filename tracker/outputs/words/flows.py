"""What flows from one thing into another, and what comes in, in words."""

from collections.abc import Mapping
from datetime import UTC, datetime, time
from typing import assert_never

from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.extracts import Blended, Diluted, MadeUp, Refilled, Settled
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import (
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    Recharged,
    Split,
    SteepedAgain,
)
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.values.times import When, parse_period
from tracker.outputs.words.amount_words import grams, ml
from tracker.outputs.words.ingredients import amount_poured, herb, poured, pours, whose
from tracker.outputs.words.thing_codes import code_key
from tracker.outputs.words.ways_of_making import way_name

NO_NAMES: Mapping[str, str] = {}

Flowing = (
    HerbAdded | DrawnOff | Recharged | SteepedAgain | Split | Joined | Found | Settled | MadeUp
    | Diluted | Blended | Refilled | Held | Released | Gathered | Bought | BoughtHerb | Dried
    | Recalled
)  # fmt: skip


def flow_said(fact: Flowing, names: Mapping[str, str] = NO_NAMES) -> str:
    """The fact in words, without its subject, time or writer.

    Args:
        fact: what was recorded.
        names: the codes of what it takes from, by `code_key`; one that is not there is not said.
    """
    match fact:
        case Joined():
            return f"joined from {_joined(fact, names)}"
        case HerbAdded() | DrawnOff() | Recharged() | SteepedAgain() | Split():
            return _steeped(fact)
        case Settled() | MadeUp() | Diluted() | Blended() | Refilled():
            return _mixed(fact, names)
        case Found():
            much = f", {ml(fact.volume_ml, fact.written)}" if fact.volume_ml else ""
            return f"found: {fact.herb}, {fact.form}{much}; {_history(fact)}{whose(fact)}"
        case Held():
            return f"held: {fact.why}"
        case Released():
            return f"released: {fact.why}"
        case Gathered() | Bought() | BoughtHerb() | Dried() | Recalled():
            return _came_in(fact)
        case _:
            assert_never(fact)


def _history(fact: Found) -> str:
    """What was guessed of a found jar, or that its history is not known."""
    guesses = []
    if fact.charged_from is not None:
        start = datetime.combine(fact.charged_from, time(), UTC)
        guesses.append(f"charged {When(start, fact.charged_precision)}")
    guesses += [f"at least {parse_period(fact.least)}"] if fact.least else []
    guesses += [f"at most {parse_period(fact.longest)}"] if fact.longest else []
    return f"as a guess {', '.join(guesses)}" if guesses else "its history is not known"


def _joined(fact: Joined, names: Mapping[str, str]) -> str:
    codes = [names.get(code_key(About(jar=one))) for one in fact.parts]
    known = [one for one in codes if one is not None]
    return " + ".join(known) if len(known) == len(codes) else f"{len(codes)} jars"


def _steeped(fact: HerbAdded | DrawnOff | Recharged | SteepedAgain | Split) -> str:
    match fact:
        case HerbAdded():
            return f"herb added: {herb(fact)}"
        case DrawnOff():
            off = ml(fact.volume_ml, fact.written)
            return f"drawn off {off}; keeps {parse_period(fact.keeps)}"
        case Recharged():
            much = "all of it" if fact.volume_ml is None else ml(fact.volume_ml)
            least = parse_period(fact.least)
            return f"recharged: {herb(fact)} in {much}; at least {least}{_why_late(fact)}"
        case SteepedAgain():
            least = parse_period(fact.least)
            way = "" if fact.way == "maceration" else f" ({way_name(fact.way)})"
            what = f"{pours(fact.pours)} on the old marc{way}"
            return f"steeped again: {what}; at least {least}{_why_late(fact)}"
        case Split():
            parts = ", ".join(f"{part.code} {part.share * 100:.0f} %" for part in fact.into)
            return f"split into {parts}"


def _why_late(fact: Recharged | SteepedAgain) -> str:
    why = fact.past_date_why
    return f"; used past its date, or with none known: {why}" if why else ""


def _mixed(fact: Settled | MadeUp | Diluted | Blended | Refilled, names: Mapping[str, str]) -> str:
    match fact:
        case Settled():
            return f"poured off its lees, {ml(fact.volume_ml, fact.written)} left"
        case MadeUp():
            to = ml(fact.volume_ml, fact.written)
            return f"made up to {to} with {pours(fact.pours)}{_keeps(fact)}"
        case Diluted():
            after = f": {ml(fact.volume_ml, fact.written)}" if fact.volume_ml else ""
            return f"diluted with {pours(fact.pours)}{after}{_keeps(fact)}"
        case Blended():
            parts = " + ".join(_part(one, names) for one in fact.parts)
            after = f" to {ml(fact.volume_ml, fact.written)}" if fact.volume_ml else ""
            return f"blended {parts}{after}"
        case Refilled():
            return f"refilled with {_part(fact.source, names)}"


def _part(one: Portion, names: Mapping[str, str]) -> str:
    """`60 ml of CAOF-26-01A`."""
    code = names.get(code_key(one.about))
    return ml(one.volume_ml, one.written) + (f" of {code}" if code else "")


def _keeps(fact: MadeUp | Diluted) -> str:
    return f"; keeps {parse_period(fact.keeps)} from its pressing" if fact.keeps else ""


def _came_in(fact: Gathered | Bought | BoughtHerb | Dried | Recalled) -> str:
    match fact:
        case Gathered() | BoughtHerb():
            part = f" {fact.part}" if fact.part else ""
            verb = "gathered" if isinstance(fact, Gathered) else "bought"
            return f"{verb} {grams(fact.herb_g)} {fact.herb}{part}, {fact.form}{_from(fact)}"
        case Bought():
            return f"bought {poured(fact)}{_from(fact)}"
        case Dried():
            return f"dried {grams(fact.fresh_g)} to {grams(fact.herb_g)}: {fact.code}"
        case Recalled():
            held = f", {len(fact.jars)} put on hold" if fact.jars else ""  # jars, and blends
            lot = f" with lot {fact.named}" if fact.named is not None else ""
            return f"recalled{lot}: {fact.why}{held}"


def came_in(fact: Gathered | Bought | BoughtHerb) -> str:
    """How a lot came in, where its name is said beside it: `bought: 500 g dried, paid 24`."""
    if isinstance(fact, Bought):
        return f"bought: {amount_poured(fact)}{_from(fact)}"
    verb = "gathered" if isinstance(fact, Gathered) else "bought"
    return f"{verb}: {grams(fact.herb_g)} {fact.form}{_from(fact)}"


def _from(fact: Gathered | Bought | BoughtHerb) -> str:
    text = f" from {fact.where}" if fact.where else ""
    if not isinstance(fact, Gathered) and fact.their_lot:
        text += f", their lot {fact.their_lot}"
    return text + (f", paid {fact.paid}" if fact.paid else "")
