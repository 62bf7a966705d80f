"""A file larger than what the process may have: read in pieces, never loaded."""

import os
import resource
import subprocess

import pytest

from tests.command import STILLROOM
from tests.journal.on_disk import file_of

pytestmark = pytest.mark.thorough


@pytest.mark.parametrize("end", [b"", b"\n"])
def test_a_gigabyte_without_a_line_feed_is_never_loaded(seven, end):
    own = file_of(seven.book, "bench").read_bytes()
    with (seven.book / "events" / "huge.jsonl").open("wb") as file:
        file.truncate(1 << 30)  # a hole: no disk is filled
        file.seek(0, os.SEEK_END)
        file.write(end)
    limit = 600 << 20

    answer = subprocess.run(
        [STILLROOM, "check"],
        env=seven.env,
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)),
        timeout=120,
        check=False,
    )
    assert answer.stderr == ""
    assert answer.returncode == (1 if end else 0)
    what = f"It has {(1 << 30) + 1} bytes" if end else "unfinished"
    assert what in answer.stdout
    assert file_of(seven.book, "bench").read_bytes() == own
