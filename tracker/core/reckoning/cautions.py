"""What to be careful of in a jar: the plant, fire, the lid, wet herb in oil, and handling."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from tracker.core.herbs.plant_cautions import PlantCaution, plant_cautions
from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.herbs.tables.more_cautions_table import Group, Level
from tracker.core.menstruum.fire import UNCERTAINTY_C, flash_point_c
from tracker.core.menstruum.liquids import called_plainly, is_wine
from tracker.core.reckoning.lids import lid_in_doubt
from tracker.core.shelf.contents import Contents, Poured
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch

if TYPE_CHECKING:
    from tracker.core.facts.fields import Pour

Kind = Literal["plant", "fire", "lid", "wet", "care"]

# Said once below the cautions wherever one of them is about the plant.
CLOSING: Final = "Ask a licensed practitioner or pharmacist; local law decides."

# Below this flash point a liquid counts as highly flammable: Globally Harmonized System of
# Classification and Labelling of Chemicals, chapter 2.6, category 2 (from memory).
HIGHLY_FLAMMABLE_BELOW_C: Final = 23.0

# A herb with more water than this is wet, whatever it is called. From memory: air-dry herbs
# stay under 15 % water.
_WET_ABOVE_PCT = 15.0


class Caution(NamedTuple):
    """One thing to be careful of, in words without a full stop.

    Attributes:
        text: what to heed.
        herb: the plant it is about, as the table has it.
        source: the legal or published basis, without any dose.
        do: what to do about it.
        use: what the plant must not be used for.
        level: how grave it is, of what is about a plant.
        groups: for whom, or in what way.
        seen: how much was read in the source, in words; empty where the source says so.
        checked: whether all of it was read there.
        is_guess: whether that is not known: the herb may be another plant, the lid of bare metal.
    """

    kind: Kind
    text: str
    herb: str | None = None
    source: str | None = None
    do: str | None = None
    use: Use | None = None
    level: Level | None = None
    groups: tuple[Group, ...] = ()
    seen: str = ""
    checked: bool = False
    is_guess: bool = False

    @property
    def is_grave(self) -> bool:
        """Whether it must be read before the liquid is used: a poison, or not to be taken."""
        return self.level == "poison" or self.use is not None


def cautions(batch: Batch, made: Contents | None = None) -> tuple[Caution, ...]:
    """What a jar or a blend asks care for, of every herb, the gravest first; handling notes last.

    Not exhaustive, and no legal or medical advice. `made` is what is in an extract or bottle
    of it, where something else may have gone in since.

    Source:
        The tables of `core/herbs/tables`; flash points as `menstruum.fire` has them; lid and
        wet herb: common practice.
    """
    herbs = _herbs(batch, made or batch.contents)
    plants = [
        of_herb(herb, part, common, form, among=len({one[0] for one in herbs}))
        for herb, part, common, form in herbs
    ]
    every = sorted((one for some in plants for one in some), key=gravity)
    found = (
        *(one for one in every if one.kind == "plant"),
        *_fire(batch, made or batch.contents),
        *(_lid(batch) if isinstance(batch, Jar) else ()),
        *_wet(made or batch.contents),
        *(one for one in every if one.kind == "care"),
    )
    return tuple(dict.fromkeys(found))


def of_herb(
    herb: str, part: str | None, common: str | None, form: str, *, among: int = 1
) -> tuple[Caution, ...]:
    """What one herb asks care for, the gravest first; `among` so many it names itself."""
    found = plant_cautions(herb, part, common, form)
    return tuple(_about_plant(one, herb if among > 1 and one.is_guess else "") for one in found)


def _about_plant(one: PlantCaution, herb: str) -> Caution:
    return Caution(
        "care" if one.level == "care" else "plant",
        f"{herb}: {one.text}" if herb else one.text,
        one.latin,
        one.source,
        use=one.use,
        level=one.level,
        groups=one.groups,
        seen=one.seen,
        checked=one.checked,
        is_guess=one.is_guess,
    )


_LEVELS: Final[tuple[Level, ...]] = ("poison", "restricted", "caution", "care")


def gravity(one: Caution) -> int:
    """Where it stands among others, the gravest first."""
    return -1 if one.is_grave or one.level is None else _LEVELS.index(one.level)


def _herbs(batch: Batch, made: Contents) -> list[tuple[str, str | None, str | None, str]]:
    """Each herb with its part, form, and the common name where it is the jar's own."""
    herbs = dict.fromkeys((one.herb, one.part, one.form) for one in made.herbs)
    if not herbs:
        return [(batch.herb, batch.part, batch.common, batch.form)]
    return [
        (herb, part, batch.common if herb == batch.herb else None, form)
        for herb, part, form in herbs
    ]


