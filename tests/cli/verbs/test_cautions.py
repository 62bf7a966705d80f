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
    """The lines on standard error after a charge that somebody was sure of."""
    answer = command.run(f"charge {more} --sure", herb)
    assert answer.code == 0, answer.err
    return answer.err.splitlines()


# Cautions


def test_a_poisonous_plant_is_said_once_and_the_jar_is_charged(command):
    answer = command.run(f"charge {IN_SPIRIT} --count 3 --sure", "Digitalis purpurea")

    assert answer.code == 0
    assert answer.err.splitlines() == [f"Caution: {FOXGLOVE}.", CLOSING]
    assert "Caution" not in answer.out
    said = "Digitalis purpurea DIPU-25-01..03 charged: 100 g dried in 500 ml 40 % vol."
    assert answer.out.splitlines()[0] == said
    assert len(command.lines()) == 3


def test_what_was_said_at_the_charge_stays_on_show(command):
    told(command, "Digitalis purpurea")
    shown = command.ok("show DIPU-25-01").splitlines()

    assert f"  {'caution':<18}{FOXGLOVE}" in shown
    assert f"  {'':<18}{CLOSING}" in shown
    assert command.json("show DIPU-25-01")["cautions"] == [FOXGLOVE, CLOSING]


def test_what_can_do_harm_is_said_again_when_it_is_given_out(command):
    told(command, "Arnica montana", f"{IN_SPIRIT} --part flower")
    command.ok("press ARMO-25-01 370ml --when 2025-04-05")
    answer = command.run("dispense ARMO-25-01A 30ml --for C03 --when 2025-05-02")

    assert "external use only" in answer.err
    assert answer.err.splitlines()[-1] == CLOSING


def test_what_is_only_to_be_kept_in_mind_is_not_said_at_each_bottle(command):
    told(command, "Calendula officinalis")
    command.ok("press CAOF-25-01 370ml --when 2025-04-05")

    assert command.run("dispense CAOF-25-01A 30ml --for C03 --when 2025-05-02").err == ""


def test_a_dry_run_warns_as_well_and_so_does_json(command):
    before = command.written()

    assert told(command, "Digitalis purpurea", f"{IN_SPIRIT} --dry-run")[-1] == CLOSING
    assert command.written() == before
    answer = command.run(f"charge {IN_SPIRIT} --json --sure", "Digitalis purpurea")
    assert json.loads(answer.out)["recorded"][0]["code"] == "DIPU-25-01"
    assert f"Caution: {FOXGLOVE}." in answer.err


@pytest.mark.parametrize("slip", ["Digitalis pupurea", "Atropa beladonna", "Aconitum napelus"])
def test_a_slip_of_a_poisonous_name_is_kept_and_warned_of(command, slip):
    lines = told(command, slip)

    assert lines[0].startswith(f"Caution: if this is {slip.split()[0]} ")
    assert lines[1:] == [CLOSING]
    assert command.lines()[0]["data"]["herb"] == slip


def test_a_handling_note_is_quieter_and_brings_no_closing_line(command):
    assert told(command, "Achillea millefolium") == [
        "Care: Achillea millefolium: Asteraceae allergy."
    ]
    shown = command.ok("show ACMI-25-01").splitlines()
    assert shown[-1] == f"  {'care':<18}Achillea millefolium: Asteraceae allergy"
    assert command.json("show ACMI")["cautions"] == ["Achillea millefolium: Asteraceae allergy"]


def test_fire_and_wet_herb_in_oil_are_said_without_a_plant(command):
    """Flash point of 96 %: 17 °C in published tables, which differ by a few degrees."""
    strong = '--dried 100g --pour "500 ml 96%"'
    oil = '--fresh 100g --pour "500 ml olive oil"'

    (fire,) = told(command, "Melissa officinalis", strong)
    (wet,) = told(command, "Melissa officinalis", oil)
    assert fire.startswith("Caution: fire: the vapour of 96 % vol spirit catches")
    assert wet.startswith("Caution: wet herb in oil")


def test_the_bare_lid_is_said_once_in_the_answer_itself(command):
    answer = command.run(f"charge fenmint {IN_SPIRIT} --lid metal")

    assert (answer.out + answer.err).count("bare metal lid") == 1
    assert any("bare metal lid" in one for one in command.json("show FENM")["cautions"])


