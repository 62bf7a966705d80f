"""Whether a jar can be worked on: its herb in, out, or thrown away."""

from collections.abc import Collection, Iterator

from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import DiscardedEnd, GivenEnd, JoinedEnd, SplitEnd, ended_how
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, a_kind
from tracker.core.values.command_words import command
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


def must_come_off(thing: Thing) -> Iterator[Finding]:
    """Refuse to pour out of a jar: what is in it is pressed or drawn off first."""
    codes = ", ".join(thing.batch.extract_code(one) for one in thing.batch.extracts)
    state = "its herb is still in" if thing.jar and thing.jar.is_macerating else "it is a jar"
    yield Finding(
        "kind",
        thing.code,
        f"{state}, and only an extract or a bottle can be poured out",
        f"name the extract: {codes}"
        if codes
        else f"press or draw off first: {command('press', thing.code, '300ml')}",
    )


def steeps(jar: Jar, done: str) -> Iterator[Finding]:
    """Refuse to work on a jar whose herb is out, or that was thrown out."""
    if isinstance(jar.end, DiscardedEnd):
        yield from not_discarded(jar)
    elif jar.end is not None:
        told = command("history", jar.code)
        do = f"if it happened before that, give the day with --when; `{told}` shows what was done"
        if done == "pressed" and jar.pressing is not None:
            more = command("press", jar.code, "40ml", options="--again")
            do = f"if the same marc gave more: {more}; {do}"
        yield Finding(
            "ended",
            jar.code,
            f"it was already {ended_how(jar.end)} on {jar.end.on}, so it cannot be {done}",
            do,
        )


def not_discarded(jar: Jar) -> Iterator[Finding]:
    """Refuse to work on what was thrown out."""
    if isinstance(jar.end, DiscardedEnd):
        yield Finding(
            "ended",
            jar.code,
            f"it was discarded on {jar.end.on}",
            f"if that was wrong: {command('restore', jar.code)}",
        )


def discarded_whole(jar: Jar, volume_ml: float | None) -> Iterator[Finding]:
    """Refuse to throw out a jar that is over, or only a part of one."""
    yield from not_discarded(jar)
    if jar.end is not None:
        codes = ", ".join(jar.extract_code(one) for one in jar.extracts)
        is_shared = isinstance(jar.end, SplitEnd | JoinedEnd | GivenEnd)
        what = f"it was {ended_how(jar.end)}" if is_shared else "its herb is out"
        do = f"discard its extract: {codes}" if codes else "discard what became of it"
        if isinstance(jar.end, GivenEnd) and not codes:
            do = came_back(jar.code)
        yield Finding("ended", jar.code, what, do)
    elif volume_ml is not None:
        yield Finding("whole", jar.code, "a jar is discarded whole", "leave the volume out")


def came_back(code: str) -> str:
    """What to do about a jar that was given out whole, and is here all the same."""
    return f"if it is here again, strike that entry: `{command('history', code)}` has its number"


def not_gone(thing: Thing | Lot) -> Iterator[Finding]:
    """Refuse to label a jar that was given out, or a jar or bottle that was thrown out."""
    if isinstance(thing, Lot):
        return
    is_whole_jar = thing.jar is not None and thing.extract is None
    end = thing.jar.end if thing.jar is not None and is_whole_jar else None
    if isinstance(end, GivenEnd):
        yield Finding(
            "ended",
            thing.code,
            f"it was given out on {end.on}",
            "name something that is still here",
        )
    if isinstance(end, DiscardedEnd) or (thing.bottle is not None and thing.bottle.discarded):
        yield Finding("ended", thing.code, "it was discarded", "name something that is still here")


def was_pressed(jar: Jar, done: str) -> Iterator[Finding]:
    """Refuse a new steep where the herb of the last is still in."""
    yield from not_discarded(jar)
    if isinstance(jar.end, SplitEnd | JoinedEnd | GivenEnd):
        yield from steeps(jar, done)
    elif jar.pressing is None:
        yield Finding(
            "ended",
            jar.code,
            f"its herb was not pressed yet, so it cannot be {done}",
            f"press it first: {command('press', jar.code, '300ml')}",
        )


def has_its_marc(thing: Thing) -> Iterator[Finding]:
    """Refuse to press again into what is not of the marc in hand; ask where that may be gone."""
    extract = thing.extract
    if thing.jar is None or extract is None:
        return
    if thing.jar.pressing is not extract:
        yield Finding(
            "ended",
            thing.code,
            "it did not come from the marc that is in the jar now",
            f"`{command('history', thing.jar.code)}` shows what became of the marc",
        )
    elif extract.marc == "composted":
        what = "its marc was composted, so it cannot well be pressed again"
        yield Finding("ended", thing.code, what, "is it this jar?", "question")
    elif extract.left_ml < DROP_ML:
        what = "nothing of it is left, so this would be all of it"
        yield Finding("empty", thing.code, what, "is it this jar?", "question")


def new_letter(jar: Jar, letter: str) -> Iterator[Finding]:
    """Refuse a letter that another extract of the jar has."""
    if any(one.letter == letter for one in jar.extracts):
        code = f"{jar.code}{letter}"
        yield Finding("code", code, "another extract has that letter", "take the next letter")


def fits(shortest: str | None, most: str | None) -> Iterator[Finding]:
    """Refuse a longest time that is over before the shortest is."""
    if shortest is None or most is None:
        return
    least, longest = parse_period(shortest), parse_period(most)
    if longest.after(ANY_DAY) < least.after(ANY_DAY):
        yield Finding(
            "fit",
            "--least and --longest",
            f"The longest time, {longest}, is over before the shortest, {least}",
            "check the two",
            is_misuse=True,
        )


def has_discard(thing: Thing | Lot, discard: str) -> Iterator[Finding]:
    """Refuse to restore what was not discarded."""
    if discard not in _discards(thing):
        yield Finding(
            "ended",
            thing.code,
            "nothing of it was discarded",
            f"`{command('history', thing.code)}` shows what was",
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
            "a blend did not come from one jar, so it cannot be recharged",
            "charge the new herb, with the blend as one of its pours",
        )