def fire_of_pours(pours: Iterable["Pour | Poured"]) -> Iterator[Caution]:
    """By the strongest of them: that is the one in the open vessel while it is poured."""
    every = list(pours)
    yield from _fire_not_known(every)
    known = (one.ethanol_pct_vol for one in every if one.ethanol_pct_vol is not None)
    yield from _fire_at(max(known, default=0.0))


def _fire(batch: Batch, made: Contents) -> Iterator[Caution]:
    """By its own strength, as far as that is known; else by the strongest spirit poured."""
    yield from _fire_not_known(made.pours)
    known = [one.ethanol_pct_vol for one in made.pours if one.ethanol_pct_vol is not None]
    strongest = max(known, default=0.0)
    most = strongest
    if len(known) == len(made.pours) and _is_highly_flammable(strongest):
        most = min(strongest, _most_pct_vol(batch, made, strongest))
    yield from _fire_at(most, is_bound=most < strongest)


def _most_pct_vol(batch: Batch, made: Contents, strongest: float) -> float:
    """The most its strength can be; `strongest` where nobody can reckon it.

    Herb in the jar gives its water slowly, so that the liquid on it may be as strong as what
    was poured, mixed.
    """
    # The model of mixing loads slowly, and most liquids are weaker than what it is asked for.
    from tracker.core.reckoning.strength import most_pct_vol

    herb_is_in = isinstance(batch, Jar) and batch.is_macerating and made == batch.contents
    most = most_pct_vol(made, with_herb_water=not herb_is_in)
    return strongest if most is None else round(most, 1)


def _fire_not_known(pours: Iterable["Pour | Poured"]) -> Iterator[Caution]:
    unknown = dict.fromkeys(
        pour.name or called_plainly(pour.liquid)
        for pour in pours
        if pour.ethanol_pct_vol is None and not is_wine(pour.name)
    )
    for name in unknown:
        yield Caution(
            "fire",
            f"fire: how strong the {name} was is not known, and the vapour of strong spirit "
            "catches in a warm room: no flame, hot plate or spark near it",
            is_guess=True,
        )


def _fire_at(pct_vol: float, *, is_bound: bool = False) -> Iterator[Caution]:
    """`is_bound`: it is no stronger than this, and may be weaker."""
    flash_c = flash_point_c(pct_vol)
    if flash_c is not None and _is_highly_flammable(pct_vol):
        near = f"from about {flash_c:.0f} °C (give or take {UNCERTAINTY_C:.0f})"
        spirit = f"spirit of up to {pct_vol:g} % vol" if is_bound else f"{pct_vol:g} % vol spirit"
        yield Caution(
            "fire",
            f"fire: the vapour of {spirit} catches {near}: no flame, hot plate or spark near it",
        )


def _is_highly_flammable(pct_vol: float) -> bool:
    flash_c = flash_point_c(pct_vol)
    return flash_c is not None and flash_c < HIGHLY_FLAMMABLE_BELOW_C


def _lid(jar: Jar) -> Iterator[Caution]:
    state = lid_in_doubt(jar) if jar.is_macerating else None
    if state == "bare":
        text = "bare metal lid: spirit and vinegar eat it"
        yield Caution("lid", text, do="put a barrier under it")
    elif state == "unknown":
        under = f", {jar.barrier} under it" if jar.barrier else ""
        text = f"whether the lid ({jar.lid}{under}) is bare metal is not known"
        yield Caution("lid", text, do="say what it is made of", is_guess=True)


def _wet(made: Contents) -> Iterator[Caution]:
    """Mould and botulism need water and find it under oil: food safety advice, from memory."""
    is_wet = any(
        one.form == "fresh" if one.water_pct_mass is None else one.water_pct_mass > _WET_ABOVE_PCT
        for one in made.herbs
    )
    if is_wet and any(pour.liquid == "oil" for pour in made.pours):
        text = "wet herb in oil: its water can spoil it, botulism included, unseen"
        yield Caution("wet", text, do="wilt or dry the herb first")
