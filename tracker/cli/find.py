"""What a code names: a jar, extract, bottle or lot, or what was once recorded under it."""

from tracker.bench.bench import Bench
from tracker.core.facts.entry import Entry
from tracker.core.facts.ties import WHOLE_SHELF
from tracker.core.replay.former_codes import is_told_under
from tracker.core.rules.checks.jar_state import is_jar
from tracker.core.rules.verdict import Verdict, refusal
from tracker.core.shelf.end import ended_how
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
from tracker.core.shelf.thing import extract_of as shelved_extract
from tracker.core.values.command_words import command
from tracker.core.values.errors import RefusedError


def jar_of(thing: Thing, done: str) -> Jar:
    """The jar a code names.

    Raises:
        RefusedError: an extract, a blend or a bottle.
    """
    verdict = Verdict.of(is_jar(thing, done))
    if thing.jar is None or verdict.refusals:
        raise refusal(verdict.refusals)
    return thing.jar


def extract_of(thing: Thing, done: str) -> Thing:
    """The extract a code names, or the only one of a jar; a bottle stays what it is.

    Raises:
        RefusedError: a jar with none, or with several.
    """
    if thing.extract is not None:
        return thing
    extracts = thing.batch.extracts
    if len(extracts) == 1:
        return shelved_extract(thing.batch, extracts[0])
    codes = ", ".join(thing.batch.extract_code(one) for one in extracts)
    end = None if thing.jar is None else thing.jar.end
    if codes:
        state, do = "has several extracts", f"name one: {codes}."
    elif end is not None:
        state = f"was {ended_how(end)}, on {end.on}"
        do = f"`{command('history', thing.code)}` shows what became of it."
    else:
        state = "has not been pressed yet"
        do = f"press it first: {command('press', thing.code, '300ml')}."
    raise RefusedError(thing.code, f"it {state}, so nothing can be {done}", do=do)


def taken_out(bench: Bench, code: str) -> dict[str, list[Entry]]:
    """The entries of each jar or lot recorded under a code that nothing in force opens."""
    ids = [one for one in bench.taken_out() if one != WHOLE_SHELF]
    told = {jar_id: bench.entries_of(jar_id) for jar_id in ids}
    return {
        jar_id: own for jar_id, own in told.items() if any(is_told_under(code, one) for one in own)
    }


def once_told(bench: Bench, code: str) -> dict[str, list[Entry]]:
    """The entries of each jar or lot that any line ever named by a code; reads them all."""
    ids = {jar for one in bench.entries() if is_told_under(code, one) for jar in one.jars}
    return {jar_id: bench.entries_of(jar_id) for jar_id in sorted(ids - {WHOLE_SHELF})}
