"""Texts and codes: proper names, references that are not names, codes that find one thing."""

import re
from collections.abc import Callable, Iterable, Iterator

from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.references import looks_personal
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.codes import is_lot_code
from tracker.core.values.lookalikes import strange_names

_OWN_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,18}[A-Za-z0-9]")
_LOOKS_LIKE_A_CODE = re.compile(r"[A-Za-z]{2,6}-\d{2}-\d{2,}[A-Za-z]*(/\d+)?")


def reference(code: str, text: str | None, rule: str) -> Iterator[Finding]:
    """Refuse a reference that may tell who somebody is, where the practice wants codes.

    The book is never rubbed out, so names and addresses stay out of it.
    """
    why = looks_personal(text) if text is not None and rule != "any" else None
    if why is not None:
        yield Finding(
            "reference",
            code,
            f"{text!r} may tell who somebody is: {why}",
            "give a code or initials, such as C03 or A.B., since the book is never rubbed out; or "
            'set references = "any" in practice.toml',
            is_misuse=True,
        )


def herb(name: str, code: str, is_taken: Callable[[str], bool]) -> Iterator[Finding]:
    """Refuse a code or an amount where the name of a plant belongs."""
    text = name.strip()
    if _LOOKS_LIKE_A_CODE.fullmatch(text) or is_taken(text):
        what = f"{text} is a code, and the name of a plant belongs there"
        yield Finding("name", code, what, "name the plant, or a lot of herb", is_misuse=True)
    elif not text[:1].isalpha() and text[:1] not in "×'\"":
        what = f"{text!r} is not the name of a plant"
        yield Finding("name", code, what, "write the name, and the weight apart", is_misuse=True)


def part(name: str | None, code: str) -> Iterator[Finding]:
    """Refuse a number or sign where the part of a plant belongs."""
    if name and not any(one.isalpha() for one in name):
        what = f"{name!r} is not a part of a plant"
        yield Finding("name", code, what, "write flower, leaf, root or the like", is_misuse=True)


def letters(fact: AnyFact) -> Iterator[Finding]:
    """Say where a name mixes letters of two scripts, which cannot be found by typing it."""
    for why in strange_names(fact):
        yield Finding("name", "", why, weight="warning")


def own_codes(codes: Iterable[str], is_taken: Callable[[str], bool]) -> Iterator[Finding]:
    """Refuse codes of jars and blends that cannot be one, or that something else goes by."""
    given: set[str] = set()
    for code in codes:
        if not _OWN_CODE.fullmatch(code) or is_lot_code(code):
            what = "that cannot be a code"
            do = "use letters, digits and hyphens, 2 to 20 of them"
            yield Finding("code", code, what, do)
        elif is_taken(code) or code.upper() in given:
            what, do = "that code is taken", "leave --code out, or take another"
            yield Finding("code", code, what, do)
        given.add(code.upper())


def lot_code(code: str, is_taken: Callable[[str], bool]) -> Iterator[Finding]:
    """Refuse the code of a lot that is not one, or is taken."""
    if not is_lot_code(code):
        yield Finding("code", code, "that is not the code of a lot", "write it like LOT-26-01")
    elif is_taken(code):
        yield Finding(
            "code", code, "that code is taken", "leave --code out, and it gets the next one"
        )
