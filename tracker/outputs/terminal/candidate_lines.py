"""Things that a name or the beginning of a code may mean, told apart in a line each."""

from collections.abc import Sequence

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.end import ended_word
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import Present
from tracker.core.values.errors import Candidate
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.amount_words import plain
from tracker.outputs.words.plant_names import called

_MOST_LETTERS = 60


def candidate(thing: Thing | Lot, names: PlantNames, present: Present) -> Candidate:
    """A thing by its plant, its code, and what tells it from others of that plant."""
    if isinstance(thing, Lot):
        name, state = thing.what, f"lot, {thing.how} {present.said(thing.on)}"
    else:
        name, state = called(herbs_of(thing.batch, thing.made), names), _state(thing, present)
    held = ", on hold" if thing.on_hold else ""
    return Candidate(thing.code, _short(name), _short(f"{state}{held}"))


def candidate_lines(found: Sequence[Candidate]) -> list[str]:
    """The plant, the code and the state of each, in columns."""
    name = max((len(one.name) for one in found), default=0)
    code = max((len(one.code) for one in found), default=0)
    return [f"{one.name:<{name}}  {one.code:<{code}}  {one.state}" for one in found]


def _state(thing: Thing, present: Present) -> str:
    if thing.bottle is not None:
        return f"bottle, {plain(thing.bottle.volume_ml, 'ml')} in it"
    if thing.extract is not None:
        left = (
            [f"{plain(thing.extract.volume_ml, 'ml')} in bulk"] if thing.extract.volume_ml else []
        )
        full = sum(one.volume_ml > 0 for one in thing.extract.bottles)
        left += [f"{full} bottle{'s' * (full != 1)}"] if full else []
        opened = f"{thing.extract.opened} {present.said(thing.extract.pressed)}"
        return f"{opened}, {' and '.join(left) or 'empty'}"
    jar = thing.jar
    assert jar is not None
    if jar.end is not None:
        return f"{ended_word(jar.end)} {present.said(jar.end.on)}"
    return f"charged {present.said(jar.charged)}" + (f", {jar.place}" if jar.place else "")


def _short(text: str) -> str:
    plain_text = " ".join(text.split())
    if len(plain_text) <= _MOST_LETTERS:
        return plain_text
    return f"{plain_text[: _MOST_LETTERS - 1]}…"
