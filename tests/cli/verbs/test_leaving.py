"""A jar that leaves whole with its herb, and whose a thing is."""

import pytest

from tests.command import Command

CHARGE = 'charge "Calendula officinalis" --dried 100g --water 0% --pour "500 ml 45%" --code HB1'


@pytest.fixture
def steeping(command: Command) -> Command:
    command.ok(f"{CHARGE} --belongs P03 --when 2025-03-03")
    return command


def test_a_jar_given_out_whole_is_over_and_nothing_of_it_is_due(steeping):
    assert steeping.json("due --on 2025-03-10")
    said = steeping.ok("dispense HB1 --for P03 --when 2025-04-01")
    jar = steeping.json("show HB1 --on 2025-06-10")

    assert "HB1 given out whole, with its herb, for P03" in said
    assert jar["state"] == "given out"
    assert jar["flags"] == []
    assert steeping.json("due --on 2025-04-10") == []
    assert steeping.json("shelf --on 2025-06-10") == []
    assert "given out 1 Apr" in steeping.ok("shelf --done --on 2025-06-10")
    assert "given out 1 Apr 2025 for P03" in steeping.ok("show HB1 --on 2025-06-10")
    assert "given out whole, with its herb, for P03" in steeping.told("history HB1")


def test_trace_and_record_name_who_has_it(steeping):
    steeping.ok("dispense HB1 --for P03 --when 2025-04-01")
    record = steeping.ok("record HB1")

    assert "P03" in steeping.ok("trace HB1")
    given = record.partition("Given out")[2].partition("Holds")[0]
    assert "500 ml" in given
    assert "P03" in given


def test_a_lot_called_back_finds_the_jar_that_left(command):
    command.ok('buy "Calendula officinalis" --dried 300g --when 2025-03-01')
    line = CHARGE.replace('"Calendula officinalis"', "LOT-25-01")
    command.ok(f"{line} --when 2025-03-03")
    command.ok("dispense HB1 --for P03 --when 2025-04-01")
    (lot,) = command.json("lots")
    answer = command.json("recall LOT-25-01 --why 'wrong plant' --when 2025-05-01")

    assert lot["left"] == 200
    assert [one["code"] for one in answer["on_hold"]] == ["LOT-25-01"]
    (left,) = answer["left"]
    assert (left["reference"], left["code"], left["how"]) == ("P03", "HB1", "given out")
    assert (left["ml"], left["g"]) == (500, 100)
    assert left["of_lot"] == 100
    assert [one["given"] for one in answer["balance"]] == [100]


def test_struck_it_stands_on_the_shelf_again(steeping):
    steeping.ok("dispense HB1 --for P03 --when 2025-04-01")
    steeping.ok(f"strike {steeping.event('dispensed')} --why 'came back'")

    assert steeping.json("show HB1 --on 2025-04-02")["state"] == "macerating"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("dispense HB1 100ml --for P03", "not been pressed yet"),
        ("dispense HB1", "nobody is named"),
        ("dispense HB1 --for Penhale", "may tell who somebody is"),
    ],
)
def test_what_is_not_the_whole_jar_for_a_reference_is_refused_or_asked_about(steeping, line, says):
    answer = steeping.run(f"{line} --when 2025-04-01")

    assert answer.code in (1, 2)
    assert says in answer.err
    assert steeping.json("show HB1 --on 2025-04-02")["state"] == "macerating"


def test_without_a_reference_it_leaves_once_that_is_confirmed(steeping):
    steeping.ok("dispense HB1 --sure --when 2025-04-01")

    assert "no reference" in steeping.ok("trace HB1")


def test_on_hold_it_stays(steeping):
    steeping.ok("hold HB1 --why cloudy --when 2025-03-20")

    assert "on hold" in steeping.refused("dispense HB1 --for P03 --when 2025-04-01")


def test_a_harmful_plant_leaves_only_once_that_is_confirmed(command):
    herb = CHARGE.replace("Calendula officinalis", "Aconitum napellus")
    command.ok(f"{herb} --when 2025-03-03 --sure")

    assert "it leaves with a harmful herb in it" in command.refused(
        "dispense HB1 --for P03 --when 2025-04-01"
    )
    command.ok("dispense HB1 --for P03 --sure --when 2025-04-01")


@pytest.mark.parametrize(
    "line",
    [
        "press HB1 370ml",
        "dispense HB1 --for P04",
        "discard HB1 --why mould",
        'top-up HB1 --pour "20 ml 45%"',
        "shake HB1",
        "split HB1 --into 2",
    ],
)
def test_what_left_is_worked_on_no_more(steeping, line):
    steeping.ok("dispense HB1 --for P03 --when 2025-04-01")

    steeping.refused(f"{line} --when 2025-04-02")


def test_a_label_is_printed_before_it_leaves_and_not_after(steeping, tmp_path):
    steeping.ok(f"label HB1 --to {tmp_path}/before.pdf --when 2025-03-31")
    steeping.ok("dispense HB1 --for P03 --when 2025-04-01")

    assert "given out" in steeping.refused(f"label HB1 --to {tmp_path}/after.pdf")


def test_what_was_drawn_off_before_stays_in_the_house(steeping):
    steeping.ok("draw HB1 50ml --when 2025-03-20")
    steeping.ok("dispense HB1 20ml --for C01 --when 2025-03-21")
    steeping.ok("dispense HB1 --for P03 --when 2025-04-01")

    assert steeping.json("show HB1A --on 2025-04-02")["volume_ml"] == 30
    steeping.ok("dispense HB1A 10ml --for C01 --when 2025-04-02")


