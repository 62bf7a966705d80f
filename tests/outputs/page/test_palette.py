"""The colours of the page: whatever is read stands out from what it stands on, light and dark."""

import re
from importlib.resources import files

import pytest

STYLE = files("tracker.outputs.page").joinpath("page.css").read_text(encoding="utf-8")
READ = ("ink", "quiet", "leaf", "heed", "amber")
GROUNDS = ("paper", "wash")


def palettes():
    """The light palette, and the dark one."""
    light, dark = (dict(re.findall(r"--(\w+): (#\w{6})", one)) for one in STYLE.split("@media")[:2])
    return {"light": light, "dark": dark}


def luminance(colour: str) -> float:
    """Relative luminance, by WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, by WCAG 2.2, 1.4.3."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_the_standard():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # WCAG, G18: just short


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("colour", READ)
def test_what_is_read_stands_out(scheme, colour, ground):
    palette = palettes()[scheme]

    assert contrast(palette[colour], palette[ground]) >= 4.5
