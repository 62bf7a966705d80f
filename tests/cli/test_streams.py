"""What becomes of an answer that cannot be printed, and of Ctrl-C: the record stands or falls."""

import json
import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.command import STILLROOM, Answer, Command

pytestmark = pytest.mark.thorough

SHAKE = ("shake", "CAOF-25-02")
FULL = Path("/dev/full")


def in_a_shell(command: Command, *words: str, streams: str, **env: str) -> Answer:
    """The installed command with its streams as a shell redirects them."""
    done = subprocess.run(
        ["/bin/sh", "-c", f'exec "$@" {streams}', "sh", str(STILLROOM), *words],
        env=command.env | env,
        cwd=command.home,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=60,
        check=False,
    )
    return Answer(done.returncode, done.stdout.decode("latin-1"), done.stderr.decode("latin-1"))


def recorded(command: Command) -> int:
    return len(command.lines())


UNPRINTED = {"full": ">/dev/full", "closed": ">&-", "read only": "1</dev/null"}


@pytest.mark.parametrize("streams", UNPRINTED.values(), ids=UNPRINTED)
@pytest.mark.parametrize("as_json", [False, True])
def test_what_is_recorded_ends_well_though_it_cannot_be_said(worked, streams, as_json):
    before = recorded(worked)
    answer = in_a_shell(worked, *SHAKE, *(["--json"] * as_json), streams=streams)

    assert (answer.code, recorded(worked)) == (0, before + 1)
    assert "It is recorded. The answer could not be printed" in answer.err
    assert "Traceback" not in answer.err
    assert "ignored" not in answer.err


def test_a_page_of_lines_ends_well_though_it_cannot_be_said(worked):
    (worked.home / "page.txt").write_text("shake CAOF-25-02\nnote CAOF-25-02 dark\n")
    before = recorded(worked)
    answer = in_a_shell(worked, "enter", "page.txt", streams=">/dev/full")

    assert (answer.code, recorded(worked)) == (0, before + 2)
    assert "It is recorded." in answer.err


ASKING = ["shelf", "shelf --csv", "shelf --json", "calendar", "--help"]


@pytest.mark.parametrize("streams", UNPRINTED.values(), ids=UNPRINTED)
@pytest.mark.parametrize("line", ASKING)
def test_an_answer_that_cannot_be_printed_is_a_failure(worked, line, streams):
    answer = in_a_shell(worked, *line.split(), streams=streams)

    assert answer.code == 1
    assert answer.err.startswith("The answer could not be printed: ")
    assert answer.err.count("\n") == 3


@pytest.mark.parametrize("streams", ["2>&-", "2>/dev/full", ">&- 2>&-", ">/dev/full 2>/dev/full"])
def test_a_record_does_not_need_standard_error(worked, streams):
    before = recorded(worked)
    answer = in_a_shell(worked, *SHAKE, streams=streams)

    assert (answer.code, recorded(worked)) == (0, before + 1)


def test_a_refusal_is_one_where_nothing_can_be_said(worked):
    assert in_a_shell(worked, "shake", "QQQQ-25-01", streams=">&- 2>&-").code == 1


def test_nothing_of_the_book_is_printed_into(worked):
    """A closed stream leaves its number to the next file opened."""
    before = worked.written()
    in_a_shell(worked, "shelf", streams="<&- >&- 2>&-")
    assert worked.written() == before

    in_a_shell(worked, *SHAKE, streams="<&- >&- 2>&-")
    assert [json.loads(json.dumps(one))["type"] for one in worked.lines()[-1:]] == ["shaken"]
    assert worked.ok("check")


def test_a_reader_that_goes_away_ends_an_answer_and_no_record(worked):
    before = recorded(worked)
    readable, writable = os.pipe()
    os.close(readable)
    try:
        answers = [
            subprocess.run(
                [str(STILLROOM), *words],
                env=worked.env,
                stdout=writable,
                stderr=subprocess.PIPE,
                check=False,
            )
            for words in (("shelf",), SHAKE)
        ]
    finally:
        os.close(writable)

    assert [one.returncode for one in answers] == [1, 0]
    assert b"Traceback" not in b"".join(one.stderr for one in answers)
    assert recorded(worked) == before + 1


@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "latin-1"])
def test_letters_the_output_lacks_are_replaced(worked, encoding):
    herb = "金盏花 \U0001f33c"
    charge = ["charge", herb, "--fresh", "9g", "--pour", "20 ml 45%", "--code", "JIN-1"]
    assert in_a_shell(worked, *charge, streams="", PYTHONIOENCODING=encoding).code == 0

    for line in ("show JIN-1", "shelf --json", "shelf --csv"):
        answer = in_a_shell(worked, *line.split(), streams="", PYTHONIOENCODING=encoding)
        assert answer.code == 0
        assert "Traceback" not in answer.err
        if "--json" in line:
            raw = answer.out.encode("latin-1")
            said = raw.decode("utf-8" if encoding == "ascii" else encoding)
            assert herb in [one["herb"] for one in json.loads(said)]


# Ctrl-C


def stopped(command: Command, *words: str, after_s: float) -> Answer:
    process = subprocess.Popen(
        [str(STILLROOM), *words],
        env=command.env,
        cwd=command.home,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    time.sleep(after_s)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    return Answer(process.returncode, out, err)


def test_ctrl_c_at_any_moment_leaves_a_whole_record_or_none(worked):
    """And it ends with 0 if and only if there is one; -2 is what a shell calls 130."""
    for step in range(16):
        before = recorded(worked)
        answer = stopped(worked, *SHAKE, after_s=0.1 + step * 0.06)
        grown = recorded(worked) - before
        # The wrapper that installers write is Python's own until it has loaded our first file,
        # and what breaks into its loading of a module it reports itself.
        if not any(own in answer.err for own in ("/bin/stillroom", "importlib._bootstrap")):
            assert "Traceback" not in answer.err
        assert (answer.code, grown) in ((0, 1), (130, 0), (-2, 0))
    assert worked.ok("check")


def test_ctrl_c_between_the_bytes_and_the_answer_is_said(worked, tmp_path):
    """The process is stopped right after its sync, where only the answer is left."""
    if not Path("/usr/bin/strace").exists():
        pytest.skip("needs strace")
    file = next((worked.book / "events").glob("*.jsonl"))
    before = recorded(worked)
    words = ["strace", "-f", "-o", str(tmp_path / "trace"), "-P", str(file)]
    words += ["-e", "inject=fsync:signal=SIGINT:when=1"]
    answer = worked.installed(" ".join(SHAKE), under=words)

    assert (answer.code, recorded(worked)) == (0, before + 1)
    assert "shaken" in answer.out
    assert "Traceback" not in answer.err


def test_ctrl_c_at_a_question_records_nothing(worked):
    before = recorded(worked)
    answer = worked.at_terminal("shake", typed="\x03")

    assert answer.code == 1  # as Ctrl-D there
    assert "Traceback" not in answer.out
    assert recorded(worked) == before