def test_a_plain_charge_of_an_unknown_plant_says_that_nothing_is_known(command):
    unknown = "Nothing is known here of fenmint: look it up before it is used."

    assert told(command, "fenmint") == [unknown]
    assert command.json("show FENM-25-01")["cautions"] == []


def test_a_corrected_herb_brings_its_own_cautions(command):
    told(command, "fenmint")
    event = command.event("charged")
    asked = command.refused(f"correct {event} --why misread --set", "herb=Digitalis purpurea")
    answer = command.run(f"correct {event} --sure --why misread --set", "herb=Digitalis purpurea")
    again = command.run(f"correct {event} --why misread --set part=leaf --set", "weight=90g")

    assert "foxglove: cardiac glycosides; narrow margin. It is poisonous" in asked
    assert answer.err.splitlines() == [f"Caution: {FOXGLOVE}.", CLOSING]
    assert command.json("show FENM-25-01")["cautions"] == [FOXGLOVE, CLOSING]
    assert again.code == 1  # another part: that is asked about as well


def test_a_correction_that_leaves_the_herb_as_it_is_asks_nothing(command):
    told(command, "Digitalis purpurea")
    event = command.event("charged")

    assert command.run(f"correct {event} --why misread --set weight=90g").code == 0


# What could hurt somebody is asked about before it is recorded

MONKSHOOD = '--herb "Aconitum napellus" --part root'
INFLOWS = [
    'charge "Aconitum napellus" --part root --dried 10g --pour "50 ml 40%"',
    f"add-herb FENM-25-01 {MONKSHOOD} --dried 10g",
    f"recharge GLOW-25-01A {MONKSHOOD} --dried 10g --when 2025-06-05",
    'gather "Aconitum napellus" --part root --fresh 10g',
    'buy "Aconitum napellus" --part root --dried 10g',
    'found "Aconitum napellus" --volume 200ml',
    'blend --part "40 ml ACNA-25-01A" --part "40 ml GLOW-25-01A" --when 2025-06-05',
    "join FENM-25-01 ACNA-25-02",
    "refill GLOW-25-01A/1 --volume 20ml --from ACNA-25-01A --when 2025-06-05",
]


@pytest.fixture
def shelf(command):
    """Harmless jars and a bottle with room, and two jars of monkshood, of which one is pressed."""
    for herb in ("fenmint", "glowing", "Aconitum napellus", "Aconitum napellus"):
        told(command, herb)
    for code in ("GLOW-25-01", "ACNA-25-01"):
        command.ok(f"press {code} 370ml --when 2025-06-03")
    command.ok("bottle GLOW-25-01A 1x100ml --when 2025-06-04")
    command.ok("dispense GLOW-25-01A/1 40ml --when 2025-06-05")
    return command


@pytest.mark.parametrize("line", INFLOWS, ids=lambda line: line.split()[0])
def test_a_poisonous_herb_is_asked_about_however_it_comes_in(shelf, line):
    before = shelf.written()
    refused = shelf.run(line)
    assert refused.code == 1, refused
    assert "Aconitum napellus, monkshood: aconitine; lethal in milligrams" in refused.err
    assert "--sure" in refused.err
    assert shelf.written() == before

    sure = shelf.run(f"{line} --sure")
    assert sure.code == 0, sure.err
    assert "Caution: Aconitum napellus, monkshood:" in sure.err
    assert sure.err.splitlines()[-1] == CLOSING


def test_at_a_terminal_the_poison_is_asked_about(command):
    line = f"charge {IN_SPIRIT}"
    no = command.at_terminal(line, "Digitalis purpurea", typed="n\n")
    assert no.code == 1
    assert not command.written()

    yes = command.at_terminal(line, "Digitalis purpurea", typed="y\n")
    assert yes.code == 0
    assert "narrow margin. It is poisonous" in " ".join(yes.out.split())


@pytest.mark.parametrize("herb", ["Piper methysticum", "Senna alexandrina"])
def test_of_a_restricted_herb_it_is_said_that_local_law_decides(command, herb):
    answer = command.run(f"charge {IN_SPIRIT}", herb)

    assert answer.code == 0
    assert "a law or regulator limits it somewhere, and local law decides" in answer.err


