"""The guided verbs as a person meets them: typed to in a real terminal of 80 by 24."""

import pytest

from tests.command import Command

CHARGED = 'charge "Melissa officinalis" --part leaf --dried 100g --pour "500 ml 45%" --jar 750ml '
CHARGED += '--lid glass --place "cupboard, shelf 2" --when 2025-03-03'


@pytest.fixture
def shelf(command: Command) -> Command:
    command.ok(CHARGED)
    return command


@pytest.fixture
def pressed(shelf: Command) -> Command:
    shelf.ok(
        "press MEOF-25-01 400ml --with hand --marc composted --keeps '90 years' --when 2025-06-10"
    )
    return shelf


FROM_PART = [
    "root",
    "d",
    "100",
    "500 ml 45%",
    "",
    "",
    "",
    "",
    "",
    "",
    "",
]  # the answers to `charge`


def data(command: Command) -> dict[str, object]:
    found: dict[str, object] = command.lines()[-1]["data"]
    return found


def test_a_first_jar_is_walked_through_from_the_herb_to_the_shake_plan(command):
    talk = command.talk(
        "charge",
        "lemon balm leaf",
        "",
        "d",
        "100",
        "500 ml 45%",
        "",
        "750",
        "1",
        "pantry",
        "",
        "",
        "",
    )
    charged = data(command)

    assert talk.code == 0, talk.screen
    assert (charged["herb"], charged["part"], charged["form"]) == (
        "Melissa officinalis",
        "leaf",
        "dried",
    )
    assert (charged["herb_g"], charged["jar_ml"], charged["lid"]) == (100, 750, "glass")
    assert charged["place"] == "pantry"
    assert charged["least"] == "P3M"
    assert talk.screen.count("Record? [Y/n/change]") == 1
    assert talk.screen.rstrip().endswith("Recorded. `stillroom undo` takes it back.")


def test_a_second_jar_is_offered_what_the_first_one_had(shelf):
    talk = shelf.talk("charge", "1", "", "", "120 g", "", "", "", "", "", "", "")
    again = data(shelf)

    assert talk.code == 0, talk.screen
    assert "[500 ml 45%]" in talk.screen
    assert "[cupboard, shelf 2]" in talk.screen
    assert (again["herb"], again["part"], again["herb_g"]) == ("Melissa officinalis", "leaf", 120)
    assert again["pours"][0]["ethanol_pct_vol"] == 45
    assert (again["jar_ml"], again["lid"], again["place"]) == (750, "glass", "cupboard, shelf 2")


def test_a_slip_says_what_is_wrong_and_asks_that_question_once_more(command):
    talk = command.talk(
        "charge --when 2025-03-03",
        "Thymus vulgaros",
        "y",
        "herb",
        "soaked",
        "dried",
        "100 stones",
        "-",
        "500 ml meths",
        "500 ml 45%",
        "",
        *["", "", "", "four weeks", "28d", "now and then", "none", ""],
    )
    charged = data(command)

    assert talk.code == 0, talk.screen
    for question in ("Fresh or dried", "How much herb", "At least how long", "How often"):
        assert talk.screen.count(question) == 2, question
    assert "is neither" in talk.screen
    assert "meths is not a menstruum" in talk.screen
    assert charged["herb"] == "Thymus vulgaris"
    assert "herb_g" not in charged
    assert (charged["least"], charged.get("shake")) == ("P28D", None)


def test_by_eye_may_be_said_before_or_behind(command):
    for much in ("about 90 g", "90 g by eye"):
        command.ok(f"charge Urtica --dried '{much}' --pour '500 ml 45%' --jar 1l --sure")
        assert (data(command)["herb_known"], data(command)["herb_g"]) == ("by eye", 90)


def test_a_question_mark_explains_and_back_goes_to_the_question_before(shelf):
    talk = shelf.talk("press", "?", "1", "350", "<", "360", "hand", "", "")

    assert talk.code == 0, talk.screen
    assert "Its number here, its code or its name" in talk.screen
    assert "in ml [350 ml]" in talk.screen
    assert data(shelf)["volume_ml"] == 360


def test_what_was_given_is_not_asked_and_the_whole_is_confirmed_once(shelf):
    talk = shelf.talk("press MEOF --with cloth", "370", "kept", "")

    assert talk.code == 0, talk.screen
    assert "Which jar" not in talk.screen
    assert "How it was pressed" not in talk.screen
    assert (data(shelf)["how"], data(shelf)["marc"]) == ("cloth", "kept")


