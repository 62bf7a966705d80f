"""What is poured, by its words and the strengths beside them: which liquid, how strong."""

import re

import msgspec

from tracker.core.facts.fields import Liquid
from tracker.core.values.errors import AmbiguousAmountError, QuantityError, Reading
from tracker.pours import words as table
from tracker.pours.plain_text import as_word
from tracker.pours.strengths import Stated, Strengths

# Two of one thing are linked by these; before the last word of the first is another.
_TWO_THINGS = re.compile(r" (?:in|with|and|plus|mixed|mit|or) | ?[+&] ?")
_DIGITS = re.compile(r"(?<![\d.,/])(?:\d+ \d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)(?![\d/])")
# A number that belongs to a name: an age, a year, a cask.
_OF_A_NAME = re.compile(
    r"\b(?:no|nr|number|batch|cask|barrel|lot|vintage|of|aged)\b[. #]*\d+|#\s?\d+"
    r"|\b(?:1[89]|20)\d\d\b"
    r"|\b\d+ ?-?(?:years?|yrs?|yo|y\.o\.|months?|star|jahre|herb|botanicals?)\b"
    r"|\b[a-z]+\d+\b|\b\d+[a-z]+\b",
    re.IGNORECASE,
)
_SAME_PCT_VOL = 0.06  # of 80 proof and 40 %: they are printed to a tenth
_PURE = 96.6  # rectified spirit is about 96.5 % vol at most (from memory): more is made otherwise
_STRONGEST_ALCOHOL_FREE = 0.5  # what may be sold as free of alcohol in many countries, from memory
_STRONGEST_VINEGAR = 25.0  # % acid; more is sold as an essence to be thinned (from memory)


class Meant(msgspec.Struct, frozen=True):
    """The liquid; its strengths as a pour has them, None for not known; and its own name."""

    liquid: Liquid
    ethanol_pct_vol: float | None
    name: str | None
    glycerin_pct_mass: float | None = None


class _Case(msgspec.Struct, frozen=True):
    """What is to be read: the amount and all words behind it, the strengths, the name."""

    amount: str
    what: str
    stated: Stated | None
    is_unknown: bool
    name: str
    kinds: tuple[str, ...]
    is_alcohol_free: bool

    @property
    def text(self) -> str:
        return f"{self.amount} {self.what}".strip()

    @property
    def head(self) -> str:
        """What the last word that names a liquid names: that of `wine vinegar` is a vinegar."""
        return self.kinds[-1] if self.kinds else ""

    @property
    def own_name(self) -> str | None:
        return self.name or None

    def refused(self, why: str, do: str) -> QuantityError:
        return QuantityError(self.text, why, do=do)

    def asked(self, why: str, *ways: str) -> AmbiguousAmountError:
        written = (" ".join(f"{self.amount} {way}".split()) for way in ways)
        return AmbiguousAmountError(self.text, why, [Reading(one, "") for one in written])


def of(said: Strengths, amount: str, what: str) -> Meant:
    """What the words and strengths after an amount mean.

    Args:
        said: the strengths, and the words without them.
        amount: the amount as written, for the readings of what is ambiguous.
        what: all the words after it.

    Raises:
        AmbiguousAmountError: it may mean more than one thing.
        QuantityError: it is no liquid for a menstruum, or not clear what it is.
    """
    name = _name(said.rest)
    plain = as_word(name)
    _must_be_food(f"{amount} {what}", plain)
    free = table.ALCOHOL_FREE.search(plain) is not None
    kinds = tuple(table.kinds_of(table.ALCOHOL_FREE.sub(" ", plain)))
    case = _Case(amount, what, None, said.is_unknown, name, kinds, free)
    _must_be_one_thing(case, said, plain)
    stated = _one_strength(case, said.stated)
    case = _Case(amount, what, stated, said.is_unknown, name, kinds, free)
    _no_stray_number(case)
    if free:
        return _free_of_alcohol(case)
    match case.head:
        case "spirit" | "wine":
            return _alcoholic(case)
        case "glycerin":
            return _glycerin(case)
        case "vinegar":
            return _vinegar(case)
        case "":
            return _without_a_word(case)
    return _holds_none(case)


def says_a_liquid(what: str) -> bool:
    """Whether words name a liquid, or are numbers alone, which may be its strength."""
    return not any(map(str.isalpha, what)) or bool(table.kinds_of(as_word(what)))


