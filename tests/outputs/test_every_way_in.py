"""Herbs by outputs: however a herb came in, each output names it and what it asks care for.

The herb is monkshood, which comes to thyme wherever it can. A cell that is not asked for has its
reason. All but the plants is invented.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.command import Command
from tests.outputs.paper.reading import squeezed, text_of

pytestmark = pytest.mark.thorough

THYME = 'charge "Thymus vulgaris" --part herb --dried 80g --pour "400 ml 45%" --when 2025-03-03'
MONKSHOOD = (
    'charge "Aconitum napellus" --part root --dried 20g --pour "100 ml 45%" '
    "--when 2025-03-03 --sure"
)
MORE = '--herb "Aconitum napellus" --part root --dried 20g --sure'
HERB = re.compile(r"A(conitum|\.)nap")  # a column of few cells cuts it
CAUTION = re.compile(r"Aconitumnapellus,monkshood:aconitine|Harmfulplant")


class NotMeant(NamedTuple):
    """What an output does not say, and why."""

    why: str


class Way(NamedTuple):
    """How the herb comes in: the lines, what then has it, and what opens an extract of that."""

    lines: tuple[str, ...]
    code: str
    press: str | None = None


def _jar(*lines: str, code: str, ml: int = 80) -> Way:
    return Way(lines, code, f"press {code} {ml}ml --when 2025-08-01 --sure")


BOTH_PRESSED = (
    THYME,
    MONKSHOOD,
    "press THVU-25-01 300ml --when 2025-06-03",
    "press ACNA-25-01 80ml --when 2025-06-03",
)
MONKSHOOD_PRESSED = (MONKSHOOD, "press ACNA-25-01 80ml --when 2025-03-04")
POURED = '--pour "20 ml ACNA-25-01A" --sure'
WAYS: dict[str, Way] = {
    "charge": _jar(MONKSHOOD, code="ACNA-25-01"),
    "lot named at the charge": _jar(
        'buy "Aconitum napellus" --part root --dried 50g --when 2025-03-01 --sure',
        'charge LOT-25-01 --dried 20g --pour "100 ml 45%" --when 2025-03-03 --sure',
        code="ACNA-25-01",
    ),
    "add-herb": _jar(THYME, f"add-herb THVU-25-01 {MORE} --when 2025-03-10", code="THVU-25-01"),
    "recharge": Way(
        (
            THYME,
            "press THVU-25-01 300ml --when 2025-06-03",
            f"recharge THVU-25-01A {MORE} --when 2025-06-04",
        ),
        "THVU-25-01",
        "press THVU-25-01 200ml --when 2025-08-01 --sure",
    ),
    "refill": Way(
        (
            *BOTH_PRESSED,
            "bottle THVU-25-01A 1x100ml --when 2025-06-04",
            "dispense THVU-25-01A/1 40ml --when 2025-06-05",
            "refill THVU-25-01A/1 --volume 20ml --from ACNA-25-01A --when 2025-06-06 --sure",
        ),
        "THVU-25-01A/1",
    ),
    "blend": Way(
        (
            *BOTH_PRESSED,
            'blend --part "40 ml THVU-25-01A" --part "40 ml ACNA-25-01A" --code BLND-25-01 '
            "--when 2025-06-06 --sure",
        ),
        "BLND-25-01",
    ),
    "join": _jar(
        THYME,
        MONKSHOOD,
        "join THVU-25-01 ACNA-25-01 --code BOTH-25-01 --when 2025-03-05 --sure",
        code="BOTH-25-01",
    ),
    "split child": _jar(
        MONKSHOOD, "split ACNA-25-01 --into 2 --when 2025-03-05", code="ACNA-25-02", ml=40
    ),
    "found": Way(
        (
            'found "Aconitum napellus" --part root --volume 90ml --charged 2025-03 --least 28d '
            "--when 2025-04-03 --sure",
        ),
        "ACNA-25-01",
    ),
    "extract poured at the charge": _jar(
        *MONKSHOOD_PRESSED,
        f"{THYME.replace('03-03', '03-05')} {POURED}",
        code="THVU-25-01",
    ),
    "extract poured at a top-up": _jar(
        THYME,
        *MONKSHOOD_PRESSED,
        f"top-up THVU-25-01 {POURED} --when 2025-03-05",
        code="THVU-25-01",
    ),
    "extract poured on old marc": _jar(
        THYME,
        *MONKSHOOD_PRESSED,
        "press THVU-25-01 300ml --when 2025-06-03",
        f"steep-again THVU-25-01 {POURED} --when 2025-06-04",
        code="THVU-25-01",
    ),
    "extract diluted with one": Way(
        (*BOTH_PRESSED, f"dilute THVU-25-01A {POURED} --when 2025-06-06"), "THVU-25-01A"
    ),
    "extract made up with one": Way(
        (*BOTH_PRESSED, f"dilute THVU-25-01A --to 320ml {POURED} --when 2025-06-06"),
        "THVU-25-01A",
    ),
    "page of lines": _jar("enter page.txt --yes --sure", code="ACNA-25-01"),
    "correction of the herb": _jar(
        THYME, 'correct EVENT --set "herb=Aconitum napellus" --set part=root --why misread --sure',
        code="THVU-25-01",
    ),
}  # fmt: skip


TO_BE_DONE = NotMeant("it says what is to be done; show and the label have the cautions")
EVENTS = NotMeant("it tells events, and what came of them is in show")
NARROW = NotMeant("a row has no room for cautions; show and the label have")
FLOWS = NotMeant("it says what flowed where; show has the cautions of each")
NOT_ON_THE_HERB = NotMeant("no herb is in it: it stands in the stock")
NOT_PRESSED = NotMeant("nothing was pressed or blended of it")
BY_CODES = NotMeant("the parts are told by their codes")
OF_THE_BATCH = NotMeant("it is of the batch; what went into an extract or bottle since is in show")
NO_LOT = NotMeant("no lot has it")

Reason = NotMeant | None


class Output(NamedTuple):
    """A line to run, why it may not name the herb or its caution, and the ways it is not for."""

    line: str
    herb: Reason = None
    caution: Reason = None
    pressed: bool = False
    but: dict[str, NotMeant] = {}  # noqa: RUF012 - never changed


INTO_EXTRACTS = ("extract diluted with one", "extract made up with one")
LIQUIDS = dict.fromkeys(("refill", "blend", *INTO_EXTRACTS), NOT_ON_THE_HERB)
NOT_DUE = dict.fromkeys(("refill", "blend", *INTO_EXTRACTS), NotMeant("it is in date"))
UNPRESSED = {"found": NOT_PRESSED}
POURED_IN = [one for one in WAYS if one.startswith("extract ")]
TOLD_BY_CODES = dict.fromkeys(("refill", "blend", "join", "split child", *POURED_IN), BY_CODES)
LATER = dict.fromkeys(("refill", *INTO_EXTRACTS), OF_THE_BATCH)
NOT_A_LOT = {one: NO_LOT for one in WAYS if one != "lot named at the charge"}

OUTPUTS: dict[str, Output] = {
    "shelf": Output("shelf --on 2025-07-01", caution=NARROW, but=LIQUIDS),
    "shelf --done": Output("shelf --done --on 2025-07-01", caution=NARROW, but=LIQUIDS),
    "shelf --json": Output("shelf --json --on 2025-07-01", but=LIQUIDS),
    "shelf --csv": Output("shelf --csv --on 2025-07-01", but=LIQUIDS),
    "show": Output("show CODE"),
    "show --sources": Output("show CODE --sources"),
    "show --json": Output("show CODE --json"),
    "history": Output("history CODE", caution=EVENTS, but=TOLD_BY_CODES),
    "due": Output("due --on 2025-07-15", caution=TO_BE_DONE, but=NOT_DUE),
    "notification": Output("remind --plain --printed", caution=TO_BE_DONE),
    "label": Output("label CODE --no-record --to OUT.pdf"),
    "lid": Output("label CODE --lid --no-record --to OUT.pdf"),
    "handout": Output("handout CODE --to OUT.pdf"),
    "page": Output("page"),
    "record": Output("record CODE"),
    "record --json": Output("record CODE --json"),
    "record --pdf": Output("record CODE --pdf --to OUT.pdf"),
    "trace": Output("trace CODE", caution=FLOWS),
    "calendar": Output("calendar --to OUT.ics --on 2025-09-02", pressed=True, but=UNPRESSED),
    "timeline": Output("timeline CODE", but=LATER),
    "timeline --to": Output("timeline CODE --to OUT.svg", but=LATER),
    "season": Output("season --on 2025-07-01"),
    "lots": Output("lots", caution=NARROW, but=NOT_A_LOT),
    "lots --json": Output("lots --json", but=NOT_A_LOT),
    "lots --csv": Output("lots --csv", but=NOT_A_LOT),
    "show LOT": Output("show LOT-25-01", but=NOT_A_LOT),
    "recall": Output("recall LOT-25-01 --why swapped --dry-run", caution=FLOWS, but=NOT_A_LOT),
    "stock": Output("stock --on 2025-09-02", caution=NARROW, pressed=True, but=UNPRESSED),
    "stock --json": Output("stock --json --on 2025-09-02", pressed=True, but=UNPRESSED),
    "stock --csv": Output("stock --csv --on 2025-09-02", pressed=True, but=UNPRESSED),
    "show of the extract": Output("show EXTRACT", pressed=True),
    "label of the extract": Output("label EXTRACT --no-record --to OUT.pdf", pressed=True),
    "lid of the extract": Output("label EXTRACT --lid --no-record --to OUT.pdf", pressed=True),
    "supply": Output("supply --on 2025-09-02", pressed=True, but=UNPRESSED),
    "yields by method": Output("yields --by-method --on 2025-09-02", pressed=True, but=UNPRESSED),
}


@dataclass(frozen=True)
class Shelf:
    """A book where the herb came in one way, as a command that reads it, and the thing's code."""

    command: Command
    code: str
    extract: str

    def says(self, line: str) -> str:
        """What an output prints, or writes to a file."""
        home = self.command.home
        filled = line.replace("EXTRACT", self.extract).replace("CODE", self.code)
        printed = self.command.ok(filled.replace("OUT", str(home / "out")))
        for name in ("out.pdf", "out.ics", "out.svg"):
            if (path := home / name).exists():
                data = path.read_bytes()
                path.unlink()
                if name == "out.pdf":
                    return text_of(data)
                return data.decode().replace("\r\n ", "").replace("\\,", ",").replace("\\n", "\n")
        return printed


