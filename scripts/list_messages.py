"""Print every message of the program, by file, so that they can be read as a whole.

    python scripts/list_messages.py             every message, with its line
    python scripts/list_messages.py --words     each word of them and how often, the rarest first

A message is any text of more than one word that stands in the program and is no docstring, except
that of a verb, which is its help. What is put in at a place is shown as ‹name›.
"""

import argparse
import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

TRACKER = Path(__file__).resolve().parent.parent / "tracker"
# Published tables and fonts; statements for the read model; what is set for other programs.
NOT_READ = ("core/herbs/tables", "outputs/paper/fonts", "outputs/page/templates")
_STATEMENT = re.compile(r"(?:^|\s)(?:SELECT|INSERT|UPDATE|DELETE|CREATE|PRAGMA|WITH|ATTACH)\b")
_PATTERN = re.compile(r"\\[dswbA-Z]|\(\?|\[\^|\)\?|\]\+|\{\d")


class Message(NamedTuple):
    """A text a person may read, and where it stands."""

    file: str
    line: int
    text: str


def messages() -> Iterator[Message]:
    """Every message of the program, in the order of its files."""
    for path in sorted(TRACKER.rglob("*.py")):
        name = path.relative_to(TRACKER).as_posix()
        if not name.startswith(NOT_READ):
            yield from (Message(name, line, text) for line, text in _texts(path.read_text()))


def _texts(source: str) -> list[tuple[int, str]]:
    tree = ast.parse(source)
    silent = _docstrings(tree) | _inner(tree) | _types(tree)
    found = []
    for node in ast.walk(tree):
        if id(node) in silent or not isinstance(node, ast.Constant | ast.JoinedStr):
            continue
        text = _text(node)
        if text is not None and _is_message(text):
            found.append((node.lineno, text))
    return sorted(found)


def _text(node: ast.AST) -> str | None:
    """The text of a literal; what is put in is named."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    assert isinstance(node, ast.JoinedStr)
    return "".join(
        str(part.value) if isinstance(part, ast.Constant) else f"‹{_named(part)}›"
        for part in node.values
    )


def _named(part: ast.expr) -> str:
    return ast.unparse(part.value) if isinstance(part, ast.FormattedValue) else ast.unparse(part)


def _docstrings(tree: ast.Module) -> set[int]:
    """The literals that are docstrings, but for those of verbs."""
    owners = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    return {
        id(one.body[0].value)
        for one in ast.walk(tree)
        if isinstance(one, owners)
        and one.body
        and isinstance(one.body[0], ast.Expr)
        and not _is_verb(one)
    }


def _is_verb(node: ast.AST) -> bool:
    decorators = getattr(node, "decorator_list", [])
    words = [ast.unparse(one) for one in decorators]
    return any(".command" in one or ".callback" in one for one in words)


def _inner(tree: ast.Module) -> set[int]:
    """The literals within an f-string, which are read with it, and those of annotations alone."""
    inner: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            inner |= {id(one) for one in node.values}
            inner |= {
                id(one)
                for part in node.values
                if isinstance(part, ast.FormattedValue) and part.format_spec is not None
                for one in ast.walk(part.format_spec)
            }
        elif isinstance(node, ast.Subscript):
            name = ast.unparse(node.value)
            if name.endswith(("Literal", "cast")):
                inner |= {id(one) for one in ast.walk(node.slice)}
    return inner


def _types(tree: ast.Module) -> set[int]:
    """The literals that name a type; the help of an option stands in a call beside its type."""
    hints = [
        hint
        for one in ast.walk(tree)
        for hint in (getattr(one, "annotation", None), getattr(one, "returns", None))
        if isinstance(hint, ast.expr)
    ]
    calls = {
        id(inside)
        for hint in hints
        for one in ast.walk(hint)
        if isinstance(one, ast.Call)
        for inside in ast.walk(one)
    }
    return {id(one) for hint in hints for one in ast.walk(hint)} - calls


def _is_message(text: str) -> bool:
    plain = re.sub(r"‹[^›]*›", "", text)
    if len(re.findall(r"[^\W\d_]{2,}", plain)) < 2 and not ("‹" in text and " " in plain.strip()):
        return False
    return " " in text.strip() and not _STATEMENT.search(text) and not _PATTERN.search(text)


def main() -> None:
    """Print them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--words", action="store_true", help="each word and how often")
    if parser.parse_args().words:
        words = Counter(
            word.lower()
            for one in messages()
            for word in re.findall(r"[^\W\d_]{2,}", re.sub(r"‹[^›]*›", "", one.text))
        )
        for word, often in sorted(words.items(), key=lambda item: (item[1], item[0])):
            print(often, word)
        return
    file = ""
    for one in messages():
        if one.file != file:
            print(f"\n{one.file}")
            file = one.file
        print(f"  {one.line:4}  {one.text}")


if __name__ == "__main__":
    main()
