"""Colours read on a light screen and on a dark one, by numbers.

Contrast: Web Content Accessibility Guidelines 2.1, relative luminance and success criterion 1.4.3,
4.5 to 1. Palette: xterm's default colours and the 6 × 6 × 6 cube of its 256, from memory; faint
text has two thirds of its colour, as xterm draws it.
"""

import pytest

from tracker.cli.streams import _UNPRINTED
from tracker.outputs.terminal.table import STYLES

Colour = tuple[int, int, int]
LIGHT = ((0, 0, 0), (255, 255, 255))  # its text and its ground
DARK = ((229, 229, 229), (0, 0, 0))
_SIXTEEN: dict[int, Colour] = {
    0: (0, 0, 0), 1: (205, 0, 0), 2: (0, 205, 0), 3: (205, 205, 0), 4: (0, 0, 238),
    5: (205, 0, 205), 6: (0, 205, 205), 7: (229, 229, 229), 8: (127, 127, 127), 9: (255, 0, 0),
    10: (0, 255, 0), 11: (255, 255, 0), 12: (92, 92, 255), 13: (255, 0, 255), 14: (0, 255, 255),
    15: (255, 255, 255),
}  # fmt: skip
_STEPS = (0, 95, 135, 175, 215, 255)
LEAST = 4.5


def luminance(colour: Colour) -> float:
    parts = [one / 255 for one in colour]
    red, green, blue = (
        one / 12.92 if one <= 0.03928 else ((one + 0.055) / 1.055) ** 2.4 for one in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def of_256(number: int) -> Colour:
    if number < 16:
        return _SIXTEEN[number]
    red, rest = divmod(number - 16, 36)
    return _STEPS[red], _STEPS[rest // 6], _STEPS[rest % 6]


def drawn(sgr: str, text: Colour, ground: Colour) -> tuple[Colour, Colour]:
    """The text and its ground as a terminal draws them."""
    codes = [int(one) for one in sgr.split(";")]
    while codes:
        code = codes.pop(0)
        if code == 38:
            assert codes.pop(0) == 5
            text = of_256(codes.pop(0))
        elif 30 <= code <= 37:
            text = _SIXTEEN[code - 30]
        elif 90 <= code <= 97:
            text = _SIXTEEN[code - 90 + 8]
        elif 40 <= code <= 47:
            ground = _SIXTEEN[code - 40]
        elif code == 2:
            text = (text[0] * 2 // 3, text[1] * 2 // 3, text[2] * 2 // 3)
        else:
            assert code in (1, 3), f"what {code} looks like is not known here"
    return text, ground


def test_the_measure_itself_gives_the_published_ends():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((119, 119, 119), (255, 255, 255)) == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("screen", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("meaning", STYLES)
def test_every_meaning_reads_on_a_light_screen_and_on_a_dark_one(meaning, screen):
    assert contrast(*drawn(STYLES[meaning], *screen)) >= LEAST


def test_danger_looks_like_nothing_else():
    assert [one for one, sgr in STYLES.items() if sgr == STYLES["bad"]] == ["bad"]


@pytest.mark.parametrize("meaning", STYLES)
def test_what_a_stream_lets_through_is_what_is_meant(meaning):
    """Any other escape code comes from a book, and is printed as text."""
    for sgr in (STYLES[meaning], "0"):
        assert not _UNPRINTED.match(f"\x1b[{sgr}m")
