"""Labels in one go: ranges, bottles, trials, short ones, logos, and what is asked before."""

import io

import pypdf
import pytest
from PIL import Image

from tests.outputs.paper.reading import codes, page_sizes_mm, text_of

CHARGE = "charge 'Calendula officinalis' --part flower --dried 100g --pour '500 ml 45%' --least 28d"


def labelled(command):
    return [line for line in command.lines() if line["type"] == "labelled"]


def pdf(command, name="labels.pdf"):
    return (command.home / name).read_bytes()


def about(command, name="labels.pdf"):
    return pypdf.PdfReader(io.BytesIO(pdf(command, name))).metadata


def pictures(command, name="labels.pdf"):
    return pypdf.PdfReader(io.BytesIO(pdf(command, name))).pages[0].images


def test_a_range_of_jars_and_a_range_of_bottles(command):
    command.ok(f"{CHARGE} --count 4 --when 2025-03-03")
    answer = command.run("label CAOF-25-02..07")

    assert "CAOF-25-02..07: 05 to 07 not in the book." in answer.err
    assert [text for _, text, _ in codes(pdf(command))] == [
        f"CAOF-25-0{number}" for number in (2, 3, 4)
    ]
    command.ok("press CAOF-25-01 400ml --when 2025-04-05")
    command.ok("bottle CAOF-25-01A 6x50ml --when 2025-04-05")
    command.ok("label CAOF-25-01A/2..4 --to some.pdf")
    assert len(list(codes(pdf(command, "some.pdf")))) == 3


@pytest.fixture
def bottles(command):
    command.ok(
        "charge 'Calendula officinalis' --part flower --dried 1kg --pour '6 l 45%' --least 28d",
        *("--when", "2025-03-03", "--lot"),
        "an old garden behind the mill, second bed from the brook",
    )
    command.ok("press CAOF-25-01 5.6l --when 2025-04-05")
    command.ok("bottle CAOF-25-01A 110x50ml --when 2025-04-05")
    return command


def test_every_bottle_is_answered_in_one_line(bottles):
    answer = bottles.run("label CAOF-25-01A --bottles --size 50x25mm")

    assert answer.out.splitlines() == ["marigold flower CAOF-25-01A/1..110 labelled on 50 x 25 mm."]
    assert "Wrote labels.pdf: labels for 110 bottles: CAOF-25-01A/1..110, 110 pages." in answer.err
    assert answer.err.count("no room for ") == 1
    assert "on any of them" in answer.err
    assert len(answer.err.splitlines()) == 2
    assert len(labelled(bottles)) == 110


def test_what_many_labels_had_no_room_for_is_one_sentence_the_gravest_first(command):
    pour = "--part flower --dried 100g --pour '500 ml 70%' --least 28d --when 2025-03-03"
    command.ok(f"charge 'Calendula officinalis' {pour} --count 5")
    command.ok(f"charge 'Filipendula ulmaria' {pour}")
    command.ok(f"charge 'Urtica dioica' {pour} --lot 'north bed'")
    answer = command.run("label --all --sure --short --size 25x15mm --no-record")
    words = " ".join(answer.err.split())

    assert words.count("no room ") == 1
    assert words.index('"Keep from children"') < words.index("the QR code")
    assert "the QR code on any of them" in words
    assert len(answer.err) < 6 * 80


def test_a_dry_run_says_what_it_would_write(bottles):
    answer = bottles.run("label CAOF-25-01A --bottles --copies 2 --dry-run")

    what = "2 labels each for 110 bottles: CAOF-25-01A/1..110, 22 pages"
    assert f"Would write labels.pdf: {what}." in answer.err
    assert not list(bottles.home.glob("*.pdf"))
    assert labelled(bottles) == []


def test_a_trial_says_so_on_the_screen_and_in_its_file(worked):
    before = worked.written()
    answer = worked.run("label CAOF-25-02 --no-record")

    assert answer.out == ""
    assert "A trial: nothing is recorded." in answer.err
    assert "Wrote labels-trial.pdf: 1 label, 1 page." in answer.err
    assert about(worked, "labels-trial.pdf").title == "Labels, a trial"
    assert worked.written() == before
    worked.ok("label CAOF-25-02")
    assert about(worked).title == "Labels"


