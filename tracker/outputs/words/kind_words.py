"""What an event of a kind is called: by the verb that people record it with."""

_OTHERWISE = {
    "bought_herb": "bought",
    "same_as": "found to be the same",
    "settled": "poured off its lees",
}


def kind_said(kind: str) -> str:
    """`drawn off`; `poured off its lees`."""
    return _OTHERWISE.get(kind, kind.replace("_", " "))
