"""What events and reminders of a kind are called: by the verb that records it, as `due` has it."""

_OTHERWISE = {
    "bought_herb": "bought",
    "same_as": "found to be the same",
    "settled": "poured off its lees",
}
_REMINDERS = {
    "past-longest": "past its longest",
    "expiring": "use soon",
    "expired": "past its date",
}


def kind_said(kind: str) -> str:
    """`drawn off`; `poured off its lees`."""
    return _OTHERWISE.get(kind, kind.replace("_", " "))


def reminder_said(what: str) -> str:
    """`past its longest`; `shake`."""
    return _REMINDERS.get(what, what)
