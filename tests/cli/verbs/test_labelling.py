"""`label` and `handout` as a person runs them: the file first, then the record of it."""

import pytest

from tests.outputs.paper.reading import codes, page_sizes_mm, text_of


def labelled(command):
    return [line for line in command.lines() if line["type"] == "labelled"]


def test_labels_are_written_and_what_they_say_is_recorded(worked):
    answer = worked.run("label CAOF-25-01A/2 CAOF-25-02 --copies 2 --by Ilse")
    pdf = (worked.home / "labels.pdf").read_bytes()
    bottle, jar = labelled(worked)

    assert answer.code == 0
    assert answer.out.splitlines() == [
        "marigold flower CAOF-25-01A/2, CAOF-25-02 labelled on a4, 2 copies.",
    ]
    assert "Wrote labels.pdf: 4 labels, 1 page." in answer.err
    assert [text for _, text, _ in codes(pdf)] == ["CAOF-25-01A/2"] * 2 + ["CAOF-25-02"] * 2
    assert (bottle["subject"], jar["subject"]) == ("CAOF-25-01A/2", "CAOF-25-02")
    assert bottle["data"]["about"]["bottle"] == 2
    assert (bottle["data"]["copies"], bottle["data"]["by"]) == (2, "Ilse")
    assert (bottle["data"]["qr"], bottle["data"]["sheet"]) == ("CAOF-25-01A/2", "a4")
    text = text_of(pdf)
    said = [" ".join(line.split()) for one in (bottle, jar) for line in one["data"]["lines"]]
    assert all(line in text for line in said)
    assert "charged 3 Mar 2025 · pressed 5 Apr 2025" in bottle["data"]["lines"]


def test_the_history_says_what_was_printed_and_the_shelf_is_as_it_was(worked):
    before = worked.json("shelf --on 2025-06-01")
    worked.ok("label CAOF-25-02")

    assert "labelled: Calendula officinalis / flower, dried · marigold / " in worked.told(
        "history CAOF-25-02 --all"
    )
    assert "label printed" in worked.told("history CAOF-25-02")
    assert worked.json("shelf --on 2025-06-01") == before
    assert "all is well" in worked.ok("check").lower() or worked.run("check").code == 0


def test_a_label_printed_in_error_can_be_struck(worked):
    worked.ok("label CAOF-25-02")
    worked.ok(f"strike {worked.number('labelled')} --why 'wrong roll'")

    assert "wrong roll" in worked.told("history CAOF-25-02")


def test_what_is_left_off_for_want_of_room_is_said_and_not_recorded(command):
    command.ok(
        'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" '
        "--least 28d --when 2025-03-03",
        "--lot",
        "a garden behind the old mill, second bed from the brook, seen by nobody but its owner",
    )
    answer = command.run("label CAOF --size 50x25mm")

    assert answer.code == 0
    assert "no room on CAOF-25-01 for: From: a garden" in answer.err
    assert not any("garden" in line for line in labelled(command)[0]["data"]["lines"])


def test_the_sheet_the_size_and_the_lid(worked):
    worked.practice(
        '[labels]\nsheet = "roll"\n"page address" = "https://shelf.example/"\n'
        '[sheets.roll]\npage = "80x40mm"\nlabel = "80x40mm"\n'
    )
    for line, size in (
        ("label CAOF-25-02", (80, 40)),
        ("label CAOF-25-02 --sheet letter", (215.9, 279.4)),
        ("label CAOF-25-02 --size 70x37mm", (70, 37)),
        ("label CAOF-25-02 --lid", (210, 297)),
        ("label CAOF-25-02 --lid --size 38x38", (38, 38)),
    ):
        worked.ok(f"{line} --force --to here.pdf")
        pdf = (worked.home / "here.pdf").read_bytes()
        assert page_sizes_mm(pdf) == [pytest.approx(size, abs=0.01)]
        read = [] if "--lid" in line else ["https://shelf.example/CAOF-25-02"]
        assert [text for _, text, _ in codes(pdf)] == read


def test_every_bottle_of_a_extract_at_once(worked):
    worked.ok("label CAOF-25-01A --bottles --start 3")

    assert [text for _, text, _ in codes((worked.home / "labels.pdf").read_bytes())] == [
        f"CAOF-25-01A/{number}" for number in (1, 2, 3, 4)
    ]


