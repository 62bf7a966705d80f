"""What was merged, refilled, diluted or is weak, as it stands on paper, on the page and on screens.

All through the command; strengths are plain sums, far from the 20 % vol of the warning, and what
is weak keeps three days (docs/menstruum.md). Everything is invented.
"""

from datetime import date
from pathlib import Path

import pytest

from tests.command import Command
from tests.outputs.paper.reading import squeezed, text_of
from tests.outputs.reading import by_id, facts, page_tree, text
from tracker.core.values.day_words import short_day

DAY = "2024-03-02"


@pytest.fixture
def shelf(tmp_path) -> Command:
    """Calendula and lemon balm pressed in February; JB let down with water on 1 March, and a
    bottle of JA, once used, refilled from JB before that."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for code, herb in (("JA", "Calendula officinalis"), ("JB", "Melissa officinalis")):
        command.ok(
            f'charge "{herb}" --dried 50g --pour "250 ml 60%" --when 2024-01-10 --code {code}'
        )
        command.ok(f"press {code} 200ml --keeps '12 months' --when 2024-02-10")
    command.ok("bottle JAA 2x50ml --when 2024-02-11")
    command.ok("bottle JBA 1x50ml --when 2024-02-11")
    command.ok("dispense JAA/1 30ml --for P01 --when 2024-02-12 --sure")
    command.ok("refill JAA/1 --from JBA --volume 30ml --when 2024-02-13 --sure")
    command.ok('dilute JBA --pour "750 ml water" --when 2024-03-01 --sure')
    return command


def paper(shelf: Command, line: str) -> str:
    shelf.ok(f"{line} --force --to out.pdf")
    return squeezed(text_of((shelf.home / "out.pdf").read_bytes()))


@pytest.mark.parametrize(
    "line",
    ["label JNA --size 90x50mm", "label JNA --size 70x37mm", "label JNA --lid --sheet lids"],
)
def test_a_label_says_that_a_liquid_is_weak_and_till_when_it_is_good(shelf, line):
    """A label is about the day it is printed, so that what is weak became so today."""
    shelf.ok('charge yarrow --dried 50g --pour "250 ml 60%" --code JN')
    shelf.ok("press JN 200ml --sure")
    assert "Weak" not in paper(shelf, line)

    shelf.ok('dilute JNA --pour "750 ml water" --sure')
    good = short_day(date.fromisoformat(shelf.asked("show JNA")["good_through"]))
    said = paper(shelf, line)
    assert squeezed(f"Weak, keep cold: good through {good}") in said


def test_what_was_past_before_it_was_weak_is_not_said_to_be_good_for_longer(shelf):
    said = shelf.ok('dilute JAA --pour "750 ml water" --when 2026-11-20 --sure')

    assert "As it is, its last good day was 10 Feb 2025." in said
    assert squeezed("Weak, keep cold: good through 10 Feb 2025") in (
        paper(shelf, "label JAA --size 90x50mm --sure")
    )
    shown = " ".join(shelf.ok("due --on 2026-11-21").split())
    assert "was good through 10 Feb 2025: discard it" in shown


def test_a_handout_says_that_a_liquid_is_weak(shelf):
    said = paper(shelf, f"handout JBA JAA --on {DAY}")

    assert said.count("WEAK") == 1
    assert squeezed("WEAK: keep it cold, good through 4 Mar 2024.") in said


def test_a_label_of_what_is_weak_and_past_says_till_when_it_was_good(shelf):
    said = paper(shelf, "label JBA --size 90x50mm --sure")

    assert squeezed("Weak, keep cold: good through 4 Mar 2024") in said


def test_a_weak_jar_with_its_herb_in_says_so_on_its_label(shelf):
    shelf.ok('charge yarrow --dried 10g --pour "300 ml water" --code JW --when 2024-03-01')

    said = paper(shelf, "label JW --size 90x50mm --sure")
    assert squeezed("Weak, keep cold: good through 4 Mar 2024") in said


def test_stock_and_the_page_say_that_it_is_weak(shelf):
    lines = shelf.ok(f"stock --on {DAY}").splitlines()
    rows = {code: line for line in lines for code in ("JAA", "JBA") if code in line.split()}

    assert rows["JBA"].endswith("4 Mar, 2 d WEAK")
    assert "WEAK" not in rows["JAA"]

    shelf.ok(f"page --to page.html --on {DAY}")
    page = (shelf.home / "page.html").read_bytes()
    told = " ".join(text(page_tree(page)).split())
    assert "JBA weak, some" in told  # one of its bottles was filled before
    assert "since 1 Mar 2024: keep it cold; last good day 4 Mar 2024" in told


def test_show_says_to_keep_it_cold(shelf):
    show = shelf.ok(f"show JBA --on {DAY}")

    assert "weak              since 1 Mar 2024: keep it cold; last good day 4 Mar 2024" in show
    assert "= too weak to keep, or not known to keep; 2 days left" in show


def test_a_weak_liquid_is_called_so_in_the_title_of_the_calendar(shelf):
    """What was weak in 2024 is past its day, and the calendar has the days to come."""
    shelf.ok('charge yarrow --dried 50g --pour "250 ml 60%" --code JN')
    shelf.ok("press JN 200ml --sure")
    shelf.ok('dilute JNA --pour "750 ml water" --sure')
    shelf.ok("calendar --to days.ics")
    unfolded = (shelf.home / "days.ics").read_bytes().decode().replace("\r\n ", "")

    assert "yarrow (weak) · JNA" in unfolded
    assert "keep it cold" in unfolded
    assert "JBA" not in unfolded


def test_a_bottle_filled_before_its_extract_was_diluted_was_not_refilled(shelf):
    show = shelf.ok(f"show JBA --on {DAY}")

    assert "good through 10 Feb 2025, filled before its extract changed" in show
    assert "refilled" not in show


def test_what_is_due_says_its_day_and_cuts_nothing(shelf):
    lines = shelf.ok(f"due --on {DAY}").splitlines()

    (row,) = (place for place, line in enumerate(lines) if " JBA " in line)
    assert "good through 4 Mar" in " ".join(" ".join(lines[row : row + 3]).split())
    assert max(map(len, lines)) <= 80


def test_the_timeline_of_a_refilled_bottle_names_what_it_holds_and_from_where(shelf):
    drawn = shelf.ok(f"timeline JAA/1 --on {DAY}")

    first = drawn.splitlines()[0]
    assert first.startswith("JAA/1  ")
    assert "Melissa officinalis + Calendula officinalis, dried" in first
    assert "A     13 Feb 2024  refilled with 30 ml of JBA" in drawn
    assert "Calendula officinalis: Asteraceae allergy." in drawn
    assert "JAA/1 good through" in drawn


def test_the_timeline_of_a_jar_names_what_came_in_later(shelf):
    assert "A     1 Mar 2024   JBA diluted with 750 ml water" in shelf.ok(f"timeline JB --on {DAY}")
    assert "JAA/1 refilled with 30 ml of JBA" in shelf.ok(f"timeline JA --on {DAY}")


def test_a_bottle_filled_before_the_dilution_has_no_dilution_in_its_life(shelf):
    assert "diluted" not in shelf.ok(f"timeline JBA/1 --on {DAY}")
    assert "diluted" in shelf.ok(f"timeline JBA --on {DAY}")


def test_history_record_and_page_name_the_parts_of_a_blend_and_of_a_refill(shelf):
    shelf.ok('blend --part "20 ml JAA" --part "20 ml JBA" --code MIX --when 2024-03-02 --sure')

    blended = "blended 20 ml of JAA + 20 ml of JBA"
    assert blended in shelf.told("history MIX")
    assert any(one["said"] == blended for one in shelf.asked("history MIX"))
    assert "refilled with 30 ml of JBA" in shelf.told("history JA")
    assert blended in " ".join(shelf.ok("record MIX").split())
    shelf.ok("page --to page.html")
    page = (shelf.home / "page.html").read_text()
    assert blended in page.replace("\N{NO-BREAK SPACE}", " ")


def test_a_join_names_its_jars(tmp_path):
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for code in ("JA", "JB"):
        shelf.ok(f'charge yarrow --dried 50g --pour "250 ml 60%" --when 2024-01-10 --code {code}')
    shelf.ok("join JA JB --code WHOLE --when 2024-01-12")

    assert "joined from JA + JB" in shelf.told("history WHOLE")


def test_a_narrow_column_says_how_many_more_herbs_there_are(shelf):
    shelf.ok('blend --part "20 ml JAA" --part "20 ml JBA" --code MIX --when 2024-02-12 --sure')

    for line in (f"stock --on {DAY}", f"season --on {DAY}", f"supply --on {DAY}"):
        rows = shelf.ok(line).splitlines()
        blends = [one for one in rows if "MIX" in one or "+" in one]
        assert blends, line
        assert all("+ l" in one or "+ m" in one or "+1" in one for one in blends), line


def test_every_caution_of_a_jar_stands_under_its_name_on_the_page(tmp_path):
    """Where each is drawn is seen in the browser, `test_each_value_stands_beside_its_own_name`."""
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    shelf.ok(
        'charge "Arnica montana" --dried 50g --pour "250 ml 50%" --lid tin --code JA '
        "--when 2024-01-10 --sure"
    )
    shelf.ok("page --to page.html --on 2024-01-12")
    page = Path(shelf.home / "page.html").read_text()

    found = facts(by_id(page_tree(page.encode()), "JA"))
    assert len(found["caution"]) >= 2


def test_a_poison_says_so_first_and_a_guessed_charge_says_that_it_is_one(tmp_path):
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for code, herb in (("JP", "Atropa belladonna"), ("JH", "Atropa bella-donna")):
        asked = f'charge "{herb}" --dried 5g --pour "50 ml 45%" --code {code} --when 2024-01-10'
        assert "It is poisonous" in shelf.run(asked).err
        shelf.ok(f"{asked} --sure")
        said = paper(shelf, f"label {code} --size 90x50mm --when 2024-01-10")
        assert "POISON" in said
        assert squeezed("CAUTION: Atropa belladonna") in said
    shelf.ok("found yarrow --charged 2023-summer --volume 100ml --code JF --when 2024-01-10")

    said = paper(shelf, "label JF --size 90x50mm --when 2024-01-10 --sure")
    assert squeezed("charged Jun to Aug 2023 (a guess)") in said
    assert squeezed("strength not known herb not weighed in unknown liquid") in said


def test_names_on_paper_have_a_blank_on_either_side_of_the_plus(shelf):
    shelf.ok("label JAA/1 --size 90x50mm --to out.pdf --when 2024-03-02")

    words = " ".join(text_of((shelf.home / "out.pdf").read_bytes()).split())
    assert "+Calendula" not in words
    assert "+Melissa" not in words


def test_pictures_name_what_is_poisonous_before_what_is_only_careful(shelf):
    shelf.ok(
        'charge "Digitalis purpurea" --dried 5g --pour "50 ml 45%" --code JZ --when 2024-03-01 '
        "--sure"
    )
    shelf.ok(
        'charge "Hypericum perforatum" --dried 5g --pour "50 ml 45%" --code JH --when 2024-03-01'
    )
    drawn = shelf.ok(f"season --on {DAY}")

    assert drawn.index("Digitalis purpurea /") < drawn.index("Hypericum perforatum: ")


def test_trace_calls_recalled_what_was_recalled(tmp_path):
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    shelf.ok("buy yarrow --dried 500g --when 2024-01-02")
    shelf.ok(
        'charge yarrow --lot LOT-24-01 --dried 50g --pour "250 ml 60%" --code JA --when 2024-01-10'
    )
    shelf.ok("recall LOT-24-01 --why 'called back' --when 2024-01-20 --sure")

    line = next(one for one in shelf.ok("trace LOT-24-01").splitlines() if "JA" in one)
    assert line.endswith("RECALLED")


def test_what_has_no_price_costs_a_dash_and_not_nothing(tmp_path):
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    shelf.ok('charge yarrow --dried 50g --paid 4 --pour "250 ml 60%" --code JA --when 2024-01-10')

    assert "= herb 4.00 + menstruum –, without spirit: no price" in shelf.ok("show JA")
    assert shelf.asked("show JA")["cost_of_menstruum"] is None


def test_one_day_is_a_day_and_one_bottle_has_a_number(shelf):
    assert "numbered 2; " in shelf.ok("bottle JBA 1x50ml --when 2024-03-02 --sure")
    assert "= too weak to keep, or not known to keep; 1 day left" in shelf.ok(
        "show JBA --on 2024-03-03"
    )


def test_what_is_weak_is_not_said_to_be_good_as_the_pressing(shelf):
    said = shelf.ok("bottle JBA 1x50ml --when 2024-03-02 --sure")

    assert "Good through 4 Mar 2024, too weak to keep." in said


def test_an_answer_about_what_is_past_does_not_say_that_it_is_good(tmp_path):
    shelf = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    shelf.ok('charge yarrow --dried 10g --pour "300 ml water" --code JW --when 2024-03-01')

    said = shelf.ok("press JW 250ml --when 2024-03-10 --sure")
    assert "Extract JWA, its last good day was 4 Mar 2024." in said
    assert "As it is, its last good day was 4 Mar 2024." in said


def test_every_field_of_show_is_in_the_documents(shelf):
    shelf.ok("buy yarrow --dried 500g --when 2024-01-02")
    shelf.ok(
        'charge yarrow --lot LOT-24-01 --dried 50g --pour "250 ml 60%" --code JC '
        "--jar 500ml --when 2024-01-10"
    )
    shelf.ok("recall LOT-24-01 --why 'called back' --when 2024-01-20 --sure")
    shelf.ok('blend --part "20 ml JAA" --part "20 ml JBA" --code MIX --when 2024-02-12 --sure')
    documents = (Path(__file__).parents[2] / "docs" / "json.md").read_text()

    for code in ("JA", "JAA", "JAA/1", "JC", "MIX", "LOT-24-01"):
        fields = shelf.asked(f"show {code}")
        inside = [one for name in ("herbs", "caution_details") for one in fields.get(name) or ()]
        every = {name for one in (fields, fields["hold"] or {}, *inside) for name in one}
        missing = {name for name in every if f"`{name}`" not in documents}
        assert not missing, code


def test_json_says_that_a_jar_is_weak_and_till_when(shelf):
    shelf.ok('charge yarrow --dried 10g --pour "300 ml water" --code JW --when 2024-03-01')
    fields = shelf.asked("show JW --on 2024-03-02")

    assert (fields["weak"], fields["weak_since"], fields["weak_through"]) == (
        True, "2024-03-01", "2024-03-04",
    )  # fmt: skip
    assert shelf.asked(f"show JAA --on {DAY}")["weak"] is False


def test_a_picture_says_what_is_weak(shelf):
    weak = "JBA: weak since 1 Mar 2024: keep it cold, good through 4 Mar 2024."
    assert weak in shelf.ok(f"timeline JB --on {DAY}")
    assert "weak" not in shelf.ok(f"timeline JBA/1 --on {DAY}")


def test_a_batch_record_says_that_what_was_pressed_is_weak(shelf):
    assert "weak since 1 Mar 2024: keep it cold; last good day 4 Mar 2024" in " ".join(
        shelf.ok("record JB").split()
    )
