"""What has to be read of a batch before anything else, as the lines at its head."""

from collections.abc import Iterable

from tracker.outputs.records.batch_parts import Heeded
from tracker.outputs.view.heeds import Heed
from tracker.outputs.words.heed_words import codes_said, heed_mark, heed_sentence
from tracker.outputs.words.holds import held_since

# What is about a plant or the handling is listed among the cautions, with its source.
_OF_THE_LIQUID = frozenset(("spoilage", "weak", "past", "no date", "used late"))


def heed_of(found: Iterable[Heed]) -> Iterable[Heeded]:
    """What is grave, in a few words each, then what is the matter with the liquid."""
    for one in found:
        if one.is_grave:
            yield Heeded(heed_mark(one), _grave(one), True)
        elif one.kind in _OF_THE_LIQUID:
            yield Heeded(heed_mark(one), heed_sentence(one), False)


def _grave(one: Heed) -> str:
    """`POISON: Aconitum napellus`, `CAOF-25-01A/3: ON HOLD since 9 Jun 2025: mould`."""
    if one.hold is not None:
        part = "" if one.is_whole else f"{codes_said(one.codes)}: "
        return f"{part}{held_since(one.hold)}"
    mark = heed_mark(one).upper()
    if one.lot is not None:
        return f"{mark}: some of lot {one.lot} is in {codes_said(one.codes)}, not on hold"
    return f"{mark}: {one.herb}" if one.herb else mark
