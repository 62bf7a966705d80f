"""Lines that a later program wrote: kept and shown, not guessed; writes on them wait."""

import json

import pytest

from tests.journal.on_disk import check_chain
from tracker.journal.line import link


def append_raw(command, **changes):
    """A line as a later version might write it, on the end of another writer's file."""
    path = command.book / "events" / "later-machine.jsonl"
    lines = path.read_bytes().split(b"\n")[:-1] if path.exists() else []
    charge = check_chain(command.book / "events" / "bench.jsonl")[0]
    fields = {
        **charge,
        "id": f"later-{len(lines):04d}",
        "source": "later-machine",
        "sequence": f"{len(lines) + 1:010d}",
        "type": "candied",
        "data": {"v": 1, "about": {"jar": charge["id"]}, "into": {"hours": 3}},
    } | changes
    fields.pop("digest")
    previous = lines[-1][-66:-2].decode() if lines else "0" * 64
    body = json.dumps(fields, separators=(",", ":")).encode()[:-1]
    digest = link(previous, body)
    with path.open("ab") as file:
        file.write(body + b',"digest":"' + digest.encode() + b'"}\n')


NEWER = {
    "a kind": {},
    "a version": {"type": "shaken", "data": {"v": 2, "jars": ["bench-0001"], "turns": 12}},
}


@pytest.mark.parametrize("changes", NEWER.values(), ids=list(NEWER))
def test_what_a_later_version_wrote_is_kept_and_shown_and_no_damage(seven, changes):
    before = seven.json("show CAOF-25-01")
    append_raw(seven, **changes)

    assert seven.run("check").code == 0
    assert "INCOMPLETE" not in seven.run("shelf --done").err
    assert "a kind or version not known here" in seven.told("history CAOF-25-01")
    shown = seven.json("show CAOF-25-01")
    assert any("this program does not know" in str(flag) for flag in shown.pop("flags"))
    before.pop("flags")
    assert shown == before


@pytest.mark.parametrize("line", ["note CAOF-25-01 hello", "filter CAOF-25-01A 300ml"])
def test_recording_about_such_a_jar_waits_for_a_newer_stillroom(seven, line):
    append_raw(seven)

    assert "use a newer stillroom" in seven.refused(line)


def test_other_jars_can_be_recorded_about(seven):
    append_raw(seven)

    seven.ok('charge "Melissa officinalis" --dried 50g --pour "250 ml 45%" --when 2025-03-03')
    seven.ok("note MEOF-25-01 hello")


def test_a_later_kind_that_names_no_jar_hinders_nobody(seven):
    append_raw(seven, data={"v": 1, "moon": "full"})

    checked = seven.run("check")
    assert checked.code == 0
    assert "candied: a kind or version this program does not know" in checked.out
    seven.ok("note CAOF-25-01 hello")


@pytest.mark.parametrize("data", [None, [], 7, "x", {"v": "new"}, {"jars": 3}, {"jar": [1]}])
def test_data_of_any_shape_under_an_unknown_kind_is_no_damage(seven, data):
    append_raw(seven, data=data)

    assert seven.run("check").code == 0


@pytest.mark.parametrize(
    ("type_", "data"),
    [("shaken", {"v": 1, "jars": []}), ("charged", {"v": 1}), ("shaken", "text")],
)
def test_a_known_kind_with_impossible_data_is_damage(seven, type_, data):
    append_raw(seven, type=type_, data=data)

    checked = seven.run("check")
    assert checked.code == 1
    assert "later-machine.jsonl, line 1" in checked.out
