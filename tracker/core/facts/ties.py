"""What a fact is tied to: the things it takes from, works on and bears on, by their ids."""

from collections.abc import Callable
from typing import Generic, Literal, Protocol, TypeVar

import msgspec

from tracker.core.facts.extracts import Blended, Pressed, Refilled
from tracker.core.facts.fields import About, Pour
from tracker.core.facts.jars import DrawnOff, Joined, Recharged, Shaken, Split
from tracker.core.facts.lots import Dried, Recalled

# Stands for a jar where a fact belongs to none, such as a stay away.
WHOLE_SHELF = "the-house"
# The subject of such a fact: no code, and never said.
HOUSE = "house"

_Fact_contra = TypeVar("_Fact_contra", contravariant=True)


class Ties(msgspec.Struct, Generic[_Fact_contra], frozen=True, kw_only=True):
    """How facts of one kind name things; `bears_on`, `jars` take the id of the event as well.

    `takes_from`: what it draws on, beside lots poured or weighed in (`lots_used` has those).
    `works_on`: what it is otherwise about.
    `bears_on`: what is wrong where its value is wrong.
    `jars`: the jars and lots in whose history it stands.
    `codes`: the codes it gives to what it opens.
    `links`: whether the jars and lots it names are replayed together: always, never, or where
    it pours out of an extract.
    """

    takes_from: Callable[[_Fact_contra], tuple[About, ...]]
    works_on: Callable[[_Fact_contra], tuple[About, ...]]
    bears_on: Callable[[str, _Fact_contra], tuple[About, ...]]
    jars: Callable[[str, _Fact_contra], tuple[str, ...]]
    codes: Callable[[_Fact_contra], tuple[str, ...]]
    links: Literal["always", "by pour", "never"]


class OfOne(Protocol):
    """A fact about one thing."""

    @property
    def about(self) -> About:
        """The thing it is about."""


class GivesCode(Protocol):
    """A fact that gives one code."""

    @property
    def code(self) -> str:
        """The code it gives."""


class NamesJars(Protocol):
    """A fact that lists jars and lots by their ids."""

    @property
    def jars(self) -> tuple[str, ...]:
        """Their ids."""


class PoursIn(Protocol):
    """A fact that pours liquids in."""

    @property
    def pours(self) -> tuple[Pour, ...]:
        """The liquids."""


class PoursInOne(OfOne, PoursIn, Protocol):
    """A fact that pours liquids into one thing."""


class PoursInNew(GivesCode, PoursIn, Protocol):
    """A fact that pours liquids into what it opens."""


def poured_out_of(fact: PoursIn) -> tuple[About, ...]:
    """The extracts and bottles that its pours come out of."""
    return tuple(pour.of for pour in fact.pours if pour.of is not None)


