"""practice.toml: every key, every slip by line and key, and the example that reads back."""

from datetime import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from tests.hypothesis_profile import USUAL
from tracker.bench.bench import Bench
from tracker.cli.verbs.keeping.practice_rules import _example, _rows
from tracker.config.label_keys import LABEL_KEYS
from tracker.config.practice_file import OTHER_KEYS, RULE_KEYS, WAY_KEYS, read_practice
from tracker.core.practice.label_rules import LabelRules
from tracker.core.practice.practice import (
    BUILT_IN_RULES,
    BUILT_IN_WAYS,
    PRACTICE_FILE,
    Practice,
    Rules,
    WayRules,
)
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.values.errors import PracticeError
from tracker.core.values.times import Period

KINDS = tuple(BUILT_IN_RULES)


def practice_of(book: Path, text: str) -> Practice:
    (book / PRACTICE_FILE).write_text(text, encoding="utf-8")
    return read_practice(book)


def complaint(book: Path, text: str) -> PracticeError:
    """What is wrong with a practice.toml."""
    with pytest.raises(PracticeError) as refused:
        practice_of(book, text)
    assert refused.value.do
    assert refused.value.exit_code == 2
    return refused.value


# What is read


def test_the_folder_of_the_page_is_a_path_or_none(tmp_path):
    assert practice_of(tmp_path, '[page]\nfolder = "~/Synced"\n').page_folder == "~/Synced"
    assert practice_of(tmp_path, '[page]\nfolder = "none"\n').page_folder is None
    assert "path of a folder" in complaint(tmp_path, '[page]\nfolder = ""\n').what
    assert "a text in quotes" in complaint(tmp_path, "[page]\nfolder = 3\n").what


def test_a_book_without_a_practice_has_the_houses(tmp_path):
    assert read_practice(tmp_path) == Practice()
    assert read_practice(tmp_path / "no" / "such" / "book") == Practice()
    assert practice_of(tmp_path, "# nothing but a remark\n") == Practice()


@pytest.mark.parametrize(
    ("key", "written", "name", "value"),
    [
        ("least", '"6 weeks"', "least", Period(days=42)),
        ("least", '"P2M"', "least", Period(2)),
        ("longest", '"1 year"', "longest", Period(12)),
        ("longest", '"none"', "longest", None),
        ("keeps", '"24 months"', "keeps", Period(24)),
        ("shake", '"daily 7d, weekly"', "shake", (ShakePhase(1, 7), ShakePhase(7))),
        ("shake", '"none"', "shake", ()),
        ("look", '"7d, 1d, 3 weeks"', "look_days", (1, 7, 21)),
        ("look", '"none"', "look_days", ()),
    ],
)
@pytest.mark.parametrize("kind", KINDS)
def test_each_rule_of_each_preparation_may_be_the_makers_own(
    tmp_path, kind, key, written, name, value
):
    """And no other rule changes with it."""
    found = practice_of(tmp_path, f'["{kind}"]\n{key} = {written}\n')

    assert found.rules == {**BUILT_IN_RULES, kind: replace(BUILT_IN_RULES[kind], **{name: value})}
    assert found.origins == {f"{kind}.{key}": "practice.toml, line 2"}


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ('units = "british"', "units", "british"),
        ('measures = "ounces"', "measures", "ounces"),
        ('zone = "Australia/Lord_Howe"', "zone", "Australia/Lord_Howe"),
        ('hemisphere = "south"', "hemisphere", "south"),
        ('dates = "month first"', "dates", "month first"),
        ('names = "latin"', "names", "latin"),
        ('[reminders]\ndigest = "07:30"', "digest_at", time(7, 30)),
        ("[reminders]\ndigest = 07:30:00", "digest_at", time(7, 30)),
        ('[reminders]\n"waking from" = "06:00"', "waking_from", time(6)),
        ('[reminders]\n"waking until" = "22:15"', "waking_until", time(22, 15)),
        ('[reminders]\n"expiring before" = "6 weeks"', "expiring_before", Period(days=42)),
        ('[reminders]\n"count every" = "3 months"', "count_every", Period(3)),
        ('[reminders]\n"count every" = "none"', "count_every", None),
        ('[keeping]\n"warn below" = "17.5 %"', "warn_below_pct_vol", 17.5),
        ('[keeping]\n"caution below" = 30', "caution_below_pct_vol", 30.0),
    ],
)
def test_each_other_key_may_be_the_makers_own(tmp_path, text, name, value):
    found = practice_of(tmp_path, text + "\n")

    assert getattr(found, name) == value
    assert replace(found, origins={}) == replace(Practice(), **{name: value})
    assert list(found.origins.values()) == [f"practice.toml, line {len(text.splitlines())}"]


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ('"own lines" = "Mill Lane | Not for sale"', LabelRules(("Mill Lane", "Not for sale"))),
        ('"own lines" = ["Mill Lane", "Not for sale"]', LabelRules(("Mill Lane", "Not for sale"))),
        ('"own lines" = "none"', LabelRules()),
        ('logo = "Our logo.PNG"', LabelRules(logo="Our logo.PNG")),
        ('logo = "none"', LabelRules()),
        ("recipe = false", LabelRules(recipe=False)),
        ('recipe = "no"', LabelRules(recipe=False)),
        ('language = "de-CH"', LabelRules(language="de-CH")),
        ('language = "none"', LabelRules(language="")),
    ],
)
def test_each_rule_of_labels_may_be_the_makers_own(tmp_path, text, rules):
    found = practice_of(tmp_path, f"[labels]\n{text}\n")

    assert found.label == rules
    assert replace(found, origins={}, label=LabelRules()) == Practice()


