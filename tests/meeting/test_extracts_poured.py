"""An extract or a bottle as a pour: what it meets on its way, through the command.

Every plant is real; the jars and amounts are invented.
"""

import json

import pytest

from tests.command import Command

SOURCE = (
    'buy "1000 ml 60%" --paid 30.00 --when 2025-01-05',
    'charge "Calendula officinalis" --part flower --dried 100g --water 0% --paid 8.00 '
    '--pour "500 ml LOT-25-01" --least 28d --when 2025-01-06',
    "press CAOF-25-01 400ml --when 2025-03-03",
)
MELISSA = 'charge "Melissa officinalis" --part herb --dried 50g --water 0% --least 28d'


@pytest.fixture
def shelf(command: Command) -> Command:
    """400 ml of CAOF-25-01A, good through 3 March 2026; MEOF-25-01 with its herb in."""
    command.practice('zone = "Europe/Berlin"\n')
    for line in SOURCE:
        command.ok(line)
    command.ok(f'{MELISSA} --pour "250 ml 45%" --when 2025-03-04')
    return command


def left(command: Command, code: str) -> float:
    return command.asked(f"show {code}")["volume_ml"]


# Out of what, and how much


@pytest.mark.parametrize(
    ("line", "into"),
    [
        (f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05', "MEOF-25-02"),
        ('top-up MEOF-25-01 --pour "200 ml CAOF-25-01A" --when 2025-03-05', "MEOF-25-01"),
        ('top-up MEOF-25-01 --pour "200 ml of caof-25-01a" --when 2025-03-05', "MEOF-25-01"),
        ('top-up MEOF-25-01 --pour "200 ml CAOF-25-01" --when 2025-03-05', "MEOF-25-01"),
    ],
)
def test_what_is_poured_out_is_gone_there_and_stands_in_the_history_of_both(shelf, line, into):
    shelf.ok(line)

    assert left(shelf, "CAOF-25-01A") == 200
    herbs = {one["herb"]: one["herb_g"] for one in shelf.asked(f"show {into}")["herbs"]}
    assert herbs == {"Melissa officinalis": 50, "Calendula officinalis": 40}  # 100 g in 500 ml
    for code in (into, "CAOF-25-01"):
        assert "200 ml CAOF-25-01A" in shelf.told(f"history {code}")
    assert into in shelf.ok("trace CAOF-25-01A")
    assert "LOT-25-01" in shelf.ok(f"trace {into}")


def test_it_is_taken_out_of_a_bottle_by_its_number(shelf):
    shelf.ok("bottle CAOF-25-01A 2x50ml --when 2025-03-04")

    shelf.ok('top-up MEOF-25-01 --pour "30 ml CAOF-25-01A/2" --when 2025-03-05')

    assert left(shelf, "CAOF-25-01A/1") == 50
    assert left(shelf, "CAOF-25-01A/2") == 20
    assert left(shelf, "CAOF-25-01A") == 300
    assert "CAOF-25-01A/2" in shelf.ok("trace MEOF-25-01")


def test_a_blend_goes_by_whatever_code_it_was_given(shelf):
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")
    parts = '--part "40 ml CAOF-25-01A" --part "60 ml MEOF-25-01A"'
    shelf.ok(f"blend {parts} --code EVENING --when 2025-04-06")
    shelf.ok(f'{MELISSA} --pour "30 ml evening" --pour "100 ml 45%" --when 2025-04-07')

    assert left(shelf, "EVENING") == 70
    assert "EVENING  30 ml charged" in shelf.ok("trace MEOF-25-02")


def test_what_is_no_code_is_read_as_the_liquid_it_names(shelf):
    shelf.ok(
        'top-up MEOF-25-01 --pour "20 ml water" --pour "20 ml cider vinegar" --when 2025-03-05'
    )

    assert left(shelf, "CAOF-25-01A") == 400


def test_two_pours_out_of_one_extract_are_taken_together(shelf):
    pours = '--pour "250 ml CAOF-25-01A" --pour "250 ml CAOF-25-01A"'

    refused = shelf.refused(f"top-up MEOF-25-01 {pours} --when 2025-03-05")

    assert "500 ml is more than the 400 ml there" in refused


@pytest.mark.parametrize(
    ("pour", "code", "says"),
    [
        ("20 ml CAOF-25-03A", 1, "Nothing in the book goes by CAOF-25-03A"),
        ("20 ml COAF-25-01A", 1, "did you mean CAOF-25-01"),
        ("20 ml MEOF-25-01", 1, "press or draw off first"),
        ("20 ml LOT-25-02", 1, "it is herb"),
        ("401 ml CAOF-25-01A", 1, "401 ml is more than the 400 ml there"),
        ("20 ml CAOF-25-01A @ 3.00", 1, "what an extract cost is in the book"),
        ("20 ml CAOF-25-01A 45%", 2, "'45%' is not a unit of volume"),
        ("20 g CAOF-25-01A", 2, "that is a weight, and it needs a volume"),
        ("CAOF-25-01A", 2, "it does not begin with a number"),
    ],
)
def test_what_cannot_be_poured_is_refused(shelf, pour, code, says):
    shelf.ok('gather "Melissa officinalis" --fresh 100g --when 2025-03-04')

    assert says in shelf.refused(f'top-up MEOF-25-01 --pour "{pour}" --when 2025-03-05', code=code)


def test_of_several_extracts_one_has_to_be_named(shelf):
    shelf.ok('steep-again CAOF-25-01 --pour "200 ml 60%" --when 2025-03-05')
    shelf.ok("press CAOF-25-01 200ml --when 2025-04-05")

    refused = shelf.refused('top-up MEOF-25-01 --pour "20 ml CAOF-25-01" --when 2025-04-06')

    assert "name one: CAOF-25-01A, CAOF-25-01B" in refused


def test_nothing_is_poured_into_itself_but_a_jar_takes_back_what_was_drawn_off(shelf):
    for to in ("", "--to 420ml"):
        line = f'dilute CAOF-25-01A --pour "20 ml CAOF-25-01A" {to} --when 2025-03-05'
        assert "it cannot be poured into itself" in shelf.refused(line)

    shelf.ok("draw MEOF-25-01 100ml --when 2025-03-05")
    shelf.ok('top-up MEOF-25-01 --pour "100 ml MEOF-25-01A" --when 2025-03-06')
    jar = shelf.asked("show MEOF-25-01")
    assert (jar["volume_ml"], jar["herb_g"], jar["poured_ml"]) == (250, 50, 250)


def test_a_bottle_goes_back_into_its_extract_with_what_it_holds(shelf):
    shelf.ok("bottle CAOF-25-01A 1x100ml --when 2025-03-04")

    shelf.ok('dilute CAOF-25-01A --pour "100 ml CAOF-25-01A/1" --when 2025-03-05')

    extract = shelf.asked("show CAOF-25-01A")
    assert (extract["volume_ml"], extract["bottled_ml"]) == (400, 0)
    assert extract["strength_pct_vol"] == 60
    assert extract["cost"] == "23.00"


def test_nothing_is_poured_out_before_it_was_pressed(shelf):
    refused = shelf.refused('top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2025-02-20')

    assert "Mar 2025" in refused


def test_a_blend_that_cannot_be_recharged_is_a_pour_of_the_new_charge(shelf):
    """What the refusal says to do instead has to work."""
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")
    shelf.ok('blend --part "40 ml CAOF-25-01A" --part "60 ml MEOF-25-01A" --when 2025-04-06')

    refused = shelf.refused("recharge BLEND-25-01 --dried 20g --when 2025-04-07")
    assert "charge the new herb, with the blend as one of its pours" in refused
    shelf.ok(f'{MELISSA} --pour "100 ml BLEND-25-01" --when 2025-04-07')

    assert left(shelf, "BLEND-25-01") == 0
    herbs = {one["herb"]: one["herb_g"] for one in shelf.asked("show MEOF-25-02")["herbs"]}
    # 40 of 500 ml with 100 g; 60 of 250 ml with 50 g, and 50 g of new herb.
    assert herbs == {"Calendula officinalis": 8, "Melissa officinalis": 62}


def test_the_answer_says_what_was_poured_and_not_only_the_menstruum_in_it(shelf):
    """Of the 200 ml some is water that the first herb brought."""
    charge = 'charge "Calendula officinalis" --part flower --dried 100g --least 28d --code WET'
    shelf.ok(f"{charge} --water 10% --when 2025-03-04", "--pour", "500 ml 60%")
    shelf.ok("press WET 400ml --when 2025-04-04")

    topped = shelf.ok('top-up MEOF-25-01 --pour "100 ml WETA" --when 2025-04-05')
    charged = shelf.ok(f'{MELISSA} --pour "200 ml WETA" --pour "50 ml 60%" --when 2025-04-05')

    assert ": 350 ml in all" in topped
    assert "250 ml in all" in charged


def test_what_nobody_knows_goes_on_being_unknown_and_not_nothing(shelf, tmp_path):
    """The liquid of a found jar, poured on new herb: no strength, whichever way it is asked."""
    shelf.ok("found Calendula --part flower --volume 300ml --code FND --when 2025-03-01")
    shelf.ok("release FND --why fine --when 2025-03-02")
    shelf.ok("press FND 250ml --when 2025-03-03")
    shelf.ok(f'{MELISSA} --pour "100 ml FNDA" --pour "150 ml 60%" --when 2025-03-04')

    fields = shelf.json("strength MEOF-25-02")
    assert fields["strength_pct_vol"] is fields["simple_strength_pct_vol"] is None
    assert fields["why"] == "nobody knows what some of it was"
    assert "100 ml unknown liquid" in shelf.ok("show MEOF-25-02")
    shelf.ok("label MEOF-25-02 --to", str(tmp_path / "label.pdf"))
    said = " ".join(shelf.lines()[-1]["data"]["lines"])
    assert "unknown liquid and spirit 60 % vol" in said


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("dispense MEOF-25-01 --for P03 --sure", "it was given out, on 5 Mar 2025"),
        ("discard MEOF-25-01 --why mould", "it was discarded, on 5 Mar 2025"),
    ],
)
def test_nothing_is_poured_out_of_a_jar_that_is_no_longer_there(shelf, line, says):
    """Nor is it said to be pressed first, which it cannot be."""
    shelf.ok(f"{line} --when 2025-03-05")

    refused = shelf.refused(f'{MELISSA} --pour "20 ml MEOF-25-01" --when 2025-03-06')

    assert says in refused
    assert "press it first" not in refused


