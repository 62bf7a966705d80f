"""Names and cautions as a person meets them: at the charge, on `show`, and nowhere in the way.

What is warned about: `tests/core/herbs/data/cautions.csv` and `care_notes.csv`.
"""

import json

import pytest

from tests.command import Command

CLOSING = "Ask a licensed practitioner or pharmacist; local law decides."
FOXGLOVE = (
    "Digitalis purpurea / D. lanata, foxglove: cardiac glycosides; narrow margin "
    "(UK prescription-only)"
)
IN_SPIRIT = '--dried 100g --pour "500 ml 40%" --least 28d --when 2025-03-03'


def told(command: Command, herb: str, more: str = IN_SPIRIT) -> list[str]:
    """The lines on standard error after a charge."""
    answer = command.run(f"charge {more}", herb)
    assert answer.code == 0, answer.err
    return answer.err.splitlines()


# Cautions


def test_a_poisonous_plant_is_said_once_and_the_jar_is_charged(command):
    answer = command.run(f"charge {IN_SPIRIT} --count 3", "Digitalis purpurea")

    assert answer.code == 0
    assert answer.err.splitlines() == [f"Caution: {FOXGLOVE}.", CLOSING]
    assert "Caution" not in answer.out
    assert answer.out.count("charged 100 g Digitalis purpurea, dried") == 3


def test_what_was_said_at_the_charge_stays_on_show(command):
    told(command, "Digitalis purpurea")
    shown = command.ok("show DIPU-25-01").splitlines()

    assert f"  {'caution':<18}{FOXGLOVE}" in shown
    assert f"  {'':<18}{CLOSING}" in shown
    assert command.json("show DIPU-25-01")["cautions"] == [FOXGLOVE, CLOSING]


def test_a_dry_run_warns_as_well_and_so_does_json(command):
    before = command.written()

    assert told(command, "Digitalis purpurea", f"{IN_SPIRIT} --dry-run")[-1] == CLOSING
    assert command.written() == before
    answer = command.run(f"charge {IN_SPIRIT} --json", "Digitalis purpurea")
    assert json.loads(answer.out)["recorded"][0]["code"] == "DIPU-25-01"
    assert f"Caution: {FOXGLOVE}." in answer.err


@pytest.mark.parametrize("slip", ["Digitalis pupurea", "Atropa beladonna", "Aconitum napelus"])
def test_a_slip_of_a_poisonous_name_is_kept_and_warned_of(command, slip):
    lines = told(command, slip)

    assert lines[0].startswith(f"Caution: if this is {slip.split()[0]} ")
    assert lines[1:] == [CLOSING]
    assert command.lines()[0]["data"]["herb"] == slip


def test_a_handling_note_is_quieter_and_brings_no_closing_line(command):
    assert told(command, "Achillea millefolium")[1:] == [
        "Care: Achillea millefolium: Asteraceae allergy."
    ]
    shown = command.ok("show ACMI-25-01").splitlines()
    assert shown[-1] == f"  {'care':<18}Achillea millefolium: Asteraceae allergy"
    assert command.json("show ACMI")["cautions"] == ["Achillea millefolium: Asteraceae allergy"]


def test_fire_and_wet_herb_in_oil_are_said_without_a_plant(command):
    """Flash point of 96 %: 17 °C in published tables, which differ by a few degrees."""
    strong = '--dried 100g --pour "500 ml 96%"'
    oil = '--fresh 100g --pour "500 ml olive oil"'

    (fire,) = told(command, "fenmint", strong)
    (wet,) = told(command, "fenmint", oil)
    assert fire.startswith("Caution: fire: the vapour of 96 % vol spirit catches")
    assert wet.startswith("Caution: wet herb in oil")


def test_the_bare_lid_is_said_once_in_the_answer_itself(command):
    answer = command.run(f"charge fenmint {IN_SPIRIT} --lid metal")

    assert (answer.out + answer.err).count("bare metal lid") == 1
    assert any("bare metal lid" in one for one in command.json("show FENM")["cautions"])


def test_a_plain_charge_of_an_unknown_plant_says_nothing(command):
    assert told(command, "fenmint") == []
    assert command.json("show FENM-25-01")["cautions"] == []


def test_a_corrected_herb_brings_its_own_cautions(command):
    told(command, "fenmint")
    event = command.event("charged")
    command.ok(f"correct {event} --why misread --set", "herb=Digitalis purpurea")

    assert command.json("show FENM-25-01")["cautions"] == [FOXGLOVE, CLOSING]