# How each rule that is no preparation's, and no sheet's, is called in the file: table and key.
KEYS = {
    field: f"{table}.{key}".lstrip(".")
    for table, keys in OTHER_KEYS.items()
    for key, (field, _) in keys.items()
}


def test_every_field_of_a_practice_has_its_key():
    """A rule that only the code can change is no rule of the maker's."""
    of_label = {one.name for one in fields(LabelRules)}
    own = {one.name for one in fields(Practice)} - {"rules", "ways", "origins", "sheets", "label"}
    assert own | of_label == set(KEYS)
    assert of_label == {field for field, _ in LABEL_KEYS.values()}
    assert {one.name for one in fields(Rules)} == {field for field, _ in RULE_KEYS.values()}


@pytest.mark.parametrize("way", BUILT_IN_WAYS)
@pytest.mark.parametrize(
    ("key", "written", "name", "value"),
    [
        ("least", '"12 days"', "least", Period(days=12)),
        ("keeps", '"5d"', "keeps", Period(days=5)),
        ("shake", '"daily 2d"', "shake", (ShakePhase(1, 2),)),
        ("look", '"1d"', "look_days", (1,)),
    ],
)
def test_each_rule_of_each_way_may_be_the_makers_own(tmp_path, way, key, written, name, value):
    found = practice_of(tmp_path, f"[{way}]\n{key} = {written}\n")

    assert found.ways == {**BUILT_IN_WAYS, way: replace(BUILT_IN_WAYS[way], **{name: value})}
    assert found.origins == {f"{way}.{key}": "practice.toml, line 2"}


def test_a_way_goes_before_the_preparation_and_never_lengthens_how_long_it_keeps():
    practice = Practice()
    plain = practice.rules_for("spirit on dried herb", "maceration")
    simmered = practice.rules_for("spirit on dried herb", "simmered")

    assert plain == practice.rules["spirit on dried herb"]
    assert practice.rules_for("spirit on dried herb", "double") == plain
    assert (simmered.least, simmered.keeps, simmered.shake) == (Period(), Period(days=3), ())
    long = replace(practice, ways={"simmered": WayRules(keeps=Period(36))})
    assert long.rules_for("vinegar", "simmered").keeps == practice.rules["vinegar"].keeps


