"""`begin`: asked at a terminal or given as options; it writes what is answered and no more."""

import json

import pytest

from tests.command import Command
from tests.daemon.test_upkeep import given_systemctl

CHARGE = 'charge "Urtica dioica" --part leaf --dried 10g --pour "50 ml 45%"'


@pytest.fixture
def maker(command) -> Command:
    """A person whose environment names no book."""
    command.env.pop("STILLROOM_BOOK")
    command.book = command.home / "data" / "stillroom" / "book"
    return command


def setting(maker, name):
    file = maker.home / "config" / "stillroom" / name
    return file.read_text() if file.exists() else None


def left_behind(maker):
    """Every file of the maker's, but what the program reads faster by."""
    return sorted(
        str(one.relative_to(maker.home))
        for one in maker.home.rglob("*")
        if one.is_file() and "cache" not in one.parts
    )


def test_enter_at_every_question_takes_what_is_offered(maker):
    answer = maker.at_terminal("begin", typed="\n\n\n\nn\n\n")

    assert answer.code == 0
    assert f"Where the book stands [{maker.book}]" in " ".join(answer.out.split())
    assert "Who you are, a name or initials [nobody]" in answer.out
    assert "[Germany]" in answer.out  # by the zone of this machine
    assert setting(maker, "book") == f"{maker.book}\n"
    assert setting(maker, "person") is None
    assert 'currency = "EUR"' in (maker.book / "practice.toml").read_text()


def test_a_slip_is_said_and_the_question_put_again(maker):
    typed = "/dev/null\n\nMA\nGermny\nUK\n25\nnoon\n7:30\nmaybe\nn\n\n"
    answer = maker.at_terminal("begin", typed=typed)

    assert answer.code == 0
    assert "That is not a book" in answer.out
    assert "'Germny' is not a country known here. Did you mean Germany?" in answer.out.replace(
        "\r\n", ""
    )
    assert answer.out.count("is not an hour of the day") == 2
    assert setting(maker, "person") == "MA\n"
    rules = json.loads(maker.ok("begin --json"))
    assert (rules["currency"], rules["units"], rules["digest_at"]) == ("GBP", "british", "07:30")


@pytest.mark.parametrize("answered", range(6))
def test_ctrl_c_at_any_question_leaves_nothing(maker, answered):
    before = left_behind(maker)
    typed = "".join(["\n", "MA\n", "NZ\n", "9\n", "n\n"][:answered]) + "\x03"
    answer = maker.at_terminal("begin", typed=typed)

    assert answer.code in (1, 130)
    assert left_behind(maker) == before


def test_no_at_the_end_writes_nothing(maker):
    answer = maker.at_terminal("begin", typed="\nMA\n\n\nn\nn\n")

    assert answer.code == 1
    assert "Nothing was written." in answer.out
    assert not maker.book.exists()


def test_a_script_says_it_all_in_one_line(maker):
    place = maker.home / "on a stick" / "book"
    maker.ok(f"begin --at '{place}' --me MA --country nz --hour 20 --no-reminders --yes")
    maker.ok(CHARGE)

    assert (place / "events").is_dir()
    assert not maker.book.exists()
    (event,) = maker.json("history URDI")
    assert event["by"] == "MA"
    fields = maker.json("begin")
    assert (fields["hemisphere"], fields["units"], fields["currency"]) == (
        "south",
        "british",
        "NZD",
    )


@pytest.mark.parametrize(
    ("land", "order", "said"),
    [
        ("US", "month first", "3/4 is 4 Mar"),
        ("DE", "day first", "3/4 is 3 Apr"),
        ("nz", "day first", "3/4 is 3 Apr"),
    ],
)
def test_the_country_says_how_a_date_in_numbers_is_read(maker, land, order, said):
    out = maker.ok(f"begin --me MA --country {land} --no-reminders --yes")

    assert said in " ".join(out.split())
    assert maker.json("begin")["dates"] == order
    assert order in maker.ok("practice")


def test_where_both_are_written_nothing_is_settled(maker):
    out = maker.ok("begin --me MA --country Canada --no-reminders --yes")

    assert "3/4" not in out
    assert maker.json("begin")["dates"] is None
    assert "3/4 is asked about" in maker.ok("practice --all")


def test_a_script_without_yes_is_shown_what_would_be_and_refused(maker):
    answer = maker.run("begin --me MA --country US")

    assert answer.code == 2
    assert "United States: USD, labels on letter" in answer.out
    assert "oz and fl oz" in " ".join(answer.out.split())
    assert "--yes" in answer.err
    assert left_behind(maker) == []


def test_asked_alone_in_a_script_it_shows_what_is_set(maker):
    assert "nobody" in maker.ok("begin")
    assert left_behind(maker) == []


