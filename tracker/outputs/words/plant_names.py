"""Names of plants as people read them: in full, for a narrow column, and as they are called."""

import re

from tracker.core.shelf.thing import Batch

_BINOMIAL = re.compile(r"[A-Z][a-z-]+ (?:[x×] ?)?[a-z][a-z-]+")


def herb_name(batch: Batch) -> str:
    """The herb as a line says it: `Calendula officinalis flower, dried`."""
    part = f" {batch.part}" if batch.part else ""
    return f"{batch.herb}{part}, {batch.form}"


def narrow_name(name: str, cells: int) -> str:
    """A name for a narrow column, the genus by its letter if it is longer than this many cells.

    `C. officinalis flower, dried`; a name that is no Latin binomial stays whole.
    """
    genus, blank, rest = name.partition(" ")
    is_binomial = blank and rest[:1].islower() and genus.isalpha()
    return f"{genus[0]}. {rest}" if is_binomial and len(name) > cells else name


def common_name(batch: Batch) -> str | None:
    """The herb's common name: as recorded, else the one its Latin name has in the table."""
    if batch.common:
        return batch.common
    if len({one.herb for one in batch.contents.herbs}) > 1:
        return None  # a table has the names of plants, not of blends
    from tracker.core.herbs.names import known  # a table that only paper and labels read

    found = known(batch.herb)
    is_latin = found is not None and found.how in ("latin", "synonym")
    return found.plant.common if found and is_latin and found.plant else None


def is_latin(name: str) -> bool:
    """Whether a herb's name is written as a Latin binomial, and so set in italics."""
    return _BINOMIAL.match(name) is not None
