"""What the maker wants on every label beside what the book says."""

from typing import Final

import msgspec

# More would leave no room on a label for what the book says: a choice, no source.
MOST_LINES: Final = 6
LONGEST_LINE: Final = 80
# Between the lines where practice.toml has them as one text.
BETWEEN_LINES: Final = " | "


class LabelRules(msgspec.Struct, frozen=True):
    """The maker's own rules of labels.

    Attributes:
        lines: what the maker says on each: a name, an address, directions, "not for sale".
        logo: a picture beside practice.toml, by its file's name.
        recipe: whether ratio, strength and what was poured are printed.
        language: of the patterns by which words are hyphenated; empty: no word is.
    """

    lines: tuple[str, ...] = ()
    logo: str | None = None
    recipe: bool = True
    language: str = "en"
