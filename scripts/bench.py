"""Speed as ratios to floors measured in the same run, on seeded books of 10k and 100k events.

    python scripts/bench.py            needs hyperfine and /usr/bin/time (Debian: time)

Floors: for asking, a bare typer app with as many verbs; for the rebuild, decoding the same
lines with orjson, checking their SHA-256 chain and folding them trivially.
"""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bench_book import write_book

from tracker.cli.main import VERBS

BIN = Path(sys.executable).parent
SIZES = (10_000, 100_000)
ASK_LIMIT, REBUILD_LIMIT, GROWTH_LIMIT = 1.5, 3.0, 1.1

REBUILD_FLOOR = """
import sys, orjson
from hashlib import sha256
counts, digest = {}, "0" * 64
with open(sys.argv[1], "rb") as file:
    for line in file:
        event = orjson.loads(line)
        body = line[: line.rindex(b',"digest":')]
        digest = sha256(digest.encode() + body).hexdigest()
        assert digest == event["digest"]
        counts[event["subject"]] = counts.get(event["subject"], 0) + 1
"""


def bare_app(verbs: int) -> str:
    """A typer program with this many verbs, each with the usual options and no work."""
    lines = ["import typer", "app = typer.Typer(add_completion=False, rich_markup_mode=None)"]
    for number in range(verbs):
        lines += [
            "@app.command()",
            f"def verb{number}(code: str = 'x', on: str = '', note: str = '',",
            "    as_json: bool = False, as_csv: bool = False) -> None:",
            '    """Say the code."""',
            "    typer.echo(code)",
        ]
    return "\n".join([*lines, "app()"])


def seconds(commands: dict[str, list[str]], prepare: dict[str, str], runs: int) -> dict[str, float]:
    """The median wall time of each command, interleaved by hyperfine."""
    found = {}
    for name, command in commands.items():
        with tempfile.NamedTemporaryFile(suffix=".json") as report:
            line = ["hyperfine", "-N", "-w", "2", "-r", str(runs), "--export-json", report.name]
            if name in prepare:
                line += ["--prepare", prepare[name]]
            text = shlex.join(command)
            subprocess.run([*line, text], check=True, capture_output=True)
            found[name] = json.loads(Path(report.name).read_text())["results"][0]["median"]
    return found


def peak_mib(command: list[str]) -> float:
    """The most memory a command held, by /usr/bin/time."""
    done = subprocess.run(
        ["/usr/bin/time", "-v", *command], check=True, capture_output=True, text=True
    )
    found = re.search(r"Maximum resident set size \(kbytes\): (\d+)", done.stderr)
    return int(found[1]) / 1024 if found else 0.0


def measure(size: int, work: Path) -> dict[str, float]:
    """Ratios and memory for a book of one size."""
    book, floor, bare = work / f"book{size}", work / "floor.py", work / "bare.py"
    write_book(book, size)
    floor.write_text(REBUILD_FLOOR)
    bare.write_text(bare_app(len(VERBS)))
    lines = str(next((book / "events").iterdir()))
    stillroom = [str(BIN / "stillroom"), "--book", str(book)]
    cache = Path(os.environ["XDG_CACHE_HOME"]) / "stillroom"
    python = sys.executable
    took = seconds(
        {
            "rebuild": [*stillroom, "due"],
            "rebuild floor": [python, str(floor), lines],
            "shelf": [*stillroom, "shelf"],
            "show": [*stillroom, "show", "BENCH-00001"],
            "bare": [python, str(bare), "verb3"],
            "python": [python, "-c", "pass"],
        },
        {"rebuild": f"rm -rf {cache}"},
        runs=5 if size > 10_000 else 11,
    )
    shutil.rmtree(cache)
    return {
        **{f"{name} s": value for name, value in took.items()},
        "rebuild / floor": took["rebuild"] / took["rebuild floor"],
        "shelf / bare": took["shelf"] / took["bare"],
        "show / bare": took["show"] / took["bare"],
        "rebuild MiB": peak_mib([*stillroom, "due"]),
        "shelf MiB": peak_mib([*stillroom, "shelf"]),
    }


def main() -> int:
    """Print every figure; exit 1 where a ratio is over its limit."""
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        os.environ |= {
            "XDG_CACHE_HOME": str(work / "cache"),
            "XDG_STATE_HOME": str(work / "state"),
            "NO_COLOR": "1",
        }
        found = {size: measure(size, work) for size in SIZES}
    small, large = (found[size] for size in SIZES)
    for name in small:
        print(f"{name:<18}{small[name]:>10.3f}{large[name]:>10.3f}")
    growth = (large["rebuild s"] - small["rebuild s"]) / (
        large["rebuild floor s"] - small["rebuild floor s"]
    )
    print(f"{'rebuild, a line':<18}{'':>10}{growth:>10.3f}  x the floor's cost of a line")
    over = [
        f"{name} {large[name]:.2f} > {limit}"
        for name, limit in (
            ("rebuild / floor", REBUILD_LIMIT),
            ("shelf / bare", ASK_LIMIT),
            ("show / bare", ASK_LIMIT),
        )
        if large[name] > limit
    ]
    # As ratios to the bare app: the machine may be slower by the second book.
    if large["shelf / bare"] > small["shelf / bare"] * GROWTH_LIMIT:
        over.append("asking grows with the book")
    for line in over:
        print("OVER:", line)
    return bool(over)


if __name__ == "__main__":
    sys.exit(main())