def test_every_key_is_in_the_example_and_in_the_list_of_rules(tmp_path):
    lines = ("Mill Lane Stillroom", 'Sold as "bitters" \\ not for sale')
    in_force = Practice(
        zone="Europe/Berlin",
        currency="EUR",
        dates="day first",
        label=LabelRules(lines, "logo.png", recipe=False, language=""),
    )
    practice_of(tmp_path, _example(in_force))
    set_by_file = set(read_practice(tmp_path).origins)
    listed = {row[0].replace(": ", ".") for row in _rows(in_force)}

    assert read_practice(tmp_path).label == in_force.label
    for found in (set_by_file, listed):
        assert set(KEYS.values()) <= found
        assert {f"{kind}.{key}" for kind in KINDS for key in RULE_KEYS} <= found
    # A rule that a way leaves to the preparation is a comment in the example.
    assert {f"{way}.{key}" for way in BUILT_IN_WAYS for key in WAY_KEYS} <= listed
    assert {f"simmered.{key}" for key in WAY_KEYS} <= set_by_file


def test_a_file_saved_on_another_system_reads_the_same(tmp_path):
    (tmp_path / PRACTICE_FILE).write_bytes(b'# caf\xc3\xa9\r\n[vinegar]\r\nleast = "5 weeks"\r\n')
    found = read_practice(tmp_path)

    assert found.rules["vinegar"].least == Period(days=35)
    assert found.origins == {"vinegar.least": "practice.toml, line 3"}


# What is refused, by line and key

