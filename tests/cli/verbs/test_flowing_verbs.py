"""What the verbs of jars, extracts and lots refuse, from outside: nothing is written then.

Every refusal says what is wrong, where, and what to do. 1 is refused by a rule of the trade or
the book, 2 is misused.
"""

import pytest

from tests.command import Command

STORY = """\
buy Melissa --part herb --dried 500g --paid 12.50 --when 2025-02-28
buy "2 l 45%" --paid 40.00 --when 2025-02-28
gather "Sambucus nigra" --part flower --fresh 800g --when 2025-02-28
charge LOT-25-01 --dried 100g --pour "500 ml LOT-25-02" --code ME --count 2 --when 2025-03-03
charge Achillea --dried 100g --pour "500 ml 70%" --code PR --count 2 --when 2025-03-03
press PR01 370ml --keeps "90 years" --when 2025-05-05
bottle PR01A 3x100ml --when 2025-05-06
dispense PR01A/1 60ml --when 2025-05-07
press PR02 370ml --keeps "90 years" --when 2025-05-05
charge Achillea --part herb --dried 100g --pour "500 ml 70%" --code GONE --when 2025-03-03
discard GONE --why mould --when 2025-03-10
charge Achillea --part herb --dried 100g --pour "500 ml 70%" --code HELD --when 2025-03-03
hold HELD --why cloudy --when 2025-03-10
"""


@pytest.fixture(scope="module")
def shelf(tmp_path_factory) -> Command:
    """A shelf with one of everything."""
    command = Command(tmp_path_factory.mktemp("flowing")).practice('zone = "Europe/Berlin"\n')
    (command.home / "page.txt").write_text(STORY)
    command.ok("enter page.txt")
    return command


REFUSED = [
    # The wrong kind of thing
    (
        "add-herb LOT-25-01 --dried 5g",
        "it is a lot (Melissa officinalis herb, dried), and a jar",
    ),
    ("add-herb PR01A --dried 5g", "it is an extract, and only a jar can be given more herb"),
    ("draw LOT-25-02 5ml", "it is a lot (45 % vol spirit), and a jar"),
    ("split PR01A --into 2", "it is an extract, and only a jar can be split"),
    ("join ME01 PR01A", "it is an extract, and only a jar can be joined"),
    ('blend --part "5 ml PR01A" --part "5 ml LOT-25-02"', "it is a lot (45 % vol spirit)"),
    (
        "filter PR01A/1 5ml --poured-off",
        "only an extract can be poured off its lees",
    ),
    ("refill PR01A", "it is an extract, and only a bottle can be refilled"),
    ("refill PR01", "it is a jar, and only a bottle can be refilled"),
    ("dry ME01 5g", "it is a jar, and a lot is needed"),
    ("dry LOT-25-01 5g", "it is dry already"),
    ("dry LOT-25-02 5g", "it is not herb: 45 % vol spirit"),
    ('top-up ME01 --pour "5 ml LOT-25-01"', "it is herb: Melissa officinalis herb, dried"),
    ("add-herb ME01 --dried 5g --lot LOT-25-03", "it is fresh herb, and dried was weighed"),
    ("hold PR01A/1 --why x", "a bottle is held with its extract"),
    # A state that does not allow it
    ("add-herb GONE --dried 5g", "it was discarded on 10 Mar 2025"),
    ("split GONE --into 2", "it was discarded on 10 Mar 2025"),
    ('steep-again GONE --pour "5 ml 45%"', "it was discarded on 10 Mar 2025"),
    ('steep-again ME01 --pour "5 ml 45%"', "its herb was not pressed"),
    ("split PR01 --into 2", "it was already pressed on 5 May 2025, so it cannot be split"),
    ("split HELD --into 2", "it is on hold, since 10 Mar 2025: cloudy"),
    ("join ME01 HELD", "it is on hold, since 10 Mar 2025: cloudy"),
    ("draw PR01 5ml --when 2025-06-01", "it was already pressed on 5 May 2025"),
    ("release PR01A --why x", "it is not on hold"),
    # More than there is
    ("draw ME01 511ml", "511 ml is more than the 510 ml in the jar"),
    ("recharge PR01A --dried 5g --volume 71ml", "71 ml is more than the 70 ml there"),
    (
        'blend --part "71 ml PR01A" --part "5 ml PR02A"',
        "71 ml is more than the 70 ml there",
    ),
    ("filter PR02A 371ml --poured-off", "371 ml is more than the 370 ml in the extract"),
    ("refill PR01A/1 --volume 61ml", "61 ml is more than the 60 ml it has room for"),
    ("refill PR01A/2", "it is full: 100 ml"),
    ("refill PR01A/1 --from PR01A/1 --volume 5ml", "it cannot be filled from itself"),
    ("dry LOT-25-03 801g", "801 g dried is more than the 800 g that were fresh"),
    ("dry LOT-25-03 100g --of 900g", "by the book, 800 g of it is left"),
    ("discard LOT-25-01 301g --why x", "by the book, 300 g of it is left"),
    ('dilute PR02A --to 900ml --pour "130 ml 70%"', "do not come to 900 ml"),
    ('dilute PR02A --to 380ml --pour "130 ml 70%"', "do not come to 380 ml"),
    ('dilute PR02A --to 100ml --pour "130 ml water"', "it is 370 ml already"),
    # Before there was anything
    ("add-herb ME01 --dried 5g --when 2025-03-02", "it was charged on 3 Mar 2025"),
    ("draw ME01 5ml --when 2024-02-29", "it was charged on 3 Mar 2025"),
    ("split ME01 --into 2 --when 2025-03-02", "it was charged on 3 Mar 2025"),
    ("join ME01 ME02 --when 2025-03-02", "it was charged on 3 Mar 2025"),
    ("recharge PR01A --dried 5g --when 2025-05-04", "it was pressed on 5 May 2025"),
    (
        'steep-again PR01 --pour "5 ml 45%" --when 2025-05-04',
        "its herb was not pressed",
    ),
    ('dilute PR02A --pour "5 ml water" --when 2025-05-04', "it was pressed on 5 May 2025"),
    (
        'blend --part "5 ml PR01A" --part "5 ml PR02A" --when 2025-05-04',
        "it was pressed on 5 May 2025",
    ),
    ("refill PR01A/1 --when 2025-05-05", "it was filled on 6 May 2025"),
    (
        'top-up ME01 --pour "5 ml LOT-25-02" --when 2025-02-27',
        "it was charged on 3 Mar 2025",
    ),
    ("draw ME01 5ml --when 2099-01-01", "is in the future"),
    # Codes that are taken, or none
    ("split ME01 --into 2 --code X1 --code X1", "X1: that code is taken"),
    ("join ME01 ME02 --code PR01", "PR01: that code is taken"),
    ("found Salvia --code PR01", "PR01: that code is taken"),
    ("add-herb NOPE --dried 5g", "Nothing in the book goes by NOPE"),
    ("refill PR01A/9", "Nothing in the book goes by PR01A/9"),
    ("dry LOT-25-99 5g", "Nothing in the book goes by LOT-25-99"),
]


