"""The cautions short enough for a label: no basis, no doses; and which of them may be left off."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Final, Literal, NamedTuple, assert_never

from msgspec.structs import replace

from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.reckoning.cautions import CLOSING, Caution
from tracker.core.values.day_words import short_day
from tracker.core.values.times import When
from tracker.outputs.paper.labels.label_lines import Kind, LabelLine, Run, Style, line, unbroken
from tracker.outputs.view.heeds import Heed, HeedKind, heeds_in
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.heed_words import codes_said, heed_sentence
from tracker.outputs.words.holds import since_said

CHILDREN = "Keep from children."
FLAMMABLE = "Flammable: no flame or spark near it."
FLAMMABLE_SHORT = "Flammable."
EXTERNAL = "External use only."
NOT_INTERNAL = "Not for internal use."
POISONOUS = "Poisonous."
MAY_BE_POISONOUS = "It may be poisonous."
HARMFUL = "Harmful plant: read the jar."
READ_THE_JAR = "Cautions: read the jar."
SEE_HANDOUT = "More: see the handout."
MORE_ON_JAR = "More: read the jar."
BARE_LID = "No bare metal lid: put a barrier under it."
_USES: dict[Use, str] = {"external only": EXTERNAL, "not internal": NOT_INTERNAL}
# What a bar says already.
_SAID_OF: Final[dict[HeedKind, tuple[str, ...]]] = {
    "poison": (POISONOUS, MAY_BE_POISONOUS),
    "external only": (EXTERNAL,),
    "not internal": (NOT_INTERNAL,),
}

# How soon a caution is left off where there is no room: the highest first, 0 never. Why it is on
# hold goes first, then the closing line, and nothing stands in their place.
WHY_RANK: Final = 90
CLOSING_RANK: Final = 60
CARE_RANK: Final = 30
LAST_RANK: Final = 10
_RANKS: Final = {"poison": 0, "restricted": 10, "caution": 20, "care": CARE_RANK}

_HELD: Final[tuple[HeedKind, ...]] = ("recalled", "on hold", "recalled lot")
_USED: Final[tuple[HeedKind, ...]] = ("poison", "external only", "not internal")


class Said(NamedTuple):
    """A caution as a label says it, how soon it may be left off, and whether it harms at once."""

    text: str
    rank: int = 0
    is_grave: bool = False


def own_heeds(view: ThingView) -> tuple[Heed, ...]:
    """All there is to heed; of the whole where it is of what the label is for, if not of all."""
    row = view.row
    found = []
    for one in heeds_in(view):
        is_held = row.hold is not None and one.hold is not None and one.since == row.hold.since
        is_weak = row.weak is not None and one.kind == "weak" and one.through == row.weak.through
        is_own = one.is_whole or row.code in one.codes or is_held or is_weak
        found.append(replace(one, is_whole=is_own))
    return tuple(found)


def bar(heeds: Iterable[Heed]) -> LabelLine | None:
    """The one thing that stands in white on black: a hold, else poison, else external use.

    What must not be used at all comes before how to use it; a hold has the day it began.
    """
    first = _in_bar(heeds)
    if first is None:
        return None
    said, fewer = _bar_said(first)
    return line(said.upper(), "grave", style="B", shorter=fewer.upper())


def _in_bar(heeds: Iterable[Heed]) -> Heed | None:
    found = {one.kind: one for one in reversed([*heeds]) if one.is_whole}
    return next((found[kind] for kind in (*_HELD, *_USED) if kind in found), None)


def _bar_said(one: Heed) -> tuple[str, str]:
    """What a bar says, and the same in fewer words."""
    never, brief = unbroken("do not use"), _day_in_short(one)
    match one.kind:
        case "recalled":
            return f"recalled, on hold{_since(one)} · {never}", f"recalled{brief}"
        case "on hold":
            return f"on hold{_since(one)} · {never}", f"on hold{brief}"
        case "recalled lot":
            return f"recalled{_since(one)} · {never}", f"recalled{brief}"
        case "poison":
            return ("poison", "") if one.is_sure else ("may be poisonous", "")
        case "external only":
            return "external use only", ""
        case _:
            return "not for internal use", "not to be taken"


def _since(one: Heed) -> str:
    """` since 12 Nov 2026`, which stays true; nothing where the day was not kept."""
    if one.since is None:
        return ""
    said = since_said(one.since) if isinstance(one.since, When) else f"since {short_day(one.since)}"
    return f" {unbroken(said)}"


def _day_in_short(one: Heed) -> str:
    """` 12 Nov 26`; nothing where the day is not known for sure."""
    since = one.since
    day = since.start.date() if isinstance(since, When) and since.is_exact else since
    if not isinstance(day, date):
        return ""
    said = unbroken(short_day(day))
    return f" {said[:-4]}{said[-2:]}"


def foot(heeds: tuple[Heed, ...], kind: Kind = "label") -> tuple[LabelLine, ...]:
    """The cautions, what can do harm at once in bold; never empty.

    Args:
        heeds: all there is to heed, the gravest first.
        kind: a lid and a short label point to the jar.
    """
    # Strong spirit in a bottle of it, filled before it was diluted, says so on its own label.
    own = (one for one in heeds if one.is_whole or one.kind != "fire")
    found = [one.caution for one in own if one.caution is not None]
    named = any(one.of_several for one in heeds) and kind != "short"
    said = ranked(found, named=named) if kind == "label" else shortest(found, named=named)
    in_bar = _in_bar(heeds)
    grave = [*_seen(heeds), *(one for one in said if one.is_grave)]
    grave = [
        one for one in grave if in_bar is None or one.text not in _SAID_OF.get(in_bar.kind, ())
    ]
    mild = [one for one in said if not one.is_grave]
    if kind == "label":
        mild = [*_why(heeds), *mild[:-1], *_lid(heeds), mild[-1]]
    elif kind == "short":
        grave = [one for one in grave if one.text != HARMFUL]
        mild = _of_a_thumb(mild, any(one.caution is not None for one in heeds))
    lines = (_paragraph(grave, "grave"), _paragraph(mild, "care"))
    return tuple(one for one in lines if one.runs)


def _paragraph(said: Iterable[Said], role: Literal["grave", "care"]) -> LabelLine:
    """Cautions as one paragraph, of which the milder may be left off."""
    style: Style = "B" if role == "grave" else ""
    runs = [
        Run(f"{' ' if place else ''}{one.text}", style, one.rank) for place, one in enumerate(said)
    ]
    return LabelLine(tuple(runs), role)


def _seen(heeds: Iterable[Heed]) -> Iterator[Said]:
    """What was seen in it, and what of it is on hold or weak where that is not all of it."""
    for one in heeds:
        if one.kind == "spoilage":
            yield Said(heed_sentence(one), is_grave=True)
        elif one.kind in _HELD and not one.is_whole:
            state = "on hold" if one.kind == "on hold" else "recalled"
            yield Said(f"{codes_said(one.codes)}: {state}{_since(one)}.", is_grave=True)
        elif one.kind == "weak" and not one.is_whole:
            yield Said(heed_sentence(one), is_grave=True)


def _why(heeds: Iterable[Heed]) -> Iterator[Said]:
    """Why it is on hold."""
    for one in heeds:
        if one.kind in _HELD and one.is_whole and (one.why or one.lot):
            yield Said(_why_said(one), WHY_RANK)


def _why_said(one: Heed) -> str:
    if one.kind == "recalled lot":
        return f"Lot {one.lot} was called back."
    return f"On hold: {one.why.removesuffix('.')}."


def _lid(heeds: Iterable[Heed]) -> list[Said]:
    """True of every lid it will ever have."""
    return [Said(BARE_LID)] if any(one.kind == "lid" for one in heeds) else []


def _of_a_thumb(mild: Iterable[Said], has_cautions: bool) -> list[Said]:
    """What a label of a thumb's width has room for: that there is more, then the rest."""
    ranks = {FLAMMABLE_SHORT: CARE_RANK - 10, CHILDREN: CARE_RANK - 5}
    said = [one._replace(rank=ranks[one.text]) for one in mild if one.text in ranks]
    return [*([Said("Read the jar.", LAST_RANK)] if has_cautions else []), *said]


