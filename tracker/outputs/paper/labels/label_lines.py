"""Lines of a label: words in their style, what part they play, and how soon they are left off."""

from typing import Final, Literal, NamedTuple

Style = Literal["", "B", "I"]

# What a line is on the label, and so how large it is set:
#   name       the plant, the largest of all
#   names      several plants, smaller, none of them cut
#   under      part, form and common name
#   strong     ratio and strength
#   body, own  days and what was poured; the maker's own lines, lots
#   good       the last good day
#   grave      what can do harm at once; never smaller than `care`
#   code       the code, never broken
Role = Literal["name", "names", "under", "strong", "body", "own", "good", "grave", "care", "code"]
Kind = Literal["label", "lid", "short"]

# How soon what is no caution is left off, the highest first; `label_cautions` has those of
# cautions. The QR code goes after all that is above it.
LOTS_RANK, COMMON_RANK, POURED_RANK, OWN_RANK = 100, 100, 80, 70
QR_RANK, DAYS_RANK, RECIPE_RANK, BELONGS_RANK, UNDER_RANK = 50, 50, 40, 20, 10

_UNBROKEN: Final = "\u00a0"
NAMES: Final[tuple[Role, ...]] = ("name", "names")


class Run(NamedTuple):
    """Words in one style: upright, bold or italic.

    `rank` is how soon they are left off of the line: the highest first, 0 never.
    """

    text: str
    style: Style = ""
    rank: int = 0


class LabelLine(NamedTuple):
    """One thing a label says; it may take several lines of the paper.

    Attributes:
        runs: its words.
        role: what it is.
        rank: how soon it is left off where there is no room: the highest first, 0 never.
        beside: what is said small behind it, or below where the line is full.
        shorter: the same in fewer words, for where there is no room.
        behind: what is said behind that, as large as the line again.
    """

    runs: tuple[Run, ...]
    role: Role = "body"
    rank: int = 0
    beside: tuple[Run, ...] = ()
    shorter: tuple[Run, ...] = ()
    behind: tuple[Run, ...] = ()

    @property
    def text(self) -> str:
        """Its words."""
        parts = ("".join(run.text for run in some) for some in self.parts)
        return " ".join(one for one in parts if one).strip().replace(_UNBROKEN, " ")

    @property
    def parts(self) -> tuple[tuple[Run, ...], tuple[Run, ...], tuple[Run, ...]]:
        """What is said large, small beside it, and large behind that."""
        return self.runs, self.beside, self.behind

    @property
    def loses_nothing(self) -> bool:
        """Whether the fewer words are the last of all of them, as in `through 12 Jul 2027`."""
        return bool(self.shorter) and self.text.endswith(self.in_fewer_words.text)

    @property
    def in_fewer_words(self) -> "LabelLine":
        """The line as short as it can be said."""
        return self._replace(runs=self.shorter) if self.shorter else self


class Label(NamedTuple):
    """All one label says.

    Attributes:
        code: of the thing it is for.
        lines: from its top.
        foot: the cautions, the gravest first.
        mark: its code, and how much a bottle holds.
        bar: what stands in white on black; None where nothing is so grave.
        qr: what its QR code holds.
        kind: a lid and a short label say less, and point to the jar.
        language: of the patterns by which its words are hyphenated; None: not at all.
    """

    code: str
    lines: tuple[LabelLine, ...]
    foot: tuple[LabelLine, ...]
    mark: tuple[LabelLine, ...]
    bar: LabelLine | None = None
    qr: str | None = None
    kind: Kind = "label"
    language: str | None = None

    @property
    def every_line(self) -> tuple[LabelLine, ...]:
        """All it says: the plant, then the bar and the cautions, the code last."""
        bar = () if self.bar is None else (self.bar,)
        return (*self.lines, *self.foot, *bar, *self.mark)


def line(
    text: str, role: Role = "body", *, style: Style = "", rank: int = 0, shorter: str = ""
) -> LabelLine:
    """A line of one style."""
    fewer = (Run(shorter, style),) if shorter else ()
    return LabelLine((Run(text, style),), role, rank, shorter=fewer)


def unbroken(text: str) -> str:
    """Words that stay on one line."""
    return text.replace(" ", _UNBROKEN)
