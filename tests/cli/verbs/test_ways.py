"""Ways of making: percolated, simmered, and a double extract from its charge to the blend."""

import pytest

from tests.command import Command

PERCOLATE = 'charge "Calendula officinalis" --dried 100g --pour "500 ml 60%" --way percolation'
DOUBLE = 'charge "Calendula officinalis" --dried 100g --water 0% --pour "500 ml 60%" --way double'
SIMMER = 'charge "Calendula officinalis" --dried 50g --pour "800 ml water" --way simmered'


def rows(text: str) -> dict[str, str]:
    """What `show` says, by the name of the row."""
    return {line[2:20].strip(): line[20:] for line in text.splitlines() if line.startswith("  ")}


def test_a_percolate_is_collected_the_next_day_and_its_ratio_is_by_what_was_collected(command):
    """480 ml collected of 100 g: 1:4.8, whatever was poured."""
    charged = command.ok(f"{PERCOLATE} --code PE1 --when 2025-03-03")
    before = command.json("show PE1 --on 2025-03-03")
    shelf = command.ok("shelf --on 2025-03-03")
    said = command.ok("press PE1 480ml --when 2025-03-04")
    extract = command.json("show PE1A --on 2025-03-05")
    shown = rows(command.ok("show PE1A --on 2025-03-05"))

    assert "collect from 4 Mar 2025; shake: none" in charged
    assert (before["way"], before["earliest_press"]) == ("percolation", "2025-03-04")
    assert (before["ratio"], before["ratio_basis"]) == (5.0, "poured")
    assert before["ratio_meant_basis"] == "finished"
    assert "collect tomorrow" in shelf
    assert "PE1 collected 480 ml" in said
    assert "1:4.8 by finished volume" in said
    assert (extract["ratio"], extract["ratio_basis"]) == (4.8, "finished")
    assert shown["way"] == "percolation"
    assert shown["collected"].startswith("4 Mar 2025, 480 ml")
    assert "collected 4 Mar" in command.ok("shelf --done --on 2025-03-05")
    assert "1:4.8 finished" in command.ok("shelf --done --on 2025-03-05")
    assert '"collected"' in command.ok("trace PE1 --json")


def test_what_percolates_tells_nothing_of_what_macerates_and_the_other_way_round(command):
    for code in ("PE1", "PE2", "PE3"):
        command.ok(f"{PERCOLATE} --code {code} --when 2025-03-03")
        command.ok(f"press {code} 480ml --with hand --when 2025-03-04")
    steep = PERCOLATE.replace(" --way percolation", "")
    command.ok(f"{steep} --code MA1 --when 2025-03-03")
    shown = rows(command.ok("show MA1 --on 2025-03-03"))
    command.ok("press MA1 380ml --with hand --when 2025-06-03")
    found = {one["way"]: one for one in command.json("yields")}

    assert "handbook" in shown["may give"]
    assert "of your own" not in shown["may give"]
    assert found["percolation"]["held_ml_per_g"]["median"] == pytest.approx(0.2)
    assert found["maceration"]["held_ml_per_g"]["median"] == pytest.approx(1.2)


def test_what_is_simmered_is_strained_the_same_day_and_keeps_some_days(command):
    command.ok(f"{SIMMER} --code SI1 --when 2025-03-03")
    jar = command.json("show SI1 --on 2025-03-03")
    said = command.ok("press SI1 500ml --when 2025-03-03")
    extract = command.json("show SI1A --on 2025-03-03")

    assert (jar["way"], jar["ready"], jar["earliest_press"]) == ("simmered", True, "2025-03-03")
    assert "held" not in said  # nobody knows how much went off as steam
    assert extract["held_ml_per_g"] is None
    assert extract["good_through"] == "2025-03-06"


def test_before_spirit_is_simmered_it_is_asked_about(command):
    line = SIMMER.replace("800 ml water", "800 ml 40%")

    assert "its vapour catches fire" in command.refused(line)
    assert not command.book.exists() or command.asked("shelf") == []
    command.ok(f"{line} --sure")


def test_a_correction_of_the_way_is_held_to_the_same(command):
    plain = SIMMER.replace(" --way simmered", "").replace("800 ml water", "800 ml 40%")
    command.ok(f"{plain} --code SI1 --when 2025-03-03")
    event = command.event("charged")

    asked = command.refused(f"correct {event} --set way=simmered --why misread")
    assert "its vapour catches fire" in asked
    stewed = command.refused(f"correct {event} --set way=stewed --why misread", code=2)
    assert "'stewed'" in stewed
    command.ok(f"correct {event} --set way=percolation --why misread")
    assert command.json("show SI1")["way"] == "percolation"
    assert command.json("show SI1")["ratio_meant_basis"] == "finished"


