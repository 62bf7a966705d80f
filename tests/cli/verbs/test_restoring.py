"""A copy made a book again: verified, in a folder of its own, and never over anything."""

import shutil

import pytest

from tests.command import Command


@pytest.fixture
def copied(worked) -> Command:
    """The worked book and a copy of it."""
    worked.ok("backup copy")
    return worked


def in_one_line(out):
    """What is wrapped at the width of the screen."""
    return " ".join(out.split())


def lines_of(folder):
    return sum(len(one.read_bytes().splitlines()) for one in (folder / "events").glob("*.jsonl"))


def test_a_restored_book_is_the_copy_line_by_line_with_its_rules(copied):
    out = copied.ok("backup copy --restore new")
    new, copy = copied.home / "new", copied.home / "copy"

    assert f"Restored and read back: {lines_of(copy)} lines to {new}." in out
    assert "It is the same as the book at hand." in out
    assert f"To use it: stillroom begin --at {new}" in out
    for file in ("events/bench.jsonl", "practice.toml"):
        assert (new / file).read_bytes() == (copy / file).read_bytes()
    assert sorted(one.name for one in new.iterdir()) == ["events", "practice.toml"]
    assert "The book is whole" in copied.ok("--book new check")
    assert copied.ok("--book new shelf") == copied.ok("shelf")


def test_it_says_how_it_differs_from_the_book_at_hand(copied):
    copied.ok("shake CAOF-25-02 --when 2025-05-01")
    older = copied.ok("backup copy --restore older")
    copied.ok("--book older note CAOF-25-02 'elsewhere' --when 2025-05-02")
    copied.ok("--book older backup second")
    apart = copied.json("backup second --restore third")
    fields = copied.json("--book older backup second --restore fourth")

    assert "It is older: the book at hand has 1 line more." in older
    assert (apart["only_at_hand"], apart["only_restored"]) == (1, 1)
    assert (fields["only_at_hand"], fields["only_restored"]) == (0, 0)


def test_it_needs_no_book_at_hand(copied):
    shutil.rmtree(copied.book)
    out = copied.ok("backup copy --restore new")

    assert "at hand" not in out
    copied.env.pop("STILLROOM_BOOK")
    copied.ok("begin --at new --yes")
    assert copied.json("shelf")


def test_it_restores_though_the_book_that_was_chosen_is_gone(copied):
    copied.env.pop("STILLROOM_BOOK")
    copied.ok(f"begin --at {copied.book} --yes")
    shutil.rmtree(copied.book)
    copied.ok("backup copy --restore new")
    copied.ok("begin --at new --yes")

    assert copied.json("shelf")


@pytest.mark.parametrize("what", ["a book", "a file", "other things", "a link", "the copy"])
def test_nothing_that_stands_there_is_written_over(copied, what):
    place = copied.home / "place"
    match what:
        case "a book":
            place = copied.book
        case "a file":
            place.write_text("mine")
        case "other things":
            place.mkdir()
            (place / "letter.txt").write_text("mine")
        case "a link":
            place.symlink_to(copied.home / "nowhere")
        case "the copy":
            place = copied.home / "copy" / "inside"
    before = {str(one): one.lstat().st_mtime_ns for one in copied.home.rglob("*")}
    before = {name: at for name, at in before.items() if "/cache" not in name}
    refused = copied.refused(f"backup copy --restore {place}")

    assert "name a" in refused
    after = {str(one): one.lstat().st_mtime_ns for one in copied.home.rglob("*")}
    assert {name: at for name, at in after.items() if "/cache" not in name} == before


def test_an_empty_folder_is_taken(copied):
    (copied.home / "new").mkdir()
    copied.ok("backup copy --restore new")

    assert lines_of(copied.home / "new") == lines_of(copied.book)


def test_a_damaged_copy_is_refused_with_what_is_wrong_and_what_is_whole(copied):
    file = copied.home / "copy" / "events" / "bench.jsonl"
    lines = file.read_bytes().splitlines(keepends=True)
    lines[2] = lines[2].replace(b"Melissa", b"Melisso")
    file.write_bytes(b"".join(lines))
    refused = copied.refused("backup copy --restore new")

    assert "bench.jsonl, line 3" in refused
    assert f"{len(lines) - 1} lines of it are as they were written" in refused
    assert "stillroom --book copy shelf" in refused
    assert not (copied.home / "new").exists()
    assert copied.run("--book copy shelf").code == 0


@pytest.mark.parametrize("place", ["nothing", "book/events", "cache"])
def test_what_is_no_copy_is_refused(copied, place):
    assert "no copy of a book" in copied.refused(f"backup {place} --restore new")


def test_a_place_that_cannot_be_written_is_refused_and_left(copied):
    (copied.home / "shut").write_text("a file, and no folder")

    assert "cannot be put there" in copied.refused("backup copy --restore shut/new")
    assert (copied.home / "shut").read_text() == "a file, and no folder"


def test_where_the_book_is_and_when_it_was_copied_is_said_first(worked):
    never = in_one_line(worked.ok("check"))
    worked.ok("backup copy")
    worked.ok("shake CAOF-25-02 --when 2025-05-01")
    since = in_one_line(worked.ok("practice"))
    worked.ok("backup copy --verify")
    seen = in_one_line(worked.ok("check"))

    lines = len(worked.lines()) - 1
    assert never.startswith(f"The book {worked.book}, {lines} lines by 1 writer Backed up never, ")
    assert "as far as this machine knows: stillroom backup DIR" in never
    assert since.startswith(
        f"The book {worked.book}, {lines + 1} lines by 1 writer Backed up today"
    )
    assert f" to {worked.home / 'copy'}; 1 line since You nobody yet" in since
    assert "; 1 line since; verified today at " in seen
    assert seen.endswith("The book is whole: every line is as it was written.")
    assert worked.json("check")["backed_up"]["lines"] == lines


@pytest.mark.parametrize("columns", [60, 80, 200])
def test_the_first_lines_keep_to_the_screen(worked, columns):
    worked.ok("backup copy")
    for line in ("practice", "check", "reminders"):
        screen = worked.at_terminal(line, columns=columns).out.replace("\r", "").splitlines()
        home = str(worked.home)  # a path is left whole, to be copied
        assert all(len(one) <= columns for one in screen if home not in one), line


def test_a_copy_that_is_not_whole_counts_as_none(worked):
    worked.ok("backup copy")
    file = worked.home / "copy" / "events" / "bench.jsonl"
    file.write_bytes(file.read_bytes().replace(b"Melissa", b"Melisso"))
    before = worked.ok("check")
    assert worked.run("backup copy --verify").code == 1

    assert worked.ok("check") == before


def test_practice_shows_what_the_maker_set_and_folds_the_rest(worked):
    short = worked.ok("practice")
    every = worked.ok("practice --all")

    assert "Europe/Berlin" in short
    assert "vinegar: least" not in short
    assert " rules are built in: stillroom practice --all" in short
    assert "vinegar: least" in every
    assert len(short.splitlines()) < 12
