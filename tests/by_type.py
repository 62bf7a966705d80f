"""Hypothesis strategies out of what a class of facts says of its fields: types and limits."""

from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st
from msgspec import Meta, Struct

_TEXT = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp"))


def fields_by_type(shape: type[Struct]) -> dict[str, st.SearchStrategy[object]]:
    """A strategy for each field of a class, by its name."""
    hints = get_type_hints(shape, include_extras=True)
    return {name: _later(hints[name]) for name in shape.__struct_fields__}


def _later(hint: Any) -> st.SearchStrategy[object]:
    # Made only when drawn from: fields with a strategy of their own are of any type.
    return st.deferred(lambda: _of(hint))


def _of(hint: Any, limits: tuple[Any, ...] = ()) -> st.SearchStrategy[object]:
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _of(parts[0], parts[1:])
    if origin in (Union, UnionType):
        return st.one_of(*map(_of, parts))
    meta = next((one for one in limits if isinstance(one, Meta)), Meta())
    if origin is tuple:
        return st.lists(_of(parts[0]), min_size=meta.min_length or 0, max_size=4).map(tuple)
    if origin is Literal or hint is not str:
        return _plain(hint, meta)
    found = st.text(_TEXT, min_size=meta.min_length or 0, max_size=min(meta.max_length or 20, 20))
    for rule in (one for one in limits if callable(one)):
        found = found.filter(rule)
    return found


def _plain(hint: Any, meta: Meta) -> st.SearchStrategy[object]:
    if hint is int:
        return st.integers(meta.ge, meta.le)
    if hint is float:
        least = meta.ge if meta.gt is None else meta.gt
        return st.floats(least, meta.le, exclude_min=meta.gt is not None)
    return st.from_type(hint)
