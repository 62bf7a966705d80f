"""Ranges, `--all`, and `.` for the last thing spoken of."""

import re

import pytest

POUR = '--pour "500 ml 45%"'
DAY = "--when 2025-03-03"


@pytest.fixture
def shelf(command):
    """Twelve jars of lemon balm, the fourth of them gone, and an extract with six bottles."""
    command.ok(f'charge "Melissa officinalis" --dried 80g {POUR} {DAY} --count 12')
    command.ok("discard MEOF-25-04 --why mould --when 2025-03-04 --sure")
    command.ok(f'charge "Calendula officinalis" --dried 100g {POUR} {DAY}')
    command.ok("press CAOF-25-01 400ml --when 2025-04-03")
    command.ok("bottle CAOF-25-01A 6x50ml --when 2025-04-04")
    return command


def codes_of(answer: str) -> list[str]:
    """The codes an answer is about, after the names of their plants; each of a range."""
    codes = []
    for code, last in re.findall(r"([A-Z]{4}-[0-9]{2}-[0-9A-Z/]+b?)(?:\.\.([0-9]+))?", answer):
        stem, first = re.fullmatch(r"(.*?)([0-9]*)", code.removesuffix("b")).groups()
        numbers = range(int(first), int(last) + 1) if last else ()
        codes += [f"{stem}{number:0{len(first)}d}" for number in numbers] or [code]
    return codes


@pytest.mark.parametrize("text", ["MEOF-25-01..3", "meof-25-1..03", "MEOF-25-01..MEOF-25-03"])
def test_a_range_is_every_code_in_it(shelf, text):
    said = shelf.ok(f"shake {text} --when 2025-03-05 --dry-run")

    assert codes_of(said) == ["MEOF-25-01", "MEOF-25-02", "MEOF-25-03"]


def test_a_gap_in_a_range_is_said(shelf):
    answer = shelf.run("shake MEOF-25-03..15 --when 2025-03-05 --dry-run")

    assert len(codes_of(answer.out)) == 9
    assert (
        "MEOF-25-03..15: 13 to 15 not in the book; 04 left out, not there any more." in answer.err
    )


def test_bottles_have_ranges_too(shelf):
    said = shelf.ok("label CAOF-25-01A/2..4 --dry-run")

    assert codes_of(said) == ["CAOF-25-01A/2", "CAOF-25-01A/3", "CAOF-25-01A/4"]


def test_what_is_named_twice_is_looked_at_once(shelf):
    shelf.ok("look MEOF-25-01..2 MEOF-25-02 --when 2025-03-05")

    looked = [one["subject"] for one in shelf.lines() if one["type"].endswith("looked_at")]
    assert looked == ["MEOF-25-01", "MEOF-25-02"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("MEOF-25-20..30", "Nothing of MEOF-25-20..30 is there"),
        ("MEOF-25-04..4", "Nothing of"),
        ("MEOF-25-09..3", "runs backwards"),
        ("MEOF-25-01..CAOF-25-03", "is not a range"),
        ("MEOF..", "is not a range"),
        ("..", "is not a range"),
        ("MEOF-25-1..999999999", "a range of more than"),
    ],
)
def test_what_is_no_range_is_refused(shelf, text, said):
    assert said in shelf.refused(f"shake {text}", code=2)


@pytest.mark.parametrize("verb", ["press MEOF-25-01..02 200ml", "draw MEOF-25-01..02 20ml"])
def test_a_verb_of_one_thing_says_that_it_takes_no_range(shelf, verb):
    err = shelf.refused(verb, code=2)

    assert f"MEOF-25-01..02 is a range, and `{verb.split()[0]}` takes one thing" in err


def test_a_range_that_is_asked_about_is_refused_too(shelf):
    assert "is a range" in shelf.refused("show MEOF-25-01..02", code=2)


def test_a_code_given_twice_is_in_the_range_of_its_number(shelf):
    other = shelf.__class__(shelf.home, writer="attic")
    away = shelf.home / "apart"
    other.env["STILLROOM_BOOK"] = str(away)
    other.run(f'charge "Melissa officinalis" --dried 70g {POUR} --when 2025-03-06')
    (lines,) = (away / "events").iterdir()
    (shelf.book / "events" / lines.name).write_bytes(lines.read_bytes())

    said = shelf.ok("shake MEOF-25-01..2 --when 2025-03-07 --dry-run")
    assert codes_of(said) == ["MEOF-25-01", "MEOF-25-01b", "MEOF-25-02"]


# All of them


@pytest.mark.parametrize(
    "verb", ["look --all", "move --all --to cellar", "label --all", "hold --all --why damp"]
)
def test_all_asks_how_many_are_meant(shelf, verb):
    assert "all 12 are meant" in shelf.refused(f"{verb} --when 2025-04-05")
    assert len(codes_of(shelf.ok(f"{verb} --when 2025-04-05 --sure --dry-run"))) >= 12


