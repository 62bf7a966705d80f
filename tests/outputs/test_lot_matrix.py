"""What is true of a lot, by outputs: each fact is said in every one, or says why it is not."""

import pytest

from tests.command import Command

OUTPUTS = (
    "lots --all", "lots --all --json", "lots --all --csv", "show LOT-25-01",
    "show LOT-25-01 --json", "trace LOT-25-01", "trace LOT-25-01 --json",
)  # fmt: skip
BUY = (
    'buy "Melissa officinalis" --fresh 500g --from "Hollin Farm" --their-lot S-4471 '
    "--when 2025-03-01"
)
# What is recorded after the lot was bought, and what each output says then; None: not there.
MATRIX: dict[str, tuple[tuple[str, ...], tuple[str | None, ...]]] = {
    "on hold": (
        ("hold LOT-25-01 --why moths --when 2025-03-02",),
        ("ON HOLD", '"on_hold": true', "on hold", "since 2 Mar 2025: moths", '"why": "moths"',
         "ON HOLD", '"was_on_hold": true'),
    ),
    "recalled": (
        ("recall LOT-25-01 --why mites --when 2025-03-02",),
        ("RECALLED", '"recalled": "mites"', "recalled", "since 2 Mar 2025: mites",
         '"recalled": "mites"', "RECALLED", '"was_on_hold": true'),
    ),
    "counted": (
        ("count LOT-25-01 480g --when 2025-03-02",),
        ("MISSING", '"unaccounted": 20', ",20.0,", "2025-03-02: 20 g unaccounted",
         '"unaccounted": 20', "20 g  missing", '"missing": 20'),
    ),
    "dried": (
        ("dry LOT-25-01 100g --of 400g --when 2025-03-02",),
        ("dried", '"dried_from": "LOT-25-01"', "LOT-25-01", "dried             400 g",
         '"dried": 400', "LOT-25-02  lemon balm, dried  400 g dried 2 Mar 2025",
         '"code": "LOT-25-02"'),
    ),
    "numbered": (
        (),
        ("S-4471", '"their_lot": "S-4471"', "S-4471", "their lot         S-4471",
         '"their_lot": "S-4471"', None, None),
    ),
    "used up": (
        ("discard LOT-25-01 --why moths --when 2025-03-02",),
        ("used up", '"state": "used up"', "used up", "used up", '"state": "used up"',
         "500 g  thrown out", '"discarded": 500'),
    ),
}  # fmt: skip
CELLS = [
    (fact, output, said)
    for fact, (_, row) in MATRIX.items()
    for output, said in zip(OUTPUTS, row, strict=True)
    if said is not None
]


@pytest.fixture(scope="module")
def shelves(tmp_path_factory):
    """A book for each fact."""
    found = {}
    for fact, (lines, _) in MATRIX.items():
        found[fact] = Command(tmp_path_factory.mktemp(fact.replace(" ", "-")))
        for line in (BUY, *lines):
            found[fact].ok(line)
    return found


@pytest.mark.parametrize(("fact", "output", "said"), CELLS)
def test_what_one_output_says_of_a_lot_all_of_them_say(shelves, fact, output, said):
    assert said in shelves[fact].ok(output)


@pytest.mark.parametrize("output", OUTPUTS)
def test_a_lot_that_is_well_is_said_to_be_well(shelves, output):
    said = shelves["numbered"].ok(output)

    for word in ("ON HOLD", "RECALLED", "MISSING", "used up", "missing\n", "moths"):
        assert word not in said
