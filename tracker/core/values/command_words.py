"""Commands that are suggested: a code in them is one word and nothing else, whatever it holds."""

import re

# What needs no quotation marks in any shell, and cannot be an option.
_BARE = re.compile(r"[A-Za-z0-9][A-Za-z0-9/.-]*")


def command(verb: str, *words: str, options: str = "") -> str:
    """`stillroom press CAOF-26-01 300ml`: a line that does what its verb says if it is pasted.

    Args:
        verb: of this command.
        words: what it is about, codes first; each becomes one word.
        options: as they are typed, ours alone.
    """
    said = [one if _BARE.fullmatch(one) else _quoted(one) for one in words]
    before, after = "", f" {options}" if options else ""
    if any(one.startswith("-") for one in words):
        before, after = f"{after} --", ""
    return f"stillroom {verb}{before} {' '.join(said)}{after}"


def _quoted(word: str) -> str:
    from shlex import quote  # hardly any code needs it, and every list of what is due comes here

    return quote(word)
