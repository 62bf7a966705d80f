"""The words of a pour: what each liquid goes by, and what is no food."""

import re
from typing import Final

from tracker.core.menstruum.liquids import LIQUEURS, WINES

# Nothing below is from a publication: trade names of liquids, common practice, no source.
# No brands: a brand says nothing of what is in the bottle.
SPIRITS: Final = LIQUEURS | {
    "spirit", "spirits", "alcohol", "ethanol", "vodka", "brandy", "cognac", "armagnac", "rum",
    "rhum", "cachaca", "cachaça", "gin", "genever", "jenever", "whisky", "whiskey", "bourbon",
    "scotch", "rye", "tequila", "mezcal", "schnapps", "schnaps", "korn", "obstler", "grappa",
    "eau-de-vie", "aquavit", "akvavit", "moonshine", "arrack", "arak", "raki", "ouzo", "pastis",
    "absinthe", "slivovitz", "calvados", "applejack", "pisco", "soju", "shochu", "baijiu",
    "palinka", "rakia", "kirsch", "weingeist", "sprit", "branntwein", "alkohol", "wodka",
    "doppelkorn", "etoh",
}  # fmt: skip
WATERS: Final = {"water", "aqua", "rosewater", "hydrosol", "hydrolat"}
VINEGARS: Final = {"vinegar", "vinegars", "acetum"}
GLYCERINS: Final = {"glycerin", "glycerine", "glycerol"}
OILS: Final = {"oil", "oils", "oleum"}
SUGARS: Final = {"sugar", "sucrose", "saccharum"}
SYRUPS: Final = {"syrup", "syrups", "sirup", "molasses", "treacle", "agave"}
HONEYS: Final = {"honey", "honeys", "mel"}
# Nothing in these is ethanol, and nothing is reckoned of them.
OTHERS: Final = {
    "tea", "tisane", "infusion", "decoction", "juice", "milk", "whey", "broth", "stock", "brine",
    "soup", "coffee", "aloe", "cream", "buttermilk", "kefir", "lemonade", "cola", "soda", "tonic",
    "squash", "puree",
}  # fmt: skip
# Their last word is of another kind than they are.
PHRASES: Final = {
    "eau de vie": "eau-de-vie",
    "aqua vitae": "spirit",
    "spirit of wine": "spirit",
    "spirits of wine": "spirit",
    "salt water": "brine",
    "sea water": "brine",
    "seawater": "brine",
    "sugar water": "lemonade",
    "honey water": "lemonade",
    "coconut water": "juice",
    "birch water": "juice",
    "maple water": "juice",
    "tonic water": "lemonade",
    "wine vinegar": "vinegar",
    "fire water": "firewater",
    "water of life": "firewater",
    "hungary water": "firewater",
    "wine water": "firewater",
    "ginger ale": "ale",
    "corn syrup": "syrup",
    "golden syrup": "syrup",
    "coconut milk": "milk",
    "milk of magnesia": "magnesia",
    "sweet spirit": "spirit",
}
_OF_KIND: Final = (
    (SPIRITS, "spirit"),
    (WINES, "wine"),
    (WATERS, "water"),
    (VINEGARS, "vinegar"),
    (GLYCERINS, "glycerin"),
    (OILS, "oil"),
    (SUGARS, "sugar"),
    (SYRUPS, "syrup"),
    (HONEYS, "honey"),
    (OTHERS, "other"),
)
KINDS: Final = {word: kind for words, kind in _OF_KIND for word in words}

# Alcohols and what else is called spirit that nobody drinks, with the reason; the first that
# fits is said. From general chemistry and the law on denaturing, from memory.
_OTHER_ALCOHOL = "it is another alcohol than ethanol, and no food"
_UNFIT = "it is made unfit to drink"
_SOLVENT = "it is a solvent and no food"
_COOLANT = "it is a coolant or glycol and no food"
_NOT_TO_DRINK = "it is not made to be drunk"
_WHY_NO_FOOD = (
    (r"isopropyl\w*|isopropanol|iso propanol|2 propanol|propan 2 ol|propyl|n?propanol"
     r"|i?proh",
     _OTHER_ALCOHOL),
    (r"ipa", "it may be isopropyl alcohol, which is no food; write a beer as beer 6%"),
    (r"methyl|methanol|meoh|methylated|meths|wood (?:alcohol|spirits?|naphtha|vinegar)",
     "it may hold methanol, which is poisonous"),
    (r"denatur\w*|denat|sda?\d*|tsda|specially|rubbing|surgical|bitrex", _UNFIT),
    (r"industrial|ims|cda|ida", _UNFIT),
    (r"bio ?ethanol|fuel|e85|stove|lighter|burner", "it is a fuel, made unfit to drink"),
    (r"(?:white|mineral|petroleum|motor|aviation) spirits?(?! vinegar)\b", _SOLVENT),
    (r"turpentine|turps|thinners?|kerosene|paraffin|petrol|gasoline|benzine|naphtha", _SOLVENT),
    (r"hexane|acetone|chloroform|ether|toluene", _SOLVENT),
    (r"antifreeze|anti freeze|\w*glycol|coolant|de ?icer|screen ?wash|windscreen", _COOLANT),
    (r"(?:hand )?saniti[sz]er|disinfectant|hand (?:gel|rub)|antiseptic|cleaning|cleaner",
     _NOT_TO_DRINK),
    (r"cosmetic|perfum\w*|parfum|cologne|toilette|toilet|aftershave|hair|bay rum", _NOT_TO_DRINK),
    (r"lab(?:oratory)?|reagent|technical", _NOT_TO_DRINK),
    (r"(?:but|pent|hex|oct|prop|meth)an(?:ol|diol)|(?:sugar|wool|fatty|amyl|benzyl) alcohols?",
     _OTHER_ALCOHOL),
    (r"xylitol|sorbitol|mannitol|erythritol|butyl|tert butanol", _OTHER_ALCOHOL),
    (r"(?!ethyl\b)\w+yl alcohol", _OTHER_ALCOHOL),
    (r"spirits? of (?!wines?\b)\w+",
     "a spirit of something may be anything; write what it is, such as 40% herb spirit"),
    (r"vinegar essence|acetic acid|glacial", "it is too strong an acid for a menstruum"),
)  # fmt: skip
NO_FOOD: Final = tuple((re.compile(rf"\b(?:{words})\b"), why) for words, why in _WHY_NO_FOOD)
NOT_DENATURED: Final = re.compile(
    r"\b(?:un ?denatured|non ?denatured|not denatured|without denaturants?|denaturants? free"
    r"|free of denaturants?|no denaturants?)\b"
)
ALCOHOL_FREE: Final = re.compile(
    r"\b(?:alcohol free|free of alcohol|non ?alcoholic|without alcohol|no alcohol"
    r"|de ?alcoholi[sz]ed|alkoholfrei)\b"
)


def said(word: str) -> str:
    """A word without what surrounds it: `(vodka),` is `vodka`."""
    return word.strip(".,;:()[]\"'!?")


def kinds_of(words: str) -> list[str]:
    """What each word that names a liquid names, in their order; phrases count as one word."""
    for phrase, means in PHRASES.items():
        words = re.sub(rf"\b{phrase}\b", means, words)
    return [KINDS[said(word)] for word in words.split() if said(word) in KINDS]