@pytest.mark.parametrize("line", ["top-up", "shake", "press"])
def test_what_brings_no_herb_asks_nothing(shelf, line):
    rest = {"top-up": '--pour "20 ml 40%"', "shake": "", "press": "300ml"}[line]

    assert shelf.run(f"{line} ACNA-25-02 {rest}").code == 0


def test_a_lot_says_what_its_herb_asks_care_for(command):
    command.ok('buy "Digitalis purpurea" --dried 100g --sure --when 2025-03-03')

    assert f"  {'caution':<18}{FOXGLOVE}" in command.ok("show LOT-25-01").splitlines()
    assert command.json("show LOT-25-01")["cautions"] == [FOXGLOVE, CLOSING]


# Sources


def test_every_caution_can_be_read_with_its_source_and_how_much_was_read(command):
    """Row of `cautions_more.csv`: level caution, checked no."""
    told(command, "Fucus vesiculosus")
    source = "German AMVerkRV Annex 1b (pharmacy only): listing read; reason from memory"
    text = "Fucus vesiculosus, bladderwrack: iodine: disturbs the thyroid and its medicines"

    assert f"{text} ({source})" in command.ok("show FUVE-25-01 --sources")
    assert source not in command.ok("show FUVE-25-01")
    assert command.json("show FUVE-25-01")["caution_details"] == [
        {
            "kind": "plant",
            "level": "caution",
            "herb": "Fucus vesiculosus",
            "text": text,
            "do": None,
            "use": None,
            "groups": ["medicines", "pregnancy", "law"],
            "source": source,
            "seen": None,
            "checked": False,
        }
    ]


def test_the_daily_questions_read_no_tables(worked):
    """They are for the charge and for `show`; the shelf must not wait for them."""
    worked.env["PYTHONPROFILEIMPORTTIME"] = "1"
    imported = {
        verb: worked.installed(verb).err for verb in ("shelf", "stock", "due", "show CAOF-25-01")
    }
    tables = ("cautions_table", "plants_table", "care_table", "moisture_table")
    tables += ("caution_corrections_table", "part_names_table")
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


def test_a_latin_name_is_kept_and_its_common_name_stands_in_the_answer(command):
    assert told(command, "Thymus vulgaris") == []
    assert command.lines()[0]["data"]["common"] == "thyme"
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
    ("name", "herb", "part"),
    [
        ("elderflower", "Sambucus nigra", "flower"),
        ("elder flowers", "Sambucus nigra", "flower"),
        ("elderberry", "Sambucus nigra", "berry"),
        ("rose hips", "Rosa canina", "hip"),
        ("dandelion root", "Taraxacum officinale", "root"),
        ("orange peel", "orange", "peel"),
    ],
)
def test_a_name_that_says_the_part_sets_it_and_says_so(command, name, herb, part):
    assert told(command, name)[0].endswith(f"; part: {part}.")
    data = command.lines()[0]["data"]
    assert (data["herb"], data["part"]) == (herb, part)


@pytest.mark.parametrize(("typed", "part"), [("y\n", "berry"), ("n\n", None)])
def test_at_a_terminal_the_part_that_a_name_says_is_asked_about(command, typed, part):
    screen = command.at_terminal(f"charge {IN_SPIRIT}", "elderberry", typed=typed)

    assert "elderberry: is the part used the berry" in screen.out
    assert command.lines()[0]["data"].get("part") == part


def test_a_part_that_contradicts_the_name_is_refused_and_asked_about(command):
    message = command.refused(f"charge {IN_SPIRIT} --part flower elderberry", code=2)
    assert "elderberry is the berry, and --part says flower" in message
    assert "leave --part out" in message

    line = f"charge {IN_SPIRIT} --part flower elderberry"
    assert command.at_terminal(line, typed="n\n").code == 2
    assert command.at_terminal(line, typed="y\n").code == 0
    assert [one["data"]["part"] for one in command.lines()] == ["flower"]


def test_a_genus_of_which_one_plant_is_poisonous_is_asked_about(command):
    """Juniperus sabina is in the table of cautions, J. communis in that of plants."""
    message = command.refused(f"charge {IN_SPIRIT} Juniperus")

    assert "if this is Juniperus sabina, savin:" in message
    assert "It may be poisonous" in message


