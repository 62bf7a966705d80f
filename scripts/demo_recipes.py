"""What the invented dispensary of the demo book makes: real plants, amounts made up."""

from dataclasses import dataclass

from tracker.core.facts.fields import Form


@dataclass(frozen=True, slots=True)
class Recipe:
    """One preparation as this dispensary makes it.

    `grams` is about how much herb goes in a jar, `ratio` the millilitres poured for each
    gram, `menstruum` the shares of what is poured, `water_pct` the water the maker found in
    the fresh herb (% by mass), `months` those in which it is charged, and `wanted` how often
    it is asked for beside the others.
    """

    herb: str
    common: str
    part: str
    form: Form
    grams: int
    ratio: float
    menstruum: tuple[tuple[float, str], ...]
    jar: str
    months: tuple[int, ...]
    how: str = "hand"
    water_pct: float | None = None
    least: str | None = None
    wanted: int = 2


def _spirit(pct_vol: int) -> tuple[tuple[float, str], ...]:
    return ((1.0, f"{pct_vol}%"),)


_GLYCERIN = ((0.6, "glycerin"), (0.4, "water"))
_VINEGAR = ((1.0, "cider vinegar"),)
_HONEY = ((1.0, "honey"),)
_OXYMEL = ((0.5, "honey"), (0.5, "cider vinegar"))
_SUNFLOWER = ((1.0, "sunflower oil"),)
_OLIVE = ((1.0, "olive oil"),)
_SCREW = "screw press"

