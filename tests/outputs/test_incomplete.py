"""A book that is not whole: every answer says so beside it, and what is kept says so in itself."""

import io

import pypdf
import pytest

from tests.outputs.paper.reading import text_of

ASKING = (
    *("shelf", "shelf --done", "shelf --json", "shelf --csv", "stock", "stock --json"),
    *("stock --csv", "due", "due --json", "due --csv", "lots", "lots --json", "lots --csv"),
    *(
        "season",
        "season --json",
        "supply",
        "supply --json",
        "yields --by-method",
        "yields --by-method --json",
    ),
    *("yields", "yields --json", "yields --csv", "batches calendula"),
    *("batches calendula --json", "batches calendula --csv", "show CAOF-25-02"),
    *("stocktake --sheet", "stocktake --sheet --json", "history", "lots --on 2025-04-06"),
    *("show CAOF-25-02 --json", "history CAOF-25-02", "history CAOF-25-02 --json"),
    *("trace CAOF-25-02", "trace CAOF-25-02 --json", "record CAOF-25-02"),
    *("record CAOF-25-02 --json", "record CAOF-25-02 --pdf", "timeline CAOF-25-02"),
    *("timeline CAOF-25-02 --json", "timeline CAOF-25-02 --to OUT.html"),
    *("season --to OUT.svg", "supply --to OUT.svg", "yields --to OUT.svg", "page"),
    *("page --to OUT.html", "calendar", "calendar --to OUT.ics", "handout", "handout --to OUT.pdf"),
    *("label CAOF-25-02 --no-record", "label CAOF-25-02 --dry-run"),
)
RECORDING = (
    *("shake CAOF-25-02", "note CAOF-25-02 dark", "note CAOF-25-02 dark --json"),
    *("label CAOF-25-02", "shake CAOF-25-02 --dry-run", "enter page.txt", "enter page.txt --json"),
    "enter page.txt --dry-run",
    "stocktake sheet.txt",
)


@pytest.fixture
def damaged(worked):
    """The worked book with one remark of its own changed by hand."""
    worked.ok("note CAOF-25-02 dark")
    file = next((worked.book / "events").glob("*.jsonl"))
    file.write_bytes(file.read_bytes().replace(b'"dark"', b'"pale"'))
    (worked.home / "page.txt").write_text("shake CAOF-25-02\n")
    (worked.home / "sheet.txt").write_text("CAOF-25-01A = ok\n")
    return worked


def said(command, line):
    out = command.home / "out"
    for one in command.home.glob("out.*"):
        one.unlink()
    answer = command.run(line.replace("OUT", str(out)))
    assert answer.code == 0, answer.err
    return answer


def test_every_answer_says_so_once(damaged):
    for line in (*ASKING, *RECORDING):
        assert (line, said(damaged, line).err.count("INCOMPLETE: 1 thing")) == (line, 1)


def test_no_answer_says_so_of_a_whole_book(worked):
    (worked.home / "page.txt").write_text("shake CAOF-25-02\n")
    (worked.home / "sheet.txt").write_text("CAOF-25-01A = ok\n")
    for line in (*ASKING, *RECORDING):
        answer = said(worked, line)
        assert (line, "INCOMPLETE" in answer.out + answer.err) == (line, False)


# What is kept: a file for each form of every output that writes one.
KEPT = (
    ("handout --to OUT.pdf", "out.pdf"),
    ("record CAOF-25-02 --pdf --to OUT.pdf", "out.pdf"),
    ("label CAOF-25-02 --sure --no-record --to OUT.pdf", "out.pdf"),
    ("label CAOF-25-02 --sure --size 90x50mm --no-record --to OUT.pdf", "out.pdf"),
    ("label CAOF-25-02 --sure --lid --no-record --to OUT.pdf", "out.pdf"),
    ("calendar --to OUT.ics", "out.ics"),
    ("page --to OUT.html", "out.html"),
    ("timeline CAOF-25-02 --to OUT.html", "out.html"),
    ("timeline CAOF-25-02 --to OUT.svg", "out.svg"),
    ("season --to OUT.html", "out.html"),
    ("season --to OUT.svg", "out.svg"),
    ("supply --to OUT.html", "out.html"),
    ("supply --to OUT.svg", "out.svg"),
    ("yields --to OUT.html", "out.html"),
    ("yields --to OUT.svg", "out.svg"),
)


@pytest.mark.parametrize(("line", "file"), KEPT, ids=[line for line, _ in KEPT])
def test_what_is_kept_says_so_in_itself(damaged, line, file):
    """On the first page of paper, where there are several."""
    said(damaged, line)
    raw = (damaged.home / file).read_bytes()

    assert "incomplete" in all_that_is_in(raw, file).lower()


@pytest.mark.parametrize(("line", "file"), KEPT, ids=[line for line, _ in KEPT])
def test_what_is_kept_of_a_whole_book_does_not(worked, line, file):
    said(worked, line)
    raw = (worked.home / file).read_bytes()

    assert "incomplete" not in all_that_is_in(raw, file).lower()


def all_that_is_in(raw: bytes, file: str) -> str:
    """The words of the first page and what a reader shows of the file; a folded line is one."""
    if not file.endswith(".pdf"):
        return raw.decode().replace("\r\n ", "")
    beside = pypdf.PdfReader(io.BytesIO(raw)).metadata or {}
    return " ".join([text_of(raw, page=0), *map(str, beside.values())])
