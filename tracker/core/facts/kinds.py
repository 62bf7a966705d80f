"""The table of kinds: for every kind of fact what it opens, ends, takes from and changes.

A row of `TRAITS` is all that is kept of a kind outside the places that apply it, put it in
words or admit it; whatever asks about kinds asks here.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final, Generic, Literal, TypeVar, cast, get_args

import msgspec

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
from tracker.core.facts.fields import About, EventId, HerbFact, Pour
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
from tracker.core.facts.lots import Bought, BoughtHerb, Dried, Gathered, Recalled
from tracker.core.facts.ties import (
    AMENDS,
    BACK_INTO_JAR,
    BLENDS,
    CHARGES,
    DRIES,
    INTO_EXTRACT,
    JOINS,
    POURS_INTO_ONE,
    RECALLS,
    REFILLS,
    SPLITS,
    TAKES_FROM_ONE,
    TO_ITSELF,
    TO_NOTHING,
    WHOLE_SHELF,
    WORKS_ON_MANY,
    WORKS_ON_ONE,
    PoursIn,
    Ties,
)

AnyFact = (
    Charged | Shaken | ToppedUp | HerbAdded | DrawnOff | LookedAt | Moved
    | Recharged | SteepedAgain | Split | Joined | Found
    | Pressed | PressedAgain | Filtered | Settled | MadeUp | Diluted | Blended | Bottled | Refilled
    | Dispensed | Counted | Discarded | Restored
    | Gathered | Bought | BoughtHerb | Dried | Recalled
    | Held | Released | Labelled | Noted | Later | Away | Corrected | Struck | SameAs
)  # fmt: skip


class Unknown(msgspec.Struct, frozen=True, kw_only=True):
    """A fact of a kind, or a version of one, that a later program wrote: kept, never guessed.

    It belongs to the jars it names, and never goes into the book from here.
    """

    kind: str
    v: int = 1
    jars: tuple[EventId, ...] = ()
    by: str | None = None
    note: str | None = None


Recorded = AnyFact | Unknown

Opens = Literal["jar", "steep", "extract", "bottles", "blend", "lot"]
Ends = Literal["steep", "thing"]
Contents = Literal["changed", "restated"]
HoldChange = Literal["set", "lifted", "by look"]
Twice = Literal["more", "same"]


class Traits(msgspec.Struct, frozen=True, kw_only=True):
    """What is true of every fact of one kind.

    `ties`: the things it names (see `Ties`).
    `opens`: what there is after it that was not there before.
    `ends`: a steep, by emptying its jar, or a thing, by throwing it or giving it out; all of it
    or a part.
    `contents`: `changed` where it changes or takes what is in a thing, so that a hold on the
    thing stops it; `restated` where it says what there is, or throws it out or takes that back.
    `hold`: what becomes of a hold by it.
    `depends`: it acts on what the book says: something is printed, given out or decided.
    `pours`: the liquids it pours in.
    `twice`: what a second one in the same words makes of the shelf: `more` where something is
    poured, taken, brought in or opened once more, so that it is asked about soon after the first;
    `same` where it leaves things as the first did.
    """

    ties: Ties[Recorded]
    opens: Opens | None
    ends: Ends | None
    contents: Contents | None
    hold: HoldChange | None
    depends: bool
    pours: Callable[[Recorded], tuple[Pour, ...]]
    twice: Twice

    @property
    def starts(self) -> bool:
        """Whether it opens a jar or lot out of nothing, as long as nothing flows into that."""
        return self.opens in ("jar", "lot") and self.ties.links != "always"


_Fact = TypeVar("_Fact")
_Other = TypeVar("_Other")
_Fact_contra = TypeVar("_Fact_contra", contravariant=True)


class Table(Generic[_Fact_contra]):
    """Traits by class of fact.

    The type says for which classes there are rows; a table that lacks one is not a
    `Table[Recorded]`, and mypy says so.
    """

    def __init__(self, rows: Mapping[type, Traits]) -> None:
        self.rows = MappingProxyType(rows)

    def __or__(self, other: "Table[_Other]") -> "Table[_Fact_contra | _Other]":
        return Table({**self.rows, **other.rows})

    def __getitem__(self, fact: _Fact_contra) -> Traits:
        return self.rows[type(fact)]


def _row(
    kind: type[_Fact],
    names: Ties[_Fact],
    opens: Opens | None,
    ends: Ends | None,
    contents: Contents | None,
    hold: HoldChange | None,
    depends: bool,
    pours: Callable[[_Fact], tuple[Pour, ...]],
    twice: Twice,
) -> Table[_Fact]:
    traits = Traits(
        ties=cast("Ties[Recorded]", names),  # only ever asked about facts of this kind
        opens=opens,
        ends=ends,
        contents=contents,
        hold=hold,
        depends=depends,
        pours=cast("Callable[[Recorded], tuple[Pour, ...]]", pours),
        twice=twice,
    )
    return Table({kind: traits})


def _wet(fact: PoursIn) -> tuple[Pour, ...]:
    return fact.pours


def _dry(_: object) -> tuple[Pour, ...]:
    return ()


_UNKNOWN: Ties[Unknown] = Ties(
    takes_from=lambda _: (),
    works_on=lambda _: (),
    bears_on=lambda _, fact: tuple(About(jar=jar) for jar in fact.jars),
    jars=lambda _, fact: fact.jars or (WHOLE_SHELF,),
    codes=lambda _: (),
    links="never",
)

MORE: Final = "more"
SAME: Final = "same"

# fmt: off
_ROWS = (
  #      kind          ties            opens      ends     contents    hold     depends pours twice
    _row(Charged,      CHARGES,        "jar",     None,    "changed",  None,      True,  _wet, MORE)
  | _row(Found,        TO_ITSELF,      "jar",     None,    None,       "set",     False, _dry, MORE)
  | _row(Shaken,       WORKS_ON_MANY,  None,      None,    None,       None,      False, _dry, SAME)
  | _row(ToppedUp,     POURS_INTO_ONE, None,      None,    "changed",  None,      True,  _wet, MORE)
  | _row(HerbAdded,    WORKS_ON_ONE,   None,      None,    "changed",  None,      True,  _dry, MORE)
  | _row(LookedAt,     WORKS_ON_ONE,   None,      None,    None,       "by look", False, _dry, SAME)
  | _row(Moved,        WORKS_ON_ONE,   None,      None,    None,       None,      False, _dry, SAME)
  | _row(DrawnOff,     INTO_EXTRACT,   "extract", None,    "changed",  None,      True,  _dry, MORE)
  | _row(Pressed,      INTO_EXTRACT,   "extract", "steep", "changed",  None,      True,  _dry, MORE)
  | _row(PressedAgain, WORKS_ON_ONE,   None,      None,    "changed",  None,      True,  _dry, MORE)
  | _row(Recharged,    BACK_INTO_JAR,  "steep",   None,    "changed",  None,      True,  _dry, MORE)
  | _row(SteepedAgain, POURS_INTO_ONE, "steep",   None,    "changed",  None,      True,  _wet, MORE)
  | _row(Split,        SPLITS,         "jar",     "steep", "changed",  None,      True,  _dry, MORE)
  | _row(Joined,       JOINS,          "jar",     "steep", "changed",  None,      True,  _dry, MORE)
  | _row(Filtered,     WORKS_ON_ONE,   None,      None,    "changed",  None,      False, _dry, SAME)
  | _row(Settled,      WORKS_ON_ONE,   None,      None,    "changed",  None,      False, _dry, SAME)
  | _row(MadeUp,       POURS_INTO_ONE, None,      None,    "changed",  None,      True,  _wet, MORE)
  | _row(Diluted,      POURS_INTO_ONE, None,      None,    "changed",  None,      True,  _wet, MORE)
  | _row(Blended,      BLENDS,         "blend",   None,    "changed",  None,      True,  _dry, MORE)
  | _row(Bottled,      TAKES_FROM_ONE, "bottles", None,    "changed",  None,      True,  _dry, MORE)
  | _row(Refilled,     REFILLS,        None,      None,    "changed",  None,      True,  _dry, MORE)
  | _row(Dispensed,    TAKES_FROM_ONE, None,      "thing", "changed",  None,      True,  _dry, MORE)
  | _row(Counted,      WORKS_ON_ONE,   None,      None,    "restated", None,      False, _dry, SAME)
  | _row(Discarded,    TAKES_FROM_ONE, None,      "thing", "restated", None,      True,  _dry, MORE)
  | _row(Restored,     WORKS_ON_ONE,   None,      None,    "restated", None,      False, _dry, SAME)
  | _row(Gathered,     TO_ITSELF,      "lot",     None,    None,       None,      False, _dry, MORE)
  | _row(Bought,       TO_ITSELF,      "lot",     None,    None,       None,      False, _dry, MORE)
  | _row(BoughtHerb,   TO_ITSELF,      "lot",     None,    None,       None,      False, _dry, MORE)
  | _row(Dried,        DRIES,          "lot",     None,    "changed",  None,      True,  _dry, MORE)
  | _row(Recalled,     RECALLS,        None,      None,    None,       "set",     True,  _dry, SAME)
  | _row(Held,         WORKS_ON_ONE,   None,      None,    None,       "set",     True,  _dry, SAME)
  | _row(Released,     WORKS_ON_ONE,   None,      None,    None,       "lifted",  True,  _dry, SAME)
  | _row(Labelled,     WORKS_ON_ONE,   None,      None,    None,       None,      True,  _dry, SAME)
  | _row(Noted,        WORKS_ON_ONE,   None,      None,    None,       None,      False, _dry, SAME)
  | _row(Later,        WORKS_ON_ONE,   None,      None,    None,       None,      False, _dry, SAME)
  | _row(Away,         TO_NOTHING,     None,      None,    None,       None,      False, _dry, SAME)
  | _row(Corrected,    AMENDS,         None,      None,    None,       None,      False, _dry, SAME)
  | _row(Struck,       AMENDS,         None,      None,    None,       None,      False, _dry, SAME)
  | _row(SameAs,       AMENDS,         None,      None,    None,       None,      False, _dry, SAME)
  | _row(Unknown,      _UNKNOWN,       None,      None,    None,       None,      False, _dry, SAME)
)
# fmt: on
TRAITS: Final[Table[Recorded]] = _ROWS  # a kind without a row fails here

# A kind by its name on the line.
KINDS: Final[Mapping[str, type[AnyFact]]] = {kind.kind: kind for kind in get_args(AnyFact)}
_STARTING: Final = tuple(kind for kind, traits in TRAITS.rows.items() if traits.starts)
# The kinds of which some open or fill a thing from others; `links` says which facts do.
LINKING: Final = tuple(kind for kind, row in TRAITS.rows.items() if row.ties.links != "never")
_JARS: Final = {kind: traits.ties.jars for kind, traits in TRAITS.rows.items()}


def traits_of(fact: Recorded) -> Traits:
    """The row of a fact's kind."""
    return TRAITS[fact]


