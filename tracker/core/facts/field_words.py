"""What the fields of a fact are called: the options and arguments of the verb that recorded it.

One table for all that names a field: what `correct` takes and asks, how it words what was changed,
and what may be said where a word fits nothing.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final, Literal

import msgspec
from msgspec.structs import replace

from tracker.core.facts.amendments import (
    Away,
    Corrected,
    Held,
    Labelled,
    Later,
    Noted,
    Released,
    SameAs,
    Struck,
)
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    PressedAgain,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.jars import (
    Charged,
    DrawnOff,
    Found,
    HerbAdded,
    Joined,
    LookedAt,
    Moved,
    Recharged,
    Shaken,
    Split,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.facts.kinds import Recorded
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled

# How a value is read and said.
Reads = Literal[
    "text", "choice", "herb", "volume", "weight", "share of water", "strength", "pours",
    "pour bought", "lot", "money", "span", "shake plan", "look days", "ratio", "finished", "owner",
    "lid", "day", "guess", "signs", "bottles", "parts", "source", "source volume",
    "shares", "new codes", "new jars", "jars", "number", "code", "thing", "when",
]  # fmt: skip


class FieldWord(msgspec.Struct, frozen=True):
    """A field, or several that are one to a person.

    Attributes:
        word: the option or argument of the verb.
        holds: the fields of the fact; of an amount its number, then its text and how it is known.
        plain: what it is called in a sentence, where that is another word.
        also: what else it may be called.
        unsaid: what it means where nothing was said.
    """

    word: str
    holds: tuple[str, ...]
    reads: Reads
    plain: str = ""
    also: tuple[str, ...] = ()
    unsaid: str = ""

    @property
    def said(self) -> str:
        """What it is called in a sentence."""
        return self.plain or self.word

    def is_called(self, word: str) -> bool:
        """Whether a person means it by a word."""
        return word in (self.word, self.plain, *self.also)


def _row(
    word: str, *holds: str, reads: Reads = "text", plain: str = "", also: tuple[str, ...] = ()
) -> FieldWord:
    return FieldWord(word, holds or (word,), reads, plain, also)


_ALL_OR_SOME = replace(_row("volume", "volume_ml", "written", reads="volume"), unsaid="all")
_VOLUME = _row("volume", "volume_ml", "written", "known", reads="volume")
_CAME_TO = _row("to", "volume_ml", "written", reads="volume", plain="came to", also=("volume",))
_BEFORE = _row("before", "before_ml", reads="volume")
_JAR = _row("jar", "jar_ml", reads="volume")
_LID = (_row("lid", reads="lid"), _row("barrier", reads="lid", plain="under the lid"))
_FILLED = _row("filled", "filled_ml", "filled_written", "filled_known", reads="volume")
_POURS = _row("pour", "pours", reads="pours", also=("pours",))
_KEEPS = _row("keeps", reads="span")
_PLANT = (_row("herb", reads="herb"), _row("part"), _row("common", plain="common name"))
_FORM = _row("form", reads="choice")
_LEAST, _LONGEST = _row("least", reads="span"), _row("longest", reads="span")
_TIMES = (_LEAST, _LONGEST, _row("shake", reads="shake plan"))
_RATIO = _row("ratio", "ratio_meant", reads="ratio")
_BELONGS = _row("belongs", "belongs_to", reads="owner", plain="belongs to")
_CODE = _row("code", "code", "subject", reads="code")
_WHY = _row("why")
_PAID = _row("paid", reads="money")
_FROM, _THEIR_LOT = _row("from", "where"), _row("their-lot", "their_lot", plain="their lot")
_WAY = _row("way", reads="choice")
_LATE_WHY = _row("why", "past_date_why")
_METHOD = _row("with", "how", plain="how")
_WATER = _row("water", "water_pct_mass", reads="share of water")
# The form says which of the two options it was: `--dried`, `--fresh`.
_LOT_WEIGHT = _row("weight", "herb_g", "written", "known", reads="weight")
_HERB_IN = (
    _row("weight", "herb_g", "herb_written", "herb_known", reads="weight"),
    *_PLANT,
    _FORM,
    _row("water", "herb_water_pct_mass", reads="share of water"),
)
_PAID_FOR_HERB = _row("paid", "herb_paid", reads="money")
_HERB_LOT = _row("lot", "herb_lot", reads="lot", also=("lots",))

_OWN: Final[Mapping[type, tuple[FieldWord, ...]]] = MappingProxyType(
    {
        Charged: (
            _HERB_IN[0],
            _POURS,
            *_HERB_IN[1:],
            _row("lot", "herb_lot", "lots", reads="lot", also=("lots",)),
            _PAID_FOR_HERB,
            _JAR,
            _FILLED,
            *_LID,
            _row("place"),
            _BELONGS,
            *_TIMES,
            _RATIO,
            _row("finished", "ratio_basis", reads="finished", plain="by finished volume"),
            _WAY,
            _row("look-days", "look_days", reads="look days", plain="days to look"),
            _CODE,
        ),
        Shaken: (_row("jars", "jars", "subject", reads="jars", also=("thing",)),),
        ToppedUp: (_POURS,),
        HerbAdded: (*_HERB_IN, _HERB_LOT, _PAID_FOR_HERB),
        DrawnOff: (_VOLUME, _KEEPS),
        LookedAt: (
            _row("sign", "signs", reads="signs", also=("signs",)),
            _row("verdict", reads="choice"),
            _row("again", "again_on", reads="day", plain="look again"),
            _FILLED,
            *_LID,
        ),
        Moved: (_row("to", "place", plain="place"), _JAR, *_LID, _BELONGS),
        Recharged: (
            *_HERB_IN,
            replace(_row("volume", "volume_ml", reads="volume"), unsaid="all"),
            _HERB_LOT,
            _PAID_FOR_HERB,
            *_TIMES,
            _RATIO,
            _LATE_WHY,
        ),
        SteepedAgain: (_POURS, *_TIMES, _WAY, _LATE_WHY),
        Split: (
            _row("share", "into", reads="shares", plain="shares", also=("into",)),
            _row("code", "into", reads="new codes", plain="codes"),
            _row("jar", "into", reads="new jars"),
        ),
        Joined: (_row("jars", "parts", reads="jars"), _JAR, _CODE),
        Found: (
            *_PLANT,
            _FORM,
            _row("volume", "volume_ml", "written", reads="volume"),
            _JAR,
            *_LID,
            _row("place"),
            _BELONGS,
            _row("charged", "charged_from", "charged_precision", reads="guess"),
            _LEAST,
            _LONGEST,
            _CODE,
        ),
        Pressed: (_VOLUME, _METHOD, _row("marc", reads="choice"), _KEEPS),
        PressedAgain: (_VOLUME, _METHOD),
        Filtered: (_VOLUME, _row("through"), _BEFORE),
        Settled: (_VOLUME, _BEFORE),
        MadeUp: (_CAME_TO, _POURS, _KEEPS),
        Diluted: (_POURS, _CAME_TO, _KEEPS),
        Blended: (
            _row("part", "parts", reads="parts", plain="parts", also=("parts",)),
            _row("measured", "volume_ml", "written", reads="volume", also=("volume",)),
            _CODE,
        ),
        Bottled: (_row("sizes", "bottles", reads="bottles", plain="bottles"),),
        Refilled: (
            _row("volume", "source", reads="source volume"),
            _row("from", "source", reads="source"),
        ),
        Dispensed: (
            _ALL_OR_SOME,
            _row("for", "reference", plain="for whom", also=("reference",)),
        ),
        Counted: (_VOLUME, _LOT_WEIGHT),
        Discarded: (
            _ALL_OR_SOME,
            _row("weight", "herb_g", "written", reads="weight"),
            _WHY,
        ),
        Restored: (_WHY,),
        Gathered: (_LOT_WEIGHT, *_PLANT, _FORM, _WATER, _FROM, _PAID, _CODE),
        BoughtHerb: (_LOT_WEIGHT, *_PLANT, _FORM, _WATER, _FROM, _THEIR_LOT, _PAID, _CODE),
        Bought: (
            _VOLUME,
            _row("strength", "ethanol_pct_vol", reads="strength"),
            _row(
                "what", "liquid", "name", "glycerin_pct_mass", reads="pour bought", also=("liquid",)
            ),
            _FROM,
            _THEIR_LOT,
            _PAID,
            _CODE,
        ),
        Dried: (
            replace(_LOT_WEIGHT, word="after", plain="dried weight", also=("weight", "dried")),
            _row("of", "fresh_g", reads="weight", plain="fresh weight", also=("fresh",)),
            _CODE,
        ),
        Recalled: (_WHY,),
        Held: (_WHY,),
        Released: (_WHY,),
        Labelled: (
            _row("copies", reads="number"),
            _row("sheet"),
        ),
        Noted: (_row("text", "note", plain="remark", also=("note",)),),
        Later: (_row("until", reads="day"), _row("what", reads="choice", plain="which reminder")),
        Away: (_row("first", reads="day"), _row("last", reads="day")),
        Corrected: (_WHY,),
        Struck: (_WHY,),
        SameAs: (_WHY,),
    }
)

# What a person never gives: the version, what follows from the rest or from the book, what was
# printed, and what an amendment is about.
_GIVEN_BY_THE_BOOK: Final = frozenset(
    {"v", "letter", "lifts", "discard", "preparation", "lines", "qr", "event", "stands", "set"}
)
_OF_ITS_KIND: Final[Mapping[type, frozenset[str]]] = {
    Recalled: frozenset({"jars", "named"}),
    Corrected: frozenset({"jars"}),
    Struck: frozenset({"jars"}),
    SameAs: frozenset({"jars"}),
}

_DAY = FieldWord("day", ("time", "precision"), "when", also=("when", "date"))
_THING = FieldWord("thing", ("subject", "about"), "thing")
_NOTE, _BY = _row("note", plain="remark"), _row("by", plain="who")


def given_by_the_book(kind: type) -> frozenset[str]:
    """The fields of a kind that no person gives."""
    return _GIVEN_BY_THE_BOOK | _OF_ITS_KIND.get(kind, frozenset())


def words_of_kind(kind: type[msgspec.Struct]) -> tuple[FieldWord, ...]:
    """Every field of a kind that a person gives, those that matter most first."""
    own = _OWN[kind]
    names = kind.__struct_fields__
    held = {name for one in own for name in one.holds}
    tail = [_DAY] if "event" not in names else []
    tail += [_THING] if "about" in names else []
    tail += [one for one in (_NOTE, _BY) if one.holds[0] not in held]
    # A day is wrong more often than anything beyond the first few.
    return (*own[:3], *tail[:1], *own[3:], *tail[1:])


def words_of(fact: Recorded) -> tuple[FieldWord, ...]:
    """The fields of a fact that a person gives, by the words of its own verb."""
    if type(fact) not in _OWN:
        return ()
    found = words_of_kind(type(fact))
    if isinstance(fact, Counted | Discarded):
        other = "volume" if fact.herb_g is not None else "weight"
        return tuple(one for one in found if one.word != other)
    form = getattr(fact, "form", None)
    return tuple(_by_form(one, form) if one.word == "weight" else one for one in found)


def _by_form(weight: FieldWord, form: str | None) -> FieldWord:
    """`dried` or `fresh`, as the verb has it."""
    if form is None:
        return weight
    return replace(weight, word=form, plain=f"{form} weight", also=("weight", "fresh", "dried"))


def field_called(fact: Recorded, word: str) -> FieldWord | None:
    """The field that a person means; None where the fact has none of that name."""
    said = word.strip().lower().replace("_", "-")
    return next((one for one in words_of(fact) if one.is_called(said)), None)


def word_held_in(kind: type, name: str) -> str:
    """What a person calls the field that goes by a name in the file."""
    for one in words_of_kind(kind) if kind in _OWN else ():
        if name in one.holds:
            return one.said
    return name.replace("_", " ")


def every_word() -> Iterator[FieldWord]:
    """Every field of every kind, each as often as it is there."""
    for kind in _OWN:
        yield from words_of_kind(kind)
