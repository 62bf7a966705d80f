"""Play the maker's day of docs/a-day.md in a real terminal of 80 by 24, and write what it showed.

python scripts/record_day.py        writes what the program answers now into the page

The page is the script of the day: a heading gives the time, a line that begins with `$` is a
command, and what stands between « and » was typed at the question before it.
"""

import re
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from tests.command import Command, Talk  # noqa: E402 - found from the root
from tests.daemon.running import WallClock  # noqa: E402

PAGE = ROOT / "docs" / "a-day.md"
DAY = date(2026, 6, 13)
ZONE = "Europe/Berlin"
BLOCK = re.compile(
    r"^## (?P<time>\d\d:\d\d)"
    r"|^```text (?P<file>\S+)\n(?P<text>.*?)^```"
    r"|^```console\n(?P<said>.*?)^```",
    re.DOTALL | re.MULTILINE,
)
TYPED = re.compile("«(.*?)»")


def played(page: str, home: Path) -> str:
    """The page with every answer as the program gives it today."""
    command = Command(home, writer="bench", zone=ZONE)
    for name in ("STILLROOM_BOOK", "STILLROOM_WRITER", "XDG_DATA_HOME"):
        del command.env[name]
    command.env |= {"NO_COLOR": "1", "LANG": "C.UTF-8"}
    clock = WallClock(command)
    minute = timedelta()

    def block(found: re.Match[str]) -> str:
        nonlocal minute
        if time := found["time"]:
            minute = timedelta(hours=int(time[:2]), minutes=int(time[3:]))
        elif name := found["file"]:
            (home / name).write_text(found["text"])
        else:
            said = list[str]()
            for line, typed in commands(found["said"]):
                clock.set(
                    f"{DAY}T{minute // timedelta(hours=1):02}:{minute.seconds // 60 % 60:02}:20"
                )
                minute += timedelta(minutes=1)
                talk = command.talk(line.removeprefix("stillroom "), *typed)
                said.append(f"$ {line}\n{marked(talk)}".replace(str(home), "~").rstrip())
            return "```console\n" + "\n".join(said) + "\n```"
        return found[0]

    return BLOCK.sub(block, page)


def commands(said: str) -> list[tuple[str, list[str]]]:
    """Each command of a block, and what was typed at its questions."""
    parts = re.split(r"^\$ ", said, flags=re.MULTILINE)[1:]
    return [(line.partition("\n")[0], TYPED.findall(line.partition("\n")[2])) for line in parts]


def marked(talk: Talk) -> str:
    """The screen with what was typed between « and »."""
    text, at = "", 0
    for where, typed in talk.typed:
        text += talk.screen[at:where] + f"«{typed}»"
        at = where + len(typed)
    text += talk.screen[at:]
    return "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").splitlines())


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        PAGE.write_text(played(PAGE.read_text(), Path(folder)))
