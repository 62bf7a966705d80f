"""Words copied from a page of the web, with signs in them that are not seen."""

import pytest

from tests.command import Command

STRAYS = ["\u00ad", "\u200b", "\u200c", "\u200d", "\u2060", "\ufeff"]
CHARGE = "charge --part flower --dried 100g"


@pytest.fixture
def shelf(tmp_path) -> Command:
    command = Command(tmp_path)
    command.ok(f"{CHARGE} 'Calendula officinalis' --pour '500 ml 45%'")
    return command


@pytest.mark.parametrize("sign", STRAYS, ids=[f"U+{ord(one):04X}" for one in STRAYS])
def test_a_stray_sign_is_left_out_of_what_is_recorded_and_that_is_said(tmp_path, sign):
    """The herb is known by its name then, with its cautions, as if it had been typed."""
    command = Command(tmp_path)
    herb, pour = f"Calen{sign}dula offici{sign}nalis", f"500{sign} ml 45%{sign}"
    said = command.run(CHARGE, herb, "--pour", pour, "--note", f"fi{sign}ne")
    jar = command.json("show CAOF")

    assert said.code == 0
    assert jar["herb"] == "Calendula officinalis"
    assert "Calendula officinalis: what cannot be seen in it" in said.err
    assert "fine: what cannot be seen in it" in said.err
    assert "Asteraceae allergy" in said.err


def test_a_sign_that_a_script_needs_stays(shelf):
    shelf.ok("note CAOF 'می\u200cخواهم'")

    assert shelf.lines()[-1]["data"]["note"] == "می\u200cخواهم"


def test_a_stray_sign_in_a_page_of_lines_is_left_out_and_named_with_its_line(shelf):
    said = shelf.run("enter -", typed='note CAOF "of\u00adfi\u200bcial"\n')

    assert said.code == 0
    assert "Line 1: official: what cannot be seen in it" in said.err
    assert shelf.lines()[-1]["data"]["note"] == "official"


def test_a_blank_that_keeps_words_together_parts_the_words_of_a_line(shelf):
    said = shelf.run("enter -", typed='note\u00a0CAOF "smells\u202fright"\n')

    assert said.code == 0
    assert shelf.lines()[-1]["data"]["note"] == "smells right"


def test_a_stray_sign_in_an_answer_at_a_terminal_is_left_out(shelf):
    answer = shelf.at_terminal("note CAOF", typed="smells ri\u00adght\n\n")

    assert "smells right: what cannot be seen in it" in answer.out
    assert shelf.lines()[-1]["data"]["note"] == "smells right"


def test_a_code_with_a_sign_that_is_not_seen_is_refused_by_the_name_of_the_sign(shelf):
    """Codes of other writers are found to the letter, so nothing is left out of one."""
    for line in ("note CA\u00adOF x", "show CA\u00adOF-26"):
        said = shelf.refused(line)

        assert (
            "there is a soft hyphen (U+00AD) after 'CA', which cannot be seen: type it again"
            in said
        )
