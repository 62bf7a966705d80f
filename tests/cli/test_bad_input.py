"""Bad input: a clear message, the right exit code, and not one byte written.

1 is refused by a rule of the trade or the book, 2 is misused. The worked book holds
CAOF-25-01 (pressed 370 ml, 358 ml filtered, bottles 1 to 4, 8 ml in bulk), CAOF-25-02 (still
on the herb) and MEOF-25-01 (its extract on hold).
"""

import pytest

HERB = '--dried 100g --pour "500 ml 45%"'

REFUSED = {
    "an unknown code": ("shake QQQQ-25-01", "goes by QQQQ-25-01"),
    "a code nearly right": ("shake CAFO-25-02", "did you mean CAOF-25-02?"),
    "a bottle that was never filled": ("count CAOF-25-01A/9 50ml", "CAOF-25-01A/9"),
    "one unknown code among known ones": ("shake CAOF-25-02 QQQQ-25-01", "QQQQ-25-01"),
    "more pressed than went in": ("press CAOF-25-02 5000ml", "more than ever went in"),
    "a second pressing": ("press CAOF-25-01 370ml", "already pressed on 5 Apr 2025"),
    "more filtered than there was": ("filter CAOF-25-01A 9ml", "more than the 8 ml"),
    "bottles beyond the extract": ("bottle CAOF-25-01A 1x50ml", "more than the 8 ml"),
    "a pressed jar shaken": ("shake CAOF-25-01", "already pressed on 5 Apr 2025"),
    "a bottle shaken": ("shake CAOF-25-01A/1", "only a jar can be shaken"),
    "an extract on hold dispensed": ("dispense MEOF-25-01A 10ml", "on hold, since 20 Apr 2025"),
    "more dispensed than there is": ("dispense CAOF-25-01A/4 51ml", "more than the 50 ml"),
    "a jar dispensed from before it was pressed": (
        "dispense CAOF-25-02 10ml",
        "not been pressed yet",
    ),
    "more counted than a bottle holds": ("count CAOF-25-01A/1 101ml", "the bottle holds"),
    "more counted than was pressed": ("count CAOF-25-01A 371ml", "that ever went into it"),
    "more discarded than there is": (
        "discard CAOF-25-01A 9ml --why spilt",
        "more than the 8 ml",
    ),
    "a pressed jar discarded": ("discard CAOF-25-01 --why mould", "CAOF-25-01A"),
    "part of a jar discarded": ("discard CAOF-25-02 9ml --why spilt", "discarded whole"),
    "a restore where nothing was discarded": ("restore CAOF-25-02", "nothing of it was disc"),
    "a code of one's own that is taken": (
        f"charge Urtica {HERB} --code caof-25-02",
        "that code is taken",
    ),
    "an event that is not there, struck": ("strike 0badc0de --why wrong", "0badc0de"),
    "an event that is not there, corrected": (
        "correct 0badc0de --set volume=1ml --why wrong",
        "0badc0de",
    ),
    "a future shake": ("shake CAOF-25-02 --when 2099-01-01", "is in the future"),
    "a future charge": (f"charge Urtica {HERB} --when 2099-01-01", "is in the future"),
}

MISUSED = {
    "spirit over 100 %": ('top-up CAOF-25-02 --pour "10 ml 145%"', "more than pure"),
    "a number that may be a strength": ('top-up CAOF-25-02 --pour "9 ml vodka 80"', "% or proof"),
    "a percentage of nothing known": ('top-up CAOF-25-02 --pour "9 ml 40% moonmilk"', "moonmilk"),
    "a pour that is no food": ('top-up CAOF-25-02 --pour "9 ml meths"', "poisonous"),
    "a herb of negative mass": ('charge Urtica --dried -5g --pour "50 ml 45%"', "'-5g'"),
    "a herb of no mass": ('charge Urtica --fresh 0g --pour "50 ml 45%"', "must be some"),
    "a negative pressing": ("press CAOF-25-02 -- -5ml", "must be some"),
    "a volume where it needs a weight": (
        'charge Urtica --dried 5ml --pour "50 ml 45%"',
        "that is a volume, and it needs a weight",
    ),
    "a weight where it needs a volume": (
        "press CAOF-25-02 300g",
        "that is a weight, and it needs a volume",
    ),
    "a unit nobody knows": ("press CAOF-25-02 '3 firkins'", "no unit that is known here"),
    "a number for a part": (
        'charge marigold --part 1 --dried 100g --pour "500 ml 45%"',
        "'1' is not a part of a plant",
    ),
    "a number without a unit": ("press CAOF-25-02 300", "no unit"),
    "a lake": ("press CAOF-25-02 9999999l", "nobody has a vessel that large"),
    "no bottles": ("bottle CAOF-25-01A 0x5ml", "0 bottles"),
    "fresh and dried at once": (f"charge Urtica {HERB} --fresh 5g", "either fresh or dried"),
    "a span that is none": (f"charge Urtica {HERB} --least soon", "'soon'"),
    "a shake plan that is none": (f"charge Urtica {HERB} --shake often", "'often'"),
    "no jars": (f"charge Urtica {HERB} --count 0", "--count"),
    "a sign nobody knows": ("look CAOF-25-02 --sign rust", "mould, slime, gas"),
    "an option nobody knows": ("shake CAOF-25-02 --hard", "--hard"),
    "a verb nobody knows": ("stir CAOF-25-02", "stir"),
    "a day February has not": ("shake CAOF-25-02 --when 2025-02-30", "is not a date"),
    "a day written backwards": (
        "shake CAOF-25-02 --when 05.04.2025",
        "the day or the month may come first",
    ),
    "a day to ask about that is none": ("due --on someday", "is not a date"),
    "a herb with a name of blanks": (f"charge '   ' {HERB}", "herb"),
    "a note of blanks": ("note CAOF-25-02 '  '", "What is to be noted"),
    "a herb with no name": (f"charge '' {HERB}", "herb"),
}

