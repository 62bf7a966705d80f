"""The docs as a reader goes through them: every page found, every link leads somewhere."""

import re
from pathlib import Path

import pytest

from tests.test_messages import BANNED, misled_by
from tracker.cli.help.verb_table import VERBS

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
PAGES = [README, *sorted((ROOT / "docs").glob("*.md"))]
LONGEST = 260
# Made by scripts: the whole day, and a row for every package.
MADE = {"a-day.md", "licences.md"}


def links(page):
    """Where the links of a page lead, but for pictures and those out into the world."""
    told = re.sub(r"^```.*?^```|`[^`\n]*`", "", page.read_text(), flags=re.DOTALL | re.MULTILINE)
    found = re.findall(r"(?<!!)\[[^\]]*\]\(([^)\s]+)\)", told)
    return [one for one in found if not re.match(r"[a-z]+:", one)]


def headings(page):
    """What a link to each heading of a page ends with, as GitHub has it."""
    told = re.sub(r"^```.*?^```", "", page.read_text(), flags=re.DOTALL | re.MULTILINE)
    said = re.findall(r"^#+ (.*)$", told, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", one.lower()).replace(" ", "-") for one in said}


@pytest.mark.parametrize("page", [*PAGES, ROOT / "DEVELOPERS.md"], ids=lambda page: page.name)
def test_every_link_leads_to_a_page_and_a_heading_that_are_there(page):
    dead = []
    for link in links(page):
        name, _, heading = link.partition("#")
        there = (page.parent / name).resolve() if name else page
        if not there.exists() or (heading and heading not in headings(there)):
            dead.append(link)

    assert dead == []


def test_every_page_is_reached_from_the_readme():
    reached, new = set(), {README}
    while new:
        reached |= new
        next_ = {
            (page.parent / one.partition("#")[0]).resolve() for page in new for one in links(page)
        }
        new = {one for one in next_ if one.suffix == ".md" and one.exists()} - reached

    assert [page.name for page in PAGES if page not in reached] == []


def test_the_map_in_the_readme_names_every_page():
    named = {one.partition("#")[0] for one in links(README)}

    assert [page.name for page in PAGES[1:] if f"docs/{page.name}" not in named] == []


def test_no_page_is_too_long_to_be_read():
    lines = {page.name: len(page.read_text().splitlines()) for page in PAGES}

    assert lines["README.md"] < 200
    assert {name for name, many in lines.items() if many > LONGEST} <= MADE


def test_every_verb_is_told():
    told = (ROOT / "docs" / "verbs.md").read_text()

    assert [verb for verb in VERBS if f"`{verb}`" not in told] == []


def test_every_rule_of_the_practice_is_told(command):
    told = (ROOT / "docs" / "practice.md").read_text().replace('["', "[").replace('"]', "]")
    example = command.ok("practice --example")
    keys = re.findall(r'^(?:# )?("[a-z ]+"|[a-z]+) = ', example, re.MULTILINE)
    tables = re.findall(r'^\["([a-z ]+)"\]', example, re.MULTILINE)

    assert len(keys) > 50
    assert [key for key in keys if f"`{key}`" not in told] == []
    assert [name for name in tables if f"`[{name}]`" not in told] == []


@pytest.mark.parametrize(
    "line",
    [
        *("season", "supply", "timeline MEOF-26-01", "yields", "yields --by-method"),
        *("batches Melissa", "size --jar 500ml --ratio 1:5 --fresh"),
        *("mix --to 60% --from '200 ml 40%' --from 95%", "strength MEOF-26-01"),
    ],
)
def test_every_field_that_is_worked_out_is_told(command, line):
    told = (ROOT / "docs" / "json.md").read_text()
    command.ok('charge "Melissa officinalis" --dried 50g --pour "250 ml 60%" --when 2026-01-02')
    command.ok("press MEOF-26-01 200ml --with hand --when 2026-05-02")

    fields = set(fields_in(command.asked(line)))

    assert len(fields) > 5
    assert sorted(name for name in fields if f"`{name}`" not in told) == []


def fields_in(answer):
    """The names of all fields of a JSON answer, however deep."""
    for one in answer if isinstance(answer, list) else [answer]:
        if isinstance(one, dict):
            yield from one
            for inside in one.values():
                yield from fields_in(inside)


def typed_in(page):
    """Every command that a page says can be typed, without the name of the program."""
    text = page.read_text()
    inline = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.M))
    blocks = re.findall(r"^(?:\$ |    )(stillroom .*)$", text, re.MULTILINE)
    for one in [*inline, *blocks]:
        words = re.sub(r"^stillroom (--book \S+ )?", "", one).partition("  ")[0].partition(" | ")[0]
        verb, _, rest = words.partition(" ")
        if verb in VERBS and (rest or one.startswith("stillroom ")):
            yield verb, rest


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_in_a_page_is_a_verb_with_its_own_options(page):
    wrong = [f"{verb} {one}" for verb, rest in typed_in(page) for one in misled_by(verb, rest)]

    assert wrong == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_pages_are_in_words_of_today(page):
    told = re.sub(r"^```.*?^```|`[^`\n]*`", "", page.read_text(), flags=re.DOTALL | re.MULTILINE)
    turns = [turn for turn in BANNED if re.search(turn, told, re.IGNORECASE)]

    assert turns == []