# Holds and recalls


def test_what_is_on_hold_is_not_poured_out_nor_into(shelf):
    shelf.ok("hold CAOF-25-01A --why cloudy --when 2025-03-05")
    line = 'top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2025-03-06'
    assert "is on hold, since 5 Mar 2025: cloudy" in shelf.refused(line)
    shelf.ok("release CAOF-25-01A --why clear --when 2025-03-07")
    shelf.ok("hold MEOF-25-01 --why smell --when 2025-03-07")

    line = 'top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2025-03-08'
    assert "is on hold, since 7 Mar 2025: smell" in shelf.refused(line)


def test_a_recall_reaches_what_an_extract_of_the_lot_was_poured_into(shelf):
    shelf.ok('top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2025-03-05')
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")
    shelf.ok("dispense MEOF-25-01A 30ml --for C03 --when 2025-04-06")

    said = shelf.ok("recall LOT-25-01 --why cloudy --when 2025-04-07")

    assert "MEOF-25-01A" in said
    assert "C03" in said
    assert shelf.asked("show MEOF-25-01A")["recalled"]
    assert shelf.asked("show MEOF-25-01A")["on_hold"]


def test_what_an_extract_left_before_it_was_diluted_is_not_reached(shelf):
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")
    shelf.ok("dispense MEOF-25-01A 30ml --for C03 --when 2025-04-06")
    shelf.ok('dilute MEOF-25-01A --pour "20 ml CAOF-25-01A" --when 2025-04-08')

    said = shelf.ok("recall LOT-25-01 --why cloudy --when 2025-04-09")

    assert "MEOF-25-01A" in said
    assert "C03" not in said


