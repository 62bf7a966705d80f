"""The page, read by html5lib and held against what `show --json` answers."""

import re
from base64 import b64encode
from collections import Counter
from datetime import date
from hashlib import sha256
from urllib.parse import unquote

import pytest
from hypothesis import given

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, Pen, a_charge, books
from tests.outputs import shelves
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
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt, Shaken
from tracker.core.facts.lots import Recalled
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


def jar_of(tree, code):
    """What stands in the folded part of a jar."""
    return by_id(tree, code)


def summary_of(tree, code):
    """The line that opens a jar."""
    (folded,) = [
        one for one in every(tree, "details") if any(each is by_id(tree, code) for each in one)
    ]
    return text(next(every(folded, "summary")))


def rows_of(tree, section):
    """The rows of a section, each as one text."""
    (found,) = [
        one for one in every(tree, "section") if one.attrib.get("aria-labelledby") == section
    ]
    return [text(one) for one in every(found, "li")]


def test_its_numbers_are_those_that_show_answers(worked):
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())
    rows = facts(jar_of(tree, "CAOF-25-01"))
    answer = worked.asked("show CAOF-25-01A --on 2025-05-01")
    (row,) = [one for one in rows_of(tree, "in-stock") if "CAOF-25-01A" in one]

    strength = pytest.approx(float(rows["strength"][0].split()[0]), abs=0.05)
    assert answer["strength_pct_vol"] == strength
    assert rows["ratio"][0].startswith(f"1:{answer['ratio']:g} ")
    assert rows["charged"][0].startswith(in_words(answer["charged"]))
    assert rows["earliest press"][0].startswith(in_words(answer["earliest_press"]))
    assert rows["good through"][0].startswith(in_words(answer["good_through"]))
    assert rows["good through"][0].endswith(f"{answer['days_left']} days left")
    assert f"{answer['volume_ml'] + answer['bottled_ml']:.0f} ml" in row
    assert f"~{answer['strength_pct_vol']:.0f} % vol" in row
    assert f"good through {in_words(answer['good_through'])}" in row


def test_what_is_due_is_what_due_answers(worked):
    day = "2025-05-06"
    tree = page_tree(worked.ok(f"page --on {day}").encode())
    rows = rows_of(tree, "what-is-due")
    answers = worked.asked(f"due --on {day}")
    groups = [text(one) for one in every(tree, "h3") if len(text(one)) > 1]

    assert answers
    assert len(rows) == len(answers)
    for row, one in zip(rows, answers, strict=True):
        assert row.startswith(one["name"])
        assert one["code"] in row
        assert one["why"] in row
    counts = Counter(one["group"] for one in answers)
    assert groups == [f"{group} {number}" for group, number in counts.items()]


def test_what_a_recall_holds_is_one_row_that_opens_to_each(tmp_path):
    """Four jars of one lot: the reason is read once, and each says where it stands."""
    pen = Pen()
    jars = [
        pen.write(a_charge(code=f"TICO-25-0{number}", place=f"shelf {number}"), "2025-03-03")
        for number in range(1, 5)
    ]
    called = Recalled(
        about=About(jar="lot-0001"), jars=tuple(one.id for one in jars), why="wrong plant"
    )
    pen.write(called, "2025-06-09")
    tree = page_tree(page_of(book(tmp_path, pen.entries, "2025-06-10 12:00")))
    first, *inside = rows_of(tree, "what-is-due")[:5]

    assert "4 of them" in first
    assert first.count("wrong plant") == 1
    assert [one.split()[-4:] for one in inside] == [
        [f"TICO-25-0{number}", "recalled", "shelf", str(number)] for number in range(1, 5)
    ]


def test_what_must_be_heeded_stands_in_every_row_of_its_thing(tmp_path):
    """In what is due, in stock, in the season, by herb and beside each bottle."""
    one = OneJar.charged(herb="Aconitum napellus", part="root")
    one.press("2025-06-03")
    one.bottle("2025-06-04", (2, 50.0))
    one.then(LookedAt(about=one.extract(), verdict="hold", signs=("mould",)), "2025-06-09")
    tree = page_tree(page_of(book(tmp_path, one.entries, "2025-07-01 12:00")))
    stock = rows_of(tree, "in-stock")
    season = rows_of(tree, "the-season")
    due = rows_of(tree, "what-is-due")

    for row in (due[0], stock[0], season[0], summary_of(tree, "CAOF-25-01")):
        assert "external use only" in row
        assert "on hold" in row
    for bottle in ("CAOF-25-01A/1", "CAOF-25-01A/2"):
        assert "external use only" in text(by_id(tree, bottle))
        assert "on hold" in text(by_id(tree, bottle))


