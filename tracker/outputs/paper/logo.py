"""The maker's logo as it is printed: of the size paper needs, on white."""

from io import BytesIO
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from PIL.Image import Image

# 25 mm at 600 dots an inch, more than a printer shows of a logo on a label.
_SIDE: Final = 600
# More dots than any logo has; a small file may unpack to far more.
_MOST_DOTS: Final = 40_000_000


def logo_of(contents: bytes) -> bytes:
    """The logo of a PNG or JPEG file, as a PNG.

    Raises:
        ValueError: it is no such picture, broken, or far too large.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(BytesIO(contents), formats=("PNG", "JPEG")) as read:
            if read.width * read.height > _MOST_DOTS:
                raise ValueError("it has more than 40 million dots")
            upright = ImageOps.exif_transpose(read)
            upright.thumbnail((_SIDE, _SIDE))
            flat = _on_white(upright)
    except UnidentifiedImageError as reason:
        raise ValueError("it is no PNG or JPEG picture") from reason
    except (OSError, SyntaxError, Image.DecompressionBombError) as reason:
        raise ValueError("the picture in it is broken") from reason
    to = BytesIO()
    flat.save(to, "PNG")
    return to.getvalue()


def _on_white(picture: "Image") -> "Image":
    from PIL import Image

    if picture.mode in ("L", "RGB"):
        return picture
    if not picture.has_transparency_data:
        return picture.convert("RGB")
    clear = picture.convert("RGBA")
    white = Image.new("RGBA", clear.size, "white")
    white.alpha_composite(clear)
    return white.convert("RGB")
