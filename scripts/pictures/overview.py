"""The one picture of the README: the page on a phone, and labels beside it."""

from PIL import Image

from pictures.paper import labelled
from pictures.png import WASH
from pictures.stage import PHONE, Stage

GAP = 18
# One with nothing to heed, and one on hold.
SHOWN = ("THVU-26-01A", "TICO-26-01A")


def overview(stage: Stage) -> Image.Image:
    """A phone as high as two labels one below the other."""
    first, second = labelled(stage, SHOWN)
    high = first.height + GAP + second.height
    page = stage.file("page", "shelf.html")
    whole = stage.phone_high(page, high)
    phone = stage.looked_at(page, width=PHONE, height=whole, scale=high / whole)
    high = phone.height
    size = (phone.width + first.width + 3 * GAP, high + 2 * GAP)
    table = Image.new("RGB", size, WASH)
    table.paste(phone, (GAP, GAP))
    table.paste(first, (phone.width + 2 * GAP, GAP))
    table.paste(second, (phone.width + 2 * GAP, first.height + 2 * GAP))
    return table
