"""Pages read by html5lib, which stops at the first parse error of the HTML standard."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

import html5lib

HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"

# What could run or fetch something, by the HTML standard's index of elements.
NEVER = {
    *("script", "iframe", "object", "embed", "link", "base", "form", "input", "button"),
    *("audio", "video", "img", "image", "foreignObject", "use", "animate", "set"),
}


def page_tree(page: bytes) -> Element:
    """The page as the standard's algorithm reads it; an error in it raises."""
    return html5lib.HTMLParser(strict=True).parse(page, transport_encoding="utf-8")


def tag(element: Element) -> str:
    """The name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def text(element: Element) -> str:
    """All the text in an element, blanks drawn together."""
    return " ".join("".join(element.itertext()).split())


def every(tree: Element, name: str) -> Iterator[Element]:
    """Every element of a name."""
    return (one for one in tree.iter() if isinstance(one.tag, str) and tag(one) == name)


def ids(tree: Element) -> list[str]:
    """Every id, in order."""
    return [one.attrib["id"] for one in tree.iter() if "id" in one.attrib]


def by_id(tree: Element, wanted: str) -> Element:
    """The one element of that id."""
    (found,) = (one for one in tree.iter() if one.attrib.get("id") == wanted)
    return found


def facts(article: Element) -> dict[str, list[str]]:
    """What an article says of a jar, by the names of its rows."""
    rows: dict[str, list[str]] = {}
    name = ""
    (listed,) = every(article, "dl")
    for one in listed.iter():
        if tag(one) == "dt":
            name = text(one)
        elif tag(one) == "dd":
            rows.setdefault(name, []).append(text(one))
    return rows


def assert_harmless(tree: Element) -> None:
    """Nothing in the tree runs, fetches or leads anywhere but within the page."""
    for one in tree.iter():
        if not isinstance(one.tag, str):
            raise AssertionError("a comment, which no template has")
        assert tag(one) not in NEVER
        for name, value in one.attrib.items():
            bare = name.rpartition("}")[2].lower()
            assert not bare.startswith("on"), f"{bare} on {tag(one)}"
            assert bare not in ("style", "src", "srcset", "action", "formaction", "srcdoc")
            if bare == "href":
                assert value.startswith("#")
