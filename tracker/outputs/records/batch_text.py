"""The batch record as text of 80 columns, with lines to sign in ink."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final

from tracker.core.values.text import shown
from tracker.outputs.records.batch_head import head_of
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.records.batch_sections import sections
from tracker.outputs.records.record_table import RecordRow, Section
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.wrapping import wrapped

_TOTAL: Final = 80
_INDENT, _GAP = 2, 2
# Cells: where a column of words would be narrower, they go below the other columns.
_LEAST: Final = 40
_SHORT: Final = 24
# Before what stands in these columns, where no head stands above it.
_SAID: Final = {"BY": "by ", "WRITTEN DOWN": "written down ", "LINE": "line "}


def text(
    record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo, *, colour: bool
) -> list[str]:
    """The record in lines; `made_up` says what the batch is made of, as name and value."""
    lines = _head(record, zone, colour=colour)
    for part in sections(record, made_up, zone):
        note = f" – {part.note}" if part.note else ""
        lines += [
            "",
            styled(f"{part.head}{note}", "bold", colour=colour),
            *_body(part, colour=colour),
        ]
    lines += ["", styled("To fill in and sign", "bold", colour=colour)]
    for what in record.to_fill_in:
        lines += ["", f"  {what:<28}{'_' * 48}"]
    for what in record.to_sign:
        lines += ["", f"  {what:<28}{'_' * 26}  on {'_' * 18}"]
    return lines


def _head(record: Record, zone: tzinfo, *, colour: bool) -> list[str]:
    found = head_of(record, zone)
    lines = [styled(shown(f"BATCH RECORD  {record.code}"), "bold", colour=colour)]
    for said in found.grave:
        lines += [f"  {styled(one, 'bad', colour=colour)}" for one in _wrapped(said, _INDENT)]
    lines += [f"  {one}" for one in _wrapped(found.name, _INDENT)]
    for latin in found.latin:
        lines += [f"  {styled(one, 'latin', colour=colour)}" for one in _wrapped(latin, _INDENT)]
    for said in found.heed:
        lines += [f"  {styled(one, 'warn', colour=colour)}" for one in _wrapped(said, _INDENT)]
    for said in ("; ".join(found.lines), *found.small):
        lines += _hanging(said, _INDENT)
    return lines


def _wrapped(said: str, indent: int) -> list[str]:
    return wrapped(shown(said), _TOTAL - indent)


def _hanging(said: str, indent: int) -> list[str]:
    """A text in lines; those after the first are indented a little more."""
    first, *rest = wrapped(said, _TOTAL - indent - 2)
    return [" " * indent + first, *(" " * (indent + 2) + one for one in rest)]


def _body(part: Section, *, colour: bool) -> list[str]:
    if len(part.columns) == 1:
        rows = [para.text for row in part.rows for para in row[0]]
        return [line for one in rows for line in _hanging(one, _INDENT)]
    widths = _widths(part)
    flexible = [at for at, one in enumerate(part.columns) if one.is_flexible]
    if any(_is_narrow(widths[at], _natural(part, at)) for at in flexible):
        return [line for row in part.rows for line in _stacked(part, row, flexible)]
    heads = [one.head for one in part.columns]
    head = [styled(_line(heads, part, widths), "faint", colour=colour)] if any(heads) else []
    return [*head, *(line for row in part.rows for line in _tabled(part, row, widths))]


def _is_narrow(cells: int, natural: int) -> bool:
    """Whether a column is too narrow for what it says; a word or two may stand on two lines."""
    return cells < (min(_LEAST, natural) if natural > _SHORT else natural // 2)


def _natural(part: Section, at: int) -> int:
    paras = [para.text for row in part.rows for para in row[at]]
    return max(width(part.columns[at].head), *(width(one) for one in paras))


def _widths(part: Section) -> list[int]:
    """The cells of each column: what it needs, and of the flexible ones what is left."""
    natural = [_natural(part, at) for at in range(len(part.columns))]
    flexible = [at for at, one in enumerate(part.columns) if one.is_flexible]
    left = _TOTAL - _INDENT - _GAP * (len(natural) - 1)
    left -= sum(cells for at, cells in enumerate(natural) if at not in flexible)
    while flexible and sum(natural[at] for at in flexible) > max(left, len(flexible)):
        natural[max(flexible, key=lambda at: natural[at])] -= 1
    return natural


def _tabled(part: Section, row: RecordRow, widths: Sequence[int]) -> list[str]:
    """A row as lines of its columns, each cell parted between words."""
    cells = [
        [line for para in one for line in wrapped(para.text, max(wide, 1))]
        for one, wide in zip(row, widths, strict=True)
    ]
    high = max(len(one) for one in cells)
    return [
        _line([one[at] if at < len(one) else "" for one in cells], part, widths)
        for at in range(high)
    ]


def _line(cells: Sequence[str], part: Section, widths: Sequence[int]) -> str:
    said = []
    for text_, column, wide in zip(cells, part.columns, widths, strict=True):
        blank = " " * (wide - width(text_))
        said.append(blank + text_ if column.is_number else text_ + blank)
    return (" " * _INDENT + (" " * _GAP).join(said)).rstrip()


def _stacked(part: Section, row: RecordRow, flexible: Sequence[int]) -> list[str]:
    """A row as a line of its short columns, and what it says in words below."""
    short = [
        f"{_led_by(column.head, one[0].text)}{', '.join(para.text for para in one)}"
        for at, (column, one) in enumerate(zip(part.columns, row, strict=True))
        if at not in flexible and any(para.text not in ("", "–") for para in one)
    ]
    lines = _hanging("  ".join(short), _INDENT)
    for at in flexible:
        for para in row[at]:
            lines += _hanging(para.text, _INDENT + 2)
    return lines


def _led_by(head: str, said: str) -> str:
    """The word before what stands in a column: `line 4`, `lines 6–12`."""
    several = head == "LINE" and not said.isalnum()
    return "lines " if several else _SAID.get(head, "")
