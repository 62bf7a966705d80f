"""Parts of plants, as makers and pharmacopoeias name them."""

from tracker.core.herbs.spelling import Words, singular, words

# Each part and the words that name it, in the singular.
_NAMES: dict[str, tuple[str, ...]] = {
    "flower": ("flower", "blossom", "petal", "floret"),
    "leaf": ("leaf",),
    "herb": ("herb", "aerial", "top", "sprig"),
    "stalk": ("stalk", "stem"),
    "bud": ("bud",),
    "root": ("root",),
    "rhizome": ("rhizome",),
    "bulb": ("bulb", "corm", "tuber"),
    "bark": ("bark",),
    "fruit": ("fruit", "berry", "hip"),
    "cone": ("cone", "strobile"),
    "seed": ("seed", "nut", "kernel"),
    "peel": ("peel", "rind", "zest"),
    "resin": ("resin", "gum"),
    "silk": ("silk",),
    "thallus": ("thallus",),
    "whole": ("whole", "entire"),
}
_PART = {word: part for part, names in _NAMES.items() for word in names}

# The Latin of pharmacopoeias, and plurals that no rule makes.
_ENGLISH = {
    "flos": "flower", "flores": "flower", "folium": "leaf", "folia": "leaf", "herba": "herb",
    "gemma": "bud", "gemmae": "bud", "radix": "root", "rhizoma": "rhizome", "bulbus": "bulb",
    "cortex": "bark", "fructus": "fruit", "semen": "seed", "leaves": "leaf",
}  # fmt: skip

# Said beside a part without naming one.
_BESIDE = frozenset(
    {"and", "or", "with", "of", "the", "part", "parts", "plant", "fresh", "dried", "dry"}
    | {"flowering", "milky", "secondary", "outer", "inner", "ripe", "unripe", "cut"}
    | {"chopped", "powdered", "unpowdered"}
)
_FORMS = ("fresh", "dried", "dry")

GREEN = frozenset({"herb", "leaf", "flower", "stalk", "bud"})
BELOW = frozenset({"root", "rhizome"})


def _english(word: str) -> str:
    return _ENGLISH.get(word) or singular(word)


def parts_in(text: str | None) -> frozenset[str]:
    """The parts a text names; none where it names none."""
    said = map(_english, words(text or ""))
    return frozenset(_PART[word] for word in said if word in _PART)


def split_part(name: Words) -> tuple[Words, str | None]:
    """A name without the part said behind it and the form said before it, and the part.

    `calendula flowers` gives calendula and flower; `dried nettle leaf and root` gives nettle
    and `leaf and root`. A name that is nothing but parts stays whole.
    """
    name = without_form(name)
    end = len(name)
    while end and (_english(name[end - 1]) in _PART or name[end - 1] in _BESIDE):
        end -= 1
    said = name[end:]
    if not end or not any(_english(word) in _PART for word in said):
        return name, None
    one = said[0] if said[0] == "tops" else _english(said[0])
    return name[:end], one if len(said) == 1 else " ".join(said)


def without_form(name: Words) -> Words:
    """A name without the fresh or dried before it."""
    return name[1:] if len(name) > 1 and name[0] in _FORMS else name


def with_like_parts(parts: frozenset[str]) -> frozenset[str]:
    """The parts with what they take in: the herb is all that is green, a root its rhizome."""
    wider = parts | GREEN if "herb" in parts else parts
    return wider | BELOW if parts & BELOW else wider


def touches(limit: frozenset[str], used: frozenset[str]) -> bool:
    """Whether a statement about some parts holds for those used; it does if these are unknown.

    No limit is all parts.
    """
    if not limit or not used or "whole" in used:
        return True
    return bool(with_like_parts(limit) & with_like_parts(used))
