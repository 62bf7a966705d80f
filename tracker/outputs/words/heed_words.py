"""What to heed, in words: a mark for a row or a bar, and a sentence for paper and page."""

from typing import Final, assert_never

from tracker.core.values.day_words import UNDATED, Present
from tracker.outputs.view.heeds import Heed, HeedKind
from tracker.outputs.words.due.due_lines import signs_said
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.things_said import range_said, runs_of_codes

_MOST_CODES: Final = 3

_MARKS: Final[dict[HeedKind, str]] = {
    "poison": "poison",
    "external only": "external use only",
    "not internal": "not for internal use",
    "recalled": "recalled",
    "on hold": "on hold",
    "recalled lot": "recalled lot in it",
    "weak": "weak",
    "no date": "no date known",
    "wet": "wet herb in oil",
    "lid": "bare metal lid",
    "fire": "flammable",
    "restricted": "restricted",
    "caution": "caution",
    "care": "care",
    "used late": "used past its date",
}
_NOT_SURE: Final[dict[HeedKind, str]] = {
    "poison": "may be poisonous",
    "lid": "lid not known",
    "fire": "may be flammable",
}


def heed_mark(heed: Heed, present: Present = UNDATED) -> str:
    """A word or two: `on hold`, `poison`, `past 14 Nov 2025`, `on hold, some`.

    In small letters; a row or a bar sets it in capitals.
    """
    mark = _mark(heed, present)
    return mark if heed.is_whole else f"{mark}, some"


def _mark(heed: Heed, present: Present) -> str:
    if heed.kind == "spoilage":
        return f"{signs_said(heed.signs)} found"
    if heed.kind == "past":
        return f"past {present.said(heed.through)}"
    if not heed.is_sure and heed.kind in _NOT_SURE:
        return _NOT_SURE[heed.kind]
    return _MARKS[heed.kind]


def heed_sentence(heed: Heed, present: Present = UNDATED) -> str:
    """All there is to say of it, with its full stop; what it is true of first, if not of all."""
    said = _sentence(heed, present)
    if not heed.is_whole:
        return f"{codes_said(heed.codes)}: {said}"
    return f"{said[:1].upper()}{said[1:]}"


def codes_said(codes: tuple[str, ...]) -> str:
    """`CAOF-25-01A, CAOF-25-01A/1..3`; of many the first, and how many more there are."""
    runs = runs_of_codes(codes)
    kept = runs if len(runs) <= _MOST_CODES + 1 else runs[:_MOST_CODES]
    left_out = len(codes) - sum(len(run) for run in kept)
    more = f" and {left_out} more" if left_out else ""
    return ", ".join(range_said(run) for run in kept) + more


def _sentence(heed: Heed, present: Present) -> str:
    match heed.kind:
        case "poison" | "external only" | "not internal":
            return f"{_mark(heed, present)}. {_of_caution(heed)}"
        case "restricted" | "caution" | "care" | "fire" | "lid" | "wet":
            return _of_caution(heed)
        case "recalled" | "on hold":
            assert heed.hold is not None
            code = heed.codes[0] if heed.codes else heed.hold.code
            return f"{hold_name(heed.hold)} {hold_said(heed.hold, code, present)}."
        case "recalled lot":
            recalled = f"recalled {present.said(heed.since)}"
            return f"some of lot {heed.lot} is in it, {recalled}, and it is not on hold."
        case "spoilage":
            return f"{signs_said(heed.signs)} was found {present.said(heed.since)}: look again."
        case "weak":
            return _weak(heed, present)
        case "past":
            return f"past its date: it was good through {present.said(heed.through)}."
        case "no date":
            return "how long it is good is not known."
        case "used late":
            return f"used past its date, or with none: {heed.why}."
        case _:
            assert_never(heed.kind)


def _of_caution(heed: Heed) -> str:
    from tracker.outputs.words.caution_words import caution_text  # with the tables of plants

    assert heed.caution is not None
    return f"{caution_text(heed.caution).removesuffix('.')}."


def _weak(heed: Heed, present: Present) -> str:
    since = f" since {present.said(heed.since)}" if heed.since else ""
    through = "how long it keeps is not known"
    if heed.through is not None:
        through = f"good through {present.said(heed.through)}"
    return f"weak{since}: keep it cold, {through}."
