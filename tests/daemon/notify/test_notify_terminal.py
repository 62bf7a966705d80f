import io
import os
import sys
import unicodedata
from contextlib import suppress
from pathlib import Path

import pytest

from tracker.daemon.notify import NotDelivered, Notice, Terminal
from tracker.daemon.notify.safe_text import plain_line

READY = Notice("Due today", "CAOF-26-01 ready\nACMI-26-02 shake", actions=(("later", "Later"),))

FULL = Path("/dev/full")

# Bidi_Control=Yes in the Unicode character database (PropList.txt, from memory).
BIDI_CONTROLS = {0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}


def written(notice, encoding="utf-8"):
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="\n")
    Terminal(stream, is_read=True).deliver(notice)
    return raw.getvalue()  # without closing the stream: only a flush can have brought it here


def test_a_notice_is_its_title_and_its_indented_lines():
    assert written(READY) == b"Due today\n  CAOF-26-01 ready\n  ACMI-26-02 shake\n"


def test_an_urgent_title_is_marked():
    assert written(Notice("Mould", "", urgent=True)) == b"! Mould\n"


def test_no_control_character_reaches_the_terminal():
    notice = Notice("a\nb\x1b[2J", "c\td\r\x00\x7f\x85\u2028\u202ee\nnext")

    assert written(notice).decode() == (
        "a\\x0ab\\x1b[2J\n  c\\x09d\\x0d\\x00\\x7f\\x85\\u2028\\u202ee\n  next\n"
    )


def test_whatever_unicode_calls_control_or_separator_is_shown_in_writing():
    """Nothing steers the terminal; `tests/core/values/test_text.py` says what else is not seen."""
    steering = {"Cc", "Cs", "Zl", "Zp"}
    for point in range(sys.maxunicode + 1):
        char = chr(point)
        if unicodedata.category(char) in steering or point in BIDI_CONTROLS:
            assert plain_line(char) != char, f"U+{point:04X}"


@pytest.mark.parametrize(
    ("encoding", "expected"),
    [("utf-8", "Ö薄\n".encode()), ("ascii", b"\\xd6\\u8584\n"), ("cp1252", b"\xd6\\u8584\n")],
)
def test_a_stream_that_lacks_a_letter_still_gets_the_notice(encoding, expected):
    assert written(Notice("Ö薄", ""), encoding) == expected


def test_a_closed_stream_takes_nothing():
    stream = io.StringIO()
    stream.close()

    with pytest.raises(NotDelivered, match=r"^terminal: I/O operation on closed file"):
        Terminal(stream, is_read=True).deliver(READY)


@pytest.mark.skipif(not FULL.exists(), reason=f"NOT TESTED: there is no {FULL} here")
def test_a_full_disk_behind_the_stream_takes_nothing():
    stream = FULL.open("w")
    try:
        with pytest.raises(NotDelivered, match="No space left"):
            Terminal(stream, is_read=True).deliver(READY)
    finally:
        with suppress(OSError):  # what could not be flushed fails once more
            stream.close()


def test_a_reader_that_has_gone_takes_nothing():
    readable, writable = os.pipe()
    os.close(readable)
    stream = os.fdopen(writable, "w")
    try:
        with pytest.raises(NotDelivered, match="Broken pipe"):
            Terminal(stream, is_read=True).deliver(READY)
    finally:
        with suppress(OSError):
            stream.close()