def _name(rest: str) -> str:
    """The words that are left, without what a strength leaves behind."""
    words = re.sub(r"\(\s*\)|\[\s*\]|(?<=\s)[@:=~]+(?=\s|$)", " ", rest)
    words = re.sub(r"\"|(?<!\w)'|'(?!\w)", " ", re.sub(r"\(\s+", "(", words))
    words = " ".join(
        one for one in words.split() if one in ("&", "+", ",") or any(map(str.isalnum, one))
    )
    words = re.sub(
        r"^(?:of|at|strength|strong)\b|\b(?:at|of|strength)$", " ", words.strip(), flags=re.I
    )
    return re.sub(r" +([,;])", r"\1", " ".join(words.split())).strip(" ,;:-")


def _must_be_food(text: str, plain: str) -> None:
    words = table.NOT_DENATURED.sub(" ", plain)
    for pattern, why in table.NO_FOOD:
        if found := pattern.search(words):
            raise QuantityError(
                text,
                f"{found[0]} is not a menstruum: {why}",
                do="use spirit that is made to be drunk.",
            )


def _must_be_one_thing(case: _Case, said: Strengths, plain: str) -> None:
    """Refuse two liquids in one pour.

    Raises:
        QuantityError: there are two.
    """
    if re.search(r"\d ?: ?\d", case.what):
        raise case.refused(
            "a ratio is of two liquids", "give each a pour of its own, with its own amount."
        )
    parts = _TWO_THINGS.split(f" {plain} ")
    named = [kinds[-1] for part in parts if (kinds := table.kinds_of(part))]
    if len(set(named)) > 1 or (len(named) > 1 and len(said.stated) > 1):
        raise _two(case, *[part.strip() for part in parts if table.kinds_of(part)][:2])
    mixed = {kind for kind in case.kinds if kind in ("spirit", "wine", "water", "glycerin")}
    if len(said.stated) > 1 and len(mixed) > 1:
        raise _two(case, *(word for word in plain.split() if table.kinds_of(word)))


def _two(case: _Case, first: str, second: str, *_: str) -> QuantityError:
    each = f'"20 ml {first}" and "80 ml {second}"'
    return case.refused(
        "that is two liquids in one pour",
        f"give each a pour of its own, a spirit with its strength: {each}.",
    )


def _one_strength(case: _Case, stated: tuple[Stated, ...]) -> Stated | None:
    """The strength of it; the same strength in two ways is one.

    Raises:
        AmbiguousAmountError: there are two, and they differ.
    """
    if not stated:
        return None
    first, *others = stated
    if others and first.basis == "%" and first.value == 100.0:  # 100% agave: what it is made of
        first, *others = others
    if any(abs(one.pct_vol - first.pct_vol) > _SAME_PCT_VOL for one in others):
        ways = [f"{one.written} {case.name}" for one in stated]
        raise case.asked("it has two strengths", *ways)
    if case.is_unknown:
        raise case.refused("it says a strength, and that it is not known", "write one of them.")
    if first.value < 0.0 or first.is_too_much:
        mass = "% by mass" if first.basis == "% mass" else "% vol"
        much = first.value if first.basis == "% mass" else first.pct_vol
        why = f"{much:g} {mass} is more than pure"
        raise case.refused(why, "read the label: pure is 100%, 200 US proof, 175 British proof.")
    return first


def _no_stray_number(case: _Case) -> None:
    """Ask about a number that may be the strength, and refuse one that is nothing.

    Raises:
        AmbiguousAmountError: it may be % vol or a proof.
        QuantityError: nothing it may be is known.
    """
    outside = case.name if case.stated is None else _OF_A_NAME.sub(" ", case.name)
    found = _DIGITS.search(outside)
    if found is None:
        return
    number = found[0]
    left = " ".join(case.name.replace(number, " ", 1).split())
    if case.head in ("", "spirit", "wine") and not case.is_alcohol_free:
        strong = [f"{number}%", f"{number} proof"]
        ways = [f"{one} {left}" for one in strong]
        if case.stated is not None:
            ways.append(f"{case.stated.written} {left}")
        elif _OF_A_NAME.search(case.name) and left:
            ways.append(left)
        raise case.asked(f"is {number} its strength, in % or proof?", *ways)
    raise case.refused(f"it is not clear what {number} is of", "leave it out.")


def _pct_vol(case: _Case) -> float | None:
    """% vol of a thing that is ethanol and water; None where it is not known."""
    if case.stated is None:
        return None
    if case.stated.pct_vol <= 0.0:
        raise case.refused(
            f"{case.stated.written} is not the strength of a spirit",
            "write water, or alcohol-free and its name.",
        )
    return min(case.stated.pct_vol, 100.0)


