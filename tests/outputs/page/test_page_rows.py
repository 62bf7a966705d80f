"""How days, amounts and dates that are over read in the rows of the page."""

import re

from tests.outputs.reading import by_id, every, facts, page_tree, text


def test_no_day_amount_or_strength_is_parted_at_the_end_of_a_line(command):
    """On a phone `18` stood at the end of one line and `Dec` at the start of the next."""
    charge = 'charge "Inula helenium" --part root --dried 250g --pour "1250 ml 45%" --code N001'
    command.ok(f"{charge} --when 2026-06-01")
    command.ok("press N001 900ml --when 2026-09-18")
    command.ok("bottle N001A 3x100ml --when 2026-09-18")
    (main,) = every(page_tree(command.ok("page --on 2026-11-18").encode()), "main")
    for one in every(main, "time"):  # the style sheet keeps these whole
        one.text = ""
    for one in every(main, "svg"):  # its lines are never broken
        one.clear()
    shown = "".join(main.itertext())

    for whole in ("18 Sep 2026", "18 Sep 2027", "900 ml", "250 g", "45 % vol", "3 × 100 ml"):
        assert whole.replace(" ", "\N{NO-BREAK SPACE}") in shown
    assert re.findall(r".*\d (?:ml|g|Jun|Sep|Nov)\b.*|.*\d [%×].*|.*% vol.*", shown) == []


def test_a_date_that_is_over_is_said_once_in_a_row(command):
    charge = 'charge "Inula helenium" --part root --dried 250g --pour "1250 ml 45%" --code N001'
    command.ok(f"{charge} --when 2024-06-01")
    command.ok("press N001 900ml --when 2024-09-18")
    command.ok("bottle N001A 1x100ml --when 2024-09-18")
    tree = page_tree(command.ok("page --on 2026-11-18").encode())

    (row,) = (one for one in section(tree, "in-stock") if "N001A" in text(one))
    assert text(row).count("18 Sep 2025") == 1
    assert text(row).count("past 18 Sep 2025") == 1
    assert "date was" not in text(row)
    assert text(by_id(tree, "N001A/1")).count("18 Sep 2025") == 1


def test_the_head_counts_what_there_is_to_do_as_a_message_does(command):
    charge = 'charge "Inula helenium" --part root --dried 250g --pour "1250 ml 45%"'
    command.ok(f"{charge} --code N001 --when 2026-11-01")
    command.ok(f"{charge} --code N002 --when 2026-11-01")
    command.ok('hold N002 --why "smells odd" --when 2026-11-02')
    tree = page_tree(command.ok("page --on 2026-11-18").encode())

    (counts,) = (one for one in every(tree, "p") if one.attrib.get("class") == "counts")
    assert text(counts) == "1 to look at, 1 to shake"


def test_what_is_folded_says_how_many_it_is(command):
    charge = 'charge "Inula helenium" --part root --dried 250g --pour "1250 ml 45%"'
    command.ok(f"{charge} --count 9 --when 2026-11-01")
    tree = page_tree(command.ok("page --on 2026-11-18").encode())

    assert "3 more: elecampane root" in [text(one) for one in every(tree, "summary")]


def test_a_day_of_charging_that_nobody_knows_is_said_to_be_so(command):
    command.ok('found "Inula helenium" --part root --code N001 --when unknown')
    tree = page_tree(command.ok("page --on 2026-11-18").encode())

    (row,) = section(tree, "with-herb-in")
    assert "day of charging not known" in text(row)
    assert "since by" not in text(tree)
    (charged,) = facts(by_id(tree, "N001"))["charged"]
    assert charged.startswith("on a day not known, by ")
    assert charged[-4:].isdigit()


def section(tree, heading):
    """The rows of the section under a heading."""
    (found,) = (
        one for one in every(tree, "section") if one.attrib.get("aria-labelledby") == heading
    )
    return list(every(found, "li"))