@pytest.fixture
def doubled(command: Command) -> Command:
    """A double extract up to the pressing of its water."""
    command.ok(f"{DOUBLE} --code DO1 --when 2025-03-03")
    command.ok("press DO1 400ml --when 2025-06-03")
    command.ok('steep-again DO1 --pour "600 ml water" --way simmered --when 2025-06-04')
    command.ok("press DO1 500ml --when 2025-06-04")
    return command


def test_a_double_extract_says_what_is_next_until_it_is_blended(command):
    command.ok(f"{DOUBLE} --code DO1 --when 2025-03-03")
    pressed = command.ok("press DO1 400ml --when 2025-06-03")
    after_first = command.json("show DO1A --on 2025-06-03")
    again = command.ok('steep-again DO1 --pour "600 ml water" --way simmered --when 2025-06-04')
    second = command.ok("press DO1 500ml --when 2025-06-04")
    shown = rows(command.ok("show DO1 --on 2025-06-04"))
    both = 'blend --part "400ml DO1A" --part "500ml DO1B" --code DB1 --when 2025-06-04'
    blended = command.ok(both)
    blend = command.json("show DB1 --on 2025-06-04")

    assert "Next: pour water on the same marc" in pressed
    assert after_first["next_of_double"] == "steep again"
    assert "strain from 4 Jun 2025" in again
    assert "Next: blend the two" in second
    assert shown["way"] == "double extract, simmered"
    assert shown["next"] == "blend the two: they are two extracts of one herb"
    assert "as its strong parts. It is two extracts of one" in blended
    assert blend["good_through"] == "2026-06-03"
    assert blend["of_one_herb"] is True
    assert rows(command.ok("show DB1 --on 2025-06-04"))["way"] == "two extracts of one herb"
    assert command.json("show DO1 --on 2025-06-04")["next_of_double"] is None


def test_the_blend_of_both_counts_the_herb_once_and_by_its_finished_volume(doubled):
    """900 ml of 100 g, of which no more than 100 g are in it."""
    doubled.ok('blend --part "400ml DO1A" --part "500ml DO1B" --code DB1 --when 2025-06-04')
    first, second, blend = (doubled.json(f"show {one}") for one in ("DO1A", "DO1B", "DB1"))

    assert (first["ratio"], first["ratio_basis"]) == (4.0, "finished")
    assert second["ratio"] is None
    assert (blend["ratio"], blend["ratio_basis"]) == (9.0, "finished")
    assert blend["herb_g"] <= 100.0


def test_spirit_that_was_simmered_may_have_gone_off_as_steam_and_the_strength_says_so(doubled):
    """100 ml of 60 % in 700 ml are 8.6 % vol at most, and perhaps none."""
    doubled.ok('blend --part "400ml DO1A" --part "500ml DO1B" --code DB1 --when 2025-06-04')
    first, second, blend = (doubled.json(f"show {one}") for one in ("DO1A", "DO1B", "DB1"))

    assert second["strength_pct_vol"] == pytest.approx(8.6, abs=0.1)
    assert second["strength_allowance_pct_vol"] >= second["strength_pct_vol"]
    assert first["strength_allowance_pct_vol"] < 1
    # of 240 + 43 ml of ethanol the 43 ml may be gone: 15 % of the strength
    share = blend["strength_allowance_pct_vol"] / blend["strength_pct_vol"]
    assert share == pytest.approx(0.15, abs=0.02)
    assert "may have gone off as steam" in doubled.ok("show DB1")
    assert "may have gone off as steam" not in doubled.ok("show DO1A")


def test_the_marc_that_holds_spirit_is_warned_of_before_it_is_heated(command):
    command.ok(f"{DOUBLE} --code DO1 --when 2025-03-03")
    command.ok("press DO1 400ml --when 2025-06-03")
    line = 'steep-again DO1 --pour "600 ml water" --way simmered --when 2025-06-04'

    assert "the marc holds spirit" in command.run(line).err


def test_a_double_extract_without_spirit_is_wondered_at(command):
    answer = command.run(DOUBLE.replace("500 ml 60%", "500 ml water"))

    assert answer.code == 0
    assert "a double extract begins with spirit" in answer.err


def test_a_word_for_no_way_is_misuse(command):
    said = command.refused(PERCOLATE.replace("percolation", "stewed"), code=2)

    assert "maceration, percolation, double, simmered" in said