def test_where_all_is_given_nothing_is_asked(shelf):
    talk = shelf.talk("press MEOF 370ml")

    assert talk.code == 0
    assert "?" not in talk.screen
    assert data(shelf)["volume_ml"] == 370


def test_a_change_asks_one_question_once_more_and_shows_the_whole_again(shelf):
    talk = shelf.talk("press", "1", "350", "", "", "change", "2", "365", "")

    assert talk.code == 0, talk.screen
    assert talk.screen.count("Record? [Y/n/change]") == 2
    assert data(shelf)["volume_ml"] == 365


def test_a_no_records_nothing(shelf):
    talk = shelf.talk("press", "1", "350", "", "", "n")

    assert talk.code == 1
    assert "Nothing was recorded." in talk.screen
    assert len(shelf.lines()) == 1


def test_what_could_hurt_keeps_a_yes_of_its_own(command):
    answers = ["Digitalis purpurea", "leaf", "d", "10", "100 ml 45%", "", "", "", "", "", ""]
    no = command.talk("charge", *answers, "")
    assert no.code == 1
    assert command.lines() == []

    yes = command.talk("charge", *answers, "y")
    assert yes.code == 0, yes.screen
    assert "Record it [y/N/change]" in yes.screen
    assert "Record? [Y" not in yes.screen
    assert "poison" in yes.screen


def test_what_the_gate_refuses_is_said_at_the_answer_it_is_about(pressed):
    pressed.ok("hold MEOF-25-01A --why doubt")
    talk = pressed.talk("dispense", "MEOF-25-01A", "\x03")

    assert "on hold" in talk.screen
    assert talk.screen.count("Which one") == 2


def test_a_wrong_word_of_the_line_ends_it_once_no_answer_helps(command):
    talk = command.talk("charge --least sometimes", "Urtica dioica", "Melissa officinalis")

    assert talk.code == 2
    assert "'sometimes' is not a span of time" in talk.screen


@pytest.mark.parametrize(
    ("line", "typed", "field", "value"),
    [
        ("filter", ["1", "390", "paper", ""], "volume_ml", 390),
        ("bottle", ["1", "3 of them", "3x100ml 1x50ml", ""], "about", None),
        ("dispense", ["1", "30", "P03", ""], "reference", "P03"),
        ("count", ["1", "10 g", "380 ml", ""], "volume_ml", 380),
        ("discard", ["1", "20 ml", "spilt", ""], "why", "spilt"),
        ("hold", ["1", "in doubt", ""], "why", "in doubt"),
        ("look", ["1", "sediment, 10", "", ""], "signs", ["sediment", "colour"]),
        ("look", ["1", "flecks", "", "5d", ""], "verdict", "watch"),
        ("move", ["1", "window shelf", ""], "place", "window shelf"),
        ("move", ["1", "", "", "metal", "parchment", ""], "barrier", "parchment"),
        ("note", ["1", "smells of hay", ""], "note", "smells of hay"),
        ("label", ["1", ""], "copies", 1),
        ("dilute", ["1", "50 ml water", "", "", ""], "about", None),
    ],
)
def test_every_verb_of_the_extract_is_walked_to_its_end(pressed, line, typed, field, value):
    before = len(pressed.lines())
    talk = pressed.talk(line, *typed)

    assert talk.code == 0, talk.screen
    assert len(pressed.lines()) == before + 1
    assert value is None or data(pressed)[field] == value


@pytest.mark.parametrize(
    ("line", "typed", "field", "value"),
    [
        ("draw", ["1", "50 g", "50", ""], "volume_ml", 50),
        ("add-herb", ["1", "d", "20", ""], "herb_g", 20),
        ("split", ["1", "one", "2", ""], "into", None),
    ],
)
def test_every_later_verb_of_a_jar_is_walked_to_its_end(shelf, line, typed, field, value):
    talk = shelf.talk(line, *typed)

    assert talk.code == 0, talk.screen
    assert len(shelf.lines()) == 2
    assert value is None or data(shelf)[field] == value


