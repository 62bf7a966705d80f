"""Whether a jar can be worked on: its herb in, out, or thrown away."""

from collections.abc import Collection, Iterator

from tracker.core.rules.verdict import Finding
from tracker.core.shelf.end import DiscardedEnd, ended_how
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, a_kind
from tracker.core.values.times import ANY_DAY, parse_period


def is_jar(thing: Thing | Lot, done: str) -> Iterator[Finding]:
    """Refuse an extract, bottle or lot where only a jar will do."""
    if isinstance(thing, Lot):
        yield Finding(
            "kind", thing.code, f"it is a lot, and only a jar can be {done}", "name a jar"
        )
    elif thing.kind != "jar":
        yield Finding(
            "kind",
            thing.code,
            f"it is {a_kind(thing)}, and only a jar can be {done}",
            "`stillroom shelf` lists the jars"
            if thing.jar is None
            else f"name the jar: {thing.jar.code}",
        )


def is_extract(thing: Thing | Lot, done: str) -> Iterator[Finding]:
    """Refuse a jar, bottle or lot where only an extract will do."""
    if isinstance(thing, Lot) or thing.extract is None or thing.bottle is not None:
        yield Finding(
            "kind",
            thing.code,
            f"it is {a_kind(thing)}, and only an extract can be {done}",
            "name the extract, such as CAOF-26-01A",
        )


def steeps(jar: Jar, done: str) -> Iterator[Finding]:
    """Refuse to work on a jar whose herb is out, or that was thrown out."""
    if isinstance(jar.end, DiscardedEnd):
        yield from not_discarded(jar)
    elif jar.end is not None:
        yield Finding(
            "ended",
            jar.code,
            f"it was already {ended_how(jar.end)}, on {jar.end.on}, so it cannot be {done}",
            f"for an earlier time give --when; `stillroom history {jar.code}` shows what was done",
        )


def not_discarded(jar: Jar) -> Iterator[Finding]:
    """Refuse to work on what was thrown out."""
    if isinstance(jar.end, DiscardedEnd):
        yield Finding(
            "ended",
            jar.code,
            f"it was discarded on {jar.end.on}",
            f"if that was wrong: stillroom restore {jar.code}",
        )


def not_gone(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to label a jar or a bottle that was thrown out."""
    if isinstance(thing, Lot):
        return
    is_whole_jar = thing.jar is not None and thing.extract is None
    end = thing.jar.end if thing.jar is not None and is_whole_jar else None
    if isinstance(end, DiscardedEnd) or (thing.bottle is not None and thing.bottle.discarded):
        yield Finding("ended", thing.code, "it was discarded", "name what is still there")


def was_pressed(jar: Jar, done: str) -> Iterator[Finding]:
    """Refuse a new steep where the herb of the last is still in."""
    yield from not_discarded(jar)
    if jar.pressing is None:
        yield Finding(
            "ended",
            jar.code,
            f"its herb was not pressed, so it cannot be {done}",
            f"press it first: stillroom press {jar.code} 300ml",
        )


def new_letter(jar: Jar, letter: str) -> Iterator[Finding]:
    """Refuse a letter that another extract of the jar has."""
    if any(one.letter == letter for one in jar.extracts):
        code = f"{jar.code}{letter}"
        yield Finding("code", code, "an extract has that letter", "take the next letter")


def fits(shortest: str | None, most: str | None) -> Iterator[Finding]:
    """Refuse a longest time that is over before the shortest is."""
    if shortest is None or most is None:
        return
    least, longest = parse_period(shortest), parse_period(most)
    if longest.after(ANY_DAY) < least.after(ANY_DAY):
        yield Finding(
            "fit",
            "--least and --longest",
            f"at most {longest} is over before at least {least}",
            "look at the two again",
            is_misuse=True,
        )


def has_discard(thing: Thing | Lot, discard: str) -> Iterator[Finding]:
    """Refuse to restore what was not discarded."""
    if discard not in _discards(thing):
        yield Finding(
            "ended",
            thing.code,
            "nothing of it was discarded",
            f"`stillroom history {thing.code}` shows what was",
        )


def _discards(thing: Thing | Lot) -> Collection[str]:
    """The ids of the discards in force of a lot, an extract in bulk, a bottle or a jar."""
    if isinstance(thing, Lot):
        return thing.discards
    if thing.extract is not None:
        number = None if thing.bottle is None else thing.bottle.number
        thrown = thing.extract.thrown
        return [
            one
            for one in thing.extract.discards
            if number == (thrown[one].bottle if one in thrown else None)
        ]
    end = thing.jar.end if thing.jar is not None else None
    return [end.event] if isinstance(end, DiscardedEnd) else []


def came_from_a_jar(thing: Thing) -> Iterator[Finding]:
    """Refuse to put a blend back into a jar: it came from no one jar."""
    if thing.jar is None:
        yield Finding(
            "kind",
            thing.code,
            "a blend came from no one jar, so it cannot be recharged",
            "charge the new herb, with the blend as one of its pours",
        )
