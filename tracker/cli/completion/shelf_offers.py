"""What is offered from the book: codes with what is in them, plants and places."""

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from tracker.bench.bench import Bench
from tracker.cli.run import bench_of
from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, things, whole
from tracker.core.values.day_words import Present
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.plant_names import called, plant_called

Offer = tuple[str, str]


def shelf_offers(kind: str, typed: str, book: str | None, *, names: bool) -> list[Offer]:
    """What of a kind is in the book and begins as typed, by its code or else by its name.

    Args:
        kind: as in `what_verbs_take`.
        typed: the beginning of a code or of a word of a name, in any capitals.
        book: its folder; None is the default one.
        names: whether a name that was typed is offered itself, and not the codes it stands for.
    """
    bench = bench_of(Path(book) if book else None)
    with bench.asking():
        if kind == "place":
            return _places(bench, typed)
        if kind == "plant":
            return _plants(bench, typed)
        for live_only in (True, False):
            near = _codes(bench, kind, bench.batches_near(typed, live_only=live_only))
            by_code = [one for one in near if one[0].casefold().startswith(typed.casefold())]
            if by_code:
                return by_code
            found = _codes(bench, kind, bench.batches(live_only=live_only))
            by_name = [one for one in found if _names(one[1], typed)]
            if kind == "herb" or (names and by_name):
                return _plants(bench, typed)
            if by_name or kind not in _ALSO_GONE:
                return by_name
        return []


def _codes(bench: Bench, kind: str, batches: Iterable[Batch]) -> Iterator[Offer]:
    """The codes of what is of that kind, each with what it is."""
    practice = bench.practice
    if kind not in ("lot", "herb"):
        fits = _FITS.get(kind, _is_there)
        for batch in batches:
            fitting = [one for one in things(batch) if fits(one)]
            if fitting:
                name = called(herbs_of(batch, batch.contents), practice.names)
                yield from ((one.code, f"{name}, {_which(one, bench.present)}") for one in fitting)
    if kind in _LOTS_TOO:
        for lot in bench.lots():
            if (kind != "on hold" or lot.on_hold) and (kind != "herb" or lot.herb):
                yield lot.code, _lot(lot, bench.present)


_LOTS_TOO = {"lot", "herb", "anything", "anything known", "liquid or lot", "on hold"}
# What is gone is offered as well, where nothing on the shelf begins as typed.
_ALSO_GONE = {"anything known", "batch", "pressed jar", "thrown out"}


def _which(thing: Thing, present: Present) -> str:
    """What tells it from others of its plant, and what keeps it from being given out."""
    held = "" if thing.hold is None else f", {hold_name(thing.hold)}"
    return f"{_amount(thing, present)}{held}"


def _amount(thing: Thing, present: Present) -> str:
    if thing.bottle is not None:
        return f"bottle, {thing.bottle.volume_ml:.0f} ml"
    if thing.extract is not None:
        return f"{thing.extract.volume_ml:.0f} ml"
    return present.said(thing.batch.begun)


def _lot(lot: Lot, present: Present) -> str:
    name = lot.common or lot.herb or lot.name or lot.liquid or lot.what
    return ", ".join(one for one in (name, lot.part, lot.form, present.said(lot.on)) if one)


def _is_there(thing: Thing) -> bool:
    """Whether it is on the shelf: a jar with its herb in, or some liquid."""
    return _is_jar(thing) or _has_liquid(thing)


def _is_jar(thing: Thing) -> bool:
    return thing.extract is None and isinstance(thing.batch, Jar) and thing.batch.is_macerating


def _is_pressed(thing: Thing) -> bool:
    is_whole = thing.extract is None and isinstance(thing.batch, Jar)
    return is_whole and thing.jar is not None and thing.jar.pressing is not None


def _has_liquid(thing: Thing) -> bool:
    if thing.bottle is not None:
        return not thing.bottle.discarded and thing.bottle.volume_ml >= DROP_ML
    return thing.extract is not None and thing.extract.volume_ml >= DROP_ML


def _is_thrown_out(thing: Thing) -> bool:
    if thing.bottle is not None:
        return thing.bottle.discarded
    if thing.extract is not None:
        return bool(thing.extract.discards)
    return thing.jar is not None and not thing.jar.is_macerating and thing.jar.pressing is None


_FITS: dict[str, Callable[[Thing], bool]] = {
    "jar": _is_jar,
    "anything known": lambda _: True,
    "batch": lambda one: one == whole(one.batch),
    "pressed jar": _is_pressed,
    "extract": lambda one: one.bottle is None and _has_liquid(one),
    "bottle": lambda one: one.bottle is not None and not one.bottle.discarded,
    "liquid": _has_liquid,
    "liquid or lot": _has_liquid,
    "on hold": lambda one: one.on_hold and _is_there(one),
    "thrown out": _is_thrown_out,
}


def _plants(bench: Bench, typed: str) -> list[Offer]:
    """The plants of jars and lots, by the name the maker gives them."""
    practice, found = bench.practice, dict[str, str]()
    for batch in bench.batches():
        found |= {_called(name): herb for name, herb in _of(batch, practice.names)}
    found |= {_called(one.common or one.herb): one.herb for one in bench.lots() if one.herb}
    return [one for one in sorted(found.items()) if _names(f"{one[0]} {one[1]}", typed)]


def _of(batch: Batch, names: PlantNames) -> Iterable[tuple[str, str]]:
    spoken: PlantNames = "latin" if names == "latin" else "common"
    return ((plant_called(one, spoken), one.herb) for one in herbs_of(batch, batch.contents))


def _called(name: str) -> str:
    return name if name[:1].isupper() and " " in name else name.lower()


def _places(bench: Bench, typed: str) -> list[Offer]:
    found = {
        place
        for batch in bench.batches(live_only=True)
        for part in (batch, *batch.extracts)
        if (place := getattr(part, "place", None))
    }
    return [(one, "") for one in sorted(found) if one.casefold().startswith(typed.casefold())]


def _names(name: str, typed: str) -> bool:
    """Whether a name, or any word of it, begins as typed."""
    wanted, whole = typed.casefold(), name.casefold()
    return whole.startswith(wanted) or any(one.startswith(wanted) for one in whole.split())
