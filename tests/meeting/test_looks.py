"""Looks through the command: what a sign calls for, and when to look again."""

import shutil

import pytest

from tests.command import Command

CALENDULA = (
    'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" --least 28d '
    "--shake none"
)


@pytest.fixture
def jar(command: Command) -> Command:
    """CAOF-25-01, charged on 3 March 2025."""
    command.ok(f"{CALENDULA} --when 2025-03-03")
    return command


@pytest.fixture
def extract(jar: Command) -> Command:
    """The same, pressed on 5 April, with two bottles of 50 ml."""
    jar.ok("press CAOF-25-01 370ml --when 2025-04-05")
    jar.ok("bottle CAOF-25-01A 2x50ml --when 2025-04-06")
    return jar


def due(command: Command, day: str) -> dict[str, tuple[str, str]]:
    return {one["code"]: (one["what"], one["why"]) for one in command.asked(f"due --on {day}")}


# What a sign calls for


@pytest.mark.parametrize("sign", ["mould", "mold", "slime", "gas", "fizz", "smell"])
def test_a_sign_that_something_lives_in_it_holds_the_jar(jar, sign):
    said = jar.ok(f"look CAOF-25-01 --sign {sign} --when 2025-03-09")
    refused = jar.refused("press CAOF-25-01 370ml --when 2025-04-05")

    assert "CAOF-25-01 is on hold because of" in said
    assert "stillroom release CAOF-25-01" in said
    assert "on hold, since 9 Mar 2025" in refused


@pytest.mark.parametrize(
    ("sign", "verdict"),
    [
        *((one, "watch") for one in ("flecks", "cloudy", "level")),
        *((one, "fine") for one in ("sediment", "taste", "colour", "color", "lid", "other")),
    ],
)
def test_other_signs_hold_nothing(jar, sign, verdict):
    jar.ok(f"look CAOF-25-01 --sign {sign} --when 2025-03-09")

    assert jar.asked("show CAOF-25-01")["on_hold"] is False
    assert f"9 Mar 2025, {verdict}" in jar.ok("show CAOF-25-01")


def test_the_gravest_of_several_signs_decides(jar):
    said = jar.ok("look CAOF-25-01 --sign taste --sign flecks,mould --when 2025-03-09")

    assert "on hold because of taste, flecks and mould" in said


def test_mould_called_fine_is_asked_about_and_stays_in_sight(jar):
    line = "look CAOF-25-01 --sign mould --verdict fine --when 2025-03-09"
    refused = jar.refused(line)
    nothing = jar.asked("show CAOF-25-01")
    jar.ok(f"{line} --sure")

    assert "mould was found, and the verdict is fine" in refused
    assert nothing["look_again"] is None
    assert jar.asked("show CAOF-25-01")["on_hold"] is False
    assert "9 Mar 2025, fine: mould" in jar.ok("show CAOF-25-01")


@pytest.mark.parametrize("sign", ["mould", "slime", "gas", "smell"])
def test_such_a_sign_that_is_watched_is_a_matter_of_safety_every_day(jar, sign):
    jar.ok(f"look CAOF-25-01 --sign {sign} --verdict watch --when 2025-03-09")

    for day in ("2025-03-09", "2025-03-10", "2025-03-20"):
        what, why = due(jar, day)["CAOF-25-01"]
        assert what == "safety"
        assert "was found: look again" in why


def test_mould_in_one_bottle_holds_the_extract_and_every_bottle(extract):
    said = extract.ok("look CAOF-25-01A/2 --sign mould --when 2025-05-01")
    refused = extract.refused("dispense CAOF-25-01A/1 10ml --for C03 --when 2025-05-02")

    assert "CAOF-25-01A is on hold because of mould" in said
    assert "CAOF-25-01A is on hold, since 1 May 2025: mould" in refused


def test_a_look_at_one_bottle_does_not_lift_what_another_held_unasked(extract):
    extract.ok("look CAOF-25-01A/2 --sign mould --when 2025-05-01")
    refused = extract.refused("look CAOF-25-01A/1 --when 2025-05-02")
    held = extract.asked("show CAOF-25-01A")["on_hold"]
    extract.ok("look CAOF-25-01A/1 --when 2025-05-02 --sure")

    assert "a look at one bottle lifts the hold on CAOF-25-01A" in refused
    assert held is True
    assert extract.asked("show CAOF-25-01A")["on_hold"] is False


