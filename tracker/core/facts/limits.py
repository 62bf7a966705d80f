"""A fact on its way into the book, held to every limit that its class states."""

import re
from collections.abc import Callable, Iterator
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec

from tracker.core.facts.kinds import AnyFact
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import says_something
from tracker.core.values.times import is_period

_NOT_AS_IT_HAS_TO_BE = "it is not written as it has to be"
# Within a pour or a bottle a value goes by its name in the file, and that ends in its unit.
_UNIT = re.compile(r"_(?:ml|g|pct_vol|pct_mass)$")


def validated(fact: AnyFact) -> AnyFact:
    """The fact, checked against every limit its class states.

    Raises:
        MisusedError: a value out of its limits; the message names each.
    """
    wrong = "; ".join(f"{_said(fact, where)}: {why}" for where, why in _wrong_in(fact, ()))
    if not wrong:
        try:
            return msgspec.convert(msgspec.to_builtins(fact), type(fact))
        except msgspec.ValidationError as reason:  # a value of another type, named by its path
            wrong = str(reason)
    raise MisusedError(
        f"That cannot be recorded: {wrong}.",
        where="nothing was recorded",
        do="correct that, and try again.",
    )


def _said(fact: AnyFact, where: tuple[str, ...]) -> str:
    """What a person calls the value that stands there: `pour 2 strength`."""
    from tracker.core.facts.field_words import word_held_in

    first, *inner = where
    words = [str(int(one) + 1) if one.isdigit() else _UNIT.sub("", one) for one in inner]
    return " ".join([word_held_in(type(fact), first), *words]).replace("_", " ")


_Wrong = Iterator[tuple[tuple[str, ...], str]]


@cache
def _hints(shape: type[msgspec.Struct]) -> dict[str, Any]:
    hints = get_type_hints(shape, include_extras=True)
    return {name: hints[name] for name in shape.__struct_fields__}


def _wrong_in(shape: msgspec.Struct, where: tuple[str, ...]) -> _Wrong:
    """Where a value is out of its limits, by the names and numbers that lead to it, and how."""
    for name, hint in _hints(type(shape)).items():
        yield from _wrong(getattr(shape, name), hint, (*where, name))


def _wrong(value: object, hint: Any, where: tuple[str, ...]) -> _Wrong:  # noqa: ANN401  # a type
    if value is None:  # whether it may be is msgspec's to say
        return
    if get_origin(hint) in (UnionType, Union):
        hint = next(one for one in get_args(hint) if one is not type(None))
    if get_origin(hint) is Annotated:
        hint, *limits = get_args(hint)
        if why := next(filter(None, (_beyond(value, one) for one in limits)), None):
            yield where, why
            return
    if get_origin(hint) is Literal:
        if value not in (choices := _choices(hint)):
            *others, last = map(str, choices)
            yield where, f"it has to be {', '.join(others)}{' or ' if others else ''}{last}"
    elif isinstance(value, msgspec.Struct):
        yield from _wrong_in(value, where)
    elif isinstance(value, tuple):
        for place, part in enumerate(value):
            yield from _wrong(part, get_args(hint)[0], (*where, str(place)))


def _choices(hint: Any) -> list[object]:  # noqa: ANN401  # a type
    """What a Literal allows, those that are Literals themselves taken apart."""
    return [
        choice
        for one in get_args(hint)
        for choice in (_choices(one) if get_origin(one) is Literal else (one,))
    ]


def _beyond(value: object, limit: msgspec.Meta | Callable[[str], bool]) -> str | None:
    if not isinstance(limit, msgspec.Meta):
        return None if not isinstance(value, str) or limit(value) else _not_kept(value, limit)
    if isinstance(value, int | float):
        return _beyond_number(value, limit)
    if isinstance(value, str) and limit.pattern and not re.search(limit.pattern, value):
        return _NOT_AS_IT_HAS_TO_BE
    if isinstance(value, str | tuple | dict):
        return _beyond_length(value, limit)
    return None


def _not_kept(text: str, rule: Callable[[str], bool]) -> str:
    if rule is not says_something:
        return "it is not a span of time" if rule is is_period else _NOT_AS_IT_HAS_TO_BE
    from tracker.core.values.unseen import unseen_sign

    if sign := unseen_sign(text):
        return f"there is {sign}; only what can be seen is recorded"
    return "there is nothing in it but blanks"


def _beyond_number(value: float, limit: msgspec.Meta) -> str | None:
    # What is no number at all is within no limit.
    if limit.le is not None and not value <= limit.le:
        return f"it may be {limit.le} at most"
    if limit.ge is not None and not value >= limit.ge:
        return f"it has to be {limit.ge} or more"
    if limit.gt is not None and not value > limit.gt:
        return f"it has to be more than {limit.gt}"
    return None


def _beyond_length(
    value: str | tuple[object, ...] | dict[str, object], limit: msgspec.Meta
) -> str | None:
    length, is_text = len(value), isinstance(value, str)
    if limit.min_length is not None and length < limit.min_length:
        found = "" if is_text else f", not {length}"
        return f"{_of_length(is_text, 'needs at least', limit.min_length)}{found}"
    if limit.max_length is not None and length > limit.max_length:
        return _of_length(is_text, "may have at most", limit.max_length)
    return None


def _of_length(is_text: bool, bound: str, length: int) -> str:
    if is_text:
        return f"it {bound} {length} {'character' if length == 1 else 'characters'}"
    return f"it {bound} {length}"
