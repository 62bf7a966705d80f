"""Fields of a fact as `correct --set` takes them: words of the verbs, values as they are said."""

import json
from typing import Annotated, Literal, get_args, get_origin, get_type_hints

from tracker.cli.desk import Desk
from tracker.cli.given.lots_named import herb_lot, own_names
from tracker.core.facts.fields import HerbFact
from tracker.core.facts.jars import Charged, Moved
from tracker.core.facts.kinds import Recorded
from tracker.core.shelf.extract import NOBODY
from tracker.core.values.errors import MisusedError
from tracker.quantities import percent

# The options of verbs, where they are called otherwise than what they set.
_FIELD_OF = {
    "belongs": "belongs_to",
    "for": "reference",
    "from": "where",
    "jar": "jar_ml",
    "ratio": "ratio_meant",
    "strength": "ethanol_pct_vol",
    "to": "place",
    "with": "how",
}
# Of these `none` is what they are of, or what stands under them.
_NONE_SAYS = ("lid", "barrier")
_NOT_KNOWN = ("none", "unknown", "not known")


def field_of(fact: Recorded, word: str) -> str:
    """What a field is called, where the word is that of an option of its verb."""
    if word == "finished":
        word = "ratio_basis"
    name = _FIELD_OF.get(word, word.replace("-", "_"))
    return name if name in fact.__struct_fields__ else word


def field_value(fact: Recorded, name: str, value: str) -> object:
    """A value as its field takes it: a word stays a word, anything else is read as JSON.

    Raises:
        MisusedError: it is none of the words that the field can be.
    """
    kinds = _kinds(type(fact), name)
    choices = [word for kind in kinds if get_origin(kind) is Literal for word in get_args(kind)]
    if name == "ratio_basis" and value in ("yes", "no"):
        return "finished" if value == "yes" else "poured"
    if name == "belongs_to" and value.lower() in (NOBODY, ""):
        return NOBODY if isinstance(fact, Moved) else None
    if type(None) in kinds and name not in _NONE_SAYS and value.lower() in ("none", ""):
        return None
    if name == "ethanol_pct_vol":
        return None if value.lower() in _NOT_KNOWN else percent(value)
    if choices and value not in choices:
        raise MisusedError(
            f"{name.replace('_', ' ')} cannot be {value!r}.",
            where=f"--set {name}=…",
            do=f"write one of {', '.join(choices)}.",
        )
    if choices or str in kinds:
        return value
    try:
        return json.loads(value)
    except ValueError:
        return value


def lot_change(desk: Desk, fact: HerbFact, value: str) -> dict[str, object]:
    """The lot of the herb, by code or number; of a charge else a name that is in no book."""
    if value.lower() in ("none", ""):
        return {"herb_lot": None} | ({"lots": []} if isinstance(fact, Charged) else {})
    lot = herb_lot(desk, value, fact.form)
    if lot is not None:
        return {"herb_lot": lot.id} | ({"lots": []} if isinstance(fact, Charged) else {})
    if isinstance(fact, Charged):
        return {"herb_lot": None, "lots": list(own_names(desk, value.split("+")))}
    return {"herb_lot": desk.lot(value).id}


def _kinds(owner: type[object], name: str) -> list[object]:
    """The kinds that a field can be, without their limits."""
    hint = get_type_hints(owner, include_extras=False).get(name)
    found, todo = [], [hint]
    while todo:
        one = todo.pop()
        if get_origin(one) is Annotated or (get_args(one) and get_origin(one) is not Literal):
            todo += get_args(one)[:1] if get_origin(one) is Annotated else get_args(one)
        if one is not None:
            found.append(one)
    return found
