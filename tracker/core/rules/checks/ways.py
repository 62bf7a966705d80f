"""Ways of making: what is asked before spirit is heated, and what a double extract begins with."""

from collections.abc import Iterable, Iterator

from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import Charged, SteepedAgain
from tracker.core.practice.practice import Way
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import DROP_ML, Poured
from tracker.core.shelf.jar import Jar


def charged(fact: Charged) -> Iterator[Finding]:
    """Ask before spirit is simmered; say where a double extract does not begin with spirit."""
    yield from _simmers_spirit(fact.code, fact.way, fact.pours)
    if fact.way == "double" and not any(map(_is_spirit, fact.pours)):
        yield Finding(
            "way",
            fact.code,
            "a double extract begins with spirit, and none was poured",
            weight="warning",
        )


def steeped_again(jar: Jar, fact: SteepedAgain) -> Iterator[Finding]:
    """Ask before spirit is simmered; say where the marc still holds some."""
    yield from _simmers_spirit(jar.code, fact.way, fact.pours)
    held_ml = jar.contents.volume_ml - (jar.pressing.pressed_ml if jar.pressing else 0.0)
    if fact.way == "simmered" and held_ml >= DROP_ML and any(map(_is_spirit, jar.pours)):
        yield Finding(
            "way",
            jar.code,
            "the marc holds spirit, and its vapour burns: no open flame, and a window open",
            weight="warning",
        )


def _simmers_spirit(code: str, way: Way, pours: Iterable[Pour]) -> Iterator[Finding]:
    if way == "simmered" and any(map(_is_spirit, pours)):
        yield Finding(
            "way",
            code,
            "spirit would be simmered, and its vapour catches fire",
            "simmer in water, and add spirit once it is cold",
            "question",
        )


def _is_spirit(pour: Pour | Poured) -> bool:
    """Spirit of any strength, and of one that nobody knows."""
    return pour.liquid == "ethanol" and pour.ethanol_pct_vol != 0
