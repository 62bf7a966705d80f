"""The rules that hold for one jar."""

from tracker.cli.desk import Desk
from tracker.core.practice.practice import Rules, Way, preparation
from tracker.core.shelf.jar import Jar


def rules_in(desk: Desk, jar: Jar, way: Way | None = None) -> Rules:
    """What holds for a jar: of its steep in hand, or of another one made in some way."""
    kind = jar.preparation
    if kind == "water":  # other liquids may have been poured on it since
        kind = preparation((one.liquid for one in jar.pours), jar.form)
    return desk.bench.practice.rules_for(kind, way or jar.steep_way)
