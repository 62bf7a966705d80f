"""Who is said to have done a thing: the person named, remembered or set; never a machine."""

import json

import pytest

SHAKE = "shake CAOF-25-02 --when 2025-03-04"
NOTE = "note CAOF-25-02 {} --when 2025-03-05"


def people(command) -> list[str | None]:
    return [one["by"] for one in command.json("history CAOF-25-02")]


@pytest.fixture
def odos(worked):
    """A machine whose person is Odo."""
    folder = worked.home / "config" / "stillroom"
    folder.mkdir(parents=True)
    (folder / "person").write_text("Odo\n")
    return worked


def test_where_nobody_was_named_no_machine_stands_in_for_a_person(worked):
    worked.ok(SHAKE)
    page = worked.home / "shelf.html"
    worked.ok(f"page --to {page}")

    assert people(worked) == [None, None]
    assert "bench" not in worked.ok("history CAOF-25-02")
    assert "<small>" in page.read_text()
    assert ">bench" not in page.read_text()
    assert "nobody is named" in (record := worked.ok("record CAOF-25-02"))
    assert "bench" not in record.partition("The book")[0]


def test_a_person_named_is_remembered_and_each_later_answer_says_so(worked):
    named = worked.run(f"{SHAKE} --by Ines")
    later = worked.run(NOTE.format("sweet"))

    assert people(worked) == [None, "Ines", "Ines"]
    assert "Ines" not in named.err
    assert later.err.startswith("By Ines, as at ")
    assert len(later.err.splitlines()) == 1


def test_what_is_tried_or_refused_is_not_remembered(worked):
    worked.ok(f"{SHAKE} --by Ines --dry-run")
    worked.refused(f"{SHAKE.replace('2025', '2024')} --by Ines")
    worked.ok(SHAKE)

    assert people(worked)[-1] is None


def test_the_person_of_the_machine_needs_no_name(odos):
    answer = odos.run(SHAKE)

    assert people(odos)[-1] == "Odo"
    assert answer.err == ""
    assert "shaken · by Odo" in odos.ok("history CAOF-25-02")


def test_me_ends_the_evening_of_another(odos):
    odos.ok(f"{SHAKE} --by Ines")
    between = odos.run(NOTE.format("sweet"))
    odos.ok(NOTE.format("again") + " --by me")
    after = odos.run(NOTE.format("still"))

    assert people(odos)[1:] == ["Ines", "Ines", "Odo", "Odo"]
    assert "`--by me` is you again" in between.err
    assert after.err == ""


def test_me_is_refused_where_nobody_said_who_that_is(worked):
    assert "stillroom begin --me" in worked.refused(f"{SHAKE} --by me", code=2)


def test_a_page_is_by_one_person_but_for_the_lines_that_name_another(odos):
    page = odos.home / "page.txt"
    page.write_text("shake CAOF-25-02\nnote CAOF-25-02 a --by Bea\nnote CAOF-25-02 b --by me\n")
    odos.ok(f"enter {page} --when 2025-03-06 --by Ines")
    after = odos.run(NOTE.format("later"))

    by = [str(one) for one in people(odos)[1:]]
    assert sorted(by) == ["Bea", "Ines", "Ines", "Odo"]
    assert "By Ines" in after.err


def test_a_wrong_person_is_corrected_like_anything_else(worked):
    worked.ok(f"{SHAKE} --by Ines")
    worked.ok(f"correct {worked.number('shaken')} --set by=Odo --why 'somebody else'")

    assert "shaken; by Odo" in worked.ok("record CAOF-25-02")
    assert "now: by Odo" in worked.ok("history CAOF-25-02")
    assert worked.lines()[-1]["data"]["set"] == {"by": "Odo"}


def test_json_is_not_disturbed_by_the_remark(worked):
    worked.ok(f"{SHAKE} --by Ines")
    answer = worked.run(NOTE.format("sweet") + " --json")

    assert json.loads(answer.out)["recorded"][0]["kind"] == "noted"
    assert answer.err.startswith("By Ines")
