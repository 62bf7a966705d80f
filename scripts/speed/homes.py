"""A seeded book with a home of its own: folders for what is derived, and ways to change it."""

import json
import os
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from speed.processes import Task

# How what is part of the read model is called in the cache; all else there are kept answers.
MODEL = "shelf-"
_KEPT = ("PATH", "HOME", "LANG", "LC_ALL", "TMPDIR", "LD_LIBRARY_PATH")


@dataclass(frozen=True)
class Home:
    """One book, one cache, one state, and the program that is measured with them."""

    place: Path
    program: Path  # the folder of its `stillroom` and its `python`
    events: int = 0

    def __len__(self) -> int:
        return self.events

    @property
    def book(self) -> Path:
        """The folder of the book."""
        return self.place / "book"

    @property
    def cache(self) -> Path:
        """The folder of what can be deleted at any time."""
        return self.place / "cache"

    @property
    def env(self) -> Mapping[str, str]:
        """The environment of what runs here, and nothing of whoever runs it."""
        return {name: os.environ[name] for name in _KEPT if name in os.environ} | {
            "STILLROOM_BOOK": str(self.book),
            "STILLROOM_WRITER": "bench-own",
            "XDG_CACHE_HOME": str(self.cache),
            "XDG_STATE_HOME": str(self.place / "state"),
            "XDG_CONFIG_HOME": str(self.place / "config"),
            "NO_COLOR": "1",
            "TZ": "UTC",
        }

    def copy(self, name: str) -> "Home":
        """The same book in another home, with what is derived from it."""
        other = replace(self, place=self.place.with_name(name))
        shutil.copytree(self.place, other.place)
        return other

    def task(self, *words: str, forget: str = "", cores: int | None = None) -> Task:
        """A run of the command, before which the `answers` or `all` of the cache is deleted."""
        return self.task_each(iter(lambda: words, ()), forget=forget, cores=cores)

    def task_each(
        self, words: Iterator[tuple[str, ...]], forget: str = "", cores: int | None = None
    ) -> Task:
        """The same with other words for each run."""
        before = {"": _nothing, "answers": self.forget_answers, "all": self.forget}[forget]
        stillroom = str(self.program / "stillroom")
        return Task(lambda: (stillroom, *next(words)), self.env, before, cores)

    def after(self, writer: str, *words: str) -> Task:
        """A run of the command just after another machine's next line has come in."""
        lines = self._lines_of(writer)

        def come_in() -> None:
            self.forget_answers()
            with (self.book / "events" / f"{writer}.jsonl").open("ab") as file:
                file.write(next(lines))

        stillroom = str(self.program / "stillroom")
        return Task(lambda: (stillroom, *words), self.env, come_in)

    def _lines_of(self, writer: str) -> Iterator[bytes]:
        """The lines of a machine that has not been heard of yet."""
        with (self.place / "book.later" / f"{writer}.jsonl").open("rb") as file:
            yield from file

    def forget(self) -> None:
        """Delete everything that is derived."""
        shutil.rmtree(self.cache, ignore_errors=True)

    def forget_answers(self) -> None:
        """Delete what is derived, but for the read model."""
        for path in self._answers():
            path.unlink(missing_ok=True)

    def keeps_answers(self) -> bool:
        """Whether an answer was kept for the next time."""
        return any(True for _ in self._answers())

    def _answers(self) -> Iterator[Path]:
        for path in list(self.cache.rglob("*")):
            names = path.relative_to(self.cache).parts
            if path.is_file() and not any(name.startswith(MODEL) for name in names):
                yield path

    def answer(self, *words: str) -> list[dict[str, object]]:
        """What the command answers as JSON."""
        line = [str(self.program / "stillroom"), *words, "--json"]
        done = subprocess.run(line, env=dict(self.env), check=True, capture_output=True)
        found: list[dict[str, object]] = json.loads(done.stdout)
        return found


def _nothing() -> None:
    return None
