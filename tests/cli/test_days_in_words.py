"""No answer for people has a day as data have it, but what was typed and what is to be typed."""

import re
from datetime import datetime
from unittest.mock import patch

import pytest

from tests.command import Command
from tracker import clock

pytestmark = pytest.mark.thorough

# The record names the zone of its hours: `CET, UTC+1`.
_AS_DATA = re.compile(r"\d{4}-\d\d|\bUTC\b(?!\+)|[a-z]-longest")
# The sheet of a stocktake names the command that takes it back.
_TO_TYPE = re.compile(r"stillroom [^`]*--when \d{4}-\d\d-\d\d")
LOOKING = (
    "due", "due --all", "due --on '24 Dec'", "shelf", "shelf --done", "stock", "stock --cost",
    "stock --on '1 Jun'", "lots", "lots --on '1 Jun'", "check", "check --digest", "practice",
    "practice --all", "undo --list", "undo --dry-run", "stocktake --sheet", "history",
    "correct h103", "correct h1153",
    "history --all", "history --on '1 Jun'", "yields", "yields valerian", "yields --by-method",
    "batches valerian", "batches coneflower", "season", "season --months 12", "supply",
    "timeline CAOF-26-03", "timeline ECPU-22-01", "strength VAOF-26-01", "strength ECPU-22-01",
    "mix --to 45% --volume 1l --from LOT-26-01 --from water", "trace LOT-25-11 --on '1 Jun'",
    "show valerian", "show coneflower", "show lime", "reminders", "remind --printed",
)  # fmt: skip
THINGS = (
    "ECPU-22-01", "CAOF-26-03", "VEOF-25-01A", "MAVU-26-01", "TICO-26-02", "SAOF-25-01A/1",
    "BLEND-26-01", "ARLA-26-02",
)  # fmt: skip
LOTS = ("LOT-25-11", "LOT-25-01")
OF_ONE = ("show", "history", "history --all", "trace", "correct")
RECORDING = (
    "later CAOF-26-03 5d", "later VAOF-26-02 'by 3 Mar'", "away '20 Dec' '2 Jan'",
    "shake VAOF-26-02", "shake VAOF-26-02 --when '3 days ago'",
    "look VAOF-26-02 --sign cloudy --again 3d", "look VAOF-26-02 --sign mould",
    "note VAOF-26-02 hello --when June", "note VAOF-26-02 hello --when 'summer 2024'",
    "charge calendula --part flower --dried 100g --pour '500 ml 60%' --when June",
    "charge LOT-26-04 --dried 20g --pour '500 ml 60%' --when '1 Jun'",
    "charge LOT-25-11 --dried 20g --pour '500 ml 60%'", "move VAOF-26-02 --to cellar",
    "top-up VAOF-26-02 --pour '50 ml 60%'", "add-herb VAOF-26-02 --dried 20g",
    "draw VAOF-26-02 20ml", "recharge AGEU-26-01A --dried 60g --part herb",
    "steep-again VEOF-25-01 --pour '300 ml 45%'", "split VAOF-26-02 --into 2",
    "join VAOF-26-02 VAOF-26-01", "found rosemary --part leaf --charged 'summer 2024'",
    "press ECPU-22-01 200ml", "press VAOF-26-02 200ml", "press TICO-26-02 200ml",
    "press VAOF-26-02 200ml --when '1 Jun'", "press valerian 20ml", "filter AGEU-26-01A 60ml",
    "bottle AGEU-25-03A 3x100ml", "bottle VEOF-25-01A 1x10ml", "bottle AGEU-26-01A 1x10ml",
    "dilute AGEU-25-03A --pour '40 ml water'", "count AGEU-25-03A 900ml",
    "blend --part '60 ml AGEU-25-03A' --part '40 ml ACMI-25-01A'", "dispense VEOF-25-01A 5ml",
    "dispense SAOF-25-01A/1 5ml", "dispense BLEND-26-01 5ml", "refill SAOF-25-01A/1",
    "discard VEOF-25-01A --why old", "discard BLEND-26-01 --why old", "hold VAOF-26-02 --why x",
    "hold BLEND-26-01 --why x", "release MAVU-26-01 --why x", "dry LOT-26-03 160g",
    "gather nettle --part leaf --fresh 700g", "buy '2 l 95%' --paid 38.00",
    "recall LOT-26-04 --why x", "recall LOT-25-11 --why x", "strike h103 --why x",
    "correct h103 --set 'when=by 3 Mar 2022' --why x", "correct h1153 --set when=June --why x",
    "restore VEOF-25-01A", "same h103 h104",
)  # fmt: skip
LINES = (
    *LOOKING,
    *(f"{verb} {code}" for verb in OF_ONE for code in (*THINGS, *LOTS)),
    *(f"record {code}" for code in THINGS),
    *(f"{line} --dry-run" for line in RECORDING),
)


@pytest.fixture(autouse=True)
def _evening():
    """An evening on which all of the demo book is of the last years, whenever this is run."""

    def now(where):
        return datetime(2026, 11, 27, 19, 0, tzinfo=where)

    with patch.object(clock, "now", now):
        yield


@pytest.fixture(scope="module")
def shelf(tmp_path_factory) -> Command:
    """The demo book, with a few lines of one's own to be taken back."""
    command = Command(tmp_path_factory.mktemp("told"), writer="me")
    with patch.object(clock, "now", lambda where: datetime(2026, 11, 27, 18, 0, tzinfo=where)):
        command.ok("demo book")
        command.ok("note VAOF-26-02 'smells right'")
        command.ok("shake VAOF-26-02 --sure")
        command.ok("undo")
    return command


@pytest.mark.parametrize("line", LINES)
def test_an_answer_has_days_in_words(shelf, line):
    answer = shelf.run(line)

    assert "Traceback" not in answer.err
    assert "See: stillroom" not in answer.err, "a line that is misspelt shows nothing"
    said = [_TO_TYPE.sub("", one) for one in (answer.out + answer.err).splitlines()]
    assert [one for one in said if _AS_DATA.search(one)] == []