def test_the_daily_questions_read_no_tables(worked):
    """They are for the charge and for `show`; the shelf must not wait for them."""
    worked.env["PYTHONPROFILEIMPORTTIME"] = "1"
    imported = {
        verb: worked.installed(verb).err for verb in ("shelf", "stock", "due", "show CAOF-25-01")
    }
    tables = ("cautions_table", "plants_table", "care_table", "moisture_table")
    read = {verb: {one for one in tables if one in said} for verb, said in imported.items()}

    assert read == {
        **{verb: set() for verb in ("shelf", "stock", "due")},
        "show CAOF-25-01": set(tables) - {"moisture_table"},  # no fresh herb in that book
    }


# Names


def test_a_common_name_is_completed_and_said(command):
    said = told(command, "calendula flower")[0]
    assert said.startswith("calendula flower taken as Calendula officinalis L., marigold, Ast")
    assert said.endswith("; part: flower.")
    charged = command.lines()[0]
    assert charged["subject"] == "CAOF-25-01"
    assert (charged["data"]["herb"], charged["data"]["common"], charged["data"]["part"]) == (
        "Calendula officinalis", "marigold", "flower",
    )  # fmt: skip


def test_a_latin_name_is_kept_and_the_rest_is_said(command):
    assert told(command, "Thymus vulgaris") == ["Thymus vulgaris L., thyme, Lamiaceae."]
    assert command.lines()[0]["data"]["herb"] == "Thymus vulgaris"


def test_an_old_latin_name_is_kept_and_today_s_is_said(command):
    lines = told(command, "Matricaria recutita")

    assert lines[0].startswith("Matricaria recutita, kept as typed, is Matricaria chamomilla L.")
    assert command.lines()[0]["data"]["herb"] == "Matricaria recutita"
    assert command.lines()[0]["subject"] == "MARE-25-01"


def test_without_a_terminal_a_slip_is_kept_and_warned_of(command):
    lines = told(command, "Thymus vulgaros")

    assert lines == [
        "Thymus vulgaros: not a known name, kept as typed; "
        "the nearest is Thymus vulgaris L., thyme, Lamiaceae."
    ]
    assert command.lines()[0]["data"]["herb"] == "Thymus vulgaros"


@pytest.mark.parametrize(
    ("typed", "herb", "common"),
    [
        ("y\n", "Thymus vulgaris", "thyme"),
        ("n\n", "Thymus vulgaros", None),
        ("\n", "Thymus vulgaros", None),
    ],
)
def test_at_a_terminal_a_slip_is_asked_about(command, typed, herb, common):
    screen = command.at_terminal(f"charge {IN_SPIRIT}", "Thymus vulgaros", typed=typed)
    data = command.lines()[0]["data"]

    assert screen.code == 0
    assert "Did you mean Thymus vulgaris L., thyme, Lamiaceae" in screen.out
    assert (data["herb"], data.get("common")) == (herb, common)


def test_control_characters_in_a_name_are_refused_as_ever(command):
    message = command.refused(f"charge {IN_SPIRIT}", "Calendula\x1b officinalis", code=2)

    assert "\x1b" not in message


# The water of a fresh herb


def test_the_water_taken_for_granted_is_named_wherever_strength_is_shown(command):
    """Published, British Homoeopathic Pharmacopoeia (1876): St John's wort has 56 %."""
    fresh = '--fresh 500g --pour "1000 ml 95%"'
    known = command.run(f"charge {fresh}", "Hypericum perforatum").out
    guessed = command.run(f"charge fenmint {fresh}").out
    stated = command.run(f"charge fenmint {fresh} --water 75%").out

    assert "75.8 % vol with herb water of 56 % (published for Hypericum perforatum" in known
    assert "~71 % vol with herb water of 75 % (default for fresh herb)" in guessed
    # OIML R 22 by hand: 749.8 g ethanol in 1186 g are 63.2 % by mass, 0.884 kg/l, 1342 ml.
    assert "70.8 % vol; press" in stated
    (row,) = [one for one in command.ok("show HYPE").splitlines() if "herb water" in one]
    assert "published for Hypericum perforatum, entire fresh plant, give or take" in row
    code = guessed.split()[0]
    assert command.json(f"show {code}")["herb_water_basis"] == "default for fresh herb"
    assert "~71" in command.ok("shelf")