PRACTICE = """# Mine, do not touch.

currency = 'florins'   # what we call it
zone = "Europe/Paris"
dates = "day first"

[reminders]
# early birds
"waking from" = "06:00"
digest = 06:00:00 # before the goats

["spirit on fresh herb"]
least = "5 weeks"

[sheets.mine]
page = "210x297 mm"
label = "66x44 mm"

[labels]
sheet = "mine"
"""


def test_begun_once_more_it_changes_what_is_answered_otherwise_and_nothing_else(maker):
    maker.practice(PRACTICE)
    maker.at_terminal("begin", typed="\n\n\n7\nn\n\n")
    rules = maker.book / "practice.toml"

    assert rules.read_text() == PRACTICE.replace("digest = 06:00:00 #", 'digest = "07:00" #')

    maker.ok("begin --country CH --yes")
    assert rules.read_text() == PRACTICE.replace(
        "digest = 06:00:00 #", 'digest = "07:00" #'
    ).replace("'florins'", '"CHF"').replace("Europe/Paris", "Europe/Zurich")


def test_rules_written_in_a_way_of_their_own_are_left_and_the_lines_are_printed(maker):
    text = 'reminders = { digest = "06:00" }\n'
    maker.practice(text)
    answer = maker.run("begin --hour 7 --yes")

    assert answer.code == 1
    assert '[reminders]\n    digest = "07:00"' in answer.err
    assert (maker.book / "practice.toml").read_text() == text


def test_a_book_that_was_chosen_and_is_gone_is_never_begun_anew(maker):
    place = maker.home / "stick"
    maker.ok(f"begin --at {place} --yes")
    maker.ok(CHARGE)
    maker.ok("shelf")
    place.rename(maker.home / "elsewhere")
    for line in ("shelf", "due", "shake URDI", CHARGE, "check", "practice", "enter -"):
        assert "The book is not there any more." in maker.run(line).err
    place.mkdir()  # a drive that is not mounted looks so
    assert "The book is not there any more." in maker.run(CHARGE).err

    maker.ok(f"begin --at {maker.home / 'elsewhere'} --yes")
    assert "URDI-" in maker.ok("shelf")


@pytest.mark.parametrize("text", ["", "book\n", "/a\n/b\n", "x" * 5000])
def test_a_choice_that_cannot_be_read_is_an_error_and_begin_corrects_it(maker, text):
    maker.ok("begin --yes")
    (maker.home / "config" / "stillroom" / "book").write_text(text)

    assert "stillroom begin --at DIR" in maker.run("shelf").err
    assert "stillroom begin --at DIR" in maker.installed("due").err

    maker.ok(f"begin --at {maker.book} --yes")
    maker.ok("shelf")


def test_what_a_terminal_names_goes_before_what_was_chosen(maker):
    maker.ok(f"begin --at {maker.home / 'one'} --yes")
    maker.env["STILLROOM_BOOK"] = str(maker.home / "two")
    maker.ok(CHARGE)
    answer = maker.run(f"begin --at {maker.home / 'one'} --me MA --yes")

    assert (maker.home / "two" / "events").is_dir()
    assert "that book is used first" in answer.err


def test_an_answer_at_hand_is_that_of_the_book_in_use(maker):
    for name in ("one", "two"):
        maker.ok(f"begin --at {maker.home / name} --yes")
        maker.ok(
            CHARGE if name == "two" else CHARGE.replace("Urtica dioica", "Melissa officinalis")
        )
    told = [maker.installed("shelf").out for _ in range(2)]
    maker.ok(f"begin --at {maker.home / 'one'} --yes")

    assert "URDI-" in told[0]
    assert told[0] == told[1]
    assert "MEOF-" in maker.installed("shelf").out


def test_reminders_are_switched_with_it_and_only_then(maker):
    calls = given_systemctl(maker)
    maker.ok("begin --yes")
    assert not calls.exists()

    answer = maker.run("begin --reminders --yes")
    assert "Reminders are on" in answer.err
    assert "enable stillroom.service" in calls.read_text()
    assert str(maker.book) in next(maker.home.rglob("stillroom.service")).read_text()

    maker.ok("begin --no-reminders --yes")
    assert not list(maker.home.rglob("stillroom.service"))


def test_the_first_thing_recorded_at_a_terminal_mentions_begin_once(maker):
    first = maker.at_terminal(CHARGE)
    second = maker.at_terminal("shake URDI")

    assert "`stillroom begin`" in first.out
    assert first.code == 0
    assert "begin" not in second.out


def test_a_script_is_told_nothing_of_begin(maker):
    assert "begin" not in maker.run(CHARGE).err