def test_all_that_is_on_hold_is_released(shelf):
    shelf.ok("hold MEOF-25-01 MEOF-25-02 CAOF-25-01A --why damp --when 2025-04-05")
    said = shelf.ok("release --all --why dry --sure --when 2025-04-06")

    assert {"MEOF-25-01", "MEOF-25-02", "CAOF-25-01A"} <= set(codes_of(said))
    assert "none of that kind" in shelf.refused("release --all --why dry", code=2)


def test_all_and_codes_are_not_given_together(shelf):
    assert "Give either codes or --all" in shelf.refused("look MEOF-25-01 --all", code=2)


def test_a_yes_at_the_terminal_is_enough(shelf):
    answer = shelf.at_terminal("move --all --to cellar --when 2025-04-05", typed="y\n")

    assert answer.code == 0, answer.out
    assert "all 12 are meant" in answer.out


# The last thing spoken of


def test_the_last_thing_is_what_was_recorded_or_shown(shelf):
    assert "CAOF-25-01A note" in shelf.ok("note . clear --when 2025-04-05")
    shelf.ok("show MEOF-25-02")
    answer = shelf.run("shake . --when 2025-03-08")

    assert "MEOF-25-02 shaken" in answer.out
    assert ". taken as MEOF-25-02." in answer.err
    shelf.plainly("show MEOF-25-03")
    assert "MEOF-25-03" in shelf.plainly("show .").out.splitlines()[0]
    shelf.ok("history MEOF-25-05")
    assert "MEOF-25-05" in shelf.ok("trace .")


def test_of_a_pressing_it_is_the_extract(shelf):
    shelf.ok("press MEOF-25-01 400ml --when 2025-06-05")

    assert "MEOF-25-01A filtered" in shelf.ok("filter . 390ml --when 2025-06-06")


def test_of_several_verbs_of_many_take_all(shelf):
    shelf.ok("shake MEOF-25-01..3 --when 2025-03-05")

    said = shelf.ok("move . --to cellar --when 2025-03-05 --dry-run")
    assert codes_of(said) == ["MEOF-25-01", "MEOF-25-02", "MEOF-25-03"]
    assert "fits 3 things" in shelf.refused("press . 300ml", code=2)
    answer = shelf.at_terminal("top-up . --pour '20 ml 45%' --when 2025-03-05", typed="2\n")
    assert "MEOF-25-02 topped up" in answer.out


@pytest.mark.parametrize("line", ["show .", "shake .", "note . hello", "history .", "label ."])
def test_where_nothing_was_named_that_is_said(shelf, line):
    (next(shelf.state.rglob("last-named"))).unlink()

    assert "Nothing was named before in this book." in shelf.refused(line, code=2)


def test_what_was_only_tried_or_refused_is_not_spoken_of(shelf):
    shelf.ok("shake MEOF-25-02 --when 2025-03-08")
    shelf.ok("shake MEOF-25-03 --when 2025-03-08 --dry-run")
    shelf.refused("press MEOF-25-03 9000ml")

    assert "MEOF-25-02" in shelf.ok("note . clear --when 2025-03-08")


def test_no_other_book_speaks_of_it(shelf):
    shelf.ok("show MEOF-25-02")
    shelf.env["STILLROOM_BOOK"] = str(shelf.home / "another")
    shelf.ok(f'charge "Salvia officinalis" --dried 80g {POUR} {DAY}')

    assert "SAOF-25-01" in shelf.ok("note . clear --when 2025-03-08")


@pytest.mark.parametrize("kept", [b"", b"00000000 MEOF-25-01", b"\xff\x00", b"MEOF-25-01\n" * 9])
def test_what_is_kept_may_be_damaged(shelf, kept):
    next(shelf.state.rglob("last-named")).write_bytes(kept)

    shelf.refused("shake .", code=2)
    assert shelf.run("show MEOF-25-01").code == 0


def test_in_a_page_it_is_that_of_the_line_before(shelf):
    shelf.ok("show CAOF-25-01")
    page = shelf.home / "page.txt"
    page.write_text(
        f'charge "Salvia officinalis" --dried 80g {POUR}\nmove . --to attic\nnote . sweet\n'
    )
    said = shelf.ok("enter page.txt --when 2025-04-05")

    assert "2  sage SAOF-25-01 moved to attic" in said
    assert "3  sage SAOF-25-01 note: sweet" in said
    assert "SAOF-25-01" in shelf.ok("show .")
    page.write_text("note . sweet\n")
    assert "Nothing was named before in this page" in shelf.refused("enter page.txt", code=2)


def test_a_name_of_two_words_needs_no_quotation_marks_where_several_are_taken(shelf):
    shelf.ok(f'charge "Salvia officinalis" --dried 80g {POUR} {DAY}')
    shelf.ok(f'charge "Tilia cordata" --dried 80g {POUR} {DAY} --common "small lime"')

    assert codes_of(shelf.ok("shake small lime --dry-run")) == ["TICO-25-01"]
    assert codes_of(shelf.ok("shake sage lime --dry-run")) == ["SAOF-25-01", "TICO-25-01"]
