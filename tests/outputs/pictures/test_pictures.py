"""The pictures in a terminal and as SVG: days against the calendar, sums by hand."""

import re
import shutil
import sys
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner
from wcwidth import wcswidth

from tests.command import Command
from tests.journal.on_disk import write
from tests.outputs.books import HOSTILE, SCRIPTS, hostile, in_every_script
from tests.outputs.reading import SVG, assert_harmless, every, page_tree
from tracker.cli.main import app
from tracker.outputs.pictures.jar_life import stacked
from tracker.outputs.pictures.pressing_shares import strip
from tracker.outputs.pictures.supply import digits
from tracker.outputs.pictures.svg import plain

pytestmark = pytest.mark.thorough

ESCAPE = "\x1b"
PICTURES = ("timeline {code}", "season", "supply", "yields --by-method")


# Three jars: one pressed and given out of, one by hand, one still macerating.
STORY = (
    'charge "Melissa officinalis" --dried 100g --pour "500 ml 45%" --least 28d --code A1'
    " --when 2025-01-01",
    "shake A1 --when 2025-01-02",
    "shake A1 --when 2025-01-12",
    'press A1 400ml --with "screw press" --when 2025-02-01',
    "dispense A1A 60ml --when 2025-04-10",
    "dispense A1A 60ml --when 2025-06-10",
    'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d --code B1'
    " --when 2025-01-01",
    "press B1 350ml --with hand --when 2025-03-01",
    'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d --longest 90d'
    " --code B2 --when 2025-06-20",
)