def test_a_later_look_that_lifts_a_hold_says_so(jar):
    jar.ok("look CAOF-25-01 --sign mould --when 2025-03-09")
    answer = jar.json("look CAOF-25-01 --when 2025-03-10")

    assert any("this look lifts the hold on CAOF-25-01" in one for one in answer["flags"])
    assert jar.asked("show CAOF-25-01")["on_hold"] is False


def test_a_look_does_not_lift_a_hold_by_word(jar):
    jar.ok("hold CAOF-25-01 --why 'asked the neighbour' --when 2025-03-09")
    answer = jar.json("look CAOF-25-01 --verdict fine --when 2025-03-10")

    assert not any("lifts" in one for one in answer["flags"])
    assert jar.asked("show CAOF-25-01")["on_hold"] is True


# Corrected, struck, merged


def test_a_struck_look_holds_nothing(jar):
    jar.ok("look CAOF-25-01 --sign mould --when 2025-03-09")
    jar.ok(f"strike {jar.event('looked_at')} --why 'another jar' --sure")

    assert jar.asked("show CAOF-25-01")["on_hold"] is False
    assert "CAOF-25-01" not in due(jar, "2025-03-10")


def test_a_corrected_verdict_holds_and_a_corrected_sign_is_asked_about(jar):
    jar.ok("look CAOF-25-01 --sign taste --when 2025-03-09")
    number = jar.event("looked_at")
    refused = jar.refused(f"correct {number} --set sign=mould --why 'read again'")
    jar.ok(f"correct {number} --set signs=mould --set verdict=hold --why 'read again'")

    assert "mould was found, and the verdict is fine" in refused
    assert jar.asked("show CAOF-25-01")["hold"]["why"] == "mould"


def test_a_corrected_day_to_look_again_counts(jar):
    jar.ok("look CAOF-25-01 --sign flecks --when 2025-03-09")
    number = jar.event("looked_at")
    jar.ok(f"correct {number} --set again=10d --why 'there is time'")
    later = jar.asked("show CAOF-25-01")["look_again"]
    jar.ok(f"correct {number} --set again=none --why 'dust'")

    assert later == "2025-03-19"
    assert jar.asked("show CAOF-25-01")["look_again"] is None


@pytest.mark.parametrize("first", ["bench", "loft"])
def test_of_two_writers_looks_the_later_one_counts_whichever_file_came_first(jar, first):
    other = Command(jar.home / "other", writer="loft", zone="Europe/Berlin")
    other.book.mkdir(parents=True)
    (other.book / "events").mkdir()
    for there in (jar.book / "events").glob("*.jsonl"):
        (other.book / "events" / there.name).write_bytes(there.read_bytes())
    mouldy, fine = (jar, other) if first == "bench" else (other, jar)
    mouldy.ok("look CAOF-25-01 --sign mould --when '2025-03-09 18:00'")
    fine.ok("look CAOF-25-01 --when '2025-03-09 09:00'")
    (there,) = (other.book / "events").glob("loft*.jsonl")
    (jar.book / "events" / there.name).write_bytes(there.read_bytes())

    assert jar.asked("show CAOF-25-01")["hold"]["why"] == "mould"


# When to look again


def test_a_watch_is_to_be_looked_at_again_until_the_next_look(jar):
    jar.ok("look CAOF-25-01 --sign flecks --when 2025-03-09")  # in three days by the practice
    before, on_the_day = due(jar, "2025-03-11"), due(jar, "2025-03-12")
    long_after = due(jar, "2025-03-28")
    jar.ok("look CAOF-25-01 --when 2025-03-29")

    assert before == {}
    assert on_the_day["CAOF-25-01"] == ("look", "look again: flecks Sun")
    assert long_after["CAOF-25-01"][0] == "look"
    assert due(jar, "2025-03-30") == {}
    assert jar.asked("show CAOF-25-01")["look_again"] is None


@pytest.mark.parametrize(
    ("again", "day"), [("1w", "2025-03-16"), ("2025-03-21", "2025-03-21"), ("none", None)]
)
def test_the_day_to_look_again_is_as_it_is_given(jar, again, day):
    jar.ok(f"look CAOF-25-01 --verdict watch --again {again} --when 2025-03-09")

    assert jar.asked("show CAOF-25-01")["look_again"] == day


def test_the_practice_says_after_how_many_days(jar):
    jar.practice('[reminders]\n"look again" = "10d"\n')
    jar.ok("look CAOF-25-01 --verdict watch --when 2025-03-09")
    by_rule = jar.asked("show CAOF-25-01")["look_again"]
    jar.practice('[reminders]\n"look again" = "none"\n')
    jar.ok("look CAOF-25-01 --verdict watch --when 2025-03-10")

    assert by_rule == "2025-03-19"
    assert jar.asked("show CAOF-25-01")["look_again"] is None