PLACED = [
    ('[vinegar]\nleast = "soon"\n', 2, "[vinegar] least", "soon"),
    ("[vinegar]\nleast = 30\n", 2, "[vinegar] least", "text in quotes"),
    ('\n\n["spirit on dried herb"]\n\nlongest = "3 hours"\n', 5,
     "[spirit on dried herb] longest", "3 hours"),
    ('[oil]\nkeeps = "1.5 years"\n', 2, "[oil] keeps", "1.5 years"),
    ('[oil]\nkeeps = true\n', 2, "[oil] keeps", "text in quotes"),
    ('[oil]\nshake = "hourly"\n', 2, "[oil] shake", "hourly"),
    ('[oil]\nlook = "1d, often"\n', 2, "[oil] look", "often"),
    ('[oil]\nlook = "1 month"\n', 2, "[oil] look", "1 month"),
    ('[oil]\nlook = "0d"\n', 2, "[oil] look", "0d"),
    ('[oil]\nleast = "1d"\nshelf = "1 year"\n', 3, "[oil] shelf", "there is no such key"),
    ('[labels]\n"own lines" = "a | | b"\n', 2, "[labels] own lines", "a text for each line"),
    ('[labels]\n"own lines" = ""\n', 2, "[labels] own lines", "a text for each line"),
    ('[labels]\n"own lines" = [1]\n', 2, "[labels] own lines", "a text for each line"),
    ('[labels]\n"own lines" = ["a|b"]\n', 2, "[labels] own lines", "sign |"),
    ('[labels]\n"own lines" = "a\\u202eb"\n', 2, "[labels] own lines", "control characters"),
    ('[labels]\n"own lines" = "1|2|3|4|5|6|7"\n', 2, "[labels] own lines", "at most 6 lines"),
    (f'[labels]\n"own lines" = "{"x" * 81}"\n', 2, "[labels] own lines", "80 characters"),
    ('[labels]\nlogo = "../logo.png"\n', 2, "[labels] logo", "beside practice.toml"),
    ('[labels]\nlogo = "/etc/logo.png"\n', 2, "[labels] logo", "beside practice.toml"),
    ('[labels]\nlogo = "logo.svg"\n', 2, "[labels] logo", "beside practice.toml"),
    ('[labels]\nlogo = 3\n', 2, "[labels] logo", "beside practice.toml"),
    ('[labels]\nrecipe = "maybe"\n', 2, "[labels] recipe", "true or false"),
    ('[labels]\nlanguage = "English, please"\n', 2, "[labels] language", "such as en"),
    ('[vodka]\nleast = "1d"\n', 1, "[vodka]:", "there is no such table"),
    ('colour = "green"\n', 1, "colour", "there is no such key"),
    ('units = "metric"\n', 1, "units", "us, british"),
    ("units = 1\n", 1, "units", "us, british"),
    ('measures = "litres"\n', 1, "measures", "metric, ounces"),
    ('hemisphere = "east"\n', 1, "hemisphere", "north, south"),
    ('dates = "year first"\n', 1, "dates", "day first, month first"),
    ('names = "english"\n', 1, "names", "common, latin, both"),
    ("zone = 1\n", 1, "zone", "text in quotes"),
    ('[reminders]\ndigest = "noon"\n', 2, "[reminders] digest", "08:00"),
    ('[reminders]\ndigest = "25:00"\n', 2, "[reminders] digest", "08:00"),
    ('[reminders]\ndigest = "08:00+02:00"\n', 2, "[reminders] digest", "08:00"),
    ('[reminders]\ndigest = 8\n', 2, "[reminders] digest", "08:00"),
    ('[reminders]\n"waking from" = "dawn"\n', 2, "[reminders] waking from", "08:00"),
    ('[reminders]\n"waking until" = ""\n', 2, "[reminders] waking until", "08:00"),
    ('[reminders]\n"expiring before" = "none"\n', 2, "[reminders] expiring before", "none"),
    ('[reminders]\n"count every" = "now and then"\n', 2, "[reminders] count every", "now"),
    ('[keeping]\n"warn below" = "a little"\n', 2, "[keeping] warn below", "0 to 100"),
    ('[keeping]\n"caution below" = 101\n', 2, "[keeping] caution below", "0 to 100"),
    ('[keeping]\n"warn below" = 0.2\n', 2, "[keeping] warn below", "write 20 %, not 0.2"),
    ('[keeping]\n"warn below" = true\n', 2, "[keeping] warn below", "0 to 100"),
    ('[keeping]\n"warn below" = 30\n"caution below" = 20\n', 2, "[keeping] warn below", "30"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "key", "says"), PLACED)
def test_a_bad_key_or_value_is_named_with_its_line(tmp_path, text, line, key, says):
    refused = complaint(tmp_path, text)

    assert refused.where == f"practice.toml, line {line}"
    assert refused.what.startswith(key)
    assert says in f"{refused.what} {refused.do}"


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ('reminders.digest = "noon"\n', "digest"),
        ('# first\nreminders = { digest = "noon" }\n', "digest"),
        ('[reminders]\n# a remark with digest = "08:00" in it\ndigest = "noon"\n', "digest"),
        ('vinegar.least = "soon"\n', "least"),
        ('"oil"."keeps" = "soon"\n', "keeps"),
    ],
)
def test_the_line_is_named_in_whichever_way_toml_lets_it_be_written(tmp_path, text, key):
    """TOML 1.0: dotted keys and inline tables mean the same as a table's head."""
    refused = complaint(tmp_path, text)

    line = next(
        number
        for number, one in enumerate(text.splitlines(), 1)
        if key in one and not one.startswith("#")
    )
    assert refused.where == f"practice.toml, line {line}"


def test_a_zone_that_does_not_exist_is_named_with_its_line(tmp_path):
    """Wherever it is found out: when the file is read, or when the clock is first asked."""
    (tmp_path / PRACTICE_FILE).write_text('units = "us"\nzone = "Europe/Atlantis"\n')
    bench = Bench(tmp_path, cache=tmp_path / "cache", state=tmp_path / "state")
    with pytest.raises(PracticeError) as refused:
        bench.now()

    assert "Europe/Atlantis" in refused.value.what
    assert refused.value.where == "practice.toml, line 2"