ODD_TEXTS = {
    "an escape code in the herb": (
        f"charge 'Urtica\x1b[31m' {HERB}",
        "herb: there is an escape code after 'Urtica'",
    ),
    "a new line in a remark": (
        "note CAOF-25-02 'one\ntwo'",
        "remark: there is a line break after 'one'",
    ),
    "a tab in a remark": ("note CAOF-25-02 'one\ttwo'", "remark: there is a tab after 'one'"),
    "a bell in a remark": (
        "note CAOF-25-02 '\x07two'",
        "there is a control code (U+0007) at the beginning",
    ),
    "a bidi override in the herb": (
        f"charge 'Urtica\u202e' {HERB}",
        "there is a right-to-left override (U+202E) after 'Urtica'",
    ),
    "a bidi isolate in a place": (
        "move CAOF-25-02 --to 'shelf\u2067'",
        "there is a right-to-left isolate (U+2067) after 'shelf'",
    ),
    "a line separator in a reason": (
        "discard CAOF-25-02 --why 'a\u2028b'",
        "why: there is a line separator (U+2028) after 'a'",
    ),
    "a bidi override behind a soft hyphen": (
        "note CAOF-25-02 'so\u00adft \u202ehere'",
        "there is a right-to-left override (U+202E) after 'soft'",
    ),
    "nothing but a blank of no width": (
        "note CAOF-25-02 '\u200b'",
        "there is a zero width space (U+200B) at the beginning",
    ),
    "nothing but blanks": (
        "discard CAOF-25-02 --why '  '",
        "why: there is nothing in it but blanks",
    ),
    "a name of 10,000 letters": (f"charge {'x' * 10_000} {HERB}", "200 characters"),
    "a remark of 10,000 letters": (f"note CAOF-25-02 {'x' * 10_000}", "2000 characters"),
}


def cases(table):
    return [pytest.param(*case, id=name.replace(" ", "-")) for name, case in table.items()]


@pytest.mark.parametrize(("line", "message"), cases(REFUSED))
def test_what_the_trade_or_the_book_forbids_is_refused(worked, line, message):
    said = worked.refused(line, "--json") if " -- " not in line else worked.refused(line)

    assert message in said
    assert "to do: " in said


@pytest.mark.parametrize(("line", "message"), cases(MISUSED))
def test_what_makes_no_sense_is_misused(worked, line, message):
    assert message in worked.refused(line, code=2)


@pytest.mark.parametrize(("line", "message"), cases(ODD_TEXTS))
def test_a_text_that_cannot_be_shown_safely_is_not_recorded(worked, line, message):
    said = worked.refused(line, code=2)

    assert message in said
    assert len(said) < 1000


@pytest.mark.parametrize("name", ["a second pressing", "an unknown code"])
def test_the_message_is_the_same_whatever_the_form_of_the_answer(worked, name):
    line, _ = REFUSED[name]

    assert worked.refused(line) == worked.refused(line, "--json", "--dry-run")


def test_a_code_too_short_names_every_jar_it_may_mean(worked):
    """The bottles of one jar must not crowd out the other jar."""
    said = worked.refused("show CAOF", code=2)

    assert "CAOF-25-01" in said
    assert "CAOF-25-02" in said


def test_a_message_is_what_is_wrong_where_and_what_to_do(worked):
    first, where, what_to_do = worked.refused("press CAOF-25-02 5000ml").splitlines()

    assert first.startswith("CAOF-25-02: ")
    assert where.startswith("  where: ")
    assert what_to_do.startswith("  to do: ")


def test_a_press_dated_before_the_charge_is_refused(worked):
    """It may be true: then the date of the charge is the slip, and is corrected first."""
    said = worked.refused("press CAOF-25-02 370ml --when 2025-03-01")

    assert "charged on 3 Mar 2025" in said
    assert "correct the day it was" in said


