"""That the book is not whole, as every output says it."""


def incomplete(missing: int) -> str:
    """The sentence beside an answer, with what to do; nothing where the book is whole."""
    if not missing:
        return ""
    return f"{_things(missing)} not as written; `stillroom check` names them."


def incomplete_kept(missing: int) -> str:
    """The sentence in what is kept: a label, a record, a picture, a page, a calendar, a message.

    It stays true when the book was put right since; nothing where the book is whole.
    """
    if not missing:
        return ""
    return f"{_things(missing)} not as written in the book this was made from."


def _things(missing: int) -> str:
    return f"INCOMPLETE: {missing} {'thing is' if missing == 1 else 'things are'}"
