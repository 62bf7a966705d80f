"""The page in a real browser: on a phone and a desk, by axe-core, by keyboard, on paper."""

import re
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from io import BytesIO
from urllib.parse import unquote

import pytest
from axe_playwright_python.sync_playwright import Axe
from pypdf import PdfReader

from tests.outputs.books import Keeper, book, hostile, in_every_script, many
from tests.outputs.page.browsing import a_browser
from tracker.bench.bench import Bench
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt
from tracker.core.facts.lots import Recalled
from tracker.daemon.page_folder import page_of
from tracker.journal.demo_copy import copy_demo

pytestmark = pytest.mark.thorough

TODAY = date(2026, 11, 25)
PHONE, SMALLEST, DESK = (390, 844), (320, 568), (1280, 900)
SMALL, TABLET, WIDE = (360, 740), (800, 1000), (1920, 1080)
# Paint Timing, W3C: the entry comes when the frame was shown, perhaps after the load.
FIRST_PAINT = """new Promise(tell => new PerformanceObserver(list => {
  for (const one of list.getEntriesByName("first-contentful-paint")) tell(one.startTime);
}).observe({type: "paint", buffered: true}))"""
OPEN_ALL = "document.querySelectorAll('details').forEach(one => one.open = true)"
FACTS = """[...document.querySelectorAll('dl > div')].map(row => {
  const box = one => { const r = one.getBoundingClientRect();
    return {x: r.x, y: r.y, height: r.height}; };
  return {name: box(row.querySelector('dt')), values: [...row.querySelectorAll('dd')].map(box),
    bottom: row.getBoundingClientRect().bottom,
    next: (row.nextElementSibling ?? row).getBoundingClientRect()[
      row.nextElementSibling ? 'top' : 'bottom']};
})"""
LEFTS = """where => Object.fromEntries(['b', 'code', '.latin', '.facts'].map(part => [part,
  [...new Set([...document.querySelectorAll(where)].flatMap(row =>
    [...row.querySelectorAll(':scope > .row > ' + part)].filter(one => one.checkVisibility())
      .map(one => Math.round(one.getBoundingClientRect().x))))]]))"""
# A word is parted where its letters stand in more lines than one.
PARTED = """[...document.querySelectorAll('b, code, i, .mark, h1, h2, h3, h4')].flatMap(one => {
  const found = [], walk = document.createTreeWalker(one, NodeFilter.SHOW_TEXT);
  for (let node; node = walk.nextNode();)
    for (const word of node.data.matchAll(/[\\p{L}]+/gu)) {
      const range = document.createRange();
      range.setStart(node, word.index); range.setEnd(node, word.index + word[0].length);
      const tops = new Set([...range.getClientRects()].map(box => Math.round(box.top)));
      if (tops.size > 1) found.push(word[0]);
    }
  return found;
})"""
SEEN = """high => [...document.querySelectorAll('h1, h2, h3, p, b, code, .facts')]
  .filter(one => { const box = one.getBoundingClientRect();
    return box.height && box.bottom <= high; })
  .map(one => one.textContent).join(' ')"""
TARGETS = """[...document.querySelectorAll('a:not(.skip), summary')]
  .filter(one => one.checkVisibility())
  .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 44 || box.width < 44).map(([html]) => html)"""
TEXT_SIZES = """[...document.querySelectorAll('body *:not(svg, svg *)')]
  .filter(one => [...one.childNodes].some(each => each.nodeType === 3 && each.data.trim()))
  .filter(one => one.checkVisibility()).map(one => parseFloat(getComputedStyle(one).fontSize))"""
ROWS_OF = """heading => [...document.querySelector('#' + heading).closest('section')
  .querySelectorAll('li')].map(one => one.textContent.replace(/\\s+/g, ' ').trim())"""
PLACE_OF = """code => {
  const row = document.getElementById(code), jar = row.closest('.jar');
  const box = row.getBoundingClientRect(), top = jar.querySelector('summary');
  const seen = document.elementFromPoint(box.x + 5, box.y + 5);
  return {row: box.top, heading: top.getBoundingClientRect().top, summary: top.textContent,
    isSeen: seen !== null && (row === seen || row.contains(seen))};
}"""
# Where a liquid in stock stands, and where a jar with herb in.
LISTS = {"A": ("in-stock", "the-season"), "": ("with-herb-in", "the-season")}
MADE = ("demo", "scripts", "hostile", "empty", "many")


@pytest.fixture(scope="module")
def browser():
    with a_browser() as found:
        yield found


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The demo book's page, and those of odd books."""
    home = tmp_path_factory.mktemp("pages")
    noon = datetime.combine(TODAY, time(12), tzinfo=UTC)
    copy_demo(home / "demo-book", noon)
    bench = Bench(home / "demo-book", cache=home / "c", state=home / "s")
    made = {"demo": page_of(bench, on=TODAY)}
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
@pytest.mark.parametrize("size", [SMALLEST, PHONE, TABLET, WIDE], ids=lambda size: str(size[0]))
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
        tab.locator("details.jar > summary").first.focus()
        tab.keyboard.press("Enter")
        tab.locator("summary:visible", has_text="History of").first.focus()
        tab.keyboard.press("Enter")
        is_open = tab.evaluate("document.activeElement.parentElement.open")

    assert (skip, where, is_open) == ("Go to what is due", "#what-is-due", True)