@pytest.mark.parametrize(("line", "says"), REFUSED)
def test_it_is_refused_and_says_why(shelf, line, says):
    message = shelf.refused(line)

    assert says in message
    assert "where: " in message
    assert "to do: " in message


MISUSED = [
    ('add-herb ME01 --dried "5 ml"', "that is a volume, and it needs a weight"),
    ("draw ME01 5g", "that is a weight, and it needs a volume"),
    ("draw ME01 5ml --when 2025-02-29", "'2025-02-29' is not a date"),
    ("draw ME01 5ml --keeps banana", "'banana' is not a span of time"),
    ("recharge PR01A --dried 5g --ratio banana", "'banana' is not a ratio"),
    (
        "recharge PR01A --dried 5g --least 10d --longest 5d",
        "At most 5 days is over before at least 10 days",
    ),
    (
        'charge Melissa --dried 5g --pour "25 ml 45%" --least 1m --longest 27d',
        "At most 27 days is over before at least 1 month",
    ),
    ("split ME01 --into 2 --share 1/2", "The parts are either equal or of given shares"),
    ("split ME01 --share 60% --share 1/2", "that is more than the whole"),
    ("split ME01 --share 1/0", "not a share of the whole"),
    ("split ME01 --share 100%", "All of it in one jar is not a split"),
    ("split ME01 --into 2 --code X1", "2 jars need 2 codes"),
    ("join ME01 ME01", "One jar alone joins nothing"),
    ('blend --part "5 ml PR01A"', "One extract alone is not a blend"),
    ('blend --part "5 ml PR01A" --part "5 ml PR01"', "PR01A is named twice"),
    ('blend --part "0 PR01A" --part "0 PR02A" --total 9ml', "there must be some of it"),
    ('blend --part "1.2.3 PR01A" --part "1 PR02A" --total 9ml', "'1.2.3 ml'"),
    ('blend --part "banana" --part "1 ml PR02A"', "not an amount and a code"),
    ('buy "700 ml 145%"', "145 % vol is more than pure"),
    ('buy "700 ml 45%" --paid 1,2,3', "'1,2,3' is not an amount of money"),
    ("gather Salvia --fresh unknown", "A lot needs a weight"),
    ("found Salvia --form banana", "'banana' is neither"),
]


@pytest.mark.parametrize(("line", "says"), MISUSED)
def test_it_is_misused_and_says_how(shelf, line, says):
    message = shelf.refused(line, code=2)

    assert says in message
    assert "to do: " in message


