"""Whatever stands in practice.toml, or in its place: a practice, or an error that says where."""

import os
import re
import stat
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.bench.bench import Bench
from tracker.config import small_file
from tracker.config.practice_file import read_practice
from tracker.core.practice.practice import PRACTICE_FILE, Practice
from tracker.core.values.errors import PracticeError
from tracker.core.values.times import Period

AS_IT_IS_SAVED = "[vinegar]\nleast = '5 weeks'\n"


def read(book: Path, content: str | bytes) -> Practice:
    found = content.encode() if isinstance(content, str) else content
    (book / PRACTICE_FILE).write_bytes(found)
    return read_practice(book)


def complaint(book: Path, content: str | bytes) -> PracticeError:
    with pytest.raises(PracticeError) as refused:
        read(book, content)
    return refused.value


# As editors save it


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbf" + AS_IT_IS_SAVED.encode(),
        AS_IT_IS_SAVED.replace("\n", "\r\n").encode(),
        b"\xef\xbb\xbf" + AS_IT_IS_SAVED.replace("\n", "\r\n").encode().rstrip(),
    ],
    ids=["byte order mark", "CR LF", "both"],
)
def test_a_practice_reads_the_same_however_an_editor_saved_it(tmp_path, content):
    found = read(tmp_path, content)

    assert found.rules["vinegar"].least == Period(days=35)
    assert found.origins == {"vinegar.least": "practice.toml, line 2"}


@pytest.mark.parametrize(
    ("encoding", "named"),
    [("utf-16", "UTF-16"), ("utf-16-be", "UTF-16"), ("utf-32", "UTF-32")],
)
def test_another_encoding_is_named_and_so_is_how_to_save(tmp_path, encoding, named):
    text = AS_IT_IS_SAVED if encoding != "utf-16-be" else f"\ufeff{AS_IT_IS_SAVED}"
    refused = complaint(tmp_path, text.encode(encoding))

    assert f"saved as {named}" in refused.what
    assert "Encoding: UTF-8" in refused.do
    assert refused.where == str(tmp_path / PRACTICE_FILE)


@pytest.mark.parametrize(
    ("content", "line", "says"),
    [
        (b"# one\nunits = 'us\x00'\n", 2, "NUL"),
        (AS_IT_IS_SAVED.encode("utf-16-le"), 1, "NUL"),
        (b"# one\n\n# caf\xe9\n", 3, "byte 6 of the line is not UTF-8"),
        (b"\xef\xbb\xbf# caf\xe9\n", 1, "byte 6 of the line is not UTF-8"),
        (b"# one\r# two\n", 1, "a slip in how it is written"),
    ],
)
def test_bytes_that_are_no_text_are_named_with_their_line(tmp_path, content, line, says):
    refused = complaint(tmp_path, content)

    assert refused.where == f"practice.toml, line {line}"
    assert says in refused.what


# What stands in its place


def in_its_place(book: Path, what: str) -> None:
    path = book / PRACTICE_FILE
    match what:
        case "a folder":
            path.mkdir()
        case "a pipe":
            os.mkfifo(path)
        case "a device":
            path.symlink_to("/dev/zero")
        case "a terminal":
            path.symlink_to("/dev/tty")
        case "a link to itself":
            path.symlink_to(path)
        case "a link that leads nowhere":
            path.symlink_to(book / "gone.toml")
        case "a link to a pipe":
            os.mkfifo(book / "pipe")
            path.symlink_to(book / "pipe")


@pytest.mark.parametrize(
    ("what", "says"),
    [
        ("a folder", "it is a folder"),
        ("a pipe", "not an ordinary file"),
        ("a device", "not an ordinary file"),
        ("a terminal", "not an ordinary file"),
        ("a link to itself", "Too many levels"),
        ("a link that leads nowhere", "leads nowhere"),
        ("a link to a pipe", "not an ordinary file"),
    ],
)
def test_what_is_no_file_is_refused_at_once_and_never_taken_for_no_practice(tmp_path, what, says):
    in_its_place(tmp_path, what)
    bench = Bench(tmp_path, cache=tmp_path / "cache", state=tmp_path / "state")
    with pytest.raises(PracticeError) as refused:
        assert bench.practice

    assert says in refused.value.what
    assert refused.value.where == str(tmp_path / PRACTICE_FILE)
    assert refused.value.do


def test_a_pipe_put_there_between_the_look_and_the_opening_is_not_waited_for(tmp_path, monkeypatch):
    os.mkfifo(tmp_path / PRACTICE_FILE)
    regular = os.stat_result((stat.S_IFREG, *(0,) * 9))
    monkeypatch.setattr(Path, "stat", lambda path, **_: regular)
    with pytest.raises(PracticeError, match="not an ordinary file"):
        read_practice(tmp_path)


def test_a_link_to_a_file_is_followed(tmp_path):
    (tmp_path / "mine.toml").write_text(AS_IT_IS_SAVED)
    (tmp_path / PRACTICE_FILE).symlink_to("mine.toml")

    assert read_practice(tmp_path).rules["vinegar"].least == Period(days=35)