def test_short_labels_have_a_sheet_of_their_own_and_fit_small_bottles(worked):
    worked.ok("label CAOF-25-02 --short")
    worked.ok("label CAOF-25-02 --short --size 25x15mm --to small.pdf")

    assert "CAOF-25-02" in text_of(pdf(worked))
    assert page_sizes_mm(pdf(worked, "small.pdf")) == [pytest.approx((25, 15), abs=0.01)]
    assert "CAOF-25-02" in text_of(pdf(worked, "small.pdf"))
    assert "use one of them" in worked.refused("label CAOF-25-02 --short --lid", code=2)


def test_the_recipe_may_be_left_off(worked):
    worked.ok("label CAOF-25-02 --no-recipe")
    assert "% vol" not in text_of(pdf(worked))

    worked.practice('[labels]\nrecipe = "no"\n')
    worked.ok("label CAOF-25-02 --to own.pdf")
    worked.ok("label CAOF-25-02 --recipe --to whole.pdf")
    assert "% vol" not in text_of(pdf(worked, "own.pdf"))
    assert "% vol" in text_of(pdf(worked, "whole.pdf"))


def test_the_makers_own_lines_are_on_every_label(worked):
    worked.practice('[labels]\n"own lines" = "Mill Lane Stillroom | Not for sale"\n')
    worked.ok("label CAOF-25-02 CAOF-25-01A/1")

    assert text_of(pdf(worked)).count("Mill Lane Stillroom") == 2
    assert all("Not for sale" in " ".join(one["data"]["lines"]) for one in labelled(worked))


def test_a_language_without_patterns_is_named(worked):
    worked.practice('[labels]\nlanguage = "xx"\n')

    assert "cannot be hyphenated in the language xx" in worked.run("label CAOF-25-02").err


# The logo


def draw(file, size=(400, 200), mode="RGB"):
    Image.new(mode, size, "green" if mode != "RGBA" else (0, 90, 0, 120)).save(file)


@pytest.mark.parametrize(
    ("name", "mode"), [("logo.png", "RGBA"), ("logo.jpg", "RGB"), ("own logo.png", "P")]
)
def test_the_logo_beside_the_practice_is_on_every_label(worked, name, mode):
    draw(worked.book / name, mode=mode)
    worked.practice(f'[labels]\nlogo = "{name}"\n')
    worked.ok("label CAOF-25-02 CAOF-25-01A/1")
    worked.ok("label CAOF-25-02 --logo none --to without.pdf")

    assert len(pictures(worked)) == 1  # kept once in the file, however many labels show it
    assert len(pictures(worked, "without.pdf")) == 0


def test_a_named_logo_goes_before_that_of_the_practice(worked):
    draw(worked.book / "logo.png", (400, 200))
    draw(worked.home / "other.png", (100, 300))
    worked.practice('[labels]\nlogo = "logo.png"\n')
    worked.ok("label CAOF-25-02 --logo other.png")

    assert pictures(worked)[0].image.size == (100, 300)


def test_a_large_logo_is_set_to_the_size_of_paper(worked):
    draw(worked.home / "large.png", (5000, 2500))
    worked.ok("label CAOF-25-02 --logo large.png")

    assert max(pictures(worked)[0].image.size) == 600


@pytest.mark.parametrize(
    ("contents", "why", "code"),
    [
        (None, "No such file", 1),
        (b"", "no PNG or JPEG", 2),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no PNG or JPEG", 2),
        (b"GIF89a\x01\x00\x01\x00\x00\x00\x00;", "no PNG or JPEG", 2),
        ("cut", "broken", 2),
        ("dots", "40 million", 2),
        (b"\x89PNG\r\n\x1a\n" + bytes(9 * 1024 * 1024), "larger than 8 MB", 2),
    ],
)
def test_a_logo_that_cannot_be_printed_is_refused_before_anything_is_written(
    worked, contents, why, code
):
    file = worked.book / "logo.png"
    if contents == "cut":
        draw(file)
        file.write_bytes(file.read_bytes()[:90])
    elif contents == "dots":
        Image.new("1", (8000, 8000)).save(file)
    elif contents is not None:
        file.write_bytes(contents)
    worked.practice('[labels]\nlogo = "logo.png"\n')
    message = worked.refused("label CAOF-25-02", code=code)

    assert why in message
    assert "[labels] logo in practice.toml" in message
    assert "--logo none" in message
    assert not list(worked.home.glob("*.pdf"))
    assert labelled(worked) == []


