"""Whether a reference is a code or initials, or looks like somebody's name or address."""

import re

from tracker.core.values.errors import MisusedError

_PARTS = re.compile(r"[-./_#]")
# From memory of how shops number things: four letters are a word, seven bare digits a telephone
# number or a date of birth.
_MOST_LETTERS, _MOST_SMALL, _MOST_BARE_DIGITS, _LONGEST = 3, 2, 6, 20


def looks_personal(reference: str) -> str | None:
    """Why a reference may name a person or a place, or None where it is a code or initials.

    A code is up to 20 letters and digits, with - . / _ # between: `C03`, `A.B.`, `RX-2026/17`.
    Letters in a row are at most three capitals or two small ones.
    """
    text = reference.strip()
    if "@" in text:
        return "it is an address"
    if any(mark.isspace() for mark in text):
        return "it is more than one word, as names and addresses are"
    if not all(mark.isalnum() for mark in _PARTS.sub("", text)):
        return "it has marks that codes do not have"
    if len(text) > _LONGEST:
        return f"it is longer than {_LONGEST} characters"
    runs = re.findall(r"[^\W\d_]+", text)
    for run in runs:
        if not all(mark.isupper() or mark.islower() for mark in run):
            return f"{run} may be a name"
        if len(run) > (_MOST_LETTERS if run.isupper() else _MOST_SMALL):
            return f"{run} is a word, as names are"
    digits = sum(mark.isdigit() for mark in text)
    if not runs and digits > _MOST_BARE_DIGITS:
        return "so many digits may be a telephone number or a date of birth"
    return None


def checked(reference: str | None, rule: str) -> str | None:
    """The reference, where the rule lets it into the book.

    Args:
        reference: as it was said, or None.
        rule: `codes` or `any`.

    Raises:
        MisusedError: it looks like a name or an address, and the rule is `codes`.
    """
    if reference is None or rule == "any":
        return reference
    why = looks_personal(reference)
    if why is None:
        return reference
    raise MisusedError(
        f"{reference!r} may tell who somebody is: {why}.",
        where="--for: the book is never rubbed out, so names and addresses stay out of it",
        do="give a code or initials, such as C03 or A.B.; or set references = "
        '"any" in practice.toml.',
    )
