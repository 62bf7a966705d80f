"""The page, read by html5lib and held against what `show --json` answers."""

from base64 import b64encode
from datetime import date
from hashlib import sha256
from urllib.parse import unquote

import pytest
from hypothesis import given

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, books
from tests.outputs.books import HOSTILE, SCRIPTS, book, hostile, in_every_script, many
from tests.outputs.reading import (
    assert_harmless,
    by_id,
    every,
    facts,
    ids,
    page_tree,
    tag,
    text,
)
from tracker.core.facts.amendments import Noted
from tracker.core.facts.jars import Shaken
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import replay
from tracker.core.values.day_words import short_day
from tracker.core.values.times import parse_when
from tracker.daemon.page_folder import page_of
from tracker.outputs.page.render import whole_page
from tracker.outputs.page.sections import shelf_page
from tracker.outputs.pictures.svg import plain


def tree_of(home, entries, **more):
    return page_tree(page_of(book(home, entries), **more))


def lines_of(tree, code):
    """The history lines of a jar."""
    return [text(one) for one in every(by_id(tree, code), "li")]


def test_the_command_writes_it_to_a_file_or_to_standard_output(worked):
    answer = worked.run("page --to shelf.html --on 2025-05-01")
    printed = worked.ok("page --on 2025-05-01")

    assert answer.code == 0
    assert answer.out == ""
    assert "Wrote shelf.html" in answer.err
    assert (worked.home / "shelf.html").read_text() == printed
    assert sorted(path.name for path in worked.home.glob("*shelf.html*")) == ["shelf.html"]


def test_a_place_that_cannot_be_written_is_said_and_leaves_nothing(worked):
    (worked.home / "taken").mkdir()

    assert "cannot be written" in worked.refused("page --to nowhere/shelf.html")
    assert "There is a folder there" in worked.refused("page --to taken")
    assert not list(worked.home.glob(".*.tmp"))


def test_a_terminal_is_not_flooded_with_html(worked):
    answer = worked.at_terminal("page")

    assert answer.code == 2
    assert "page --to" in answer.out
    assert "<html" not in answer.out


def in_words(day: str) -> str:
    """A day of an answer, as the page says it in 2025."""
    return short_day(date.fromisoformat(day))


def test_its_numbers_are_those_that_show_answers(worked):
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())
    article = by_id(tree, "CAOF-25-01")
    rows = facts(article)
    answer = worked.asked("show CAOF-25-01A --on 2025-05-01")
    (row,) = [one for one in every(tree, "tr") if text(one).startswith("CAOF-25-01A")]
    cells = [text(one) for one in row if tag(one) == "td"]

    strength = pytest.approx(float(rows["strength"][0].split()[0]), abs=0.05)
    assert answer["strength_pct_vol"] == strength
    assert rows["ratio"][0].startswith(f"1:{answer['ratio']:g} ")
    assert rows["charged"][0].startswith(in_words(answer["charged"]))
    assert rows["earliest press"][0].startswith(in_words(answer["earliest_press"]))
    assert rows["good through"][0].startswith(in_words(answer["good_through"]))
    assert rows["good through"][0].endswith(f"{answer['days_left']} days left")
    assert cells[1:3] == [f"~{answer['strength_pct_vol']:.0f}", f"{answer['volume_ml']:.0f}"]
    assert cells[4] == f"{answer['volume_ml'] + answer['bottled_ml']:.0f}"
    assert cells[5] == f"{answer['good_through']} {answer['days_left']} d"


def test_what_is_due_is_what_due_answers(worked):
    day = "2025-05-06"
    tree = page_tree(worked.ok(f"page --on {day}").encode())
    (table,) = [one for one in every(tree, "table") if "Why" in text(one)]
    rows = [[text(cell) for cell in row] for row in list(every(table, "tr"))[1:]]

    assert rows
    assert rows == [
        [one["group"], one["name"], one["code"], one["why"]]
        for one in worked.asked(f"due --on {day}")
    ]


def test_an_address_with_a_code_lands_on_each_jar_extract_and_bottle(worked):
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())
    found = ids(tree)
    links = [one.attrib["href"] for one in every(tree, "a")]

    assert {"CAOF-25-01", "CAOF-25-01A", "CAOF-25-01A/4", "MEOF-25-01"} <= set(found)
    assert len(found) == len(set(found))
    assert "#CAOF-25-01A" in links
    assert {unquote(link[1:]) for link in links} <= set(found)


def test_codes_with_blanks_or_the_name_of_a_section_have_ids_of_their_own(tmp_path):
    one = OneJar.charged(code="in-stock")
    other = OneJar.charged(code="jar on the sill")
    other.pen.entries[0].id = other.charge.id = "another-0001"
    tree = tree_of(tmp_path, [*one.entries, *other.entries])
    found = ids(tree)

    assert len(found) == len(set(found))
    assert tag(by_id(tree, "in-stock")) == "h2"
    assert text(by_id(tree, "in-stock_2")).startswith("in-stock")
    assert text(by_id(tree, "jar_on_the_sill")).startswith("jar on the sill")