def test_what_is_poured_off_its_lees_goes_through_nothing(shelf):
    said = shelf.refused("filter PR02A 360ml --poured-off --through paper", code=2)

    assert "leave out --through or --poured-off" in said


def test_filter_and_pouring_off_are_two_losses_of_one_verb(shelf):
    filtered = shelf.ok("filter PR02A 360ml --dry-run")
    poured_off = shelf.ok("filter PR02A 360ml --poured-off --dry-run")

    assert "PR02A filtered" in filtered
    assert "PR02A poured off its lees, 360 ml left; lees 10 ml." in poured_off


def test_a_lid_is_changed_by_a_move_and_only_seen_by_a_look(shelf):
    assert "--lid" in shelf.refused("look ME01 --lid tin", code=2)

    assert "bare metal lid" in shelf.ok("move ME01 --lid tin --dry-run")


MISSING = [
    "add-herb", "add-herb ME01", "draw", "draw ME01", "recharge", "recharge PR01A", "steep-again",
    "steep-again PR01", "split", "split ME01", "join", "blend", "dilute",
    "dilute PR01A", "filter --poured-off", "filter PR01A --poured-off",
    "refill", "hold", "hold PR01A", "release", "release HELD", "gather", "gather Salvia", "buy",
    "buy Salvia", "dry", "dry LOT-25-03", "found",
]  # fmt: skip


@pytest.mark.parametrize("line", MISSING)
def test_a_script_is_told_what_is_missing_and_is_never_asked(shelf, line):
    assert "there is no terminal to ask at" in shelf.refused(line, code=2)


def test_a_split_into_more_jars_than_anybody_has_is_misused_at_once(shelf):
    """A hundred million children would take all the memory there is."""
    assert "--into takes a whole number, 2 to 99." in shelf.refused(
        "split ME01 --into 99999999", code=2
    )


JSON = [
    ("add-herb ME01 --dried 5g", "herb_added"),
    ("draw ME01 5ml", "drawn_off"),
    ("recharge PR01A --dried 5g --volume 50ml", "recharged"),
    ('steep-again PR01 --pour "5 ml 45%"', "steeped_again"),
    ("split ME01 --share 1/3 --share 40%", "split"),
    ("join ME01 ME02", "joined"),
    ('blend --part "1 PR01A" --part "2 PR02A" --total 90ml', "blended"),
    ('dilute PR02A --to 500ml --pour "130 ml 70%"', "made_up"),
    ('dilute PR02A --pour "130 ml water"', "diluted"),
    ("filter PR02A 360ml --poured-off", "settled"),
    ("refill PR01A/1 --volume 5ml", "refilled"),
    ("hold PR01A --why cloudy", "held"),
    ("release HELD --why clear", "released"),
    ('gather Salvia --fresh 5g', "gathered"),
    ('buy "700 ml 45%"', "bought"),
    ("buy Salvia --dried 5g", "bought_herb"),
    ("dry LOT-25-03 160g", "dried"),
    ("found Salvia --volume 300ml", "found"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "kind"), JSON)
def test_a_dry_run_says_all_as_json_and_writes_nothing(shelf, line, kind):
    before = shelf.written()
    answer = shelf.json(line, "--dry-run")

    assert [one["kind"] for one in answer["recorded"]] == [kind]
    assert (answer["dry_run"], answer["flags"]) == (True, [])
    assert all(answer["said"])
    assert shelf.written() == before


@pytest.mark.parametrize("line", ['buy "700 ml 45%"', "gather Salvia --fresh 5g"])
def test_a_book_may_begin_with_what_comes_into_the_house(tmp_path, line):
    command = Command(tmp_path)
    command.ok(line)

    assert [one["subject"][:4] for one in command.lines()] == ["LOT-"]


def test_striking_a_split_keeps_what_was_done_with_its_parts_and_says_so(tmp_path):
    command = Command(tmp_path)
    page = (
        'charge Melissa --dried 100g --pour "500 ml 45%" --code MA --when 2025-03-03\n'
        "split MA --into 2 --code MB --code MC --when 2025-03-20\n"
        "press MB 200ml --when 2025-04-20\n"
    )
    (command.home / "page.txt").write_text(page)
    command.ok("enter page.txt")
    command.ok(f"strike {command.event('split')} --why 'never shared out' --sure")
    jar = command.asked("show MA")

    assert (jar["state"], jar["volume_ml"], jar["herb_g"]) == ("ready", 500, 100)
    assert "pressed, but its charge was struck or is not in the book" in command.ok("check")
    assert [one["type"] for one in command.lines()][-2:] == ["pressed", "struck"]
    # Taken back, the strike leaves all as it was.
    command.ok(f"strike {command.event('struck')} --why 'it was, after all'")
    assert command.asked("show MBA")["volume_ml"] == 200
