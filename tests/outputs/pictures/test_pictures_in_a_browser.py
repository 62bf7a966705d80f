"""The pictures in a real browser: sizes on a phone, nothing outside, contrast in light and dark."""

import re
from datetime import UTC, datetime

import pytest

from tests.command import Command
from tests.journal.on_disk import write
from tests.outputs.books import in_every_script
from tests.outputs.page.browsing import a_browser
from tracker.journal.demo_copy import copy_demo

pytestmark = pytest.mark.thorough

LINES = {
    "life": "timeline AGEU-25-03",
    "season": "season",
    "supply": "supply",
    "pressings": "yields --by-method",
}
# Every text with its size as shown, its edges, and its colour beside that of the paper.
TEXTS = """() => {
  const svg = document.documentElement, scale = svg.getBoundingClientRect().width /
    svg.viewBox.baseVal.width, paper = getComputedStyle(svg.querySelector(".paper")).fill;
  return [...svg.querySelectorAll("text")].map(one => {
    const box = one.getBoundingClientRect(), look = getComputedStyle(one);
    return [one.textContent, parseFloat(look.fontSize) * scale, box.left, box.right,
            box.bottom, look.fill, paper];
  });
}"""


@pytest.fixture(scope="module")
def browser():
    with a_browser() as found:
        yield found


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    """Each picture of the demo book, as SVG and as HTML."""
    command = Command(tmp_path_factory.mktemp("drawn"))
    copy_demo(command.book, datetime(2026, 11, 25, 12, 0, tzinfo=UTC))
    for name, line in LINES.items():
        for ending in ("svg", "html"):
            command.ok(f"{line} --on 2026-11-25 --to {name}.{ending}")
    return command.home


def seen(browser, path, scheme="light", width=360):
    page = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)
    page.goto(path.as_uri())
    try:
        yield page
    finally:
        page.close()


def texts_of(browser, path, scheme="light"):
    for page in seen(browser, path, scheme):
        return page.evaluate(TEXTS), page.evaluate(
            "document.documentElement.getBoundingClientRect().bottom"
        )
    raise AssertionError


def luminance(colour: str) -> float:
    """Of `rgb(31, 41, 34)`: WCAG 2.2, relative luminance."""
    shares = [int(one) / 255 for one in re.findall(r"\d+", colour)[:3]]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", LINES)
def test_every_word_is_read_on_a_phone(browser, drawn, name, scheme):
    found, bottom = texts_of(browser, drawn / f"{name}.svg", scheme)

    assert len(found) > 10
    for text, size, left, right, below, ink, paper in found:
        assert size >= 11, text
        assert left >= 0, text
        assert right <= 360, text
        assert below <= bottom, text
        assert contrast(ink, paper) >= 4.5, (text, ink, paper)


def test_light_and_dark_are_two_papers(browser, drawn):
    papers = {
        scheme: texts_of(browser, drawn / "season.svg", scheme)[0][0][-1]
        for scheme in ("light", "dark")
    }

    assert luminance(papers["light"]) > 0.8
    assert luminance(papers["dark"]) < 0.05


@pytest.mark.parametrize("name", LINES)
def test_the_page_of_a_picture_takes_the_one_that_fits(browser, drawn, name):
    for width, natural in ((360, 360), (1100, 720)):
        for page in seen(browser, drawn / f"{name}.html", width=width):
            shown, was, beside = page.evaluate(
                "() => { const one = document.querySelector('img');"
                "return [one.getBoundingClientRect().width, one.naturalWidth,"
                "document.documentElement.scrollWidth]; }"
            )
            assert was == natural
            assert 13 * shown / was >= 11
            assert beside <= width


def test_names_in_any_script_stay_inside(browser, tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    write(command.book, in_every_script())
    for name in ("season", "supply"):
        command.ok(f"{name} --on 2026-01-01 --to {name}.svg")
        found, _ = texts_of(browser, command.home / f"{name}.svg")

        assert all(left >= 0 and right <= 361 for _, _, left, right, *_ in found)


def test_a_picture_of_a_damaged_book_says_so_in_itself(drawn, command):
    command.practice('zone = "Europe/Berlin"\n')
    command.ok('charge "Inula helenium" --dried 100g --pour "500 ml 45%" --code A1 --least 28d')
    command.ok("shake A1")
    (file,) = (command.book / "events").glob("*.jsonl")
    first, *rest = file.read_bytes().splitlines(keepends=True)
    file.write_bytes(b"".join([first.replace(b"Inula", b"Xnula"), *rest]))
    command.run("season --to season.svg")
    text = (command.home / "season.svg").read_text()

    assert re.search(r"<desc[^>]*>INCOMPLETE: ", text)
    assert re.search(r'<text[^>]*class="heed strong"[^>]*>INCOMPLETE: ', text)
