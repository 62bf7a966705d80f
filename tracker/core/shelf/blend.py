"""A blend: extracts put together."""

from typing import Literal

import msgspec

from tracker.core.shelf.contents import DROP_ML, Contents, Use
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.hold import Hold
from tracker.core.values.times import When


class Blend(msgspec.Struct, tag="blend"):
    """Extracts put together into one, which is known by the blend's own id and code.

    What it goes by, `herb`, `form` and the rest, is that of its parts on the day it was made.
    """

    id: str
    code: str
    blended: When
    herb: str
    form: str
    preparation: str
    liquid: Extract
    born: str = ""
    common: str | None = None
    part: str | None = None
    of_one_herb: bool = False  # whether extracts of several steeps of one herb met in it
    uses: tuple[Use, ...] = ()  # all that was ever poured in from lots or was paid for
    flags: list[Flag] = []

    @property
    def opened(self) -> Literal["blended"]:
        """How there came to be any of it."""
        return "blended"

    @property
    def begun(self) -> When:
        """When there was first anything of it."""
        return self.blended

    @property
    def extracts(self) -> list[Extract]:
        """Its one extract."""
        return [self.liquid]

    @property
    def contents(self) -> Contents:
        """What it is made of now."""
        return self.liquid.made

    @property
    def hold(self) -> Hold | None:
        """Why nothing of it is given out."""
        return self.liquid.hold

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold."""
        return self.liquid.on_hold

    @property
    def is_live(self) -> bool:
        """Whether anything of it is still on the shelf, or was given out while on hold."""
        return self.liquid.left_ml >= DROP_ML or self.liquid.is_given_on_hold()

    def extract(self, extract_id: str) -> Extract | None:
        """Its one extract, by that one's id."""
        return self.liquid if extract_id == self.liquid.id else None

    def extract_code(self, extract: Extract) -> str:
        """The code of its one extract: its own."""
        return f"{self.code}{extract.letter}"