@pytest.mark.parametrize(
    ("line", "typed"),
    [
        ("recharge", ["1", "d", "20", "", ""]),
        ("steep-again", ["MEOF", "300 ml 45%", "", ""]),
        ("refill", ["1", "", ""]),
    ],
)
def test_every_later_verb_of_an_extract_is_walked_to_its_end(pressed, line, typed):
    pressed.ok("correct 2 --set marc=kept --why slip")
    pressed.ok("bottle MEOF-25-01A 2x100ml --when 2025-06-12")
    pressed.ok("dispense MEOF-25-01A/1 30ml --when 2025-06-13")
    before = len(pressed.lines())
    talk = pressed.talk(line, *typed)

    assert talk.code == 0, talk.screen
    assert len(pressed.lines()) == before + 1


def test_release_offers_what_is_on_hold(pressed):
    pressed.ok("hold MEOF-25-01A --why doubt")
    talk = pressed.talk("release", "1", "tasted", "")

    assert talk.code == 0, talk.screen
    assert "MEOF-25-01A  doubt" in talk.screen
    assert data(pressed)["why"] == "tasted"


def test_shake_takes_what_is_due(shelf):
    shelf.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    day = "--when 2025-03-10"
    assert shelf.talk(f"shake {day}", "MEOF-25-01 MEOF-25-02", "").code == 0
    assert len(data(shelf)["jars"]) == 2
    assert shelf.talk(f"shake {day}", "all", "").code == 0


def test_top_up_takes_several_pours(shelf):
    talk = shelf.talk("top-up", "1", "50 ml 45%", "20 ml water", "", "")

    assert talk.code == 0, talk.screen
    assert [one["volume_ml"] for one in data(shelf)["pours"]] == [50, 20]


@pytest.mark.parametrize(
    ("line", "typed", "field", "value"),
    [
        ("buy", ["700 ml vodka 80", "1", "corner shop", "L 12", "14.50", ""], "their_lot", "L 12"),
        ("buy", ["nettle", "leaf", "d", "250", "market", "", "", ""], "herb_g", 250),
        ("gather", ["nettle", "leaf", "fresh", "-", "800", "ditch", ""], "where", "ditch"),
        ("found", ["nettle", "", "", "300", "", "", "loft", "2023", ""], "place", "loft"),
    ],
)
def test_what_is_brought_in_is_walked_to_its_end(command, line, typed, field, value):
    talk = command.talk(line, *typed)

    assert talk.code == 0, talk.screen
    assert data(command)[field] == value


def test_what_was_dried_is_all_of_a_lot_unless_it_is_said(command):
    command.ok("gather Urtica --fresh 800g --when 2025-05-01")
    talk = command.talk("dry --when 2025-05-08", "1", "", "170", "")

    assert talk.code == 0, talk.screen
    assert (data(command)["fresh_g"], data(command)["herb_g"]) == (800, 170)


def test_a_jar_is_charged_from_a_lot_in_stock(command):
    command.ok("buy 'Urtica dioica' --part leaf --dried 250g --when 2025-05-01")
    talk = command.talk("charge", "nettle", "1", "100", "500 ml 45%", *[""] * 7)

    assert talk.code == 0, talk.screen
    assert "stinging nettle leaf, dried  LOT-25-01  250 g left" in talk.screen
    assert "Fresh or dried" not in talk.screen
    assert data(command)["herb_lot"] == command.event("bought_herb")
    assert data(command)["part"] == "leaf"


def test_of_no_lot_and_all_of_it_may_be_said_in_words(command):
    command.ok("buy 'Urtica dioica' --part leaf --dried 250g --when 2025-05-01")
    typed = ["nettle", "none", "leaf", "d", "100", "500 ml 45%", *[""] * 7]
    assert command.talk("charge", *typed).code == 0
    assert "lots" not in data(command)
    assert "herb_lot" not in data(command)

    assert command.talk("discard", "LOT-25-01", "all of it", "moths", "").code == 0
    assert data(command)["herb_g"] == 250


def test_a_blend_names_its_parts_by_their_numbers(pressed):
    pressed.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    pressed.ok("press MEOF-25-02 300ml --keeps '90 years' --when 2025-06-11")
    talk = pressed.talk("blend", "40 ml 9", "40 ml 1", "30 ml MEOF-25-01A", "", "", "")

    assert talk.code == 0, talk.screen
    assert [one["volume_ml"] for one in data(pressed)["parts"]] == [40, 30]