def test_what_is_not_toml_is_named_with_its_line(tmp_path):
    refused = complaint(tmp_path, 'units = "us"\n[vinegar\nleast = "1d"\n')

    assert "line 2" in refused.what
    assert "--example" in refused.do


def test_a_key_said_twice_is_refused(tmp_path):
    refused = complaint(tmp_path, '[oil]\nleast = "1d"\nleast = "2d"\n')

    assert refused.where == "practice.toml, line 3"
    assert "is there twice" in refused.what


def test_bytes_that_are_no_text_are_refused(tmp_path):
    (tmp_path / PRACTICE_FILE).write_bytes(b'units = "\xff"\n')
    with pytest.raises(PracticeError) as refused:
        read_practice(tmp_path)
    assert "UTF-8" in refused.value.do


def test_a_folder_in_its_place_is_refused(tmp_path):
    (tmp_path / PRACTICE_FILE).mkdir()
    with pytest.raises(PracticeError):
        read_practice(tmp_path)


@USUAL
@given(st.text(max_size=60) | st.text('[]"= \noilleast1d.{}', max_size=60))
def test_any_text_is_a_practice_or_is_refused(tmp_path_factory, text):
    book = tmp_path_factory.mktemp("book")
    (book / PRACTICE_FILE).write_bytes(text.encode("utf-8", "surrogatepass"))
    try:
        read_practice(book)
    except PracticeError as refused:
        where = refused.where
    else:
        return
    assert PRACTICE_FILE in where


# The example


def as_read(practice: Practice, book: Path) -> Practice:
    """The practice its own example makes, but for where each rule stands."""
    return replace(practice_of(book, _example(practice)), origins={})


def test_the_example_of_the_house_reads_back_as_the_house(tmp_path):
    assert as_read(Practice(), tmp_path) == Practice()


periods = st.builds(Period, st.integers(0, 60), st.integers(0, 400))
plans = st.sampled_from([(), (ShakePhase(3),), (ShakePhase(1, 14), ShakePhase(7, None, True))])
rules = st.builds(
    Rules,
    least=periods,
    keeps=periods,
    longest=st.none() | periods,
    shake=plans,
    look_days=st.lists(st.integers(1, 400), max_size=3, unique=True).map(sorted).map(tuple),
)
hours = st.builds(time, st.integers(0, 23), st.integers(0, 59))
practices = st.builds(
    Practice,
    rules=st.fixed_dictionaries(dict.fromkeys(KINDS, rules)),
    digest_at=hours,
    waking_from=hours,
    waking_until=hours,
    expiring_before=periods,
    count_every=st.none() | periods,
    warn_below_pct_vol=st.integers(0, 20).map(float),
    caution_below_pct_vol=st.integers(20, 100).map(float),
    units=st.sampled_from(["us", "british"]),
    zone=st.none() | st.sampled_from(["Europe/Berlin", "America/New_York"]),
    hemisphere=st.sampled_from(["north", "south"]),
    dates=st.sampled_from([None, "day first", "month first"]),
    names=st.sampled_from(["common", "latin", "both"]),
)


@USUAL
@given(practices)
def test_the_example_of_any_practice_reads_back_as_the_same(tmp_path_factory, practice):
    assert as_read(practice, tmp_path_factory.mktemp("book")) == practice


def test_every_line_of_the_example_is_where_its_rule_is_said_to_stand(tmp_path):
    text = _example(Practice())
    found, lines = practice_of(tmp_path, text), text.splitlines()

    assert len(found.origins) > 5 * len(KINDS)
    for name, place in found.origins.items():
        line = lines[int(place.rpartition(" ")[2]) - 1]
        assert line.partition("=")[0].strip().strip('"') == name.rpartition(".")[2]
