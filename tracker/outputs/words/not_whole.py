"""That the book is not whole, as every output says it."""


def incomplete(missing: int) -> str:
    """The sentence for so many things that are not as written; nothing where the book is whole."""
    if not missing:
        return ""
    things = "thing is" if missing == 1 else "things are"
    return f"INCOMPLETE: {missing} {things} not as written; `stillroom check` names them."