def test_a_dry_run_writes_and_records_nothing(worked):
    out = worked.ok("label CAOF-25-02 --dry-run")

    assert out.startswith("Would record: marigold flower CAOF-25-02 labelled on a4.")
    assert not (worked.home / "labels.pdf").exists()
    assert labelled(worked) == []


@pytest.mark.parametrize(
    ("line", "code", "why"),
    [
        ("label", 2, "Which jars"),
        ("label NONE-25-01", 1, "Nothing in the book"),
        ("label CAOF-25-02 --sheet none", 2, "no sheet none"),
        ("label CAOF-25-02 --size big", 2, "no size of a label"),
        ("label CAOF-25-02 --size 3x3mm", 2, "8 to 1500 mm"),
        ("label CAOF-25-02 --size 20x12mm", 1, "too small for CAOF-25-02"),
        ("label CAOF-25-02 --size 70x37 --sheet a4", 2, "Both a sheet and a size"),
        ("label CAOF-25-02 --start 11", 2, "no position 11"),
        ("label CAOF-25-02 --copies 0", 2, "0 times"),
        ("label CAOF-25-02 --copies 99999999", 2, "in one go"),
        ("label CAOF-25-02 --bottles", 1, "no bottles"),
        ("label CAOF-25-02 --to missing/folder/x.pdf", 1, "cannot be written"),
        ("label CAOF-25-02 --to .", 1, "is a folder there"),
        ("label CAOF-25-02 --to book/practice.toml", 1, "is a file there"),
    ],
)
def test_a_printing_that_fails_records_nothing(worked, line, code, why):
    assert why in worked.refused(line, code=code)
    assert not (worked.home / "labels.pdf").exists()


def test_what_was_discarded_gets_no_label(worked):
    worked.ok("discard CAOF-25-02 --why mould")

    assert "it was discarded" in worked.refused("label CAOF-25-02")


def test_what_is_refused_prints_nothing(worked):
    message = worked.refused("label CAOF-25-02 --when 2199-01-01")

    assert "future" in message
    assert not (worked.home / "labels.pdf").exists()


def test_an_earlier_pdf_is_replaced_by_force_alone(worked):
    worked.ok("label CAOF-25-02 --to one.pdf")
    assert "--force" in worked.refused("label MEOF-25-01A --to one.pdf")

    worked.ok("label MEOF-25-01A --to one.pdf --force")

    assert "MEOF-25-01A" in text_of((worked.home / "one.pdf").read_bytes())
    assert "CAOF" not in text_of((worked.home / "one.pdf").read_bytes())


def test_what_is_on_hold_says_so_on_its_label(worked):
    worked.ok("label MEOF-25-01A")

    assert "ON HOLD " in text_of((worked.home / "labels.pdf").read_bytes())


def test_the_handout_has_the_jars_with_herb_in_them_or_those_named(worked):
    before = worked.written()
    worked.ok("handout --on 2025-03-10 --title Class")
    text = text_of((worked.home / "handout.pdf").read_bytes())
    assert text.startswith("Class 10 Mar 2025; ratios by menstruum poured")
    assert [code in text for code in ("CAOF-25-01", "CAOF-25-02", "MEOF-25-01")] == [True] * 3

    worked.ok("handout")
    text = text_of((worked.home / "handout-2.pdf").read_bytes())
    assert [code in text for code in ("CAOF-25-01", "CAOF-25-02")] == [False, True]

    worked.ok("handout CAOF-25-01A --to one.pdf")
    text = text_of((worked.home / "one.pdf").read_bytes())
    assert ("CAOF-25-01A" in text, "5 Apr 2026" in text, "CAOF-25-02" in text) == (
        True, True, False,
    )  # fmt: skip
    assert worked.written() == before


def test_a_handout_of_an_empty_shelf_is_refused(command):
    command.practice("")

    assert "no jar" in command.refused("handout", code=2)
    assert not (command.home / "handout.pdf").exists()


def test_other_verbs_do_not_load_the_printer(worked):
    """The heavy imports are inside the functions that print."""
    import subprocess
    import sys

    code = "import sys; import tracker.cli.main, tracker.cli.verbs.making.charge; "
    code += "print(sorted({'fpdf', 'segno', 'fontTools', 'PIL', 'uharfbuzz'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)

    assert done.stdout.strip() == "[]"