def test_a_folder_or_a_pipe_is_no_logo(worked):
    import os

    os.mkfifo(worked.home / "pipe.png")
    for name in ("book", "pipe.png"):
        assert "logo" in worked.run(f"label CAOF-25-02 --logo {name}").err
    assert labelled(worked) == []


# Asked before anything is printed


@pytest.fixture
def leafy(command):
    command.ok(f"{CHARGE} --when 2025-03-03 --lot 'bed 🌿'")
    return command


def test_letters_without_a_font_are_named_to_a_script(leafy):
    answer = leafy.run("label CAOF-25-01")

    assert answer.code == 0
    assert "no font has 🌿 (U+1F33F): \ufffd stands there instead" in answer.err


def test_at_a_terminal_they_are_asked_about_first(leafy):
    talk = leafy.talk("label CAOF-25-01", "n")
    assert "No font has 🌿 (U+1F33F)" in " ".join(talk.screen.split())
    assert (talk.code, labelled(leafy)) == (1, [])
    assert "Nothing was printed." in talk.screen
    assert not list(leafy.home.glob("*.pdf"))

    talk = leafy.talk("label CAOF-25-01", "y")
    assert talk.code == 0
    assert talk.screen.count("U+1F33F") == 1
    assert len(labelled(leafy)) == 1


def test_sure_says_yes_to_them(leafy):
    talk = leafy.talk("label CAOF-25-01 --sure")

    assert talk.code == 0
    assert "stands there instead" in " ".join(talk.screen.split())
    assert len(labelled(leafy)) == 1


@pytest.fixture
def damaged(worked):
    """The worked book with one remark of its own changed by hand."""
    worked.ok("note CAOF-25-02 dark")
    file = next((worked.book / "events").glob("*.jsonl"))
    file.write_bytes(file.read_bytes().replace(b'"dark"', b'"pale"'))
    return worked


def test_labels_of_a_book_that_is_not_whole_are_asked_about_at_a_terminal(damaged):
    talk = damaged.talk("label CAOF-25-02", "")

    assert "INCOMPLETE: 1 thing is not as written" in " ".join(talk.screen.split())
    assert talk.code == 1
    assert not list(damaged.home.glob("*.pdf"))


def test_they_say_so_beside_the_labels_and_in_the_file(damaged):
    damaged.ok("label CAOF-25-02")
    damaged.ok("label CAOF-25-02 --size 70x37mm --to roll.pdf")

    assert "INCOMPLETE: 1 thing is not as written in the book" in text_of(pdf(damaged))
    assert "INCOMPLETE" in about(damaged).subject
    assert "INCOMPLETE" not in text_of(pdf(damaged, "roll.pdf"))  # no room beside the label
    assert "INCOMPLETE" in about(damaged, "roll.pdf").subject
    assert not any("INCOMPLETE" in " ".join(one["data"]["lines"]) for one in labelled(damaged))


@pytest.mark.parametrize("line", ["record CAOF-25-01 --pdf", "handout CAOF-25-01"])
def test_records_and_handouts_ask_about_letters_as_well(command, line):
    command.ok(f"{CHARGE} --common 'marigold 🌿' --lot 'bed 🌿' --when 2025-03-03")

    assert "no font has 🌿 (U+1F33F)" in command.run(line).err
    for file in command.home.glob("*.pdf"):
        file.unlink()
    talk = command.talk(line, "n")
    assert (talk.code, "Nothing was printed." in talk.screen) == (1, True)
    assert not list(command.home.glob("*.pdf"))
