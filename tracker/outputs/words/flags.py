"""What does not fit, in words: the one place that says them."""

from typing import assert_never

from tracker.core.shelf.end import ended_word
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import (
    AfterEnd,
    CannotCorrect,
    ContentsDiffer,
    DatedBefore,
    FilledTwice,
    FromItself,
    LetterGivenTwice,
    LooksAlike,
    LotUnknown,
    Misfit,
    MoreAfter,
    MoreThanLot,
    MoreThanThere,
    MoreThanWhole,
    MovedOn,
    NeverFilled,
    NotDiscarded,
    NotHeld,
    NothingOpens,
    NothingToAmend,
    NotOfSuch,
    NotOnHold,
    NotPressedYet,
    OfAmount,
    OfLots,
    OfThing,
    OfTime,
    OfWriting,
    Overdrawn,
    OverFull,
    RelabelAs,
    SameGone,
    SecondPressing,
    StillToCome,
    UnknownKind,
    Unreadable,
    WrittenAhead,
)
from tracker.core.values.day_words import UNDATED, Present
from tracker.core.values.kind_words import kind_said


def flag_text(flag: Flag, present: Present = UNDATED) -> str:
    """Why an event does not fit, in a sentence without its full stop."""
    return misfit_text(flag.misfit, present)


def misfit_text(misfit: Misfit, present: Present = UNDATED) -> str:
    """How something does not fit, in a sentence without its full stop."""
    if isinstance(misfit, OfTime):
        return _of_time(misfit, present)
    if isinstance(misfit, OfAmount):
        return _of_amount(misfit)
    if isinstance(misfit, OfThing):
        return _of_thing(misfit)
    return _of_lots(misfit) if isinstance(misfit, OfLots) else _of_writing(misfit)


def _of_time(misfit: OfTime, present: Present) -> str:
    match misfit:
        case AfterEnd():
            what = "the jar" if misfit.code is None else misfit.code
            over = f"{what} was {ended_word(misfit.end)} on {present.said(misfit.end.on)}"
            return f"{kind_said(misfit.did)} on {present.said(misfit.on)}, but {over}"
        case DatedBefore():
            began = f"{misfit.how} on {present.said(misfit.began)}"
            return f"dated {present.said(misfit.on)}, before it was {began}"
        case StillToCome():
            return f"happened {present.said(misfit.on)}, which is still to come"
        case WrittenAhead():
            day = present.said(misfit.at.date())
            return f"written down {day} at {misfit.at:%H:%M} UTC, which is still to come"
        case SecondPressing():
            return (
                f"pressed {misfit.ml:g} ml, but already pressed on {present.said(misfit.first_on)} "
                f"({misfit.first_ml:g} ml); the earlier record stands, until correct, strike or "
                f"same {misfit.first[-8:]} {misfit.second[-8:]} settles it; if the same marc gave "
                "more, strike it and record press --again"
            )
        case MovedOn():
            return f"{kind_said(misfit.did)}, but the marc is no longer that of this extract"
        case NotPressedYet():
            return f"{kind_said(misfit.did)}, but its herb was not pressed yet"
        case _:
            assert_never(misfit)


def _of_amount(misfit: OfAmount) -> str:
    match misfit:
        case MoreThanThere():
            more_ml = misfit.wanted_ml - misfit.there_ml
            where = "there was" if misfit.bottle is None else f"was in bottle {misfit.bottle}"
            did = f"{kind_said(misfit.did)} {misfit.wanted_ml:g} ml"
            return f"{did}, {round(more_ml, 2):g} ml more than {where}"
        case MoreAfter():
            more_ml = misfit.after_ml - misfit.before_ml
            by = "the filter" if misfit.did == "filtered" else "settling"
            return f"{round(more_ml, 2):g} ml more after {by} than before"
        case MoreThanWhole():
            return f"split into {misfit.shares:g} times what there is"
        case MoreThanLot():
            unit = misfit.unit
            return f"discarded {misfit.wanted:g} {unit}, of a lot of {misfit.there:g} {unit}"
        case OverFull():
            return f"refilled to {misfit.volume_ml:g} ml, and it holds {misfit.size_ml:g} ml"
        case _:
            assert_never(misfit)


_OPENS = {
    "jar": "its charge was struck or is not in the book",
    "extract": "its pressing was struck or is not in the book",
    "lot": "that lot was struck or is not in the book",
    "part": "one of its parts was struck or is not in the book",
    "source": "what it was filled from was struck or is not in the book",
}
_SORTS = {
    "lot": "that is a lot",
    "blend": "that is a blend",
    "liquid": "it is not herb",
    "herb": "it is not liquid",
}


def _of_thing(misfit: OfThing) -> str:
    match misfit:
        case NothingOpens():
            return f"{kind_said(misfit.did)}, but {_OPENS[misfit.what]}"
        case NeverFilled(bottle=None):
            return f"{kind_said(misfit.did)}, but that bottle was never filled"
        case NeverFilled():
            return f"{kind_said(misfit.did)} bottle {misfit.bottle}, which was never filled"
        case FilledTwice():
            return f"bottle {misfit.bottle} was filled before; this filling does not count"
        case NotOfSuch():
            return f"{kind_said(misfit.did)}, but {_SORTS[misfit.what]}"
        case FromItself():
            return f"{kind_said(misfit.did)} from itself"
        case NotOnHold():
            return "released, but it was not on hold"
        case NotDiscarded():
            return "restored, but that discard was struck or is not in the book"
        case _:
            assert_never(misfit)


def _of_writing(misfit: OfWriting) -> str:
    match misfit:
        case LetterGivenTwice():
            given, own = misfit.given, misfit.own
            return f"two extracts were given the letter {given}: relabel this one as {own}"
        case RelabelAs():
            two = f"two {misfit.what} were given the code {misfit.code}"
            return f"{two}: relabel this one as {misfit.shown}"
        case LooksAlike():
            return f"a look-alike: {misfit.why}"
        case ContentsDiffer():
            return "stands in the book twice with different contents; the first stands"
        case NothingToAmend():
            return f"{kind_said(misfit.did)} an event that is not in the book: {misfit.event}"
        case CannotCorrect():
            return f"corrects {misfit.event}, but {misfit.reason}"
        case SameGone():
            one = f"says {misfit.event} is the same as {misfit.stands}"
            return f"{one}; one of them does not count any more"
        case UnknownKind():
            did = kind_said(misfit.kind)
            return f"{did}: a kind or version this program does not know; a newer one may"
        case Unreadable():
            return misfit.reason
        case _:
            assert_never(misfit)


def _of_lots(misfit: OfLots) -> str:
    match misfit:
        case LotUnknown():
            return (
                "took from a lot that was struck or is not in the book: bring the lot back, or "
                "correct what was taken"
            )
        case Overdrawn():
            return (
                f"{misfit.over:g} {misfit.unit} more of lot {misfit.code} was used than there "
                "was: correct the lot, or what was taken from it"
            )
        case NotHeld():
            return (
                f"{', '.join(misfit.codes)}: not on hold, and some of lot {misfit.lot} is in it, "
                f"recalled {misfit.recalled}; hold it, or release the lot"
            )
        case _:
            assert_never(misfit)