def ranked(found: Iterable[Caution], *, named: bool = False) -> list[Said]:
    """The cautions a label prints, the gravest first; never empty.

    Args:
        found: what to be careful of.
        named: whether each names its herb, because there are several.
    """
    every = list(found)
    said = list(dict.fromkeys(line for one in every for line in _short(one, named=named)))
    plant = any(one.kind == "plant" for one in every)
    closing = [Said(CLOSING, CLOSING_RANK)] if plant else []
    return [*_uses(every), *said, Said(CHILDREN), *closing]


def shortest(found: Iterable[Caution], *, named: bool = False) -> list[Said]:
    """What a lid says of them: the rest is on the jar."""
    every = list(found)
    kinds = {one.kind for one in every}
    harmful = " + ".join(dict.fromkeys(one.herb for one in every if _is_harmful(one) and one.herb))
    milder = [one for one in every if one.herb and not _is_harmful(one)]
    rank = min((_rank(one) for one in milder), default=0)
    said = _uses(every)
    if harmful:
        text = f"Harmful plant {harmful}: read the jar." if named else HARMFUL
        said.append(Said(text, is_grave=True))
    if "wet" in kinds:
        said.append(Said("Wet herb in oil: read the jar.", is_grave=True))
    if milder and not harmful:
        said.append(Said(READ_THE_JAR, rank if rank == CARE_RANK else 0))
    if "fire" in kinds:
        said.append(Said(FLAMMABLE_SHORT))
    if "lid" in kinds:
        said.append(Said("No bare metal lid."))
    return [*said, Said(CHILDREN)]


def _uses(every: Iterable[Caution]) -> list[Said]:
    """What comes before anything else: that it is poisonous, and how it must not be used."""
    found = [*every]
    poisons = [one for one in found if one.level == "poison" and one.use is None]
    sure = any(not one.is_guess for one in poisons)
    first = [Said(POISONOUS if sure else MAY_BE_POISONOUS, 0, True)] if poisons else []
    uses = dict.fromkeys(Said(_USES[one.use], 0, True) for one in found if one.use is not None)
    return [*first, *uses]


def _is_harmful(one: Caution) -> bool:
    return one.is_grave or one.level == "restricted"


def _rank(one: Caution) -> int:
    return 0 if one.is_grave or one.level is None else _RANKS[one.level]


def _short(one: Caution, *, named: bool) -> Iterator[Said]:
    match one.kind:
        case "plant":
            yield Said(f"CAUTION: {one.text}.", _rank(one), one.is_grave)
        case "fire":
            yield Said(FLAMMABLE)
        case "care" | "wet":
            herb = f"{one.herb}: " if named and one.herb else ""
            text = f"{herb}{one.text[:1].upper()}{one.text[1:]}."
            yield Said(text, _rank(one), one.kind == "wet")
        case "lid":
            return
        case _:
            assert_never(one.kind)
