"""What the terminal shows, set by the browser in the colours of the program."""

import io

from PIL import Image
from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from pictures.stage import Stage

COLUMNS = 80
# Black to white, and the same bright: a quiet terminal by night. Red lies under white words.
_NORMAL = [(22, 29, 24), (170, 58, 24), (143, 199, 164), (227, 191, 107)]
_NORMAL += [(150, 184, 214), (211, 170, 205), (140, 200, 200), (255, 253, 244)]
_BRIGHT = [(169, 179, 166), *_NORMAL[1:]]
THEME = TerminalTheme((22, 29, 24), (233, 230, 216), _NORMAL, _BRIGHT)
FORMAT = """<!DOCTYPE html><meta charset="utf-8"><style>
body {{ margin: 0; background: #161d18 }}
pre {{ display: inline-block; margin: 0; padding: 18px 22px; background: #161d18; color: #e9e6d8;
  font: 15px/1.32 "DejaVu Sans Mono", "Liberation Mono", monospace }}
</style><pre>{code}</pre>"""


def terminal(stage: Stage, line: str) -> Image.Image:
    """A command as it was typed, and what it printed on a terminal of 80 columns."""
    talk = stage.command.talk(line, columns=COLUMNS)
    assert talk.code == 0, talk.screen
    printed = talk.screen.replace("\r\n", "\n").rstrip()
    printed = printed.replace("\x1b[2m", "\x1b[90m")  # faint as a colour that can be read
    console = Console(record=True, width=COLUMNS, color_system="truecolor", file=io.StringIO())
    console.print(Text.from_ansi(f"\x1b[1m$ stillroom {line}\x1b[0m\n{printed}"))
    set_as = console.export_html(theme=THEME, code_format=FORMAT, inline_styles=True)
    page = stage.command.home / "terminal.html"
    page.write_text(set_as)
    return stage.looked_at(page, width=900, height=600, only="pre")
