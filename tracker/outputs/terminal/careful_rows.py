"""What to be careful of in a thing, as rows of `show` and of the page."""

from tracker.core.reckoning.cautions import CLOSING, Caution
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.caution_words import caution_text


def caution_rows(view: ThingView, *, sources: bool) -> list[tuple[str, str]]:
    """What can harm, then the closing line where one is about the plant."""
    own = [one for one in view.cautions if one.kind != "care"]
    apart = [(code, one) for code, one in view.cautions_apart if one.kind != "care"]
    rows = [("caution", caution_text(one, sources=sources)) for one in own]
    rows += [("caution", _apart(code, one, sources)) for code, one in apart]
    is_of_plant = any(one.kind == "plant" for one in (*own, *(one for _, one in apart)))
    return [*rows, ("", CLOSING)] if is_of_plant else rows


def care_rows(view: ThingView, *, sources: bool) -> list[tuple[str, str]]:
    """What some people have to know, and how to handle it."""
    rows = [
        ("care", caution_text(one, sources=sources)) for one in view.cautions if one.kind == "care"
    ]
    apart = (pair for pair in view.cautions_apart if pair[1].kind == "care")
    return rows + [("care", _apart(code, one, sources)) for code, one in apart]


def _apart(code: str, one: Caution, sources: bool) -> str:
    return f"{code}: {caution_text(one, sources=sources)}"
