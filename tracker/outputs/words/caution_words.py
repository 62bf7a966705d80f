"""What to be careful of, in words: the same lines on every output that has room for them."""

from collections.abc import Iterable

from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.reckoning.cautions import CLOSING, Caution

# A law or a handbook is named where it is about more than a hazard for some people.
_WITH_BASIS = ("poison", "restricted")
_USES: dict[Use, str] = {
    "external only": "external use only",
    "not internal": "not for internal use",
}


def caution_text(one: Caution, *, sources: bool = False) -> str:
    """A caution in one line, without a full stop.

    Args:
        one: the caution.
        sources: whether the source of every one is named, and how much of it was read.
    """
    named = f"{one.herb}: {one.text}" if one.kind == "care" and one.herb else one.text
    done = f"{named}; {one.do}" if one.do else named
    if sources and (said := source_text(one)):
        return f"{done} ({said})"
    return f"{done} ({one.source})" if one.source and one.level in _WITH_BASIS else done


def source_text(one: Caution) -> str:
    """Where a caution is from, and how much of that was read."""
    return "; ".join(part for part in (one.source, one.seen) if part)


def caution_lines(
    found: Iterable[Caution],
    apart: Iterable[tuple[str, Caution]] = (),
    *,
    sources: bool = False,
) -> list[str]:
    """Cautions as texts, the closing line last where one is about the plant.

    Args:
        found: what all of a thing asks care for.
        apart: what some of it alone does, with the code of that.
        sources: as in `caution_text`.
    """
    every, some = list(found), list(apart)
    is_of_plant = any(one.kind == "plant" for one in (*every, *(one for _, one in some)))
    texts = [caution_text(one, sources=sources) for one in every]
    texts += [f"{code}: {caution_text(one, sources=sources)}" for code, one in some]
    return [*texts, CLOSING] if is_of_plant else texts


def grave_words(found: Iterable[Caution]) -> list[str]:
    """What must be read before it is used, in few words: `poisonous`, `external use only`."""
    grave = [one for one in found if one.is_grave]
    poisons = [one for one in grave if one.level == "poison" and one.use is None]
    sure = any(not one.is_guess for one in poisons)
    first = ["poisonous" if sure else "may be poisonous"] if poisons else []
    return [*first, *dict.fromkeys(_USES[one.use] for one in grave if one.use is not None)]
