"""Commands that are suggested: whatever a code holds, pasting one does what its verb says."""

import shlex

import pytest

from tracker.core.values.command_words import command

HOSTILE = [
    *("--when=2020-01-01", "-h", "$(reboot)", "a b", "'", "`id`", ";", "CAOF-26-01 --sure"),
    *('"', "\\", "*", "~", "#x", "!!", "a\nb", "", "&", "|", ">x", "Käse"),
]


@pytest.mark.parametrize("code", HOSTILE)
@pytest.mark.parametrize("options", ["", "--why …"])
def test_a_code_is_one_word(code, options):
    words = shlex.split(command("press", code, "300ml", options=options))

    assert words[:2] == ["stillroom", "press"]
    assert [one for one in words if one not in ("--", *options.split())][2:] == [code, "300ml"]
    if code.startswith("-"):
        assert words.index("--") < words.index(code)
        assert words[2:-2] == [*options.split(), "--"][: len(words) - 4]


@pytest.mark.parametrize("code", ["CAOF-26-01", "CAOF-26-01A/3", "cw1", "LOT-26-01"])
def test_what_can_be_given_here_stands_bare(code):
    assert command("press", code, "300ml") == f"stillroom press {code} 300ml"