VALERIAN = Recipe(
    "Valeriana officinalis", "valerian", "root", "dried",
    350, 5.0, _spirit(60), "3 l", (2, 8), _SCREW, wanted=4,
)  # fmt: skip
CONEFLOWER = Recipe(
    "Echinacea purpurea", "purple coneflower", "root", "dried",
    360, 5.0, _spirit(45), "3 l", (1, 9), _SCREW, wanted=5,
)  # fmt: skip
MARIGOLD = Recipe(
    "Calendula officinalis", "marigold", "flower", "dried",
    290, 6.0, _spirit(70), "3 l", (3,), _SCREW, wanted=3,
)  # fmt: skip
DANDELION = Recipe(
    "Taraxacum officinale", "dandelion", "root", "dried",
    340, 5.0, _spirit(40), "3 l", (4,), _SCREW, wanted=3,
)  # fmt: skip
GINGER = Recipe(
    "Zingiber officinale", "ginger", "rhizome", "dried",
    260, 5.0, _spirit(60), "2 l", (5,), wanted=3,
)  # fmt: skip
ELECAMPANE = Recipe(
    "Inula helenium", "elecampane", "root", "dried",
    310, 5.0, _spirit(45), "2 l", (12,), _SCREW,
)  # fmt: skip
FENNEL = Recipe(
    "Foeniculum vulgare", "fennel", "fruit", "dried",
    290, 5.0, _spirit(60), "2 l", (6,), wanted=3,
)  # fmt: skip
HAWTHORN = Recipe(
    "Crataegus monogyna", "hawthorn", "berry", "dried",
    360, 5.0, _spirit(45), "3 l", (1,), wanted=3,
)  # fmt: skip
THYME = Recipe(
    "Thymus vulgaris", "thyme", "herb", "dried",
    260, 6.0, _spirit(45), "2 l", (10,), wanted=4,
)  # fmt: skip
GOLDENROD = Recipe(
    "Solidago virgaurea", "goldenrod", "herb", "dried",
    290, 5.0, _spirit(45), "2 l", (11,),
)  # fmt: skip
MOTHERWORT = Recipe(
    "Leonurus cardiaca", "motherwort", "herb", "dried",
    290, 5.0, _spirit(45), "2 l", (7,), wanted=3,
)  # fmt: skip
BURDOCK = Recipe(
    "Arctium lappa", "burdock", "root", "dried",
    320, 5.0, _spirit(40), "3 l", (3,), _SCREW,
)  # fmt: skip
VERVAIN = Recipe(
    "Verbena officinalis", "vervain", "herb", "dried",
    270, 5.0, _spirit(40), "2 l", (8,),
)  # fmt: skip
BALM = Recipe(
    "Melissa officinalis", "lemon balm", "leaf", "fresh",
    730, 2.0, _spirit(95), "3 l", (6,), _SCREW, water_pct=80, wanted=5,
)  # fmt: skip
NETTLE = Recipe(
    "Urtica dioica", "stinging nettle", "leaf", "fresh",
    700, 2.0, _spirit(95), "3 l", (5,), _SCREW, water_pct=84, wanted=3,
)  # fmt: skip
OAT = Recipe(
    "Avena sativa", "oat", "milky seed", "fresh",
    750, 2.0, _spirit(95), "3 l", (7,), water_pct=66, wanted=4,
)  # fmt: skip
CLEAVERS = Recipe(
    "Galium aparine", "cleavers", "herb", "fresh",
    680, 2.0, _spirit(95), "3 l", (4,), water_pct=86, wanted=2,
)  # fmt: skip
ROSEMARY_VINEGAR = Recipe(
    "Salvia rosmarinus", "rosemary", "leaf", "dried",
    160, 8.0, _VINEGAR, "2 l", (2,), wanted=2,
)  # fmt: skip
HIP_VINEGAR = Recipe(
    "Rosa canina", "dog rose", "hip", "dried",
    200, 7.0, _VINEGAR, "2 l", (11,),
)  # fmt: skip
BALM_GLYCERITE = Recipe(
    "Melissa officinalis", "lemon balm", "leaf", "dried",
    220, 7.0, _GLYCERIN, "2 l", (9,), wanted=3,
)  # fmt: skip
CHAMOMILE_GLYCERITE = Recipe(
    "Matricaria chamomilla", "German chamomile", "flower", "dried",
    200, 8.0, _GLYCERIN, "2 l", (5,), wanted=3,
)  # fmt: skip
ELDER_OXYMEL = Recipe(
    "Sambucus nigra", "elder", "fruit", "dried",
    210, 8.0, _OXYMEL, "3 l", (10,), wanted=4,
)  # fmt: skip
SAGE_HONEY = Recipe(
    "Salvia officinalis", "sage", "leaf", "dried",
    120, 9.0, _HONEY, "1.5 l", (1,), wanted=3,
)  # fmt: skip
MARIGOLD_OIL = Recipe(
    "Calendula officinalis", "marigold", "flower", "dried",
    140, 10.0, _SUNFLOWER, "2 l", (3, 8), wanted=3,
)  # fmt: skip
ST_JOHNS_WORT_OIL = Recipe(
    "Hypericum perforatum", "St John's wort", "flowering herb", "dried",
    160, 9.0, _OLIVE, "2 l", (7,), wanted=2,
)  # fmt: skip
# Made once, and lost to mould: wet herb in oil, never tried again.
WET_ST_JOHNS_WORT_OIL = Recipe(
    "Hypericum perforatum", "St John's wort", "flowering herb", "fresh",
    340, 4.0, _OLIVE, "2 l", (), water_pct=65,
)  # fmt: skip
PLANTAIN_OIL = Recipe(
    "Plantago lanceolata", "ribwort plantain", "leaf", "dried",
    130, 10.0, _OLIVE, "2 l", (4,), wanted=2,
)  # fmt: skip

RECIPES = (
    VALERIAN, CONEFLOWER, MARIGOLD, DANDELION, GINGER, ELECAMPANE, FENNEL, HAWTHORN, THYME,
    GOLDENROD, MOTHERWORT, BURDOCK, VERVAIN, BALM, NETTLE, OAT, CLEAVERS, ROSEMARY_VINEGAR,
    HIP_VINEGAR, BALM_GLYCERITE, CHAMOMILE_GLYCERITE, ELDER_OXYMEL, SAGE_HONEY, MARIGOLD_OIL,
    ST_JOHNS_WORT_OIL, PLANTAIN_OIL,
)  # fmt: skip
