"""The pictures on any screen and as files: what they say, that they harm nobody, and one shape."""

import re
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner
from wcwidth import wcswidth

from tests.command import Command
from tests.journal.on_disk import write
from tests.outputs.books import HOSTILE, SCRIPTS, hostile, in_every_script
from tests.outputs.reading import SVG, assert_harmless, every, page_tree
from tracker.cli.main import app
from tracker.outputs.pictures.pressing.pressing_shares import strip
from tracker.outputs.pictures.svg import plain

pytestmark = pytest.mark.thorough

ESCAPE = "\x1b"
PICTURES = ("timeline {code}", "season", "supply", "yields --by-method")


def widest(text: str) -> int:
    cells = [wcswidth(line) for line in text.splitlines()]
    assert -1 not in cells, "a control character"
    return max(cells)


# What pressing gave


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


def test_strips_say_what_they_say():
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
