"""What a jar was read to be filled to, with what was in it then."""

import msgspec


class Fill(msgspec.Struct, frozen=True):
    """Herb and menstruum together as they stood in a jar, and each by itself.

    Attributes:
        event: what read it.
        herb, part, form: the one herb that lay in it; herb is None where there were several.
        filled_ml: what it stood at.
        menstruum_ml: what had been poured and not drawn off, without the herb's own water.
        herb_g: the herb in it as weighed; None where any of it was not.
        is_measured: whether all three were measured or weighed, none judged by eye.
    """

    event: str
    herb: str | None
    part: str | None
    form: str
    filled_ml: float
    menstruum_ml: float
    herb_g: float | None
    is_measured: bool

    @property
    def displacement_ml_per_g(self) -> float | None:
        """The room one gram of the herb takes up; None where it was not weighed."""
        return (self.filled_ml - self.menstruum_ml) / self.herb_g if self.herb_g else None
