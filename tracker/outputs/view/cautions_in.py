"""What to be careful of in a thing: of all of it, and of what in it is made of something else."""

from collections.abc import Iterator

from tracker.core.reckoning.cautions import Caution, cautions, gravity
from tracker.core.shelf.contents import DROP_ML, Contents
from tracker.core.shelf.thing import Thing, bottle_of, extract_of


def cautions_in(thing: Thing) -> tuple[Caution, ...]:
    """What all of a thing asks care for; of a jar whose herb is out, what it gave."""
    jar = thing.jar
    if jar is None or thing.extract is not None or jar.is_macerating or not jar.extracts:
        return cautions(thing.batch, thing.made)
    if len(jar.extracts) == 1:
        return cautions(jar, jar.extracts[0].made)
    every = (one for extract in jar.extracts for one in cautions(jar, extract.made))
    return tuple(sorted(dict.fromkeys(every), key=_place))


def cautions_apart(thing: Thing) -> tuple[tuple[str, Caution], ...]:
    """What some of it alone asks care for, with the code of that.

    A bottle that was refilled, and of a jar with new liquid on its marc what it gave before.
    """
    if thing.bottle is not None:
        return ()
    own = set(cautions_in(thing))
    return tuple(
        (code, one)
        for code, made in _made_apart(thing)
        for one in cautions(thing.batch, made)
        if one not in own and one.kind != "lid"
    )


def _made_apart(thing: Thing) -> Iterator[tuple[str, Contents]]:
    batch = thing.batch
    extracts = batch.extracts if thing.extract is None else [thing.extract]
    is_in = thing.extract is None and thing.jar is not None and thing.jar.is_macerating
    for extract in extracts:
        if is_in and extract.left_ml >= DROP_ML:
            yield extract_of(batch, extract).code, extract.made
        for bottle in extract.bottles:
            if bottle.made is not None and bottle.volume_ml >= DROP_ML:
                yield bottle_of(batch, extract, bottle).code, bottle.made


def _place(one: Caution) -> tuple[int, int]:
    kinds = ("plant", "fire", "lid", "wet", "care")
    return kinds.index(one.kind), gravity(one)
