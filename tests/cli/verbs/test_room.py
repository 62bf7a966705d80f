"""What a jar takes: questions where contents do not fit, and the room herb takes up, learnt."""

import pytest

from tests.command import Command

CHARGE = "charge 'Calendula officinalis' --part flower --when 2025-03-03"
USUAL = f"{CHARGE} --dried 100g --pour '500 ml 45%'"
SIZE = "size --jar 500ml --ratio 1:5 --dried --of 'Calendula officinalis'"


@pytest.fixture
def jar(command: Command) -> Command:
    """100 g in 500 ml in a 750 ml jar, CA."""
    command.ok(f"{USUAL} --jar 750ml --code CA")
    return command


# Contents against the jar, and against each other


@pytest.mark.parametrize(
    ("line", "said"),
    [
        # 1180 ml and 100 g at 0.6 ml at least, packed well
        (f"{CHARGE} --dried 100g --pour '1180 ml 45%' --jar 750ml", "1,240 ml in a 750 ml jar"),
        (f"{CHARGE} --dried 10g --pour '50 ml 45%' --jar 1500ml", "hardly fill a 1,500 ml jar"),
        (f"{CHARGE} --dried 100g --pour '99 ml 45%'", "1:0.99"),
        (f"{CHARGE} --fresh 100g --pour '49 ml 45%'", "1:0.49"),
        (f"{CHARGE} --dried 10g --pour '501 ml 45%'", "10 g of dried herb in 501 ml is 1:50.1"),
        (f"{CHARGE} --dried 100g --pour '50 l 45%'", "50,000 ml is 1:500"),
        ("top-up CA --pour '300 ml 45%'", "860 ml in a 750 ml jar"),
        ("add-herb CA --dried 400g", "800 ml in a 750 ml jar"),
        ("move CA --jar 500ml", "560 ml in a 500 ml jar"),
        ("top-up MUCH --pour '2501 ml 45%'", "many times the 500 ml in it"),
        ("add-herb MUCH --dried 1001g", "many times the 100 g in it"),
        ("add-herb MUCH --dried 401g", "1:1"),
    ],
)
def test_what_is_far_off_is_asked_about_and_not_recorded_unless_somebody_is_sure(jar, line, said):
    jar.ok(f"{USUAL} --code MUCH")
    line = line if "--when" in line else f"{line} --when 2025-03-05"
    before = len(jar.lines())

    assert said in jar.refused(line)
    assert len(jar.lines()) == before
    assert jar.run(f"{line} --sure").code == 0
    assert len(jar.lines()) == before + 1


@pytest.mark.parametrize(
    "line",
    [
        f"{CHARGE} --dried 100g --pour '430 ml 45%' --jar 500ml --filled 510ml --code CF",
        f"{CHARGE} --dried 100g --pour '100 ml 45%'",
        f"{CHARGE} --fresh 100g --pour '50 ml 95%'",
        f"{CHARGE} --dried 100g --pour '100 g sugar'",
        f"{CHARGE} --dried 10g --pour '500 ml 45%'",
        f"{CHARGE} --dried unknown --pour '700 ml 45%' --jar 750ml",
        "top-up CA --pour '150 ml 45%' --when 2025-03-05",
        "move CA --jar 1l --when 2025-03-05",
    ],
)
def test_what_is_usual_is_not_asked_about(jar, line):
    answer = jar.run(line)

    assert (answer.code, answer.err.count("confirmed")) == (0, 0)


def test_each_share_and_what_is_joined_fit_their_jars(jar):
    assert "280 ml in a 250 ml jar" in jar.refused("split CA --into 2 --jar 250ml")
    jar.ok(f"{USUAL} --code CB")
    assert "1,120 ml in a 1,000 ml jar" in jar.refused("join CA CB --jar 1l")


def test_a_later_steep_has_to_fit_the_jar_too(jar):
    jar.ok("press CA 370ml --when 2025-04-05")

    assert "in a 750 ml jar" in jar.refused("steep-again CA --pour '900 ml 45%' --when 2025-04-06")
    assert "1:0.93" in jar.refused("recharge CAA --dried 400g --when 2025-04-06")


# What it stands at


@pytest.mark.parametrize(
    ("filled", "said"),
    [("800ml", "800 ml in a 750 ml jar"), ("470ml", "less than the 500 ml"), ("5cl", "less than")],
)
def test_a_reading_that_cannot_well_be_is_asked_about(jar, filled, said):
    assert said in jar.refused(f"look CA --filled {filled} --when 2025-03-04")
    assert jar.asked("show CA")["displacement_ml_per_g"] is None


def test_a_gram_that_takes_up_more_than_any_herb_does_is_asked_about(command):
    command.ok(f"{CHARGE} --dried 10g --pour '100 ml 45%' --code CA")

    assert "would take up 5.0 ml" in command.refused("look CA --filled 150ml --when 2025-03-04")


def test_it_is_read_of_one_jar_with_herb_in_it(jar):
    jar.ok(f"{USUAL} --code CB")
    jar.refused("look CA CB --filled 580ml --when 2025-03-04", code=2)
    jar.ok("press CA 370ml --when 2025-04-05")

    assert "already pressed" in jar.refused("look CA --filled 580ml --when 2025-04-06")
    assert "only a jar" in jar.refused("look CAA --filled 370ml --when 2025-04-06")


