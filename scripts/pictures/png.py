"""Pictures put together, cut to what is on them, and written small."""

import io
from collections.abc import Sequence
from itertools import product
from pathlib import Path

from PIL import Image, ImageChops, ImageOps

MOST_BYTES = 60_000
WASH = (233, 231, 220)  # what lies under paper
_COLOURS = (64, 48, 32, 24, 16, 12)
_SHARES = (1.0, 0.85, 0.7)


def taken(data: bytes) -> Image.Image:
    """A picture out of the bytes of one."""
    return Image.open(io.BytesIO(data)).convert("RGB")


def trimmed(image: Image.Image, margin: int) -> Image.Image:
    """Without the empty paper around what is on it, but for a margin."""
    blank = Image.new("RGB", image.size, image.getpixel((0, 0)))
    box = ImageChops.difference(image, blank).getbbox()
    if box is None:
        return image
    left, top, right, bottom = box
    return image.crop(
        (
            max(left - margin, 0),
            max(top - margin, 0),
            min(right + margin, image.width),
            min(bottom + margin, image.height),
        )
    )


def cut_at_a_gap(image: Image.Image, high: int, gap: int) -> Image.Image:
    """Down to the last empty band above `high`, so that nothing is cut through."""
    for foot in range(min(high, image.height), gap, -1):
        band = image.crop((0, foot - gap, image.width, foot))
        if len(band.getcolors() or ()) == 1:
            return image.crop((0, 0, image.width, foot))
    return image


def laid_out(images: Sequence[Image.Image], columns: int, gap: int) -> Image.Image:
    """Sheets of paper beside and below each other, with a gap around each."""
    wide = max(one.width for one in images)
    high = max(one.height for one in images)
    rows = -(-len(images) // columns)
    size = (columns * (wide + gap) + gap, rows * (high + gap) + gap)
    table = Image.new("RGB", size, WASH)
    for number, one in enumerate(images):
        row, column = divmod(number, columns)
        table.paste(one, (gap + column * (wide + gap), gap + row * (high + gap)))
    return table


def framed(image: Image.Image) -> Image.Image:
    """With a thin line around it, so that paper ends where it ends on a white page."""
    return ImageOps.expand(image, border=1, fill=(201, 198, 184))


def write_small(image: Image.Image, file: Path) -> Image.Image:
    """Write it as large and in as many colours as fit in the most bytes; what was written."""
    for share, colours in product(_SHARES, _COLOURS):
        size = (round(image.width * share), round(image.height * share))
        few = image.resize(size, Image.Resampling.LANCZOS) if share < 1 else image
        few = few.quantize(colours, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
        held = io.BytesIO()
        few.save(held, "PNG", optimize=True)
        if held.tell() <= MOST_BYTES:
            file.write_bytes(held.getvalue())
            return few
    raise SystemExit(f"{file.name} does not fit in {MOST_BYTES} bytes: show less of it")
