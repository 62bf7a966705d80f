"""The maker's own rules of labels in practice.toml: the keys of [labels] beside its sheet."""

import re

from tracker.config.rule_values import yes_or_no
from tracker.core.practice.label_rules import BETWEEN_LINES, LONGEST_LINE, MOST_LINES, LabelRules
from tracker.core.values.text import is_plain, says_something


def own_lines(value: object) -> tuple[str, ...]:
    """`Mill Lane Stillroom | Not for sale`, or a list with a text for each line; or `none`.

    Raises:
        ValueError: they are no lines of text, too many, or too long for a label.
    """
    if value == "none":
        return ()
    found = value.split(BETWEEN_LINES.strip()) if isinstance(value, str) else value
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        raise ValueError("it needs a text, or a list with a text for each line")
    lines = tuple(one.strip() for one in found)
    if len(lines) > MOST_LINES:
        raise ValueError(f"it needs at most {MOST_LINES} lines")
    if not all(one and says_something(one) and is_plain(one) for one in lines):
        raise ValueError("it needs a text for each line, without control characters")
    if any(BETWEEN_LINES.strip() in one for one in lines):
        raise ValueError("it needs lines without the sign |, which parts them")
    if any(len(one) > LONGEST_LINE for one in lines):
        raise ValueError(f"it needs lines of at most {LONGEST_LINE} characters")
    return lines


def logo(value: object) -> str | None:
    """`logo.png`, the name of a file beside practice.toml, or `none`.

    Raises:
        ValueError: it names no picture, or one in another folder.
    """
    if value == "none":
        return None
    is_name = isinstance(value, str) and re.fullmatch(r"[^\W_][\w .-]{0,99}", value)
    if not is_name or not str(value).lower().endswith((".png", ".jpg", ".jpeg")):
        raise ValueError("it needs the name of a picture beside practice.toml, such as logo.png")
    return str(value)


def language(value: object) -> str:
    """`en`, `de-CH`; empty for `none`. Whether words of it can be hyphenated is seen in use.

    Raises:
        ValueError: it is no code of a language.
    """
    if value == "none":
        return ""
    if not isinstance(value, str) or not re.fullmatch(r"[a-z]{2,3}([-_][A-Za-z]{2,8})?", value):
        raise ValueError("it needs the code of a language such as en or de-CH, or none")
    return value


LABEL_KEYS = {
    "own lines": ("lines", own_lines),
    "logo": ("logo", logo),
    "recipe": ("recipe", yes_or_no),
    "language": ("language", language),
}


def written(rules: LabelRules) -> dict[str, str | None]:
    """The same rules as practice.toml says them, key by key."""
    return {
        "own lines": BETWEEN_LINES.join(rules.lines) or None,
        "logo": rules.logo,
        "recipe": "yes" if rules.recipe else "no",
        "language": rules.language or "none",
    }