def test_each_value_stands_beside_its_own_name(browser, pages):
    """Of every fact of every jar: one left edge for names, one for values, none beside another."""
    for size in (PHONE, TABLET, DESK):
        with opened(browser, pages["demo"], size) as tab:
            tab.evaluate(OPEN_ALL)
            facts = tab.evaluate(FACTS)

        assert len(facts) > 500
        assert len({round(one["name"]["x"]) for one in facts}) == 1
        assert len({round(value["x"]) for one in facts for value in one["values"]}) == 1
        for one in facts:
            name, *_ = values = [one["name"], *one["values"]]
            assert all(value["y"] >= name["y"] - 1 for value in values)
            assert all(value["y"] + value["height"] <= one["bottom"] + 1 for value in values)
        assert all(one["next"] >= one["bottom"] - 1 for one in facts)
        is_narrow = size == PHONE
        beside = [abs(one["values"][0]["y"] - one["name"]["y"]) < 1 for one in facts]
        assert not any(beside) if is_narrow else all(beside)


@pytest.mark.parametrize("size", [SMALL, TABLET, DESK], ids=lambda size: str(size[0]))
def test_names_and_codes_of_every_list_begin_at_one_edge(browser, pages, size):
    with opened(browser, pages["demo"], size) as tab:
        for section in (".today > .rows > li", ".season details > .rows > li"):
            lefts = tab.evaluate(LEFTS, section)
            assert len(lefts["b"]) == 1
            assert len(lefts["code"]) == 1
        for heading in ("with-herb-in", "in-stock"):
            lefts = tab.evaluate(LEFTS, f"section:has(> #{heading}) > .rows > li")
            assert len(lefts["b"]) == 1
            assert len(lefts["code"]) == 1
            assert len(lefts[".latin"]) == 1
            assert size == SMALL or len(lefts[".facts"]) == 1


@pytest.mark.parametrize("size", [SMALLEST, SMALL], ids=lambda size: str(size[0]))
def test_no_word_of_a_name_is_parted(browser, pages, size):
    """`white horehou-nd`: each word of each name, code and mark stands in one line."""
    with opened(browser, pages["demo"], size) as tab:
        tab.evaluate(OPEN_ALL)
        parted = tab.evaluate(PARTED)

    assert parted == []


def test_the_first_screen_of_a_phone_answers_what_is_due_today(browser, pages):
    with opened(browser, pages["demo"], SMALL) as tab:
        seen = tab.evaluate(SEEN, SMALL[1])

    assert seen.startswith("Wednesday 25 November 2026")
    for words in ("look first", "past its longest", "4 to shake", "burdock root"):
        assert words in seen
    assert "ARLA-26-02" in seen
    assert "cupboard" in seen.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("size", [SMALLEST, PHONE, TABLET], ids=lambda size: str(size[0]))
def test_what_a_finger_touches_is_44_px_high_and_text_is_17_px(browser, pages, size):
    with opened(browser, pages["demo"], size) as tab:
        tab.evaluate(OPEN_ALL)
        small = tab.evaluate(TARGETS)
        texts = tab.evaluate(TEXT_SIZES)

    assert small == []
    assert size == TABLET or min(texts) >= 17


@pytest.mark.parametrize("heading", ["what-is-due", "with-herb-in", "in-stock", "the-season"])
def test_holds_recalls_poisons_and_past_dates_are_said_in_each_section(browser, marked, heading):
    """Each list names every held, recalled, poisonous and past thing of it, and no other."""
    page, wanted = marked
    with opened(browser, page, PHONE) as tab:
        rows = tab.evaluate(ROWS_OF, heading)

    own = {code: [row for row in rows if code in row.split()] for code in wanted}
    assert any(own.values())
    for code, word in wanted.items():
        assert own[code] or heading not in (LISTS["A" if code.endswith("A") else ""])
        assert all(word in row or "its date was" in row for row in own[code]), (code, own[code])
    for code in ("GOOD-25-01A", "GOOD-25-02"):
        for row in rows:
            assert code not in row.split() or not re.search("hold|recall|poison|past", row)


