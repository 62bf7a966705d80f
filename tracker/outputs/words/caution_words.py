"""What to be careful of, in words: the same lines on every output that has room for them."""

from collections.abc import Iterable

from tracker.core.reckoning.cautions import CLOSING, Caution


def caution_text(one: Caution) -> str:
    """A caution in one line, without a full stop."""
    named = f"{one.herb}: {one.text}" if one.kind == "care" and one.herb else one.text
    done = f"{named}; {one.do}" if one.do else named
    return f"{done} ({one.source})" if one.source else done


def caution_lines(found: Iterable[Caution]) -> list[str]:
    """Cautions as texts, the closing line last where one is about the plant."""
    every = list(found)
    closing = [CLOSING] if any(one.kind == "plant" for one in every) else []
    return [caution_text(one) for one in every] + closing