def _made(way: Way, home: Path, *, pressed: bool) -> Shelf:
    command = Command(home)
    command.practice('zone = "Europe/Berlin"\n')
    (home / "page.txt").write_text(f"{MONKSHOOD}\n", encoding="utf-8")
    for line in way.lines:
        line = line.replace("page.txt", str(home / "page.txt"))
        if "EVENT" in line:
            line = line.replace("EVENT", command.event("charged"))
        command.ok(line)
    extract = way.code
    if pressed and way.press:
        answer = command.ok(way.press)
        extract = re.search(rf"{way.code}[A-Z]", answer)[0]
    return Shelf(command, way.code, extract)


@pytest.fixture(scope="module")
def shelf_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, bool], Shelf]:
    """The book of a way, made once: with the jar on the herb, or pressed."""
    made: dict[tuple[str, bool], Shelf] = {}

    def shelf(way: str, pressed: bool) -> Shelf:
        if (way, pressed) not in made:
            made[way, pressed] = _made(WAYS[way], tmp_path_factory.mktemp("way"), pressed=pressed)
        return made[way, pressed]

    return shelf


CELLS = [(way, name) for way in WAYS for name in OUTPUTS]


@pytest.mark.parametrize(("way", "name"), CELLS, ids=[" - ".join(cell) for cell in CELLS])
def test_however_a_herb_came_in_each_output_names_it_and_its_caution(shelf_of, way, name):
    output = OUTPUTS[name]
    if reason := output.but.get(way):
        assert reason.why
        return
    said = squeezed(shelf_of(way, output.pressed).says(output.line))

    assert (HERB.search(said) is not None) == (output.herb is None)
    assert (CAUTION.search(said) is not None) == (output.caution is None)


@pytest.mark.parametrize("name", OUTPUTS)
def test_of_thyme_alone_no_output_says_a_word_of_monkshood(tmp_path, name):
    """The cells above would pass on an output that cries wolf; these would not."""
    lines = (THYME, 'buy "Thymus vulgaris" --part herb --dried 50g --when 2025-03-01')
    way = Way(lines, "THVU-25-01", "press THVU-25-01 300ml --when 2025-08-01")
    said = squeezed(_made(way, tmp_path, pressed=OUTPUTS[name].pressed).says(OUTPUTS[name].line))

    assert not HERB.search(said)
    assert not CAUTION.search(said)