def test_a_correction_names_the_fields_there_are(worked):
    event = worked.event("filtered")
    said = worked.refused(f"correct {event} --set colour=green --why slip", code=2)

    assert "That line has no 'colour'." in said
    assert "it has: volume, through, before, day, thing, note, by." in said


@pytest.mark.parametrize(
    ("kind", "name", "word"),
    [
        ("filtered", "volume_ml", "volume"),
        ("filtered", "about", "thing"),
        ("filtered", "known", "volume"),
        ("charged", "herb_g", "dried"),
        ("charged", "subject", "code"),
        ("pressed", "how", "with"),
        ("looked_at", "again_on", "again"),
    ],
)
def test_a_name_of_the_format_is_refused_with_the_word_to_use(worked, kind, name, word):
    answer = worked.run(f"correct {worked.event(kind)} --set {name}=1 --why slip")

    assert (answer.code, answer.out) == (2, "") or name == "how"
    assert name == "how" or f"write {word}=…." in answer.err


@pytest.mark.parametrize(
    ("kind", "change", "code"),
    [
        ("pressed", "volume=-5ml", 2),
        ("pressed", "volume=5g", 2),
        ("pressed", "when=2025-02-30", 2),
        ("pressed", "when", 2),
        ("pressed", "when=2099-01-01", 1),  # as the event itself would be
        ("pressed", "volume=99999ml", 1),  # as the event itself would be
        ("pressed", "thing=QQQQ-25-01", 1),
        ("looked_at", "verdict=splendid", 2),
        ("charged", "herb=Urtica\x1b[31m", 2),
    ],
)
def test_a_correction_is_held_to_what_the_event_was_held_to(worked, kind, change, code):
    worked.refused(f"correct {worked.event(kind)} --why slip --set", change, code=code)


def test_a_correction_of_a_correction_is_held_to_the_same(worked):
    worked.ok(f"correct {worked.event('filtered')} --set volume=352ml --why misread")
    line = f"correct {worked.event('corrected')} --why again --set"

    worked.refused(line, "colour=green", code=2)
    worked.refused(line, "volume=much", code=2)


def test_a_code_with_control_characters_reaches_the_terminal_harmless(worked):
    screen = worked.at_terminal("show", "CAOF\x1b[2J").out

    assert "\x1b" not in screen
    assert "CAOF\\x1b[2J" in screen


# Missing arguments

VERBS = (
    *("charge", "shake", "look", "top-up", "move", "press", "filter", "bottle"),
    *("dispense", "count", "discard", "restore", "note", "correct", "strike"),
)


@pytest.mark.parametrize("verb", VERBS)
def test_without_a_terminal_nobody_is_asked(worked, verb):
    said = " ".join(worked.refused(verb, code=2).split())

    assert f"to do: give it on the line; `stillroom {verb} --help` shows how." in said


def test_in_a_page_what_is_missing_is_said_of_its_verb(worked):
    answer = worked.run("enter -", typed="top-up CAOF-25-02\n")

    assert answer.code == 2
    assert "`stillroom top-up --help` shows how." in " ".join(answer.err.split())


def test_answers_through_a_pipe_are_not_taken_for_a_person(worked):
    before = worked.written()
    answer = worked.run("press", typed="CAOF-25-02\n370ml\n")

    assert (answer.code, answer.out) == (2, "")
    assert worked.written() == before


def test_at_a_terminal_what_is_missing_is_asked_until_it_makes_sense(command):
    typed = "Urtica dioica\n-\nsoaked\ndried\n100 stones\n100g\n500 ml meths\n500 ml 45%\n"
    typed += "\n" * 7
    answer = command.at_terminal("charge --when 2025-03-03", typed=typed)
    (charged,) = command.lines()

    assert answer.code == 0
    assert answer.out.count("Fresh or dried") == 2
    assert "no unit that is known here" in answer.out
    assert "meths is not a menstruum" in answer.out
    assert charged["data"]["herb"] == "Urtica dioica"
    assert charged["data"]["herb_g"] == 100
    assert charged["data"]["pours"][0]["ethanol_pct_vol"] == 45


def test_at_a_terminal_only_what_is_missing_is_asked(worked):
    answer = worked.at_terminal("press CAOF-25-02 --when 2025-04-06", typed="370 ml\n\n\n\n")

    assert answer.code == 0
    assert "Which jar" not in answer.out
    assert worked.lines()[-1]["data"]["volume_ml"] == 370


def test_walking_away_from_a_question_records_nothing(worked):
    before = worked.written()
    answer = worked.at_terminal("press", typed="CAOF-25-02\n")

    assert answer.code != 0
    assert "Traceback" not in answer.out
    assert worked.written() == before


@pytest.mark.parametrize("verb", ["hold", "release"])
def test_a_reason_that_is_missing_is_asked_for_with_the_whole_command(worked, verb):
    said = " ".join(worked.refused(f"{verb} CAOF-25-01", code=2).split())

    assert f"to do: write `stillroom {verb} CAOF-25-01 --why …`." in said
