"""How a jar was pressed, as a line says it."""

_SAID = {
    "hand": "by hand",
    "cloth": "through a cloth",
    "ricer": "in a ricer",
    "press": "in a press",
    "screw press": "in a screw press",
    "hydraulic press": "in a hydraulic press",
}


def method_said(how: str) -> str:
    """`by hand`, `in a screw press`; a method of the maker's own as it was written."""
    return _SAID.get(how.lower(), f"({how})")