def test_of_a_pressed_jar_its_extract_is_given_out_as_before(steeping):
    steeping.ok("press HB1 370ml --when 2025-06-03")
    steeping.ok("dispense HB1 20ml --for C01 --when 2025-06-04")

    assert steeping.json("show HB1A --on 2025-06-05")["volume_ml"] == 350


# Whose it is


def test_whose_it_is_shows_everywhere_and_finds_it(steeping):
    steeping.ok(CHARGE.replace("HB1", "HB2") + " --when 2025-03-03")

    assert steeping.json("show HB1")["belongs_to"] == "P03"
    assert steeping.json("show HB2")["belongs_to"] is None
    assert "belongs to        P03" in steeping.ok("show HB1")
    assert "belongs to P03" in steeping.told("record HB1")
    assert "belongs to P03" in steeping.told("history HB1")
    assert [one["code"] for one in steeping.json("shelf --belongs P03")] == ["HB1"]
    assert "HB2" not in steeping.ok("shelf --belongs P03")
    nothing = steeping.run("shelf --belongs P09").err
    assert "Nothing fits --belongs P09" in nothing
    assert "P03 (1)" in nothing


def test_what_comes_of_a_jar_belongs_to_the_same_until_it_is_said_otherwise(steeping):
    steeping.ok("split HB1 --into 2 --when 2025-03-10")
    codes = [one["code"] for one in steeping.json("shelf --belongs P03")]
    steeping.ok(f"press {codes[0]} 150ml --when 2025-06-03")
    assert steeping.json(f"show {codes[0]}A")["belongs_to"] == "P03"
    steeping.ok(f"move {codes[0]}A --belongs none --when 2025-06-04")
    assert steeping.json(f"show {codes[0]}A")["belongs_to"] is None
    steeping.ok(f"move {codes[1]} --belongs P04 --when 2025-06-04")
    assert steeping.json(f"show {codes[1]}")["belongs_to"] == "P04"
    steeping.ok(f"move {codes[1]} --belongs none --when 2025-06-05")
    assert steeping.json(f"show {codes[1]}")["belongs_to"] is None


def test_jars_of_two_people_joined_belong_to_neither_and_that_is_said(steeping):
    steeping.ok(CHARGE.replace("HB1", "HB2") + " --belongs P04 --when 2025-03-03")
    said = steeping.run("join HB1 HB2 --code HB3 --when 2025-03-10")

    assert "these belong to P03, P04" in said.err
    assert steeping.json("show HB3")["belongs_to"] is None


@pytest.mark.parametrize(
    "line",
    [
        f"{CHARGE} --belongs 'Mrs Penhale'",
        "found 'Melissa officinalis' --volume 100ml --belongs Penhale",
        "move HB0 --belongs Penhale",
    ],
)
def test_a_name_is_refused_as_it_is_by_dispense(command, line):
    command.ok(CHARGE.replace("HB1", "HB0") + " --when 2025-03-03")

    assert "may tell who somebody is" in command.refused(line, code=2)


def test_a_jar_that_was_found_may_belong_to_somebody(command):
    command.ok("found 'Melissa officinalis' --volume 100ml --code FO1 --belongs P05")

    assert command.json("show FO1")["belongs_to"] == "P05"


def test_a_correction_of_whose_it_is_is_held_to_the_same(steeping):
    event = steeping.event("charged")

    said = steeping.refused(f"correct {event} --set belongs=Penhale --why misread", code=2)
    assert "may tell who somebody is" in said
    steeping.ok(f"correct {event} --set belongs=P04 --why misread")
    assert steeping.json("show HB1")["belongs_to"] == "P04"


GONE = [
    ("look CAOF-25-01 --verdict fine", "it was given out on 20 Mar 2025, so it cannot be looked"),
    ("move CAOF-25-01 --to attic", "it was given out on 20 Mar 2025, so it cannot be moved"),
    ("count CAOF-25-01 300ml", "it was given out, on 20 Mar 2025, so nothing can be counted"),
    ("dispense CAOF-25-01 --for P04", "it was given out, on 20 Mar 2025, so nothing can be"),
    ("recharge CAOF-25-01 --dried 50g", "it was given out, on 20 Mar 2025, so nothing can be"),
    ('steep-again CAOF-25-01 --pour "200 ml 45%"', "already given out on 20 Mar 2025, so it"),
    ("discard CAOF-25-01 --why mould", "it was given out"),
]


@pytest.mark.parametrize(("line", "why"), GONE)
def test_what_cannot_be_done_to_a_jar_that_left_says_that_it_left(command, line, why):
    command.ok(
        'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --least 28d '
        "--when 2025-03-03"
    )
    command.ok("dispense CAOF-25-01 --for P03 --when 2025-03-20")

    err = command.refused(f"{line} --when 2025-03-21 --sure")
    assert why in err
    assert "press it first" not in err
    number = command.number("dispensed")
    command.ok(f"strike {number} --why 'it came back'")
    command.ok("press CAOF-25-01 350ml --when 2025-04-05")


def test_whose_a_jar_is_may_be_said_after_it_left(command):
    command.ok(
        'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --least 28d '
        "--when 2025-03-03"
    )
    command.ok("dispense CAOF-25-01 --for P03 --when 2025-03-20")
    command.ok("move CAOF-25-01 --belongs P03 --when 2025-03-21")

    assert command.json("show CAOF-25-01")["belongs_to"] == "P03"
    (one,) = command.json("shelf --done --belongs p03")
    assert one["code"] == "CAOF-25-01"