# Dates


def test_an_extract_in_date_on_new_herb_takes_the_day_of_the_new_pressing(shelf):
    shelf.ok('top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2026-03-03')
    shelf.ok("press MEOF-25-01 200ml --when 2026-04-05")

    assert shelf.asked("show MEOF-25-01A")["good_through"] == "2027-04-05"


@pytest.mark.parametrize(
    ("line", "then", "code"),
    [
        (f'{MELISSA} --pour "200 ml CAOF-25-01A"', "press MEOF-26-01 150ml", "MEOF-26-01A"),
        ('top-up MEOF-25-01 --pour "20 ml CAOF-25-01A"', "draw MEOF-25-01 90ml", "MEOF-25-01A"),
    ],
)
def test_one_past_its_day_is_asked_about_and_the_new_pressing_is_no_better(shelf, line, then, code):
    line = f"{line} --when 2026-03-04"
    assert "its last good day was 3 Mar 2026, 1 day before" in shelf.refused(line)

    shelf.ok(f"{line} --sure")
    shelf.ok(f"{then} --when 2026-05-05")

    assert shelf.asked(f"show {code}")["good_through"] == "2026-03-03"
    assert "PAST" in shelf.ok("stock --on 2026-05-06")


def test_on_old_marc_an_extract_keeps_its_day(shelf):
    """The marc of CAOF-25-01 is no new herb."""
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")  # good through 5 April 2026
    shelf.ok('steep-again CAOF-25-01 --pour "100 ml MEOF-25-01A" --when 2025-04-06')
    shelf.ok("press CAOF-25-01 100ml --when 2025-05-06")

    assert shelf.asked("show CAOF-25-01B")["good_through"] == "2026-04-05"