def _alcoholic(case: _Case) -> Meant:
    if case.stated is not None and case.head == "wine" and case.stated.value == 0.0:
        return Meant("other", 0.0, f"alcohol-free {case.name}")
    strength = _pct_vol(case)
    drunk = case.head == "wine" or not _is_plain_alcohol(case.name)
    if strength is not None and strength > _PURE and drunk:
        raise case.asked(
            f"{strength:g} % vol is stronger than it is sold to drink",
            case.name,
            f"{strength:g}% alcohol",
        )
    return Meant("ethanol", strength, case.own_name)


def _is_plain_alcohol(name: str) -> bool:
    """Whether it is named as alcohol or spirit, and not as a drink."""
    last = [word for word in as_word(name).split() if table.KINDS.get(table.said(word)) == "spirit"]
    return bool(last) and table.said(last[-1]) in (
        "alcohol",
        "ethanol",
        "spirit",
        "spirits",
        "sprit",
    )


def _without_a_word(case: _Case) -> Meant:
    if not case.name:
        if case.stated is None:
            raise case.refused("of what?", "add the strength or the liquid: 45%, water.")
        return Meant("ethanol", _pct_vol(case), None)
    if case.stated is None:
        return Meant("other", None, case.own_name)
    raise case.asked(
        f"{case.name} is not known here, so it is not clear whether its % is alcohol",
        f"{case.stated.written} {case.name} spirit",
        case.name,
    )


def _glycerin(case: _Case) -> Meant:
    name = None if as_word(case.name) in table.GLYCERINS else case.own_name
    stated = case.stated
    pct_vol = _beside(case)
    if stated is None:
        return Meant("glycerin", pct_vol, name)
    # The pharmacopoeias sell it by mass: glycerol (85 per cent), Ph. Eur.; from memory.
    if stated.basis not in ("%", "% mass") or stated.value <= 0.0:
        raise case.refused(
            f"{stated.written} is not a strength of glycerin",
            "write how much of it is glycerin by mass: 85% glycerin.",
        )
    return Meant("glycerin", pct_vol, name, stated.value if stated.value < 100.0 else None)


def _vinegar(case: _Case) -> Meant:
    stated = case.stated
    if stated is None:
        name = None if as_word(case.name) == "vinegar" else case.own_name
        return Meant("vinegar", 0.0, name)
    if stated.basis not in ("%", "% mass"):
        raise case.refused(
            "the strength of a vinegar is its acid and not alcohol", "write it like vinegar 5%."
        )
    if stated.value > _STRONGEST_VINEGAR:
        raise case.refused(
            f"{stated.value:g} % of acid is more than a vinegar has",
            "thin it first, and write the strength it is poured at.",
        )
    name = " ".join(re.sub(r"\(?\bacid(?:ity)?\b\)?", " ", case.name, flags=re.I).split())
    return Meant("vinegar", 0.0, f"{name} {stated.value:g} %")


def _free_of_alcohol(case: _Case) -> Meant:
    stated = case.stated
    if stated is not None and stated.pct_vol > _STRONGEST_ALCOHOL_FREE:
        raise case.refused(f"it says both alcohol-free and {stated.written}", "write one of them.")
    if stated is not None and stated.pct_vol > 0.0:
        return Meant("ethanol", stated.pct_vol, case.own_name)
    return Meant("other", 0.0, case.own_name)


def _beside(case: _Case) -> float | None:
    """0 % vol; not known where a spirit or wine stands in the name of something else."""
    return None if {"spirit", "wine"} & set(case.kinds) or case.is_unknown else 0.0


def _holds_none(case: _Case) -> Meant:
    """Water, oil, honey, syrup, sugar, tea: nothing in it is ethanol.

    Raises:
        QuantityError: a strength stands beside it.
    """
    kinds: dict[str, Liquid] = {
        "water": "water", "oil": "oil", "honey": "honey", "syrup": "syrup", "sugar": "sugar",
        "other": "other",
    }  # fmt: skip
    liquid, what = kinds[case.head], case.name
    if case.stated is not None and case.stated.value == 0.0:
        case = _Case(case.amount, case.what, None, False, what, case.kinds, case.is_alcohol_free)
    if case.stated is not None:
        if case.head == "syrup" and case.stated.basis in ("%", "% mass") and case.stated.value < 90:
            return Meant("syrup", _beside(case), f"{what} {case.stated.value:g} %")
        if as_word(what) in ("salt water", "sea water", "brine") and case.stated.basis != "% vol":
            return Meant("other", 0.0, f"{what} {case.stated.value:g} %")
        raise case.refused(
            f"{what} has no strength, so it is not clear what {case.stated.written} is of",
            f'leave it out ("{case.amount} {what}"), and give a spirit a pour of its own.',
        )
    name = None if as_word(what) == liquid else what
    return Meant(liquid, _beside(case), name)