def test_a_file_that_may_not_be_read_says_so(tmp_path, monkeypatch):
    """Root may read anything, so the refusal is the system's own word for it."""
    (tmp_path / PRACTICE_FILE).write_text(AS_IT_IS_SAVED)
    (tmp_path / PRACTICE_FILE).chmod(0)

    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(PracticeError, match="Permission denied") as refused:
        read_practice(tmp_path)

    assert refused.value.do == "allow yourself to read it."


def test_no_more_is_read_than_a_practice_can_be_long(tmp_path):
    with (tmp_path / PRACTICE_FILE).open("wb") as file:
        file.truncate(1 << 40)  # a hole: nothing on the disk
    with pytest.raises(PracticeError, match="larger than 256 kB"):
        read_practice(tmp_path)

    remark = "# " + "x" * (small_file.MOST_BYTES - len(AS_IT_IS_SAVED) - 3) + "\n"
    assert read(tmp_path, remark + AS_IT_IS_SAVED).rules["vinegar"].least == Period(days=35)


# Values and names of every size and sort

BIG = 20_000
ODD = [
    ("zone = '" + "A" * BIG + "'", "zone"),
    ("zone = '" + "a/" * BIG + "'", "zone"),
    ("zone = '../../etc/passwd'", "zone"),
    ("zone = '/etc/localtime'", "zone"),
    ("zone = ''", "zone"),
    ("zone = 'Europe'", "zone"),
    ('zone = "Europe/Berlin\\u0000"', "zone"),
    ("zone = 'tzdata.zi'", "zone"),
    ("currency = '" + "€" * BIG + "'", "currency"),
    ("units = " + "9" * 5000, None),
    ("units = 0x" + "f" * 5000, "units"),
    ("units = 1" + "0" * 4000 + ".0", "units"),
    ("units = [" + "1," * BIG + "]", "units"),
    ("units = " + "[" * 3000, None),
    ("[keeping]\n'caution below' = inf", "caution below"),
    ("[keeping]\n'caution below' = nan", "caution below"),
    ("[keeping]\n'caution below' = -0.0", "caution below"),
    ("[keeping]\n'caution below' = 0x" + "f" * 5000, "caution below"),
    ("[keeping]\n'caution below' = 1e300", "caution below"),
    ("[keeping]\n'caution below' = 2024-01-01", "caution below"),
    ("[keeping]\n'caution below' = '٢٠'", "caution below"),
    ("[reminders]\ndigest = 2024-01-01T08:00:00Z", "digest"),
    ("[reminders]\ndigest = '" + "0" * BIG + "'", "digest"),
    ("[oil]\nleast = '-3 days'", "least"),
    ("[oil]\nleast = '999999 years'", "least"),
    ("[oil]\nleast = '" + "," * BIG + "x'", "least"),
    ("[oil]\nleast = 2024-01-01", "least"),
    ("[oil]\nleast = nan", "least"),
    ("[oil]\nleast.a = 1", "least"),
    ("[oil.least]\na = 1", "least"),
    ("[[oil]]\nleast = '1d'", "oil"),
    ("oil = 1", "oil"),
    ("oil = []", "oil"),
    ("[oil]\nshake = 'every 99999999999999d'", "shake"),
    ("[oil]\nshake = 'every 36526d'", "shake"),
    ("[oil]\nshake = 'daily 36525d, weekly 1d'", "shake"),
    ("[oil]\nshake = '" + "daily 1d, " * BIG + "'", "shake"),
    ("[oil]\nlook = '0d'", "look"),
    ("[oil]\nlook = '-1d'", "look"),
    ('[page]\nfolder = "a\\u0000b"', "folder"),
    ("[page]\nfolder = '" + "a/" * BIG + "'", "folder"),
    ("[channels]\norder = '" + "a," * BIG + "'", "order"),
    ("[labels]\n'page address' = 'https://" + "a" * BIG + "'", "page address"),
    ("[labels]\nsheet = nan", "sheet"),
    ("[sheets.a]\npage = '10x10'\nlabel = inf", "label"),
    ("[sheets.a4]\nleft = inf", "left"),
    ("[sheets.a4]\nleft = nan", "left"),
    ("[sheets.a4]\nleft = -1", "left"),
    ("[sheets.a4]\nleft = 0x" + "f" * 5000, "left"),
    ("[sheets.a4]\nrows = 0x" + "f" * 5000, "rows"),
    ("[sheets.a4]\nrows = 1.5", "rows"),
    ("[sheets.a4]\nround = 1", "round"),
    ("[sheets.a4]\nround = nan", "round"),
    ("[sheets]\na4 = 3", "a4"),
    ("[sheets.'" + "a" * BIG + "']\nrows = 1", "sheets"),
    ("[sheets.''.x]\nrows = 1", "sheets"),
    ("[[sheets]]\nrows = 1", "sheets"),
    ("'' = 1", ""),
    ("'" + "a" * BIG + "' = 1", "aaa"),
    ("a" * BIG + " = 1", "aaa"),
    ("[oil]\nleast = '1d'\n[oil]\nkeeps = '1d'", None),
    ("oil.least = '1d'\n[oil]\nkeeps = '1d'", None),
    ("\n".join(f"a{number} = {number}" for number in range(9000)), "a0"),
    (".".join("a" * BIG) + " = 1", None),
    ("[" + ".".join("a" * BIG) + "]", None),
    ("oil = " + "{a = " * 3000, None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "key"), ODD, ids=[text[:30] for text, _ in ODD])