@pytest.mark.parametrize(
    ("again", "says"),
    [("2025-03-01", "is before the look"), ("soon", "is not a date"), ("2025", "one day")],
)
def test_a_day_that_cannot_be_is_misused(jar, again, says):
    line = f"look CAOF-25-01 --verdict watch --again {again} --when 2025-03-09"

    assert says in jar.refused(line, code=2)


def test_an_extract_is_looked_at_again_too(extract):
    extract.ok("look CAOF-25-01A --sign cloudy --when 2025-05-01")

    assert due(extract, "2025-05-04") == {"CAOF-25-01A": ("look", "look again: cloudy Thu")}
    assert "look again" in extract.ok("show CAOF-25-01A")
    assert extract.asked("show CAOF-25-01A")["look_again"] == "2025-05-04"


@pytest.mark.parametrize("gone", ["discard CAOF-25-01 --why mould", "press CAOF-25-01 370ml"])
def test_a_jar_that_is_done_has_no_look_due(jar, gone):
    jar.ok("look CAOF-25-01 --sign flecks --when 2025-03-09")
    jar.ok(f"{gone} --when 2025-04-05")

    assert all(what != "look" for what, _ in due(jar, "2025-04-10").values())
    assert jar.asked("show CAOF-25-01")["look_again"] is None


def test_a_look_that_was_put_off_comes_back_and_the_next_look_starts_over(command):
    jar = command
    jar.ok(f"{CALENDULA} --when yesterday")
    code = jar.asked("shelf")[0]["code"]
    jar.ok(f"look {code} --verdict watch --again today")
    jar.ok(f"later {code} 9d")
    put_off = jar.asked("due")
    jar.ok(f"look {code} --verdict watch --again today")

    assert put_off == []
    assert [one["what"] for one in jar.asked("due")] == ["look"]


def test_what_is_joined_of_a_watched_jar_is_watched(jar):
    jar.ok(f"{CALENDULA} --when 2025-03-03 --sure")
    jar.ok("look CAOF-25-02 --sign mould --verdict watch --when 2025-03-09")
    jar.ok("join CAOF-25-01 CAOF-25-02 --code BOTH --when 2025-03-10")

    assert due(jar, "2025-03-11")["BOTH"] == ("safety", "mould was found: look again")


def test_a_recall_outweighs_a_look_and_outlasts_it(jar):
    jar.ok("gather 'Melissa officinalis' --fresh 500g --when 2025-03-01")
    lot = jar.asked("lots")[0]["code"]
    jar.ok(f'charge {lot} --fresh 100g --pour "500 ml 45%" --code ME1 --when 2025-03-03')
    jar.ok("look ME1 --sign mould --when 2025-03-09")
    jar.ok(f"recall {lot} --why 'wrong plant' --when 2025-03-10")
    jar.ok("look ME1 --verdict fine --when 2025-03-11")

    assert jar.asked("show ME1")["hold"]["kind"] == "recall"


# Lids


@pytest.mark.parametrize(
    "line",
    [
        f"{CALENDULA} --lid tin --code CA2 --when 2025-03-03",
        "move CAOF-25-01 --lid tin --when 2025-03-09",
        "move CAOF-25-01 --lid 'canning ring' --when 2025-03-09",
        "found 'Rosa canina' --lid steel --when 2025-03-09",
    ],
)
def test_a_bare_lid_is_warned_of_when_it_is_recorded(jar, line):
    assert "Caution: bare metal lid; put a barrier under it." in jar.ok(line)


@pytest.mark.parametrize(
    "line",
    [
        "split CAOF-25-01 --into 2 --when 2025-03-10",
        "move CAOF-25-01 --barrier no --when 2025-03-10",
    ],
)
def test_a_bare_lid_is_warned_of_again_where_it_is_new_to_a_jar(jar, line):
    jar.ok("move CAOF-25-01 --lid tin --barrier parchment --when 2025-03-09")
    jar.ok("move CAOF-25-01 --lid tin --when 2025-03-09")

    assert "Caution: bare metal lid" in jar.ok(line)


def test_a_lid_nobody_can_judge_is_said_everywhere_and_no_false_all_clear(jar):
    said = jar.ok("move CAOF-25-01 --lid wombat --when 2025-03-09")
    what, why = due(jar, "2025-03-10")["CAOF-25-01"]

    assert "whether the wombat lid is bare metal is not known" in said
    assert (what, why) == ("safety", "wombat lid: is that bare metal?")
    assert any("lid (wombat)" in one for one in jar.asked("show CAOF-25-01")["cautions"])
    assert "lid (wombat)" in jar.ok("record CAOF-25-01")


