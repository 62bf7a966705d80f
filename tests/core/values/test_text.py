"""What is shown as it is and what is made seen, held to Python's tables of Unicode."""

import json
import unicodedata

import pytest

from tracker.core.values.text import escaped_json, is_plain, shown

# Signs before numbers in Arabic and Kaithi: of the kind Cf, and seen.
NUMBER_SIGNS = {*range(0x600, 0x606), 0x6DD, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD}
JOINERS = {0x200C, 0x200D}
BLANK = {0x34F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x3164, 0xFFA0, 0x13441, 0x13442}


def is_noncharacter(number: int) -> bool:
    return number & 0xFFFE == 0xFFFE or 0xFDD0 <= number <= 0xFDEF


def test_whatever_unicode_says_is_unseen_is_made_seen():
    for number in range(0x110000):
        kind = unicodedata.category(chr(number))
        unseen = kind in ("Cc", "Cf", "Zl", "Zp", "Cs") or is_noncharacter(number)
        unseen = (unseen and number not in NUMBER_SIGNS) or number in BLANK
        if kind[0] in "LNPSZ" and number not in BLANK:
            assert is_plain(chr(number)) == (not unseen), hex(number)
        elif unseen:
            assert shown(f"a{chr(number)}b").isprintable(), hex(number)


@pytest.mark.parametrize(
    "text",
    [
        "می\u200cخواهم",  # Persian: the sign keeps two letters apart
        "क्\u200dष",  # Hindi: it joins them
        "\U0001f469\u200d\U0001f33e",  # a farmer: two pictures joined
        "❤\ufe0f 1\ufe0f\u20e3",
        "葛\U000e0100",  # which of its forms a Chinese letter has
        "Käse, Ringelblüte, 金盏花",
    ],
)
def test_signs_that_a_script_needs_stay(text):
    assert is_plain(text)
    assert shown(text) == text


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("CA\u200dOF", "CA\\u200dOF"),
        ("\u200cmi", "\\u200cmi"),
        ("a\ufe0f", "a\\ufe0f"),
        ("1\ufe0f\ufe0f", "1\ufe0f\\ufe0f"),
        ("x\U000e0100", "x\\U000e0100"),
        ("\U000e0041", "\\U000e0041"),
        ("\x1b[2J", "\\x1b[2J"),
        ("\u202eb", "\\u202eb"),
        ("\u2028", "\\u2028"),
        ("\udcff", "\\udcff"),
        ("so\u00adft", "so\\xadft"),
    ],
)
def test_the_same_where_no_script_needs_them_is_made_seen(text, seen):
    assert not is_plain(text)
    assert shown(text) == seen


def test_json_is_the_same_data_with_nothing_unseen():
    data = {"a": "\x7f\u202e\U000e0041\u200b\n é 金"}
    text = escaped_json(json.dumps(data, ensure_ascii=False, indent=1))

    assert json.loads(text) == data
    assert is_plain(text.replace("\n", ""))
    assert "é 金" in text