def _with_jars_of(own: str, abouts: tuple[About, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((own, *(about.jar for about in abouts)))) if abouts else (own,)


def _no_things(_: object) -> tuple[About, ...]:
    return ()


def _no_codes(_: object) -> tuple[str, ...]:
    return ()


def _nowhere(_: str, __: object) -> tuple[About, ...]:
    return ()


def _about(fact: OfOne) -> tuple[About, ...]:
    return (fact.about,)


def _on_about(_: str, fact: OfOne) -> tuple[About, ...]:
    return (fact.about,)


def _on_jar_of_about(_: str, fact: OfOne) -> tuple[About, ...]:
    return (About(jar=fact.about.jar),)


def _on_own_extract(event_id: str, fact: OfOne) -> tuple[About, ...]:
    return (About(jar=fact.about.jar, extract=event_id),)


def _on_itself(event_id: str, _: object) -> tuple[About, ...]:
    return (About(jar=event_id),)


def _jar_of_about(_: str, fact: OfOne) -> tuple[str, ...]:
    return (fact.about.jar,)


def _named_jars(_: str, fact: NamesJars) -> tuple[str, ...]:
    return fact.jars


def _own_code(fact: GivesCode) -> tuple[str, ...]:
    return (fact.code,)


def _wholes(jars: tuple[str, ...]) -> tuple[About, ...]:
    return tuple(About(jar=jar) for jar in jars)


def children(event_id: str, fact: Split) -> tuple[str, ...]:
    """The ids of the jars a split opens."""
    return tuple(f"{event_id}.{place}" for place in range(1, len(fact.into) + 1))


def opener_of(jar_id: str) -> str:
    """The id of the event that opens a jar: of a split it is shared by all its jars."""
    return jar_id.partition(".")[0]


TO_NOTHING: Ties[object] = Ties(
    takes_from=_no_things,
    works_on=_no_things,
    bears_on=_nowhere,
    jars=lambda _, __: (WHOLE_SHELF,),
    codes=_no_codes,
    links="never",
)
TO_ITSELF: Ties[GivesCode] = Ties(
    takes_from=_no_things,
    works_on=_no_things,
    bears_on=_on_itself,
    jars=lambda event_id, _: (event_id,),
    codes=_own_code,
    links="never",
)
CHARGES: Ties[PoursInNew] = Ties(
    takes_from=poured_out_of,
    works_on=_no_things,
    bears_on=_on_itself,
    jars=lambda event_id, fact: _with_jars_of(event_id, poured_out_of(fact)),
    codes=_own_code,
    links="by pour",
)
POURS_INTO_ONE: Ties[PoursInOne] = Ties(
    takes_from=poured_out_of,
    works_on=_about,
    bears_on=_on_about,
    jars=lambda _, fact: _with_jars_of(fact.about.jar, poured_out_of(fact)),
    codes=_no_codes,
    links="by pour",
)
WORKS_ON_ONE: Ties[OfOne] = Ties(
    takes_from=_no_things,
    works_on=_about,
    bears_on=_on_about,
    jars=_jar_of_about,
    codes=_no_codes,
    links="never",
)
TAKES_FROM_ONE: Ties[OfOne] = Ties(
    takes_from=_about,
    works_on=_no_things,
    bears_on=_on_about,
    jars=_jar_of_about,
    codes=_no_codes,
    links="never",
)
INTO_EXTRACT: Ties[Pressed | DrawnOff] = Ties(
    takes_from=_about,
    works_on=_no_things,
    bears_on=_on_own_extract,
    jars=_jar_of_about,
    codes=_no_codes,
    links="never",
)
BACK_INTO_JAR: Ties[Recharged] = Ties(
    takes_from=_about,
    works_on=_no_things,
    bears_on=_on_jar_of_about,
    jars=_jar_of_about,
    codes=_no_codes,
    links="never",
)
WORKS_ON_MANY: Ties[Shaken] = Ties(
    takes_from=_no_things,
    works_on=lambda fact: _wholes(fact.jars),
    bears_on=_nowhere,
    jars=_named_jars,
    codes=_no_codes,
    links="never",
)
AMENDS: Ties[NamesJars] = Ties(
    takes_from=_no_things,
    works_on=_no_things,
    bears_on=_nowhere,
    jars=_named_jars,
    codes=_no_codes,
    links="never",
)
RECALLS: Ties[Recalled] = Ties(
    takes_from=_no_things,
    works_on=lambda fact: tuple(dict.fromkeys((fact.about, *_wholes(fact.jars)))),
    bears_on=_on_about,
    jars=lambda _, fact: tuple(dict.fromkeys((fact.about.jar, *fact.jars))),
    codes=_no_codes,
    links="never",
)
SPLITS: Ties[Split] = Ties(
    takes_from=_about,
    works_on=_no_things,
    bears_on=lambda event_id, fact: _wholes((fact.about.jar, *children(event_id, fact))),
    jars=lambda event_id, fact: (fact.about.jar, *children(event_id, fact)),
    codes=lambda fact: tuple(part.code for part in fact.into),
    links="always",
)
JOINS: Ties[Joined] = Ties(
    takes_from=lambda fact: _wholes(fact.parts),
    works_on=_no_things,
    bears_on=_on_itself,
    jars=lambda event_id, fact: (event_id, *fact.parts),
    codes=_own_code,
    links="always",
)
BLENDS: Ties[Blended] = Ties(
    takes_from=lambda fact: tuple(part.about for part in fact.parts),
    works_on=_no_things,
    bears_on=_on_itself,
    jars=lambda event_id, fact: (
        event_id,
        *dict.fromkeys(part.about.jar for part in fact.parts),
    ),
    codes=_own_code,
    links="always",
)
REFILLS: Ties[Refilled] = Ties(
    takes_from=lambda fact: (fact.source.about,),
    works_on=_about,
    bears_on=_on_about,
    jars=lambda _, fact: tuple(dict.fromkeys((fact.about.jar, fact.source.about.jar))),
    codes=_no_codes,
    links="always",
)
DRIES: Ties[Dried] = Ties(
    takes_from=_about,
    works_on=_no_things,
    bears_on=_on_itself,
    jars=lambda event_id, fact: (fact.about.jar, event_id),
    codes=_own_code,
    links="always",
)
