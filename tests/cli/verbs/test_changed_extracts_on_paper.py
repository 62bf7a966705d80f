"""The record and label of an extract that changed after it was pressed, from outside."""

import pytest

from tests.outputs.paper.reading import text_of


@pytest.fixture
def rosemary(command):
    """An extract with two bottles of it, pressed at some 69 % vol."""
    command.ok(
        "charge rosemary --part leaf --dried 100g --pour '500 ml 70%' --least 21d --code RO-1 "
        "--when 2026-01-12 --sure"
    )
    command.ok("press RO-1 420ml --when 2026-02-14 --sure")
    command.ok("bottle RO-1A 2x50ml --when 2026-02-15 --sure")
    return command


def test_a_bottle_refilled_from_its_own_extract_adds_nothing_and_passes_nothing_on(rosemary):
    """Else the share of the possible yield would be left out, as if something else went in."""
    rosemary.ok("dispense RO-1A/1 20ml --for C01 --when 2026-02-16 --sure")
    rosemary.ok("refill RO-1A/1 --when 2026-02-17 --sure")

    (one,) = rosemary.json("record RO-1")["yields"]
    said = " ".join(rosemary.ok("record RO-1").split())

    assert (one["added_ml"], one["passed_on_ml"]) == (0.0, 0.0)
    assert (one["bulk_ml"], one["bottled_ml"], one["dispensed_ml"]) == (300.0, 100.0, 20.0)
    assert one["pct_of_possible"] == pytest.approx(420 / one["possible_ml"] * 100, abs=0.1)
    assert "420 ml = given out 20 ml + in bulk 300 ml + in bottles 100 ml" in said


def test_shakes_written_down_on_one_later_day_name_it_and_their_lines_are_lines(rosemary):
    """`within 320 days` is read as a promise, and `line 4–6` as one."""
    rosemary.ok(
        "charge sage --part leaf --dried 50g --pour '250 ml 60%' --code SA-1 "
        "--when 2026-01-02 --sure"
    )
    for day in ("03", "04", "05"):
        rosemary.ok(f"shake SA-1 --when 2026-01-{day}")

    said = " ".join(rosemary.ok("record SA-1").split())

    assert "3–5 Jan 2026 SA-1 written down" in said
    assert "within" not in said.partition("Every step")[2]
    assert "lines 5–7 shaken 3 times" in said
    assert "line 4 charged" in said


def test_a_share_of_a_jar_is_written_as_every_percentage_is(command):
    command.ok("charge sage --part leaf --dried 50g --pour '250 ml 60%' --code SA-1 --sure")
    command.ok("split SA-1 --into 2 --code SA-2 --code SA-3 --sure")

    assert "split into SA-2 50 %, SA-3 50 %" in command.ok("history SA-1")


def test_what_is_of_another_strength_than_the_jar_was_says_its_own(rosemary):
    """Made weak after two bottles were filled: the strength of the jar is that of neither."""
    rosemary.ok("dilute RO-1A --pour '900 ml water' --when 2026-02-20 --sure")
    rosemary.ok("bottle RO-1A 2x50ml --when 2026-02-21 --sure")

    (one,) = rosemary.json("record RO-1")["yields"]
    text = rosemary.ok("record RO-1")
    rows = [line.split() for line in text.splitlines() if line.startswith("  RO-1A/")]

    assert one["strength"] == "about 18 % vol"
    assert [bottle["strength"] for bottle in one["bottles"]] == ["about 69 % vol"] * 2 + [
        "about 18 % vol"
    ] * 2
    assert "about 18 % vol; good through 23 Feb 2026" in " ".join(text.split())
    assert [(row[0], *row[5:9]) for row in rows] == [
        ("RO-1A/1–2", "about", "69", "%", "vol"),
        ("RO-1A/3–4", "about", "18", "%", "vol"),
    ]


def test_one_strength_of_all_is_said_once(rosemary):
    text = rosemary.ok("record RO-1")

    assert "STRENGTH" not in text
    assert "% vol; good through" not in text


@pytest.mark.parametrize(
    ("pours", "said"),
    [
        ("--pour '500 ml water'", "no alcohol"),
        ("--pour '500 ml vodka'", "strength not known"),
        ("--pour '500 ml olive oil'", "no alcohol"),
    ],
)
def test_a_strength_that_is_none_or_not_known_is_said_in_words(command, pours, said):
    command.ok(f"charge sage --part leaf --dried 50g {pours} --code SA-1 --least 1d --sure")
    command.ok("press SA-1 300ml --sure")

    assert command.json("record SA-1")["yields"][0]["strength"] == said


def test_the_label_of_a_diluted_extract_is_not_flammable_for_a_bottle_filled_before(rosemary):
    rosemary.ok("dilute RO-1A --pour '900 ml water' --when 2026-02-20 --sure")
    rosemary.ok("label RO-1A --to own.pdf")
    rosemary.ok("label RO-1A/1 --to first.pdf")

    own, first = (text_of((rosemary.home / name).read_bytes()) for name in ("own.pdf", "first.pdf"))
    assert "RO-1A" in own
    assert "Flammable" not in own
    assert "Flammable" in first


def test_the_handout_names_the_bottles_that_burn_and_the_record_their_own_days(rosemary):
    rosemary.ok("dilute RO-1A --pour '900 ml water' --when 2026-02-20 --sure")
    rosemary.ok("handout RO-1A --to shelf.pdf")

    said = text_of((rosemary.home / "shelf.pdf").read_bytes())
    head = " ".join(rosemary.ok("record RO-1").partition("Cautions")[0].split())

    assert "no flame or spark near it. RO-1A/1..2" in said
    assert "good through 23 Feb 2026; some bottles have a day of their own" in head


def test_a_gift_beside_many_labels_is_one_and_bottles_alike_in_strength_have_no_column(rosemary):
    rosemary.ok("dispense RO-1A/1 20ml --for C01 --when 2026-02-16 --sure")
    rosemary.ok("label RO-1A/1 --copies 1 --to a.pdf --when 2026-02-17")
    rosemary.ok("label RO-1A/2 --copies 1 --to b.pdf --when 2026-02-17")
    rosemary.ok(
        "charge rosemary --part leaf --dried 100g --pour '500 ml 70%' --least 21d --code RO-2 "
        "--when 2026-01-12 --sure"
    )
    rosemary.ok("press RO-2 420ml --when 2026-02-14 --sure")
    rosemary.ok("refill RO-1A/1 --from RO-2A --when 2026-02-18 --sure")

    said = " ".join(rosemary.ok("record RO-1").split())

    assert "labelled 2 times, given out once, as listed above" in said
    assert "about 69 % vol; good through" in said
    assert "STRENGTH" not in said