@pytest.mark.parametrize(
    ("typed", "herb", "common"),
    [
        ("y\n", "Thymus vulgaris", "thyme"),
        ("n\n", "Thymus vulgaros", None),
        ("\n", "Thymus vulgaris", "thyme"),
        ("sage\n", "Salvia officinalis", "sage"),
        ("1\n?\nvalerain\ny\n", "Valeriana officinalis", "valerian"),
    ],
)
def test_at_a_terminal_a_slip_is_asked_about(command, typed, herb, common):
    screen = command.at_terminal(f"charge {IN_SPIRIT}", "Thymus vulgaros", typed=typed)
    data = command.lines()[0]["data"]

    assert screen.code == 0
    assert "Did you mean thyme, Thymus vulgaris? [Y/n]:" in screen.out
    assert (data["herb"], data.get("common")) == (herb, common)


def test_control_characters_in_a_name_are_refused_as_ever(command):
    message = command.refused(f"charge {IN_SPIRIT}", "Calendula\x1b officinalis", code=2)

    assert "\x1b" not in message


# The water of a fresh herb


def test_the_water_taken_for_granted_marks_a_strength_and_is_named_by_show(command):
    """Published, British Homoeopathic Pharmacopoeia (1876): St John's wort has 56 %."""
    fresh = '--fresh 500g --pour "1000 ml 95%"'
    known = command.run(f"charge {fresh}", "Hypericum perforatum").out
    guessed = command.run(f"charge fenmint {fresh}").out
    stated = command.run(f"charge fenmint {fresh} --water 75%").out

    assert "75.8 % vol; press" in known
    assert "~71 % vol; press" in guessed
    # OIML R 22 by hand: 749.8 g ethanol in 1186 g are 63.2 % by mass, 0.884 kg/l, 1342 ml.
    assert "70.8 % vol; press" in stated
    (row,) = [one for one in command.ok("show HYPE").splitlines() if "herb water" in one]
    assert "published for Hypericum perforatum, entire fresh plant, give or take" in row
    code = guessed.split()[1]
    assert command.json(f"show {code}")["herb_water_basis"] == "default for fresh herb"
    assert "~71" in command.ok("shelf")


def test_of_a_plant_that_no_table_has_it_is_said_once_that_nothing_is_known(command):
    line = "Nothing is known here of fenmint: look it up before it is used."
    charged = command.run(f"charge {IN_SPIRIT} --count 3", "fenmint")
    known = command.run(f"charge {IN_SPIRIT}", "Melissa officinalis")
    near = command.run(f"charge {IN_SPIRIT}", "Melissa officinallis")

    assert charged.err.count(line) == 1
    assert "Ask a licensed practitioner" not in charged.err
    assert "Nothing is known here" not in known.err + near.err


# Fire goes by what stands there; the answer to a pour goes by what was poured


def fire_of(answer) -> list[str]:
    return [line for line in answer.err.splitlines() if "fire:" in line]


def test_spirit_that_is_poured_is_warned_of_and_what_it_made_by_its_own_strength(command):
    """100 ml of 96 % and 400 ml of water are 20 % vol or less: no such vapour."""
    charge = f'charge fenmint {IN_SPIRIT.replace("500 ml 40%", "100 ml 96%")} --pour "400 ml water"'
    (poured,) = fire_of(command.run(charge))

    assert "96 % vol spirit" in poured
    assert not any("fire" in one for one in command.json("show FENM-25-01")["cautions"])
    assert "fire" not in command.ok("show FENM-25-01")


def test_a_strong_tincture_that_was_diluted_is_no_longer_flammable(command):
    command.ok('charge fenmint --dried 100g --pour "500 ml 70%" --least 28d --when 2025-03-03')
    command.ok("press FENM-25-01 370ml --when 2025-04-05")
    assert "fire" in command.ok("show FENM-25-01A")

    answer = command.run('dilute FENM-25-01A --pour "740 ml water" --when 2025-04-06')
    assert answer.code == 0
    assert fire_of(answer) == []
    assert "fire" not in command.ok("show FENM-25-01A")