def test_a_jar_on_hold_is_not_said_to_be_ready_to_press(tmp_path):
    one = OneJar.charged(shake=())
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-09")
    tree = page_tree(page_of(book(tmp_path, one.entries, "2025-03-10 12:00")))
    (row,) = rows_of(tree, "the-season")

    assert "on hold" in row
    assert "may be pressed" not in row


def test_plants_are_called_as_people_say_and_their_latin_is_marked_as_latin(worked):
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())
    italic = {text(one) for one in every(tree, "i")}

    assert {"Calendula officinalis", "Melissa officinalis"} <= italic
    assert all(one.attrib["lang"] == "la" for one in every(tree, "i"))
    assert "marigold flower, dried" in {text(one) for one in every(tree, "b")}


def test_a_maker_who_goes_by_latin_names_reads_those_first(worked):
    worked.practice('zone = "Europe/Berlin"\nnames = "latin"\n')
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())

    assert "Calendula officinalis flower, dried" in {text(one) for one in every(tree, "b")}


def test_herbs_stand_by_letter_and_each_that_is_beside_another_leads_to_it(tmp_path):
    told = shelves.of_two_herbs()
    tree = page_tree(page_of(book(tmp_path, list(told.entries))))
    letters = [text(one) for one in every(tree, "h3") if len(text(one)) == 1]
    links = {one.attrib["href"] for one in every(tree, "a")}

    assert letters == ["A", "M"]  # Aconitum napellus, marigold
    assert {"#herbs-a", "#herbs-m"} <= links
    assert len([one for one in every(tree, "a") if one.attrib["href"] == "#CAOF-25-01"]) >= 1
    assert "also in CAOF-25-01" in text(tree)


def test_every_day_is_written_for_people_and_for_programs(worked):
    tree = page_tree(worked.ok("page --on 2025-05-01").encode())
    times = list(every(tree, "time"))

    assert times
    for one in times:
        day = date.fromisoformat(one.attrib["datetime"])
        # Under the name of a month its year is said already.
        assert text(one) in (short_day(day), short_day(day, day.year))
    assert not re.search(r"\d{4}-\d\d-\d\d", text(tree))


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
    assert "in-stock" in summary_of(tree, "in-stock_2")
    assert "jar on the sill" in summary_of(tree, "jar_on_the_sill")


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
    assert "Nothing stands on the shelf." in text(tree)


def test_rounds_of_shaking_are_drawn_together_and_a_remarked_one_stands_alone(tmp_path):
    one = OneJar.charged()
    one.shake("2025-03-04", "2025-03-05", "2025-03-06")
    one.then(Noted(about=one.jar, note="smells of hay"), "2025-03-07")
    one.then(Shaken(jars=(one.charge.id,), note="it foamed"), "2025-03-08")
    struck = one.then(Shaken(jars=(one.charge.id,)), "2025-03-09")
    one.shake("2025-03-10")
    one.strike(struck)
    lines = lines_of(tree_of(tmp_path, one.entries), "CAOF-25-01")

    assert lines[1].startswith("4 Mar 2025 to 6 Mar 2025 shaken 3 times")
    assert lines[2].startswith("7 Mar 2025 note: smells of hay")
    assert lines[3].startswith("8 Mar 2025 shaken – it foamed")
    assert lines[4].startswith("9 Mar 2025 shaken (struck)")
    assert lines[5].startswith("10 Mar 2025 shaken")
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
    assert "nothing" not in summary_of(tree, "CAOF-25-01")


def test_a_bottle_of_what_is_used_up_is_still_found_by_its_code(worked):
    """Its QR code goes on being scanned."""
    for number in range(1, 5):
        worked.ok(f"dispense CAOF-25-01A/{number} --when 2025-05-02")
    worked.ok("discard CAOF-25-01A --why spilt --when 2025-05-02")
    tree = page_tree(worked.ok("page --on 2025-05-03").encode())

    assert {"CAOF-25-01A", "CAOF-25-01A/3"} <= set(ids(tree))
    assert any(by_id(tree, "CAOF-25-01A/3") in one.iter() for one in every(tree, "li"))


def test_a_damaged_book_says_so_at_the_top(worked):
    (path,) = (worked.book / "events").glob("*.jsonl")
    path.write_bytes(path.read_bytes().replace(b"flecks", b"clouds"))
    tree = page_tree(worked.run("page").out.encode())

    assert "Incomplete: 1 thing of the book is not as written" in text(tree)


def test_500_jars_stay_a_page_that_a_phone_can_hold(tmp_path):
    page = page_of(book(tmp_path, many(500)))

    assert len(page) / 500 < 3_000
    assert len(ids(page_tree(page))) > 500