def test_poured_into_an_extract_the_earlier_day_counts_and_bottles_keep_theirs(shelf):
    shelf.ok("press MEOF-25-01 200ml --when 2025-04-05")
    shelf.ok("bottle MEOF-25-01A 2x50ml --when 2025-04-06")

    shelf.ok('dilute MEOF-25-01A --pour "100 ml CAOF-25-01A" --when 2025-04-07')

    assert shelf.asked("show MEOF-25-01A")["good_through"] == "2026-03-03"
    assert shelf.asked("show MEOF-25-01A/1")["good_through"] == "2026-04-05"


# Said otherwise afterwards


def test_a_correction_of_the_amount_gives_the_rest_back(shelf):
    shelf.ok('top-up MEOF-25-01 --pour "200 ml CAOF-25-01A" --when 2025-03-05')

    number = shelf.number("topped_up")
    shelf.ok(f'correct {number} --why "read again"', "--set", "pours=50 ml CAOF-25-01A")

    assert left(shelf, "CAOF-25-01A") == 350
    assert left(shelf, "MEOF-25-01") == 300


def test_a_pour_may_come_to_be_of_an_extract_and_of_none(shelf):
    """The two jars were not replayed together before, and are not afterwards."""
    number = shelf.number("charged")

    shelf.ok(f'correct {number} --why "it was that"', "--set", "pours=250 ml CAOF-25-01A")
    as_extract = left(shelf, "CAOF-25-01A"), left(shelf, "MEOF-25-01")
    shelf.ok(f'correct {number} --why "it was not"', "--set", "pours=250 ml 45%")

    assert as_extract == (150, 250)
    assert left(shelf, "CAOF-25-01A") == 400
    assert shelf.asked("show MEOF-25-01")["strength_pct_vol"] == 45
    shelf.ok("check")


def test_a_correction_to_more_than_there_is_is_refused(shelf):
    shelf.ok('top-up MEOF-25-01 --pour "200 ml CAOF-25-01A" --when 2025-03-05')
    number = shelf.number("topped_up")

    answer = shelf.run(f"correct {number} --why slip", "--set", "pours=500 ml CAOF-25-01A")

    assert answer.code == 1
    assert "500 ml is more than the 400 ml there" in answer.err


