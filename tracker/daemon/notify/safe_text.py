"""Text of a notice made safe to show: one line, lines, a body, or markup."""

from tracker.core.values.text import shown as plain_line

__all__ = ["as_markup", "plain_body", "plain_line", "plain_lines"]


def plain_lines(text: str) -> list[str]:
    """The lines of `text`, cut at line feeds only, each made plain."""
    return [plain_line(line) for line in text.split("\n")]


def plain_body(text: str) -> str:
    """`text` made plain, its line feeds kept."""
    return "\n".join(plain_lines(text))


def as_markup(text: str) -> str:
    """`text` for a reader of markup, who then sees it as written."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
