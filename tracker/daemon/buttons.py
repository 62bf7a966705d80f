"""A button pressed on a notice, recorded as the command would record it."""

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import timedelta
from typing import cast

from tracker.bench.bench import Bench
from tracker.bench.record import record
from tracker.core.facts.amendments import Later
from tracker.core.facts.fields import About, Waiting
from tracker.core.facts.jars import Shaken
from tracker.core.rules.recorded import Draft
from tracker.core.rules.reminders import every_line, line_to_put_off
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown
from tracker.core.values.times import When, moment
from tracker.outputs.words.fact_lines import said

_log = logging.getLogger("stillroom")


def record_press(bench: Bench, pressed: str, codes: Sequence[str]) -> None:
    """Record what a button says; what no longer fits is only logged."""
    if pressed == "shaken":
        with _logged(pressed, codes):
            _shaken(bench, codes)
    elif pressed == "later":
        for code in codes:  # one that cannot be put off must not keep the others back
            with _logged(pressed, [code]):
                _later(bench, code)


@contextmanager
def _logged(pressed: str, codes: Sequence[str]) -> Iterator[None]:
    """A press may not end the daemon: what it fails with is logged."""
    try:
        yield
    except TrackerError as refused:
        _log.warning("a press was refused: %s", refused.what)
    except OSError as reason:  # before anything was written: what fails later is a remark
        _log.warning("a press was refused: %s", reason.strerror or reason)
    except Exception:
        about = shown(" ".join(codes))
        _log.exception("a press of %s was not recorded for %s", pressed, about)


def _shaken(bench: Bench, codes: Sequence[str]) -> None:
    jars = _to_shake(bench, codes)
    if not jars:
        _log.info("pressed shaken: nothing left to record")
        return
    fact = Shaken(jars=tuple(jar.id for jar in jars), note="answered on the notice")
    _record(bench, Draft(bench.new_id(), " ".join(jar.code for jar in jars), _now(bench), fact))


def _to_shake(bench: Bench, codes: Sequence[str]) -> list[Jar]:
    today, wanted = bench.today(), []
    shelf = {jar.code: jar for jar in bench.jars()}
    for code in codes:
        jar = shelf.get(code)
        if jar is None or not jar.is_macerating:
            pressed = jar.end.on if jar is not None and jar.end is not None else None
            _log.info("%s: %s", code, f"already pressed on {pressed}" if pressed else "gone")
        elif jar.last_shaken is not None and jar.last_shaken.latest >= today:
            _log.info("%s: already shaken on %s", code, jar.last_shaken)
        else:
            wanted.append(jar)
    return wanted


def _later(bench: Bench, code: str) -> None:
    """Put off until tomorrow what the notice said of a thing, and that it is ready, if it is."""
    thing, today = bench.find(code), bench.today()
    line = line_to_put_off(thing, bench.practice, today)
    every = every_line([thing.batch], bench.practice, today)
    is_ready = any(one.code == line.code and one.what == "ready" for one in every)
    about = About(jar=thing.batch.id, extract=thing.extract.id if thing.extract else None)
    for what in dict.fromkeys([line.what, *(["ready"] if is_ready else [])]):
        fact = Later(about=about, what=cast("Waiting", what), until=today + timedelta(days=1))
        _record(bench, Draft(bench.new_id(), line.code, _now(bench), fact))


def _now(bench: Bench) -> When:
    return moment(bench.now())


def _record(bench: Bench, draft: Draft) -> None:
    record(bench, [draft])
    _log.info("a press recorded: %s", _in_words(draft))


def _in_words(draft: Draft) -> str:
    """What was recorded; words that fail take nothing back of it."""
    try:
        return f"{draft.subject} {said(draft.fact)}"
    except Exception:
        return f"{draft.subject} {draft.fact.kind}"
