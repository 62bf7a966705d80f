"""A jar's history in as few lines as say it all: rounds of shaking drawn together."""

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from tracker.core.facts.entry import Entry
from tracker.outputs.terminal.history import history_answers
from tracker.outputs.view.answers import Answer


class HistoryLine(msgspec.Struct, frozen=True):
    """One line of a history; `mark` says if it no longer counts as written."""

    when: str
    said: str
    by: str
    number: str = ""
    mark: str = ""


def history_lines(entries: Sequence[Entry], names: Mapping[str, str]) -> tuple[HistoryLine, ...]:
    """The history, with shakes that follow each other in one line."""
    return tuple(_lines(history_answers(entries, names)))


def _lines(answers: Sequence[Answer]) -> Iterator[HistoryLine]:
    run: list[Answer] = []
    for answer in answers:
        if _is_plain_shake(answer):
            run.append(answer)
            continue
        yield from _shakes(run)
        run = []
        yield _line(answer)
    yield from _shakes(run)


def _is_plain_shake(answer: Answer) -> bool:
    """Whether it is a shake without a note and without an amendment."""
    said = str(answer["said"])
    is_remarked = " – " in said
    return (
        answer["kind"] == "shaken"
        and not is_remarked
        and not (answer["struck_by"] or answer["corrected_by"])
    )


def _shakes(run: Sequence[Answer]) -> Iterator[HistoryLine]:
    if len(run) < 2:
        yield from (_line(one) for one in run)
        return
    first, last = str(run[0]["when"]), str(run[-1]["when"])
    writers = dict.fromkeys(_by(one) for one in run)
    when = first if first == last else f"{first} to {last}"
    yield HistoryLine(when, f"shaken {len(run)} times", ", ".join(writers))


def _line(answer: Answer) -> HistoryLine:
    mark = "struck" if answer["struck_by"] else "corrected" if answer["corrected_by"] else ""
    return HistoryLine(
        str(answer["when"]),
        str(answer["said"]),
        _by(answer),
        str(answer["number"]),
        mark,
    )


def _by(answer: Answer) -> str:
    return str(answer["by"] or answer["writer"])