@pytest.fixture(scope="module")
def _told_book(tmp_path_factory) -> Path:
    command = Command(tmp_path_factory.mktemp("told")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command.book


@pytest.fixture
def told(command, _told_book) -> Command:
    """The command with a copy of the story's book."""
    shutil.copytree(_told_book, command.book)
    return command


def widest(text: str) -> int:
    cells = [wcswidth(line) for line in text.splitlines()]
    assert -1 not in cells, "a control character"
    return max(cells)


# A jar's life


def test_every_mark_stands_on_its_day(told):
    """396 days from 1 January 2025 to the last good day, 1 February 2026, on columns 0 to 79.

    Day 28 and day 31 both fall on column 6, so that the later letter stands above.
    """
    above, marks, line, shakes = told.ok("timeline A1 --on 2025-07-01").splitlines()[2:6]

    assert (date(2026, 2, 1) - date(2025, 1, 1)).days == 396
    assert round(28 * 79 / 396) == round(31 * 79 / 396) == 6
    assert above == " " * 6 + "P"
    assert marks == "C" + " " * 5 + "R" + " " * 29 + "T" + " " * 42 + "G"
    assert line == "-" * 7 + "=" * 30 + "." * 43
    assert shakes == "' '"  # days 1 and 11: columns 0.2 and 2.2


def test_a_correction_moves_a_shake_and_a_strike_takes_it_out(told):
    told.ok(f'strike {told.event("shaken", 0)} --why "wrong jar"')
    told.ok(f'correct {told.event("shaken", 1)} --set when=2025-01-20 --why "misread"')
    answer = told.asked("timeline A1 --on 2025-07-01")

    assert [one["from"] for one in answer["moments"] if one["what"] == "shaken"] == ["2025-01-20"]


def test_its_days_are_those_of_show(told):
    jar, extract = told.asked("show A1 --on 2025-07-01"), told.asked("show A1A --on 2025-07-01")
    days = {
        one["what"]: one["from"]
        for one in told.asked("timeline A1 --on 2025-07-01")["moments"]
        if one["what"] != "shaken"
    }

    assert days == {
        "charged": jar["charged"],
        "ready": jar["earliest_press"],
        "pressed": extract["pressed"],
        "today": "2025-07-01",
        "good through": extract["good_through"],
    }


def test_an_inexact_charge_is_a_span_and_an_unknown_one_does_not_begin_in_1970(told):
    charge = 'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d'
    told.ok(f"{charge} --code C1 --when 2024-summer")
    told.ok(f"{charge} --code C2 --when unknown")
    season = told.ok("timeline C1 --on 2025-07-01")

    assert "1 Jun 2024 to 31 Aug 2024" in season
    assert re.search("^~{15,25}-+$", season, re.MULTILINE)
    assert "1970" not in told.ok("timeline C2")


def test_letters_that_would_cover_each_other_are_in_rows():
    assert stacked([0, 10, 10, 11, 30], 1) == [0, 0, 1, 0, 0]
    assert stacked([0, 1, 2], 5) == [0, 1, 2]
    assert stacked([], 1) == []


# The season


def test_the_season_has_each_day_of_show_in_its_month(told):
    answer = told.asked("season --on 2025-07-01")
    falls = {
        (fall["what"], fall["code"]): (month["month"], fall["day"])
        for month in answer["months"]
        for fall in month["falls"]
    }
    ready, longest = (
        told.asked("show B2 --on 2025-07-01")[key] for key in ("earliest_press", "longest")
    )

    assert falls == {
        ("ready", "B2"): (ready[:7], ready),
        ("longest", "B2"): (longest[:7], longest),
        ("expires", "A1A"): ("2026-02", "2026-02-01"),
        ("expires", "B1A"): ("2026-03", "2026-03-01"),
    }
    assert len(answer["months"]) == 12
    assert (answer["before"], answer["later"]) == ([], [])


def test_what_lies_outside_the_months_is_counted_beside_them(told):
    answer = told.asked("season --months 2 --on 2025-08-01")

    assert [fall["code"] for fall in answer["before"]] == ["B2"]
    assert [month["month"] for month in answer["months"]] == ["2025-08", "2025-09"]
    assert [fall["code"] for fall in answer["later"]] == ["A1A", "B1A"]
    assert re.search(
        r"^expires +\. +\. +\. +2$", told.ok("season --months 2 --on 2025-08-01"), re.M
    )


# Supply and yields, by hand


def test_the_supply_is_what_was_left_at_each_months_end(told):
    (melissa,) = [
        one for one in told.asked("supply --months 6 --on 2025-07-01") if "Melissa" in one["herb"]
    ]

    assert [(one["day"], one["volume_ml"]) for one in melissa["points"]] == [
        ("2025-01-31", 0),
        ("2025-02-28", 400),
        ("2025-03-31", 400),
        ("2025-04-30", 340),
        ("2025-05-31", 340),
        ("2025-06-30", 280),
        ("2025-07-01", 280),
    ]


def test_it_runs_out_on_the_day_reckoned_by_hand(told):
    """120 ml in the 150 days since 1 February is 0.8 ml a day; 280 ml last 350 days."""
    (melissa,) = [one for one in told.asked("supply --on 2025-07-01") if "Melissa" in one["herb"]]

    assert melissa["used_ml"] == 120
    assert melissa["ml_a_month"] == round(0.8 * 365.25 / 12 + 1e-9, 1)
    assert melissa["runs_out"] == "2026-06-16"
    assert melissa["good_through"] == "2026-02-01"
    assert "in date through 1 Feb 26" in told.ok("supply --on 2025-07-01")


def test_what_is_past_its_day_is_no_supply(told):
    (melissa,) = [one for one in told.asked("supply --on 2026-02-02") if "Melissa" in one["herb"]]

    assert melissa["volume_ml"] == 0
    assert (melissa["runs_out"], melissa["good_through"]) == (None, None)


def test_yields_are_what_came_out_of_what_went_in(told):
    """400 and 350 ml of 500 ml on 100 g: 80 and 70 %, and 1.0 and 1.5 ml held by each gram."""
    by_hand, in_a_press = told.asked("yields --by-method --on 2025-07-01")

    assert (by_hand["method"], by_hand["middle_pct"]) == ("by hand", 70.0)
    assert (in_a_press["method"], in_a_press["middle_pct"]) == ("in a press", 80.0)
    assert [one["held_ml_per_g"] for one in (by_hand, in_a_press)] == [1.5, 1.0]
    assert [one["method"] for one in told.asked("yields --by-method --on 2025-02-15")] == [
        "in a press"
    ]


def test_what_pressing_gave_is_drawn_of_one_herb_as_well(told):
    (melissa,) = told.asked("yields melissa --by-method --on 2025-07-01")

    assert [one["code"] for one in melissa["pressings"]] == ["A1"]


def test_a_picture_is_no_table(told):
    said = told.refused("yields --by-method --csv", code=2)

    assert "ask for --json" in said


def test_digits_and_strips_say_what_they_say():
    assert digits([0, 1, 60, 100]) == ".159"
    assert digits([]) == ""
    assert strip([0, 4.9, 5, 100, 130, -3]) == "31" + "." * 18 + "2"
    assert strip([50] * 12) == "." * 10 + "+" + "." * 10


# Any screen


@pytest.fixture(scope="module")
def scripts(tmp_path_factory):
    command = Command(tmp_path_factory.mktemp("scripts")).practice('zone = "Europe/Berlin"\n')
    write(command.book, in_every_script())
    return command


@pytest.mark.parametrize("number", range(1, 2 * len(SCRIPTS) + 1))
def test_no_life_is_wider_than_80_cells_or_coloured_where_nobody_looks(scripts, number):
    text = scripts.ok(f"timeline N{number:03d} --on 2026-01-01")

    assert widest(text) <= 80
    assert ESCAPE not in text


@pytest.mark.parametrize("line", ["season", "season --months 24", "supply", "yields --by-method"])
def test_no_table_is_wider_than_80_cells(scripts, line):
    text = scripts.ok(f"{line} --on 2026-01-01")

    assert widest(text) <= 80
    assert ESCAPE not in text


@pytest.mark.parametrize("line", PICTURES)
def test_colour_says_nothing_that_the_words_do_not(told, line):
    words = line.format(code="A1") + " --on 2025-07-01"
    coloured = told.at_terminal(words).out
    plainly = told.at_terminal(words, NO_COLOR="1").out

    assert ESCAPE in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plainly
    assert plainly.replace("\r\n", "\n") == told.ok(words)


@pytest.mark.parametrize("line", ["season", "supply", "yields --by-method"])
def test_an_empty_shelf_is_said_in_a_sentence(command, line):
    command.practice('zone = "Europe/Berlin"\n')
    answer = command.run(line)

    assert answer.code == 0
    assert "othing" in answer.out + answer.err or "no stock" in answer.err


# As files


def svg_tree(path) -> ElementTree.Element:
    return ElementTree.fromstring(path.read_bytes())


@pytest.mark.parametrize("line", PICTURES)
def test_an_svg_has_a_name_and_says_what_it_shows(told, line):
    told.ok(f"{line.format(code='A1')} --on 2025-07-01 --to picture.svg")
    root = svg_tree(told.home / "picture.svg")
    title, words = root[0], root[1]

    assert root.attrib["role"] == "img"
    assert (title.tag, words.tag) == (f"{SVG}title", f"{SVG}desc")
    assert root.attrib["aria-labelledby"] == f"{title.attrib['id']} {words.attrib['id']}"
    assert title.text
    assert re.search(r"\d", words.text)
    assert not list(root.iter(f"{SVG}image"))
    assert len(list(root.iter(f"{SVG}text"))) > 4


@pytest.mark.parametrize("line", PICTURES)
def test_the_same_shelf_gives_the_same_picture(told, line):
    words = f"{line.format(code='A1')} --on 2025-07-01 --to"
    told.ok(f"{words} one.svg")
    told.ok(f"{words} two.svg")

    assert (told.home / "one.svg").read_bytes() == (told.home / "two.svg").read_bytes()


@pytest.mark.parametrize("line", ["season", "supply", "yields --by-method"])
def test_an_empty_shelf_has_a_picture_too(command, line):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok(f"{line} --to picture.svg")

    assert svg_tree(command.home / "picture.svg")[1].text.endswith((".", "yet."))


def test_hostile_names_are_names_in_every_picture(command):
    command.practice('zone = "Europe/Berlin"\n')
    write(command.book, hostile())
    codes = [one["code"] for one in command.asked("shelf --done")]
    runner = CliRunner()
    for number, words in enumerate(
        [
            *(["timeline", "--", code] for code in codes),
            ["season"],
            ["supply"],
            ["yields"],
        ]
    ):
        for ending in ("svg", "html"):
            path = command.home / f"{number}.{ending}"
            line = [words[0], "--on", "2026-01-01", "--to", str(path), *words[1:]]
            answer = runner.invoke(app, line, env=command.env, catch_exceptions=False)

            assert answer.exit_code == 0, answer.stderr
            assert ESCAPE not in answer.stderr
        root = svg_tree(command.home / f"{number}.svg")
        named = [words[2]] if len(words) > 1 else []
        assert_svg_is_harmless(root)
        assert all(plain(one) in root[0].text for one in named)
    supply = "".join(svg_tree(command.home / f"{len(codes) + 1}.svg").itertext())
    assert all(plain(one) in supply for one in HOSTILE)


def assert_svg_is_harmless(root: ElementTree.Element) -> None:
    for one in root.iter():
        assert one.tag.startswith(SVG)
        assert one.tag.removeprefix(SVG) in {
            *("svg", "title", "desc", "defs", "style", "g", "path", "text", "use", "tspan"),
            *("clipPath", "rect", "pattern"),
        }
        for name, value in one.attrib.items():
            bare = name.rpartition("}")[2].lower()
            assert not bare.startswith("on")
            assert bare != "href" or value.startswith("#")
            assert "javascript:" not in value
            assert "url(" not in value or "url(#" in value


def test_a_picture_page_holds_the_picture_as_an_image_and_the_same_in_words(told):
    told.ok("timeline A1 --on 2025-07-01 --to life.html")
    tree = page_tree((told.home / "life.html").read_bytes())
    (image,) = every(tree, "img")
    (words,) = every(tree, "pre")

    assert image.attrib["src"].startswith("data:image/svg+xml;base64,")
    assert "pressed 400 ml" in image.attrib["alt"]
    assert "".join(words.itertext()).lstrip("\n") == told.ok("timeline A1 --on 2025-07-01")
    with pytest.raises(AssertionError):
        assert_harmless(tree)  # so that it is known to see an image


def test_a_file_of_no_known_kind_is_refused_before_anything_is_drawn(told):
    message = told.refused("season --to picture.png", code=2)

    assert ".svg or .html" in message
    assert "cannot be written" in told.refused("season --to nowhere/picture.svg")


@pytest.mark.parametrize("line", PICTURES)
def test_without_the_library_only_the_files_are_missing(told, monkeypatch, line):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    words = line.format(code="A1").split()
    runner = CliRunner()
    in_terminal = runner.invoke(app, words, env=told.env)
    as_file = runner.invoke(app, [*words, "--to", str(told.home / "a.svg")], env=told.env)

    assert in_terminal.exit_code == 0
    assert as_file.exit_code == 1
    assert "pip install 'stillroom[pictures]'" in as_file.exception.do
    assert not (told.home / "a.svg").exists()
