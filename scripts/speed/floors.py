"""What the program is held against: a bare Python, a bare command, and a bare replay."""

import os
import time
from pathlib import Path

BARE = '''
import typer
app = typer.Typer(add_completion=False, rich_markup_mode=None)
@app.command()
def one(code: str = "x", on: str = "") -> None:
    """Say."""
    typer.echo(code)
@app.command()
def two(code: str = "x") -> None:
    """Say."""
    typer.echo(code)
app()
'''

REPLAY = """
import sys
from hashlib import sha256
from pathlib import Path
import orjson
counts = {}
for path in sorted(Path(sys.argv[1]).glob("*.jsonl")):
    digest = "0" * 64
    with path.open("rb") as file:
        for line in file:
            event = orjson.loads(line)
            body = line[: line.rindex(b',"digest":')]
            digest = sha256(digest.encode() + body).hexdigest()
            assert digest == event["digest"]
            counts[event["subject"]] = counts.get(event["subject"], 0) + 1
"""


def synced_s(folder: Path) -> float:
    """The seconds to append a line to a file and see it on the disk."""
    with (folder / "synced").open("ab") as file:
        began = time.perf_counter()
        file.write(b"x" * 500)
        file.flush()
        os.fsync(file.fileno())
        return time.perf_counter() - began
