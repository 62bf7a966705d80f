"""The published JSON Schema: current, and true of every line and of no other."""

import json

import jsonschema
import pytest
from hypothesis import given
from jsonschema import Draft202012Validator
from jsonschema.exceptions import best_match

from scripts.make_schema import FILE, schema, text
from tests.hypothesis_profile import SHORT
from tests.lives import KINDS, OneJar, entries_of
from tracker.core.facts.amendments import Noted
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled, BottleRun
from tracker.core.facts.kinds import KINDS as BY_NAME
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line

PUBLISHED = json.loads(FILE.read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(PUBLISHED)


def line_of(entry: Entry) -> dict[str, object]:
    return json.loads(write_line(entry, GENESIS)[0])


def a_line() -> dict[str, object]:
    return line_of(OneJar.charged().charge)


def test_the_published_schema_is_what_the_events_are_today():
    """If this fails a kind has changed: run scripts/make_schema.py and read the difference."""
    assert FILE.read_text(encoding="utf-8") == text()
    assert schema() == PUBLISHED


def test_it_is_a_json_schema_of_2020_12():
    Draft202012Validator.check_schema(PUBLISHED)
    assert PUBLISHED["$schema"] == Draft202012Validator.META_SCHEMA["$id"]


def test_it_knows_every_kind_and_no_other():
    named = [one["properties"]["type"]["const"] for one in PUBLISHED["oneOf"]]

    assert sorted(named) == sorted(BY_NAME)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_line_fits_it(kind):
    @SHORT
    @given(entries_of(kind))
    def fits(entry):
        wrong = best_match(VALIDATOR.iter_errors(line_of(entry)))
        assert wrong is None, wrong

    fits()


REMOVED = list(a_line())


@pytest.mark.parametrize("attribute", REMOVED)
def test_a_line_without_one_of_its_attributes_does_not_fit(attribute):
    line = a_line()
    del line[attribute]

    assert not VALIDATOR.is_valid(line)


@pytest.mark.parametrize(
    ("attribute", "value"),
    [
        ("specversion", "0.3"),
        ("id", "1"),
        ("source", "Anna's Kitchen"),
        ("type", "distilled"),
        ("type", "pressed"),  # another kind's data
        ("subject", ""),
        ("time", "2025-03-03"),
        ("time", "2025-03-03T18:30:00"),
        ("precision", "decade"),
        ("recordedtime", 1741020000),
        ("sequence", "1"),
        ("sequence", 1),
        ("datacontenttype", "text/plain"),
        ("data", None),
        ("data", []),
        ("digest", "A" * 64),
        ("digest", "a" * 63),
        ("jar_id", "x"),
        ("unit", "event-0001"),  # without its place
        ("unitplace", "1/2"),  # without its unit
    ],
)
def test_a_line_with_a_wrong_attribute_does_not_fit(attribute, value):
    assert VALIDATOR.is_valid(a_line())
    assert not VALIDATOR.is_valid(a_line() | {attribute: value})


@pytest.mark.parametrize(
    ("place", "fits"),
    [("1/2", True), ("12/12", True), ("0/2", False), ("2", False), ("1/2 ", False), (1, False)],
)
def test_a_line_of_a_unit_names_it_and_its_place(place, fits):
    assert VALIDATOR.is_valid(a_line() | {"unit": "event-0001", "unitplace": place}) == fits


@pytest.mark.parametrize(
    "changes",
    [
        {"v": 2},
        {"kind": "charged"},
        {"herb_g": -1},
        {"herb_g": 0},
        {"herb_g": "100 g"},
        {"herb_g": None},
        {"herb_oz": 4},
        {"herb": ""},
        {"herb": "x" * 201},
        {"form": "candied"},
        {"pours": []},
        {"pours": [{"liquid": "ethanol", "volume_ml": 500, "ethanol_pct_vol": 101}]},
        {"pours": [{"liquid": "petrol", "volume_ml": 500}]},
        {"pours": [{"liquid": "water"}]},
        {"preparation": "soup"},
        {"look_days": [0]},
        {"shake": [{"every_days": 1, "sometimes": True}]},
    ],
    ids=json.dumps,
)
def test_a_line_with_wrong_data_does_not_fit(changes):
    line = a_line()

    assert not VALIDATOR.is_valid(line | {"data": line["data"] | changes})


@pytest.mark.parametrize("field", ["v", "code", "herb", "form", "pours", "preparation", "least"])
def test_a_charge_without_what_every_charge_says_does_not_fit(field):
    line = a_line()
    del line["data"][field]

    assert not VALIDATOR.is_valid(line)


def test_a_reference_to_a_bottle_number_nought_does_not_fit():
    one = OneJar.charged()
    one.press()
    line = line_of(one.then(Noted(about=one.extract(1), note="x"), "2025-06-04"))
    assert VALIDATOR.is_valid(line)
    line["data"]["about"]["bottle"] = 0

    assert not VALIDATOR.is_valid(line)


def test_bottles_by_the_thousand_million_do_not_fit():
    one = OneJar.charged()
    one.press()
    run = BottleRun(size_ml=50.0, count=12, first=1)
    line = line_of(one.then(Bottled(about=one.extract(), bottles=(run,)), "2025-06-04"))
    assert VALIDATOR.is_valid(line)
    line["data"]["bottles"][0]["count"] = 1_000_000_000

    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate(line)
