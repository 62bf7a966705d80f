"""The page in a real browser: on a phone and a desk, by axe-core, by keyboard, on paper."""

from contextlib import contextmanager
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.outputs.books import book, hostile, in_every_script, many
from tests.outputs.page.browsing import a_browser
from tracker.bench.bench import Bench
from tracker.daemon.page_folder import page_of
from tracker.journal.demo_copy import copy_demo

pytestmark = pytest.mark.thorough

PHONE, SMALLEST, DESK = (390, 844), (320, 568), (1280, 900)
# Paint Timing, W3C: the entry comes when the frame was shown, perhaps after the load.
FIRST_PAINT = """new Promise(tell => new PerformanceObserver(list => {
  for (const one of list.getEntriesByName("first-contentful-paint")) tell(one.startTime);
}).observe({type: "paint", buffered: true}))"""
MADE = ("demo", "scripts", "hostile", "empty", "many")


@pytest.fixture(scope="module")
def browser():
    with a_browser() as found:
        yield found


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The demo book's page, and those of odd books."""
    home = tmp_path_factory.mktemp("pages")
    copy_demo(home / "demo-book", datetime(2026, 11, 25, 12, 0, tzinfo=UTC))
    made = {"demo": page_of(Bench(home / "demo-book", cache=home / "c", state=home / "s"))}
    odd = {"scripts": in_every_script(), "hostile": hostile(), "empty": [], "many": many(500)}
    for name, entries in odd.items():
        made[name] = page_of(book(home / name, entries))
    paths = {}
    for name, page in made.items():
        paths[name] = home / f"{name}.html"
        paths[name].write_bytes(page)
    return paths


@contextmanager
def opened(browser, path, size=DESK, scheme="light", fragment=""):
    """A tab with the page, and all it asked for and complained of."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=scheme
    )
    tab = context.new_page()
    tab.asked, tab.said = [], []
    tab.on("request", lambda request: tab.asked.append(request.url))
    tab.on("console", lambda message: tab.said.append(message.text))
    tab.on("dialog", lambda dialog: tab.said.append(f"dialog: {dialog.message}"))
    tab.goto(path.as_uri() + fragment)
    try:
        yield tab
    finally:
        context.close()


@pytest.mark.parametrize("name", MADE)
@pytest.mark.parametrize("size", [PHONE, SMALLEST, DESK], ids=["phone", "smallest", "desk"])
def test_it_fits_the_width_and_asks_the_network_for_nothing(browser, pages, name, size):
    with opened(browser, pages[name], size) as tab:
        wide = tab.evaluate("document.documentElement.scrollWidth")

        assert wide <= size[0]
        assert tab.asked == [pages[name].as_uri()]
        assert tab.said == []
        assert tab.evaluate("document.scripts.length") == 0


@pytest.mark.parametrize(
    ("name", "size", "scheme"),
    [
        *(("demo", size, scheme) for size in (PHONE, DESK) for scheme in ("light", "dark")),
        # The scheme changes colours alone and the size the order alone: each once is enough.
        *((name, PHONE, "light") for name in ("scripts", "hostile", "empty")),
        *((name, DESK, "dark") for name in ("scripts", "hostile", "empty")),
    ],
)
def test_axe_finds_nothing(browser, pages, name, size, scheme):
    """Every rule of axe-core, the best practices too, with every history open."""
    with opened(browser, pages[name], size, scheme) as tab:
        tab.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        found = Axe().run(tab).response["violations"]

    assert [(one["id"], one["impact"], one["nodes"][0]["html"]) for one in found] == []


def test_axe_does_find_what_is_wrong(browser, tmp_path):
    """So that the silence above means something."""
    path = tmp_path / "bad.html"
    path.write_text("<!DOCTYPE html><html><body><img src='data:,'><p>x</p></body></html>")
    with opened(browser, path) as tab:
        found = {one["id"] for one in Axe().run(tab).response["violations"]}

    assert {"image-alt", "html-has-lang", "document-title"} <= found


def test_the_demo_books_page_is_small_and_there_at_once(browser, pages):
    """The best of three openings: what else the machine is doing is not the page's doing."""
    paints = []
    for _ in range(3):
        with opened(browser, pages["demo"], PHONE) as tab:
            paints.append(tab.evaluate(FIRST_PAINT))

    assert pages["demo"].stat().st_size < 1_000_000
    assert 0 < min(paints) < 1000


def test_a_keyboard_reaches_what_is_due_first_and_opens_a_history(browser, pages):
    with opened(browser, pages["demo"]) as tab:
        tab.keyboard.press("Tab")
        skip = tab.evaluate("document.activeElement.textContent")
        tab.keyboard.press("Enter")
        where = tab.evaluate("location.hash")
        tab.locator("summary", has_text="History of").first.focus()
        tab.keyboard.press("Enter")
        is_open = tab.evaluate("document.activeElement.parentElement.open")

    assert (skip, where, is_open) == ("Go to what is due", "#what-is-due", True)


@pytest.mark.parametrize("code", ["CAOF-26-01", "CAOF-26-01A", "CAOF-26-01A/3"])
def test_an_address_with_a_code_shows_the_jar_extract_or_bottle(browser, pages, code):
    """Also where it lies in a folded list: the browser opens it."""
    with opened(browser, pages["demo"], PHONE, fragment=f"#{code}") as tab:
        place = tab.locator(":target")
        box = place.bounding_box()

        assert place.get_attribute("id") == code
        assert place.is_visible()
        assert -1 <= box["y"] < PHONE[1]


def test_dark_is_dark_and_light_is_light(browser, pages):
    grounds = {}
    for scheme in ("light", "dark"):
        with opened(browser, pages["demo"], scheme=scheme) as tab:
            colour = tab.evaluate("getComputedStyle(document.body).backgroundColor")
        grounds[scheme] = sum(int(part) for part in colour[4:-1].split(","))

    assert grounds["dark"] < 150 < 600 < grounds["light"]


def test_on_paper_the_links_of_the_page_are_gone_and_the_ink_is_black(browser, pages):
    with opened(browser, pages["demo"], scheme="dark") as tab:
        tab.emulate_media(media="print")
        ink, ground = tab.evaluate(
            "[getComputedStyle(document.body).color,"
            " getComputedStyle(document.body).backgroundColor]"
        )

        assert not tab.locator("nav").is_visible()
        assert (ink, ground) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
        assert tab.pdf(format="A4").startswith(b"%PDF-")
