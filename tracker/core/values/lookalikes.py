"""Letters that look like Latin ones and are not: a Cyrillic А in a code finds nothing."""

from collections.abc import Iterator

# Scripts with capitals and small letters that pass for Latin ones at a glance. Normalising
# (NFKC) folds none of them: they are other letters.
_PASS_FOR_LATIN = ("CYRILLIC", "GREEK", "ARMENIAN", "CHEROKEE", "LISU")


def _name(letter: str) -> str:
    import unicodedata  # which a code of ASCII letters needs not

    return unicodedata.name(letter, "")


def _script(letter: str) -> str:
    return _name(letter).partition(" ")[0]


def strange_letter(text: str) -> str | None:
    """The first letter of another script in a word that has Latin ones or digits, in words.

    A word that is all of one script, such as a herb's Russian name, is as it should be.
    """
    if text.isascii():
        return None
    for word in text.split():
        scripts = {letter: _script(letter) for letter in word if letter.isalpha()}
        is_code = any(letter.isdigit() for letter in word)
        if "LATIN" not in scripts.values() and not is_code:
            continue
        for letter, script in scripts.items():
            if script in _PASS_FOR_LATIN:
                return f"{letter} in {word} is a {_name(letter).lower()}"
    return None


def strange_names(fact: object) -> Iterator[str]:
    """A warning for each name in a fact that mixes scripts."""
    for field in ("herb", "common", "code", "place", "lots"):
        value = getattr(fact, field, None)
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str) and (strange := strange_letter(text)):
                yield f"{strange}; typed with Latin letters only, it will not be found"