def test_a_reading_is_in_the_history_and_in_show(jar):
    jar.ok("look CA --filled 590ml --when 2025-03-04")
    found = jar.asked("show CA")

    assert "filled to 590 ml" in jar.told("history CA")
    assert "a gram of herb takes up 0.90 ml" in jar.ok("show CA")
    assert (found["filled_ml"], found["displacement_ml_per_g"]) == (590.0, pytest.approx(0.9))


# Learnt


def three(command: Command) -> None:
    """100 g in 500 ml that stand at 580, 590 and 610 ml: 0.8, 0.9 and 1.1 ml per gram."""
    for place, filled_ml in enumerate((580, 590, 610), 1):
        command.ok(f"{USUAL} --filled {filled_ml}ml --code CA{place}")


def test_three_jars_of_ones_own_say_what_a_gram_takes_up(command):
    three(command)
    found = command.json(SIZE)

    assert found["displacement_ml_per_g"] == pytest.approx(0.9)
    assert found["displacement_band"] == {"from": pytest.approx(0.8), "to": pytest.approx(1.1)}
    assert found["displacement_from_jars"] == 3
    assert found["herb_g"] == pytest.approx(500 / 5.9, abs=0.01)
    assert "3 jars of your own (0.80 to 1.10)" in command.ok(SIZE)


def test_of_two_jars_the_default_stays_and_says_how_many_are_needed(command):
    three(command)
    command.ok(f"strike {command.event('charged')} --why 'never stood there' --sure")
    found = command.json(SIZE)

    assert (found["displacement_ml_per_g"], found["displacement_from_jars"]) == (0.7, 0)
    assert "2 jars of your own so far, 3 are needed" in command.ok(SIZE)


@pytest.mark.parametrize(
    "other",
    ["--fresh", "--dried --part root", "--dried --of 'Melissa officinalis'"],
    ids=["form", "part", "herb"],
)
def test_only_the_same_herb_part_and_form_count(command, other):
    three(command)
    line = f"size --jar 500ml --ratio 1:5 --of 'Calendula officinalis' {other}"

    assert command.json(line)["displacement_from_jars"] == 0


def test_a_corrected_weight_changes_what_is_learnt(command):
    three(command)
    command.ok(f"correct {command.event('charged')} --why misread --set dried=200g")

    assert command.json(SIZE)["displacement_ml_per_g"] == pytest.approx(0.8)  # 110 / 200 = 0.55


def test_a_struck_look_teaches_nothing(command):
    three(command)
    command.ok("look CA3 --filled 560ml --when 2025-03-04")
    assert command.json(SIZE)["displacement_ml_per_g"] == pytest.approx(0.8)  # 0.6, 0.8, 0.9

    command.ok(f"strike {command.event('looked_at')} --why 'the jar beside it' --sure")
    assert command.json(SIZE)["displacement_ml_per_g"] == pytest.approx(0.9)


@pytest.mark.parametrize(
    "charge",
    [
        f"{CHARGE} --dried unknown --pour '500 ml 45%' --filled 590ml",
        f"{CHARGE} --dried '~100g' --pour '500 ml 45%' --filled 590ml",
        f"{USUAL} --filled '~590ml'",
    ],
    ids=["not weighed", "weighed by eye", "read by eye"],
)
def test_what_was_not_measured_teaches_nothing(command, charge):
    for _ in range(3):
        command.ok(f"{charge} --sure")

    assert command.json(SIZE)["displacement_from_jars"] == 0


def test_what_was_poured_and_drawn_between_counts_as_it_was_at_the_look(command):
    """500 + 100 - 50 ml poured on; at 630 ml 100 g take up 80 ml. The herb's water is no pour."""
    command.ok(f"{CHARGE} --fresh 100g --pour '500 ml 45%' --code CA")
    command.ok("top-up CA --pour '100 ml 45%' --when 2025-03-04")
    command.ok("draw CA 50ml --when 2025-03-05")
    command.ok("look CA --filled 630ml --when 2025-03-06")
    command.ok("top-up CA --pour '100 ml 45%' --when 2025-03-07")

    assert command.asked("show CA")["displacement_ml_per_g"] == pytest.approx(0.8)


def test_a_jar_that_was_split_counts_once_and_its_halves_by_their_own_readings(command):
    three(command)
    command.ok("split CA1 --into 2 --when 2025-03-05")
    assert command.json(SIZE)["displacement_from_jars"] == 3

    half = command.asked("shelf")[-1]["code"]
    command.ok(f"look {half} --filled 300ml --when 2025-03-06")  # 250 ml on 50 g: 1.0 ml per g
    assert command.json(SIZE)["displacement_from_jars"] == 4
    assert command.asked(f"show {half}")["displacement_ml_per_g"] == pytest.approx(1.0)


def test_a_recharged_jar_is_read_by_its_new_herb(command):
    """370 ml go back on 50 g; at 415 ml a gram takes up 0.9 ml."""
    command.ok(f"{USUAL} --code CA")
    command.ok("press CA 370ml --when 2025-04-05")
    command.ok("recharge CAA --dried 50g --when 2025-04-06")
    command.ok("look CA --filled 415ml --when 2025-04-07")

    assert command.asked("show CA")["displacement_ml_per_g"] == pytest.approx(0.9)


def test_jars_of_several_herbs_teach_nothing_of_either(command):
    three(command)
    command.ok("add-herb CA3 --herb 'Melissa officinalis' --dried 10g --when 2025-03-04")
    command.ok("look CA3 --filled 620ml --when 2025-03-05")

    assert command.json(SIZE)["displacement_ml_per_g"] == pytest.approx(0.9)  # as at the charge
