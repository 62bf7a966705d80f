"""What liquid herb stands in, in a word or two: `spirit ~59`, `olive oil`, `glycerite`."""

from tracker.outputs.view.thing_view import RowView
from tracker.outputs.words.standing import strength_said

# Of a mixture the one before the others names it; those not here go by their own name.
_KINDS = {
    "honey or oxymel": {"honey": "honey"},
    "syrup": {"syrup": "syrup", "sugar": "syrup"},
    "vinegar": {"vinegar": "vinegar"},
    "glycerite": {"glycerin": "glycerite"},
    "oil": {"oil": "oil"},
    "water": {"water": "water"},
}


def liquid_said(row: RowView) -> str:
    """The kind of liquid, of spirit and wine with its strength in % vol, or a dash."""
    kind = kind_of_liquid(row)
    if row.preparation.startswith("spirit"):
        return f"{kind} {strength_said(row).removesuffix('.0')}"
    return kind


def kind_of_liquid(row: RowView) -> str:
    """`spirit`, `wine`, `glycerite`, `oxymel`; an oil or vinegar by its own name."""
    if row.preparation.startswith("spirit"):
        strong = [one.name or "" for one in row.poured if one.liquid == "ethanol"]
        is_wine = strong and all(name.lower().split()[-1:] == ["wine"] for name in strong)
        return "wine" if is_wine else "spirit"
    liquids = {one.liquid for one in row.poured}
    if row.preparation == "honey or oxymel" and "vinegar" in liquids:
        return "oxymel"
    named = _KINDS.get(row.preparation, {})
    own = {one.name or named[one.liquid] for one in row.poured if one.liquid in named}
    if row.preparation in ("oil", "vinegar", "other") and len(own) == 1:
        return own.pop()
    return next(iter(named.values()), "–")