def test_an_odd_value_is_refused_with_line_and_key_in_a_short_message(tmp_path, text, key):
    refused = complaint(tmp_path, f"# a remark\n{text}\n")

    assert re.fullmatch(r"practice\.toml, line [234]", refused.where)
    assert key is None or key in refused.what
    assert len(str(refused)) < 900
    assert refused.do
    assert "\n" not in f"{refused.what}{refused.do}"


@pytest.mark.parametrize(
    "text",
    [
        '"\\u202eevil\\n  to do: trust me" = 1',
        '["\\u202eevil\\n  to do: trust me"]\na = 1',
        'units = "\\u202eevil\\n  to do: trust me"',
        'zone = "\\u202eevil\\n  to do: trust me"',
        '[oil]\nleast = "\\u202eevil\\n  to do: trust me"',
        '[sheets."\\u202eevil\\n  to do: trust me"]\nrows = 1',
        '[sheets.mine]\n"\\u202eevil\\n  to do: trust me" = 1',
    ],
)
def test_a_name_or_value_cannot_write_a_line_of_the_message(tmp_path, text):
    refused = complaint(tmp_path, text)

    assert len(str(refused).splitlines()) == len(str(complaint(tmp_path, "x = 1")).splitlines())
    assert "\u202e" not in str(refused)


def test_the_lower_of_two_limits_is_named_where_only_it_is_said(tmp_path):
    refused = complaint(tmp_path, "[keeping]\n'caution below' = 5\n")

    assert refused.where == "practice.toml, line 2"
    assert refused.what == "[keeping] caution below: 5 % is below warn below, 20 %."


# Any text at all

words = st.sampled_from(
    [
        *("oil", "vinegar", "sheets", "mine", "keeping", "reminders", "simmered", "labels", "zone"),
        *("least", "keeps", "shake", "look", "page", "label", "rows", "'warn below'", "digest"),
        *("[", "]", "[[", "]]", "{", "}", "=", ".", ",", "#", "\n", "\r\n", " ", "'", '"', "\\"),
        *('"""', "'''", "1", "-1", "1.5", "inf", "nan", "1e400", "0x1F", "true", "07:30:00"),
        *("1979-05-27", "9" * 5000, "[" * 50, "a." * 20, "'1d'", "'daily 3d, weekly'", "'70x37mm'"),
        *("\ufeff", "\x00", "\u202e", "\x1b[2J", "é", "'none'", "'Europe/Berlin'", "'us'", "units"),
    ]
)
statements = st.builds("{}{} = {}".format, st.sampled_from(["", "oil."]), words, words) | words


def toml_like() -> st.SearchStrategy[str]:
    return st.lists(words, max_size=25).map("".join) | st.lists(statements, max_size=8).map(
        "\n".join
    )


@USUAL
@given(toml_like().map(lambda text: text.encode()) | st.binary(max_size=40))
def test_any_bytes_are_a_practice_or_are_refused_with_a_place(tmp_path_factory, content):
    book = tmp_path_factory.mktemp("book")
    (book / PRACTICE_FILE).write_bytes(content)
    try:
        found = read_practice(book)
    except PracticeError as error:
        refused = error
    else:
        assert isinstance(found, Practice)
        return
    at_line = re.fullmatch(r"practice\.toml, line (\d+)", refused.where)

    assert at_line or refused.where == str(book / PRACTICE_FILE), refused.where
    assert at_line is None or 1 <= int(at_line[1]) <= content.count(b"\n") + 1
    assert refused.do


@pytest.mark.parametrize(
    "piece",
    ["a{}.b = 1\n", "[a{}]\n", "x = '{}'\n", "[[a]]\nb{} = 1\n", "# {}\n", "a{} = {{ b = 1 }}\n",
     '"{}" = """\n', "oil.x{} = 1\n", "{},", "[{}", "'{}", '"\\{}'],
)  # fmt: skip
def test_reading_takes_steps_by_the_length_of_the_file(tmp_path, piece):
    few = steps(tmp_path, "".join(piece.format(number) for number in range(500)))
    many = steps(tmp_path, "".join(piece.format(number) for number in range(1000)))

    assert many <= 2.5 * few + 500


def steps(book: Path, text: str) -> int:
    """How many lines of Python a reading passes through: a clock would tell of the machine."""
    (book / PRACTICE_FILE).write_text(text)
    count = 0

    def trace(frame, event, argument):
        nonlocal count
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        read_practice(book)
    except PracticeError:
        pass
    finally:
        sys.settrace(before)
    return count
