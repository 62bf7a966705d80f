"""The liquids a menstruum is poured from, and what can be reckoned of each."""

from typing import Final, Literal, get_args

Liquid = Literal[
    "ethanol", "water", "glycerin", "vinegar", "honey", "oil", "syrup", "sugar", "other"
]  # fmt: skip
LIQUIDS: Final[frozenset[str]] = frozenset(get_args(Liquid))

# Vinegar of 5 % acetic acid at 20 °C, kg/m3: handbooks give 1005.5 for the acid in water
# (from memory); cider and wine vinegars, with some extract, run from 1005 to 1015.
VINEGAR_KG_M3: Final = 1008.0

# Honey of about 17 % water at 20 °C, kg/m3; honeys run from 1390 to 1440 (from memory).
HONEY_KG_M3: Final = 1420.0

# Sugar syrup at 20 °C, kg/m3: 850 g of sucrose made up to 1000 ml is given as 1313 (United
# States Pharmacopeia, Syrup); the British syrup of 66.7 % by mass 1315 to 1333. From memory.
SYRUP_KG_M3: Final = 1315.0

# Olive oil at 20 °C, kg/m3: 910 to 916 (Codex Alimentarius, standard 33; from memory). Other
# kitchen oils 910 to 925.
OIL_KG_M3: Final = 914.0

# What a gram of sugar adds to the volume once it is dissolved, ml: the partial specific volume
# of sucrose in water, from memory.
SUGAR_ML_PER_G: Final = 0.62

# Poured in as they are: their volume is added, nothing is known of how they contract.
VOLUMES_ADDED_KG_M3: Final[dict[str, float]] = {
    "honey": HONEY_KG_M3,
    "syrup": SYRUP_KG_M3,
    "sugar": 1000.0 / SUGAR_ML_PER_G,
}

# The greatest contraction of ethanol and water is 3.6 % of their volumes (OIML R 22): what
# the water in honey or syrup might do beside ethanol is at most that, on their own share.
SWEET_UNCERTAINTY_SHARE: Final = 0.04

# Wine, cider, beer and liqueur are taken as ethanol and water. What else is in them takes up
# some of the volume: how far that may put off the volume of a mixture, as a share of theirs. A
# guess on the safe side, not a published figure.
WINE_UNCERTAINTY_SHARE: Final = 0.01

# Vinegar contracts with ethanol as its water would; acid and extract may change that a little.
VINEGAR_UNCERTAINTY_SHARE: Final = 0.005

# What ferments or is sweetened, by the last words of its name: it holds ethanol and water, and
# something else besides.
WINES: Final = frozenset(
    {
        "wine", "sherry", "port", "vermouth", "mead", "metheglin", "cider", "perry", "beer", "ale",
        "stout", "lager", "porter", "sake", "madeira", "marsala", "prosecco", "champagne", "cava",
        "claret", "burgundy", "bordeaux", "riesling", "chardonnay", "retsina", "kvass", "pulque",
        "hock",
    }
)  # fmt: skip
LIQUEURS: Final = frozenset({"liqueur", "limoncello", "amaretto", "sambuca", "advocaat"})


def is_wine(name: str | None) -> bool:
    """Whether a liquid of this name holds more than ethanol and water."""
    words = (name or "").lower().split()
    return bool(words) and any(one.strip(".,") in WINES | LIQUEURS for one in words)


def called_plainly(liquid: str) -> str:
    """What a liquid goes by that has no name of its own: `spirit`, `water`."""
    return {"ethanol": "spirit", "other": "unknown liquid"}.get(liquid, liquid)


def strength_said(ethanol_pct_vol: float | None) -> str:
    """`45 % vol`, or `of unknown strength`, behind what it is of."""
    return "of unknown strength" if ethanol_pct_vol is None else f"{ethanol_pct_vol:g} % vol"


def called(
    liquid: str,
    ethanol_pct_vol: float | None,
    glycerin_pct_mass: float | None,
    name: str | None,
) -> str:
    """What was poured: `45 % vol vodka`, `red wine of unknown strength`, `water`.

    A glycerin with water in it is `85 % by mass glycerin`.
    """
    if ethanol_pct_vol is None:
        return f"{name or called_plainly(liquid)} {strength_said(None)}"
    if liquid == "ethanol":
        return f"{strength_said(ethanol_pct_vol)} {name or called_plainly(liquid)}"
    if glycerin_pct_mass is not None:
        return f"{glycerin_pct_mass:g} % by mass {name or liquid}"
    return name or called_plainly(liquid)