def test_like_shows_the_whole_and_records_it_on_a_yes(shelf):
    talk = shelf.talk("charge --like MEOF", "")
    first, again = (one["data"] for one in shelf.lines())
    own = {"code", "look_days"}

    assert talk.code == 0, talk.screen
    assert {key: first[key] for key in first.keys() - own} == {
        key: again[key] for key in again.keys() - own
    }


def test_press_like_asks_for_the_jar_and_the_amount_alone(pressed):
    pressed.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    talk = pressed.talk("press --like MEOF-25-01", "1", "350", "")
    found = data(pressed)

    assert talk.code == 0, talk.screen
    assert (found["how"], found["marc"], found["keeps"]) == ("hand", "composted", "P1080M")


EVERY_VERB = [
    ("charge", ["lemon balm", "", "d", "100", "500 ml 45%", "750", "metal", "wax", "", "", ""]),
    ("press MEOF-25-02", ["350", "hand", "kept"]),
    ("filter", ["1", "390", "paper"]),
    ("bottle", ["1", "3x100ml"]),
    ("dispense", ["1", "30", "P03"]),
    ("look", ["1", "1", "", ""]),
    ("move", ["1", "", "750", "metal", "wax"]),
    ("top-up", ["1", "50 ml water", ""]),
    ("buy", ["nettle", "leaf", "d", "250", "", "", ""]),
    ("blend", ["40 ml 1", "10 ml MEOF-25-02"]),
    ("dilute", ["1", "10 ml water", "", ""]),
    ("discard", ["1", "", "spilt"]),
]


@pytest.mark.thorough
@pytest.mark.parametrize("sign", ["\x03", "\x04"])
@pytest.mark.parametrize(("line", "typed"), EVERY_VERB)
def test_stopped_at_any_question_nothing_is_recorded_and_the_terminal_is_as_it_was(
    pressed, line, typed, sign
):
    pressed.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    before = pressed.written()
    for answered in range(len(typed) + 1):
        talk = pressed.talk(line, *typed[:answered], sign)

        assert talk.code == 1, talk.screen
        assert "Stopped: nothing was recorded." in talk.screen
        assert "Traceback" not in talk.screen
        assert talk.before == talk.after
    assert pressed.written() == before


@pytest.mark.thorough
@pytest.mark.parametrize("columns", [60, 80, 200])
def test_what_is_offered_fits_any_screen(command, columns):
    command.ok(f"demo {command.book}")
    for line in ("press", "look", "charge", "dispense", "release", "blend"):
        screen = command.talk(line, columns=columns, NO_COLOR="1").screen
        offered = [one for one in screen.splitlines() if one.startswith("  ")]

        assert offered, screen
        assert max(map(len, offered)) <= columns
        assert "\x1b" not in screen


def test_a_first_jar_that_is_given_up_leaves_no_book_behind(command):
    talk = command.talk("charge", "nettle", "leaf", "\x03")

    assert talk.code == 1
    assert command.lines() == []
    assert command.ok("charge nettle --dried 10g --pour '50 ml 45%' --when 2025-03-03")


def test_a_day_that_is_none_ends_the_walk_and_says_why(command):
    talk = command.talk("charge --when soonish", "nettle", "lemon balm")

    assert talk.code == 2
    assert "soonish" in talk.screen


@pytest.mark.parametrize("line", ["charge", "press", "shake", "dispense", "buy", "blend"])
def test_a_script_is_never_asked(pressed, line):
    answer = pressed.run(line, typed="1\n1\n1\n")
    assert (answer.code, answer.out) == (2, "")

    told = pressed.at_terminal(f"{line} --json", typed="1\n1\n1\n")
    assert told.code == 2
    assert len(pressed.lines()) == 2


def test_another_jar_answers_for_press_like_and_any_of_it_can_be_changed(pressed):
    pressed.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    talk = pressed.talk("press --like MEOF-25-01", "1", "350", "change", "3", "cloth", "")
    found = data(pressed)

    assert talk.code == 0, talk.screen
    assert "  3  How it was pressed: hand" in talk.screen
    assert talk.screen.count("Record? [Y/n/change]") == 2
    assert (found["how"], found["marc"], found["volume_ml"]) == ("cloth", "composted", 350)


