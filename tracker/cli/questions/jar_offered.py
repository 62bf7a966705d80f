"""The jar that is offered for what goes into it: the smallest size that takes it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from tracker.cli.questions import last_time
from tracker.core.reckoning import sizing
from tracker.core.reckoning.displacement import default_displacement
from tracker.core.values.errors import TrackerError

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk
    from tracker.core.facts.fields import Form, Pour


def poured_so_far(walk: "Walk") -> "Sequence[Pour]":
    """What was answered to be poured, read as the verb reads it."""
    from tracker.cli.given.pours import poured

    texts = cast("list[object]", walk.words().get("pours") or [])
    desk = walk.desk
    try:
        return poured(
            desk, [desk.answers.get(f"which reading of {one}", str(one)) for one in texts]
        )
    finally:
        desk.begin()
        desk.close()


def size_for(walk: "Walk") -> str | None:
    """The smallest usual size, or of the maker's own jars, that takes herb and pours.

    Where nothing is poured it is the size of the last jar.
    """
    try:
        room_ml = _room_ml(walk)
    except TrackerError:
        return None
    if not room_ml:
        return last_time.last_size(walk)
    is_metric = walk.desk.bench.practice.measures == "metric"
    sold = sizing.METRIC_VESSELS if is_metric else sizing.US_VESSELS
    own = {one.jar_ml for one in last_time.all_jars(walk) if one.jar_ml is not None}
    sizes = sorted(own | {one.ml for one in sold})
    found = next((size for size in sizes if sizing.fits(room_ml, size)), None)
    return None if found is None else last_time.size_said(walk, found)


def _room_ml(walk: "Walk") -> float:
    """What the pours fill, with the herb among them as far as it was weighed."""
    from tracker.quantities import grams

    pours_ml = sum(one.volume_ml for one in poured_so_far(walk))
    words = walk.words()
    forms: tuple[Form, ...] = ("fresh", "dried")
    for form in forms:
        text = words.get(form)
        if pours_ml and isinstance(text, str) and any(map(str.isdecimal, text)):
            herb_g = grams(text, walk.desk.bench.practice.units).value
            pours_ml += herb_g * default_displacement(form).ml_per_g
    return pours_ml