def test_a_struck_charge_gives_back_what_it_poured(shelf):
    shelf.ok(f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05')

    shelf.ok(f'strike {shelf.number("charged")} --why "never was" --sure')

    assert left(shelf, "CAOF-25-01A") == 400
    assert "MEOF-25-02" not in shelf.ok("trace CAOF-25-01A")


def test_a_struck_pressing_leaves_a_pour_nobody_knows_the_make_up_of(shelf):
    """What was poured stays in the jar; strength and ratio that hang on it are not made up."""
    shelf.ok(f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05')
    shelf.ok(f'strike {shelf.number("pressed")} --why "not yet" --sure')

    jar = shelf.asked("show MEOF-25-02")

    assert jar["volume_ml"] == 200
    assert jar["strength_pct_vol"] is None
    assert jar["strength_simple_pct_vol"] is None
    assert jar["flags"]


def test_a_correction_behind_it_names_what_was_done_in_front(shelf):
    """The spirit of the first jar was weaker: the second jar's pressing acted on that."""
    shelf.ok(f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05')
    shelf.ok("press MEOF-25-02 150ml --when 2025-04-05")
    shelf.ok("dispense MEOF-25-02A 30ml --for C03 --when 2025-04-06")

    first = shelf.lines()[1]["sequence"]
    said = shelf.ok(f'correct {int(first)} --why "weaker"', "--set", "pours=500 ml 50%")

    assert "charged 50 g Melissa officinalis herb, dried in 200 ml CAOF-25-01A" in said
    assert "MEOF-25-02 pressed 150 ml" in said
    assert "C03" in said
    assert shelf.asked("show MEOF-25-02A")["strength_pct_vol"] == 50


def test_lines_of_one_page_pour_what_a_line_before_them_pressed(shelf):
    page = (
        "press MEOF-25-01 200ml --when 2025-04-05\n"
        f'{MELISSA} --pour "100 ml MEOF-25-01A" --when 2025-04-06\n'
    )
    (shelf.home / "page.txt").write_text(page)

    shelf.ok("enter page.txt")

    assert left(shelf, "MEOF-25-01A") == 100
    assert left(shelf, "MEOF-25-02") == 100


def test_two_machines_that_poured_out_the_same_extract_are_flagged_not_lost(shelf):
    """Each took 300 of the 400 ml while apart: 200 ml are short, and both jars hold theirs."""
    (shelf.home / "other").mkdir()
    other = Command(shelf.home / "other", writer="loft", zone="Europe/Berlin")
    (other.book / "events").mkdir(parents=True)
    (own,) = (shelf.book / "events").glob("*.jsonl")
    (other.book / "events" / own.name).write_bytes(own.read_bytes())
    for one, day in ((shelf, 5), (other, 6)):
        one.ok(f'top-up MEOF-25-01 --pour "300 ml CAOF-25-01A" --when 2025-03-0{day}')
    (there,) = [one for one in (other.book / "events").glob("*.jsonl") if one.name != own.name]
    (shelf.book / "events" / there.name).write_bytes(there.read_bytes())

    assert left(shelf, "MEOF-25-01") == 850
    assert left(shelf, "CAOF-25-01A") == 0
    assert shelf.asked("show CAOF-25-01A")["flags"]


# Reckoned with


def test_a_mixture_is_reckoned_with_what_the_extract_is_made_of(shelf):
    """200 ml of 60 % vol and 100 ml of water hold 120 ml of ethanol, as if it were spirit."""
    mixed = shelf.json('strength "200 ml CAOF-25-01A" "100 ml water"')
    as_spirit = shelf.json('strength "200 ml 60%" "100 ml water"')

    assert mixed == as_spirit
    assert mixed["simple_strength_pct_vol"] == 40


def test_glycerin_in_an_extract_goes_on_to_count(shelf):
    """50 ml of glycerin in 250 ml simply added: 20 %; with as much water again 10 %."""
    shelf.ok('top-up MEOF-25-01 --pour "62.5 ml glycerin" --when 2025-03-05')
    shelf.ok("press MEOF-25-01 250ml --when 2025-04-05")

    mixed = shelf.json('strength "100 ml MEOF-25-01A" "100 ml water"')

    assert mixed["glycerin_pct_vol"] == pytest.approx(10.0, abs=0.3)


def test_what_there_is_of_an_extract_is_what_a_recipe_may_take(shelf):
    """400 ml of 60 % vol hold 240 ml of ethanol: 800 ml of 30 % vol."""
    recipe = shelf.json("mix --to 30% --from CAOF-25-01A --from water")

    assert recipe["parts"][0] == {"what": "CAOF-25-01A", "ml": 400, "g": pytest.approx(364, abs=1)}
    assert recipe["volume_ml"] == pytest.approx(800, abs=1)
    assert "more than the 400 ml there" in shelf.refused(
        'mix --to 30% --from "500 ml CAOF-25-01A" --from water'
    )


def test_what_is_not_known_to_be_how_strong_is_not_reckoned_with(shelf):
    shelf.ok('found "Melissa officinalis" --form dried --volume 200ml --when 2025-03-05')
    shelf.ok("release MEOF-25-02 --why well --when 2025-03-06")
    shelf.ok("press MEOF-25-02 150ml --when 2025-03-07 --sure")

    for line in ('strength "20 ml MEOF-25-02A" "20 ml water"', "mix --to 30% --from MEOF-25-02A"):
        assert "its strength is not known" in shelf.refused(f"{line} --json")


def test_the_preparation_is_that_of_what_was_poured(shelf):
    shelf.ok(f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05')

    assert shelf.asked("show MEOF-25-02")["preparation"] == "spirit on dried herb"


def test_the_record_has_it_with_the_lots_behind_it(shelf):
    shelf.ok(f'{MELISSA} --pour "200 ml CAOF-25-01A" --when 2025-03-05')

    record = shelf.ok("record MEOF-25-02")

    assert "200 ml, measured extract out of CAOF-25-01A" in " ".join(record.split())
    assert "LOT-25-01: 60 % vol spirit, bought 5 Jan 2025" in record


def test_the_line_in_the_book_names_what_it_came_out_of(shelf):
    shelf.ok('top-up MEOF-25-01 --pour "20 ml CAOF-25-01A" --when 2025-03-05')
    line = shelf.lines()[-1]

    (pour,) = line["data"]["pours"]
    assert pour["liquid"] == "extract"
    assert pour["of"]["extract"] == json.loads(json.dumps(shelf.lines()[2]["id"]))
    assert "ethanol_pct_vol" not in pour or pour["ethanol_pct_vol"] == 0.0


@pytest.mark.parametrize(
    ("line", "into"),
    [
        (f'{MELISSA} --pour "20 ml ACNA-25-01A"', "MEOF-25-02"),
        ('top-up MEOF-25-01 --pour "20 ml ACNA-25-01A"', "MEOF-25-01"),
        ('steep-again CAOF-25-01 --pour "20 ml ACNA-25-01A"', "CAOF-25-01"),
        ('dilute CAOF-25-01A --pour "20 ml ACNA-25-01A"', "CAOF-25-01A"),
        ('dilute CAOF-25-01A --to 420ml --pour "20 ml ACNA-25-01A"', "CAOF-25-01A"),
    ],
)
def test_a_poisonous_herb_in_what_is_poured_is_asked_about_and_said(shelf, line, into):
    monkshood = 'charge "Aconitum napellus" --part root --dried 20g --pour "100 ml 45%"'
    shelf.ok(f"{monkshood} --least 7d --sure --when 2025-03-03")
    shelf.ok("press ACNA-25-01 80ml --when 2025-03-11 --sure")
    line = f"{line} --when 2025-03-12"

    asked = shelf.refused(line)
    assert f"{into}: it brings in a harmful herb" in asked
    said = shelf.run(f"{line} --sure")
    assert said.code == 0
    assert "monkshood" in said.out + said.err
    assert any("monkshood" in one for one in shelf.asked(f"show {into}")["cautions"])