def test_all_that_was_given_beside_like_can_be_changed_as_well(pressed):
    pressed.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    line = "press MEOF-25-02 350ml --like MEOF-25-01"
    talk = pressed.talk(line, "c", "2", "360", "c", "4", "-", "")

    assert talk.code == 0, talk.screen
    assert data(pressed)["volume_ml"] == 360
    assert "marc" not in data(pressed)


def test_another_plant_takes_neither_part_nor_lot_of_charge_like(command):
    command.ok("buy Melissa --part leaf --dried 900g --when 2025-02-01")
    command.ok(CHARGED.replace('"Melissa officinalis" --part leaf', "LOT-25-01"))
    talk = command.talk("charge --like MEOF", "change", "1", "nettle", "herb", "d", "")
    charged = data(command)

    assert talk.code == 0, talk.screen
    assert (charged["herb"], charged["part"]) == ("Urtica dioica", "herb")
    assert "herb_lot" not in charged
    assert (charged["herb_g"], charged["place"]) == (100, "cupboard, shelf 2")


def test_a_wrong_word_beside_like_is_said_and_asked(pressed):
    talk = pressed.talk("press MEOF-25-09 350ml --like MEOF-25-01", "none")

    assert talk.code == 1
    assert "MEOF-25-09" in talk.screen
    assert "What is to change?" in talk.screen
    assert len(pressed.lines()) == 2


@pytest.mark.parametrize(
    ("line", "typed", "field", "value"),
    [
        ("join", ["1 2", "2 l", ""], "jar_ml", 2000),
        ("later", ["1", "3d", ""], "what", "ready"),
        ("away", ["tomorrow", "14d", ""], "first", None),
        ("restore", ["1", "found it", ""], "why", "found it"),
        ("recall", ["1", "mouldy", ""], "why", "mouldy"),
        ("same", ["6", "MEOF-25-01", "5", "said twice", ""], "why", "said twice"),
    ],
)
def test_the_other_recording_verbs_are_walked_to_their_end(shelf, line, typed, field, value):
    shelf.ok(CHARGED.replace("2025-03-03", "2025-03-04"))
    shelf.ok("buy Urtica --dried 250g --when 2025-05-01")
    shelf.ok("discard LOT-25-01 --why moths --when 2025-05-02")
    shelf.ok("note MEOF-25-01 hay --when 2025-05-03")
    shelf.ok("note MEOF-25-01 'smells of hay' --when 2025-05-03")
    talk = shelf.talk(line, *typed)

    assert talk.code == 0, talk.screen
    assert len(shelf.lines()) == 7
    assert talk.screen.count("[Y/n/change]") == 1
    assert value is None or data(shelf)[field] == value


def test_another_name_typed_at_did_you_mean_is_the_answer(command):
    talk = command.talk("charge", "Thymus vulgaros", "valerian", *FROM_PART)

    assert talk.code == 0, talk.screen
    assert "Did you mean thyme, Thymus vulgaris? [Y/n]" in talk.screen
    assert (data(command)["herb"], data(command)["part"]) == ("Valeriana officinalis", "root")


def test_another_name_is_the_answer_where_the_first_was_given_on_the_line(command):
    talk = command.talk("charge 'Thymus vulgaros'", "root", "valerain", "", *FROM_PART[1:])

    assert talk.code == 0, talk.screen
    assert (data(command)["herb"], data(command)["part"]) == ("Valeriana officinalis", "root")


@pytest.mark.parametrize(
    ("herb", "pour", "size"),
    [("100", "500 ml 45%", 750), ("150", "1 l 45%", 1500), ("20", "200 ml 45%", 250)],
)
def test_the_jar_offered_takes_what_was_poured(shelf, herb, pour, size):
    talk = shelf.talk("charge", "valerian root", "", "d", herb, pour, "", "", *FROM_PART[5:-1], "")

    assert talk.code == 0, talk.screen
    assert f"Size of the jar, in ml [{size} ml]" in talk.screen
    assert data(shelf)["jar_ml"] == size


def test_a_jar_of_the_makers_own_is_offered_where_it_takes_what_was_poured(shelf):
    shelf.ok("charge Thymus --part herb --dried 100g --pour '500 ml 45%' --jar 620ml --sure")
    talk = shelf.talk("charge", "valerian root", "", "d", "100", "500 ml 45%", "", "\x03")

    assert "Size of the jar, in ml [620 ml]" in talk.screen
