"""The liquids a menstruum is poured from, and what can be reckoned of each."""

from typing import Final, Literal, get_args

Liquid = Literal["ethanol", "water", "glycerin", "vinegar", "honey", "oil", "syrup", "other"]
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

# Poured in as they are: their volume is added, nothing is known of how they contract.
VOLUMES_ADDED_KG_M3: Final[dict[str, float]] = {
    "honey": HONEY_KG_M3,
    "syrup": SYRUP_KG_M3,
}

# The greatest contraction of ethanol and water is 3.6 % of their volumes (OIML R 22): what
# the water in honey or syrup might do beside ethanol is at most that, on their own share.
SWEET_UNCERTAINTY_SHARE: Final = 0.04

# Vinegar contracts with ethanol as its water would; acid and extract may change that a little.
VINEGAR_UNCERTAINTY_SHARE: Final = 0.005