def test_vinegar_on_honey_under_metal_is_warned_of_when_it_is_poured(command):
    command.ok(
        'charge "Thymus vulgaris" --part herb --dried 50g --pour "300 ml honey" --lid tin '
        "--code TH --when 2025-03-03"
    )
    before = command.asked("due --on 2025-03-03")
    said = command.ok('top-up TH --pour "100 ml vinegar" --when 2025-03-04')

    assert all(one["what"] != "safety" for one in before)
    assert "TH: Caution: bare metal lid" in said


def at_the_loft(command: Command, tmp_path) -> Command:
    """The same book as it stands now, at another writer's."""
    (tmp_path / "loft").mkdir()
    loft = Command(tmp_path / "loft", writer="loft")
    shutil.copytree(command.book, loft.book)
    return loft


def arrives(loft: Command, command: Command) -> None:
    """What the loft wrote is in the book here."""
    shutil.copy(loft.book / "events" / "loft.jsonl", command.book / "events")


def test_a_look_by_one_who_did_not_know_of_the_hold_does_not_lift_it(jar, tmp_path):
    """The loft looked two days later, and its book did not have the mould yet."""
    loft = at_the_loft(jar, tmp_path)
    jar.ok("look CAOF-25-01 --sign mould --when 2025-03-10")
    loft.ok("look CAOF-25-01 --verdict fine --when 2025-03-12")
    arrives(loft, jar)

    assert "since 10 Mar 2025: mould" in jar.ok("show CAOF-25-01")
    assert due(jar, "2025-03-13")["CAOF-25-01"] == ("safety", "on hold: mould")
    jar.refused("press CAOF-25-01 370ml --when 2025-04-05")


def test_a_look_by_one_who_knew_of_it_lifts_it_and_says_so(jar, tmp_path):
    jar.ok("look CAOF-25-01 --sign mould --when 2025-03-10")
    loft = at_the_loft(jar, tmp_path)
    said = loft.run("look CAOF-25-01 --verdict fine --when 2025-03-12")
    arrives(loft, jar)

    assert "this look lifts the hold on CAOF-25-01 since 10 Mar 2025: mould" in said.err
    lifted = "12 Mar 2025, fine; it lifted the hold since 10 Mar 2025: mould"
    assert lifted in jar.ok("show CAOF-25-01")
    assert lifted in jar.ok("page").replace("\N{NO-BREAK SPACE}", " ")
    jar.ok("look CAOF-25-01 --verdict fine --when 2025-03-13")
    assert "it lifted" not in jar.ok("show CAOF-25-01")


def test_mould_written_down_after_a_look_that_found_nothing_holds_from_its_day_on(jar):
    jar.ok("look CAOF-25-01 --verdict fine --when 2025-03-12")
    jar.ok("look CAOF-25-01 --sign mould --when 2025-03-10")

    assert jar.asked("show CAOF-25-01")["on_hold"] is True


@pytest.mark.parametrize("left", ["some", "nothing"])
def test_what_one_gave_out_while_another_had_it_on_hold_is_said_until_it_is_released(
    extract, tmp_path, left
):
    loft = at_the_loft(extract, tmp_path)
    extract.ok("look CAOF-25-01A --sign mould --when 2025-04-10")
    loft.ok("dispense CAOF-25-01A/1 50ml --for C03 --when 2025-04-12")
    if left == "nothing":
        loft.ok("dispense CAOF-25-01A/2 50ml --for C04 --when 2025-04-12")
        loft.ok("dispense CAOF-25-01A 270ml --for C05 --when 2025-04-12")
    arrives(loft, extract)

    out = "50 ml" if left == "some" else "370 ml"
    given = f"{out} was given out since, last on 12 Apr 2025"
    assert due(extract, "2025-04-13")["CAOF-25-01A"] == ("safety", f"on hold: mould; {given}")
    for verb in ("show CAOF-25-01A", "page"):
        assert given in extract.ok(verb).replace("\N{NO-BREAK SPACE}", " "), verb
    assert f"on hold: mould, {out} given out since" in extract.ok("remind --plain --printed")
    extract.ok("release CAOF-25-01A --why 'asked for back' --when 2025-04-14")
    assert "given out since" not in extract.ok("page")


def test_a_held_jar_of_which_nothing_was_bottled_says_nothing_of_bottles(jar):
    out = jar.ok("look CAOF-25-01 --sign mould --when 2025-03-10")

    assert "CAOF-25-01 is on hold because of mould; once it is seen to" in out