def test_hostile_text_is_text_and_nothing_else(tmp_path):
    tree = tree_of(tmp_path, hostile())
    said = "".join(tree.itertext())

    assert_harmless(tree)
    assert all(plain(one) in said for one in HOSTILE)
    assert "Incomplete" not in said


def test_the_policy_allows_this_style_and_nothing_else(tmp_path):
    """Content Security Policy level 3, 6.7.3: the hash is of the element's text."""
    tree = tree_of(tmp_path, hostile())
    (style,) = every(tree, "style")
    (policy,) = [one for one in every(tree, "meta") if "http-equiv" in one.attrib]
    digest = b64encode(sha256(style.text.encode()).digest()).decode()

    assert policy.attrib["content"] == (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    )
    assert "url(" not in style.text
    assert "@import" not in style.text


def test_every_script_is_there_as_written_and_isolated(tmp_path):
    tree = tree_of(tmp_path, in_every_script())
    isolated = {text(one) for one in every(tree, "bdi")}

    assert_harmless(tree)
    assert {one for one in SCRIPTS if not one.isascii()} <= isolated
    assert all(one in "".join(tree.itertext()) for one in SCRIPTS)


@USUAL
@given(books())
def test_the_page_of_any_book_is_valid_and_every_id_is_its_own(entries):
    """Whatever two writers recorded, right, wrong or impossible."""
    now = entries[0].when.start.replace(year=2026)
    jars = list(replay(entries).jars.values())
    histories = {jar.id: [one for one in entries if jar.id in one.jars] for jar in jars}
    tree = page_tree(whole_page(shelf_page(jars, Practice(), now.date(), histories)))
    found = ids(tree)

    assert_harmless(tree)
    assert len(found) == len(set(found))
    assert {jar.code for jar in jars} <= set(found)


def test_an_empty_shelf_says_so(tmp_path):
    tree = tree_of(tmp_path, [])

    assert "Nothing is due today." in text(tree)
    assert "The shelf is empty." in text(tree)
    assert "There is no stock." in text(tree)
    assert not list(every(tree, "table"))


def test_rounds_of_shaking_are_drawn_together_and_a_remarked_one_stands_alone(tmp_path):
    one = OneJar.charged()
    one.shake("2025-03-04", "2025-03-05", "2025-03-06")
    one.then(Noted(about=one.jar, note="smells of hay"), "2025-03-07")
    one.then(Shaken(jars=(one.charge.id,), note="it foamed"), "2025-03-08")
    struck = one.then(Shaken(jars=(one.charge.id,)), "2025-03-09")
    one.shake("2025-03-10")
    one.strike(struck)
    lines = lines_of(tree_of(tmp_path, one.entries), "CAOF-25-01")

    assert lines[1].startswith("2025-03-04 to 2025-03-06 shaken 3 times")
    assert lines[2].startswith("2025-03-07 note: smells of hay")
    assert lines[3].startswith("2025-03-08 shaken – it foamed")
    assert lines[4].startswith("2025-03-09 shaken (struck)")
    assert lines[5].startswith("2025-03-10 shaken")
    assert "never was" in lines[6]
    assert len(lines) == 7


def test_on_a_day_it_knows_nothing_of_later_days(worked):
    tree = page_tree(worked.ok("page --on 2025-04-06").encode())

    assert "CAOF-25-01A/1" not in ids(tree)
    assert not any("bottled" in one for one in lines_of(tree, "CAOF-25-01"))
    assert any("pressed" in one for one in lines_of(tree, "CAOF-25-01"))


def test_the_same_book_on_the_same_day_gives_the_same_bytes(tmp_path):
    """So that two machines that share a folder do not write against each other."""
    bench = book(tmp_path, in_every_script())

    assert page_of(bench) == page_of(bench.fresh())
    assert page_of(bench, on=parse_when("2026-01-02", bench.now()).earliest) != page_of(bench)


def test_what_is_used_up_is_listed_as_done_and_still_found_by_its_code(worked):
    worked.ok("dispense CAOF-25-01A/4 --when 2025-05-02")
    worked.ok("discard MEOF-25-01A --why mould --when 2025-05-02")
    tree = page_tree(worked.ok("page --on 2025-05-03").encode())

    assert tag(by_id(tree, "MEOF-25-01")) == "li"
    assert "pressed 5 Apr 2025" in text(by_id(tree, "MEOF-25-01"))
    assert tag(by_id(tree, "CAOF-25-01")) == "article"


def test_a_damaged_book_says_so_at_the_top(worked):
    (path,) = (worked.book / "events").glob("*.jsonl")
    path.write_bytes(path.read_bytes().replace(b"flecks", b"clouds"))
    tree = page_tree(worked.run("page").out.encode())

    assert "Incomplete: 1 thing of the book is not as written" in text(tree)


def test_500_jars_stay_a_page_that_a_phone_can_hold(tmp_path):
    page = page_of(book(tmp_path, many(500)))

    assert len(page) / 500 < 3_000
    assert len(ids(page_tree(page))) > 500
