"""What goes on paper, as a printer would lay it down."""

from collections.abc import Sequence

import pypdfium2
from PIL import Image

from pictures.png import framed, laid_out, trimmed
from pictures.stage import Stage

# A plain one, a caution, one on hold since a recall, and a jar that still stands on the herb.
LABELLED = ("THVU-26-01A", "HYPE-26-01A", "TICO-26-01A", "VAOF-26-01")
LIDS = ("THVU-26-01A", "HYPE-26-01A", "TICO-26-01A", "VAOF-26-01")


def labels(stage: Stage) -> Image.Image:
    """Labels of 90 by 50 mm, two by two."""
    return laid_out(labelled(stage, LABELLED), columns=2, gap=16)


def labelled(stage: Stage, codes: Sequence[str]) -> list[Image.Image]:
    """A label of 90 by 50 mm for each."""
    return _pages(stage, f"label {' '.join(codes)} --size 90x50mm --no-record --sure", dpi=150)


def lids(stage: Stage) -> Image.Image:
    """Round labels for lids, cut from their sheet."""
    (page, *_) = _pages(stage, f"label {' '.join(LIDS)} --lid --sheet lids --no-record --sure", 150)
    return trimmed(page, margin=16)


def short_labels(stage: Stage) -> Image.Image:
    """Labels for small bottles, of 40 by 20 mm."""
    line = f"label {' '.join(LABELLED)} --short --size 40x20mm --no-record --sure"
    return laid_out(_pages(stage, line, dpi=200), columns=2, gap=16)


def record(stage: Stage) -> Image.Image:
    """The first page of a batch record."""
    return framed(_pages(stage, "record LECA-25-01 --pdf", dpi=100)[0])


def handout(stage: Stage) -> Image.Image:
    """The jars on the herb, as far down as they go."""
    page = _pages(stage, 'handout --title "Jars on the herb"', dpi=100)[0]
    below = trimmed(page, margin=40).height
    return framed(page.crop((0, 0, page.width, min(below + 40, page.height))))


def _pages(stage: Stage, line: str, dpi: int) -> list[Image.Image]:
    file = stage.file(line, "paper.pdf")
    with pypdfium2.PdfDocument(file) as paper:
        return [page.render(scale=dpi / 72).to_pil().convert("RGB") for page in paper]
