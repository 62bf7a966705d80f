"""What the things are called that facts take from, beside the names of the entries."""

from collections.abc import Callable, Iterable

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import things_of
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.thing import Batch


def code_key(about: About) -> str:
    """What a thing goes by among the names; no id of an entry has a stroke."""
    return f"{about.jar}/{about.extract or ''}/{about.bottle or ''}"


def thing_codes(
    entries: Iterable[Entry], batch_of: Callable[[str], Batch | None]
) -> dict[str, str]:
    """The codes of all that these entries work on or take from, by `code_key`."""
    batches: dict[str, Batch | None] = {}
    found: dict[str, str] = {}
    for about in dict.fromkeys(one for entry in entries for one in things_of(entry.fact)):
        if about.jar not in batches:
            batches[about.jar] = batch_of(about.jar)
        batch = batches[about.jar]
        thing = None if batch is None else thing_in({about.jar: batch}, about)
        if thing is not None:
            found[code_key(about)] = thing.code
    return found