def jars_of(event_id: str, fact: Recorded) -> tuple[str, ...]:
    """The ids of the jars and lots a fact belongs to: its own if it opens one."""
    if isinstance(fact, Shaken):  # most of any history
        return fact.jars
    return _JARS[type(fact)](event_id, fact)


def links(fact: Recorded) -> bool:
    """Whether it opens or fills a jar, blend or lot from others: they are replayed together."""
    if not isinstance(fact, LINKING):
        return False
    is_always = TRAITS[fact].ties.links == "always"
    return is_always or any(pour.of is not None for pour in pours_of(fact))


def starts(fact: Recorded) -> bool:
    """Whether it opens a jar or lot out of nothing: replayed before anything else."""
    return isinstance(fact, _STARTING) and not links(fact)


def things_of(fact: Recorded) -> tuple[About, ...]:
    """Every jar, extract, bottle or lot that a fact works on or takes from."""
    names = TRAITS[fact].ties
    return names.works_on(fact) + names.takes_from(fact)


def bears_on(event_id: str, fact: Recorded) -> tuple[About, ...]:
    """What is wrong where a fact's value is wrong: what it opens or works on."""
    return TRAITS[fact].ties.bears_on(event_id, fact)


def codes_of(fact: Recorded) -> tuple[str, ...]:
    """The codes a fact gives to the jars, the blend or the lot that it opens."""
    return TRAITS[fact].ties.codes(fact)


def pours_of(fact: Recorded) -> tuple[Pour, ...]:
    """The liquids a fact pours in."""
    return TRAITS[fact].pours(fact)


def lots_used(fact: Recorded) -> tuple[str, ...]:
    """The ids of the lots whose herb or liquid went in by a fact."""
    lots = tuple(pour.lot for pour in pours_of(fact) if pour.lot is not None)
    if isinstance(fact, HerbFact) and fact.herb_lot is not None:
        return (*lots, fact.herb_lot)
    return lots


def depends(fact: Recorded) -> bool:
    """Whether it acts on what the book says; a later version of a kind does if the kind does."""
    kind = KINDS.get(fact.kind)
    return kind is not None and TRAITS.rows[kind].depends
