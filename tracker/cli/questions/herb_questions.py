"""What is asked of herb and of what is poured on it, wherever either comes in."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.cli.choosing import Choice
from tracker.cli.questions import last_time, on_shelf
from tracker.cli.questions.asked import Asked, by_measures, choices, fixed, in_volume, in_weight
from tracker.cli.questions.jar_offered import size_for
from tracker.core.shelf.lot import Lot

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk

_FORMS = ("fresh", "dried")
# Herbs that are charged most, offered by number.
_FAVOURITES = 6


def favourites(walk: "Walk") -> Sequence[Choice]:
    """The herbs that are charged most, those of which there are lots among them."""
    from tracker.outputs.view.made import herbs_of
    from tracker.outputs.words.plant_names import plant_called

    names = walk.desk.bench.practice.names
    jars = [one for one in last_time.all_jars(walk) if one.herbs]
    views = {one.herb: herbs_of(one, one.contents)[0] for one in jars}
    most = Counter(one.herb for one in jars).most_common(_FAVOURITES)
    return [Choice(plant_called(views[herb], names), herb) for herb, _ in most]


def part_of_name(walk: "Walk") -> str | None:
    """The part of the plant: as its name says, else as the last time."""
    from tracker.core.herbs.written_names import named

    found = named(walk.text("herb") or "", common=walk.text("common"))
    if found.part:
        return found.part
    herb = (found.meant or found).herb
    return last_time.last(
        last_time.all_jars(walk), lambda one: one.part if one.herb == herb else None
    )


def _said_part(walk: "Walk") -> str | None:
    from tracker.core.herbs.written_names import named

    return named(walk.text("herb") or "").part_named


def plant(walk: "Walk") -> str:
    """The plant that was named, as the book writes it."""
    from tracker.core.herbs.written_names import named

    found = named(walk.text("herb") or "")
    return (found.meant or found).herb


def lots_of_plant(walk: "Walk") -> list[tuple[Lot, float]]:
    """The lots of the herb that was named of which there is some."""
    wanted = plant(walk).casefold()
    return [
        (lot, left)
        for lot, left in on_shelf.lots(walk)
        if lot.herb is not None and lot.herb.casefold() == wanted and lot.hold is None
    ]


def chosen_lot(walk: "Walk") -> Lot | None:
    """The lot the herb is of, where one was chosen or named in place of the herb."""
    code = (walk.text("lots") or walk.text("herb") or "").upper()
    return next((lot for lot, _ in on_shelf.lots(walk) if lot.code.upper() == code), None)


def _of_a_lot(walk: "Walk", texts: list[str]) -> Mapping[str, object]:
    if texts[0].lower() == "none":
        return {}
    lot = next((lot for lot, _ in on_shelf.lots(walk) if lot.code == texts[0].upper()), None)
    part = {"part": lot.part} if lot is not None and lot.part else {}
    return {"lots": texts} | part


def form_of(walk: "Walk") -> str:
    """Fresh or dried: as was answered, else as the lot is."""
    lot = chosen_lot(walk)
    return walk.text("form") or (lot.form if lot is not None and lot.form else "dried")


def _form_read(walk: "Walk", texts: list[str]) -> Mapping[str, object]:
    from tracker.cli.given.pours import form_named

    form_named(texts[0])
    return {}


def _weight_into(walk: "Walk", texts: list[str]) -> Mapping[str, object]:
    from tracker.cli.given.pours import form_named

    return {form_named(form_of(walk)): texts[0]}


def _usual_form(walk: "Walk") -> str | None:
    return last_time.last(
        last_time.all_jars(walk), lambda one: one.form if one.herb == plant(walk) else None
    )


def _usual_pours(walk: "Walk") -> str | None:
    from tracker.cli.given.like import pour_typed

    charged = last_time.charge_like(walk, plant(walk), form_of(walk))
    if charged is None:
        return None
    lots = {lot.id: lot for lot, left in on_shelf.lots(walk)}
    try:
        return " + ".join(pour_typed(walk.desk, one, lots) for one in charged.pours)
    finally:
        walk.desk.close()


HERB = Asked(
    name="herb",
    words="Which herb",
    help="A Latin or a common name, with its part if you like (lemon balm leaf), or a lot.",
    offers=favourites,
    may_skip=False,
    settles=("part", "lots", "common", "water"),
)
PLANT = replace(HERB, help="A Latin or a common name, with its part if you like.")
LOT = Asked(
    name="lots",
    words="From which lot",
    help="The lot of the herb, so that it can be traced. Enter: none that is in the book.",
    offers=lambda walk: on_shelf.lots_offered(walk, lots_of_plant(walk)),
    applies=lambda walk: chosen_in_place(walk) is None and bool(lots_of_plant(walk)),
    into=_of_a_lot,
)
PART = Asked(
    name="part",
    words="Which part",
    help="Flower, leaf, root, herb, berry, bark …; - where it is not known.",
    usual=part_of_name,
    sample=_said_part,
    applies=lambda walk: not (lot := chosen_lot(walk)) or not lot.part,
)
FORM = Asked(
    name="form",
    words="Fresh or dried",
    help="As it goes into the jar. f and d are enough.",
    usual=_usual_form,
    may_skip=False,
    fills=("fresh", "dried"),
    into=_form_read,
    out_of=lambda words: [form for form in _FORMS if words.get(form)],
    applies=lambda walk: chosen_lot(walk) is None,
)
WEIGHT = Asked(
    name="weight",
    words="How much herb",
    help="100 g, 4 oz; by eye: about 100 g; - if it was not weighed: then it has no ratio.",
    may_skip=False,
    left_out="not weighed",
    unit=in_weight,
    sample=fixed("100 g"),
    fills=("fresh", "dried"),
    into=_weight_into,
    out_of=lambda words: [str(words[form]) for form in _FORMS if words.get(form)],
)
POURS = Asked(
    name="pours",
    words="What was poured",
    such_as=by_measures("500 ml 45%", "16 fl oz 45%"),
    help="An amount and a liquid: 500 ml 45%, 300 ml vinegar, 500 ml LOT-26-01. "
    "One a line; Enter when there is no more.",
    usual=_usual_pours,
    may_skip=False,
    many="lines",
    sample=fixed("500 ml water"),
)
# Where nothing was poured the last time, as something else was.
LIQUID = replace(POURS, usual=fixed(None), sample=fixed("1 ml water"))


def chosen_in_place(walk: "Walk") -> Lot | None:
    """The lot named in place of the herb."""
    code = (walk.text("herb") or "").upper()
    return next((lot for lot, _ in on_shelf.lots(walk) if lot.code.upper() == code), None)


JAR_SIZE = Asked(
    name="jar",
    words="Size of the jar",
    help="What it holds: 750 ml, 1 quart. It tells how full it is; - where it is not known.",
    usual=size_for,
    unit=in_volume,
)
LID = Asked(
    name="lid",
    words="What the lid is made of",
    help="Spirit and vinegar eat bare metal; what lies under the lid is asked next.",
    offers=choices("glass", "metal", "plastic", "cork"),
    usual=lambda walk: last_time.last(last_time.all_jars(walk), lambda one: one.lid),
)
# Nothing is usual here: a barrier that is not there would hide a metal lid that is eaten.
BARRIER = Asked(
    name="barrier",
    words="What lies under the lid",
    help="Parchment, wax, a coating …, or none. - where you do not know.",
    offers=choices("parchment", "coated", "none"),
    applies=lambda walk: "metal" in (walk.text("lid") or ""),
)
PLACE = Asked(
    name="place",
    words="Where it stands",
    help="A shelf, a cupboard: in your own words.",
    usual=lambda walk: last_time.last(last_time.all_jars(walk), lambda one: one.place),
)