@pytest.fixture(scope="module")
def marked(tmp_path_factory):
    """Things on hold, recalled, poisonous, past their date, and well: herb in, and in stock."""
    keeper, pressed = Keeper(), {}
    for code, herb, when in (
        ("HELD", "Melissa officinalis", "2025-07-10"),
        ("CALL", "Tilia cordata", "2025-07-10"),
        ("POIS", "Digitalis purpurea", "2025-07-10"),
        ("PAST", "Salvia officinalis", "2025-06-10"),
        ("GOOD", "Thymus vulgaris", "2025-07-10"),
    ):
        jar = keeper.jar(code=f"{code}-25-01", herb=herb, common=None)
        pressed[code] = About(jar=jar.id, extract=keeper.press(jar, when).id)
        other = keeper.jar("2026-05-01", code=f"{code}-25-02", herb=herb, common=None)
        pressed[f"{code}, herb in"] = About(jar=other.id)
    for held in (pressed["HELD"], pressed["HELD, herb in"]):
        look = LookedAt(about=held, verdict="hold", signs=("mould",))
        keeper.pen.write(look, "2026-05-05")
    jars = tuple(pressed[code].jar for code in ("CALL", "CALL, herb in"))
    recall = Recalled(about=About(jar="lot-0001"), jars=jars, why="wrong plant")
    keeper.pen.write(recall, "2026-05-06")
    folder = tmp_path_factory.mktemp("marked")
    path = folder / "marked.html"
    path.write_bytes(page_of(book(folder, keeper.pen.entries, "2026-06-11 12:00")))
    words = {"HELD": "on hold", "CALL": "recalled", "POIS": "poison"}
    both = {f"{code}-25-0{end}": said for code, said in words.items() for end in ("1A", "2")}
    return path, both | {"PAST-25-01A": "past 10 Jun"}


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_address_of_every_bottle_opens_its_row_under_the_name_of_its_jar(browser, pages, size):
    """As its QR code leads there: seen, and with no other jar's heading between."""
    page = pages["demo"]
    codes = [unquote(one) for one in re.findall(r'<li id="([^"]+/\d+)"', page.read_text())]
    assert len(codes) > 60
    with opened(browser, page, size) as tab:
        for code in codes:
            tab.goto(f"{page.as_uri()}?{code}#{code}")
            place = tab.evaluate(PLACE_OF, code)

            assert place["summary"].split("·")[0].count(code.partition("/")[0].rstrip("ABC"))
            assert 0 <= place["heading"] <= place["row"] < size[1] * 0.6, (code, place)
            assert place["isSeen"], code


@pytest.mark.parametrize("code", ["CAOF-26-01", "CAOF-26-01A", "CAOF-26-01A/3"])
def test_an_address_with_a_code_shows_the_jar_extract_or_bottle(browser, pages, code):
    """Also where it lies in a folded list: the browser opens it."""
    with opened(browser, pages["demo"], PHONE, fragment=f"#{code}") as tab:
        place = tab.locator(":target")
        box = place.bounding_box()

        assert place.get_attribute("id") == code
        assert place.is_visible()
        assert -1 <= box["y"] < PHONE[1]


def test_the_browsers_own_search_opens_what_is_folded_twice(browser, pages):
    """Asked by a text fragment, which finds and opens as the search of the browser does."""
    with opened(browser, pages["demo"], fragment="#:~:text=settles%20to%20a%20third") as tab:
        tab.wait_for_function("document.querySelector('details.jar[open] details.events[open]')")
        line = tab.locator("details.events[open] li", has_text="settles to a third").first

        assert line.is_visible()
        assert 0 < line.bounding_box()["y"] < DESK[1]


def test_500_jars_are_no_endless_scroll_and_each_letter_is_a_jump_away(browser, pages):
    for size, most in ((SMALL, 60_000), (DESK, 40_000)):
        with opened(browser, pages["many"], size) as tab:
            high = tab.evaluate("document.documentElement.scrollHeight")
            tab.click("nav.letters a:has-text('M')")
            top = tab.evaluate("document.querySelector('#herbs-m').getBoundingClientRect().top")

        assert high < most
        assert -1 <= top < size[1] / 2


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

        assert not tab.locator("header nav").is_visible()
        assert (ink, ground) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")


def test_on_paper_there_is_what_a_kitchen_wall_needs_in_two_columns(browser, pages, tmp_path):
    """What is due, the jars and the stock, what is folded of them too; of jars the opened one."""
    with opened(browser, pages["demo"], fragment="#CAOF-26-01") as tab:
        paper = PdfReader(BytesIO(tab.pdf(format="A4")))
    said = " ".join(page.extract_text() for page in paper.pages).replace("\xa0", " ")
    said = " ".join(said.split())
    edges = set()
    paper.pages[1].extract_text(
        visitor_text=lambda text, _, place, *more: text.strip() and edges.add(round(place[4]))
    )

    assert len(paper.pages) <= 8
    for code in ("TICO-25-01A", "HYPE-26-01A", "SARO-26-02", "ECPU-22-01"):  # of each list
        assert code in said
    for words in ("recalled", "on hold", "past its longest", "CAOF-26-01A/3"):
        assert words in said
    assert "settles to a third" not in said  # of its history
    assert said.count("earliest press") == 1  # of the jar that was opened
    assert max(edges) - min(edges) > 200


def test_what_is_kept_in_one_line_is_found_as_it_is_typed(browser, pages):
    """A blank that is not broken at is a blank to the browser's own search."""
    with opened(browser, pages["demo"], PHONE) as tab:
        tab.evaluate(OPEN_ALL)

        assert tab.evaluate("window.find('% vol spirit')")
        assert not tab.evaluate("window.find('% vol of nothing')")
