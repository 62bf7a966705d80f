"""What was done on a wrong value before it was corrected: part of the answer of a correction."""

from tracker.cli.sheet import Sheet
from tracker.core.facts.entry import Entry
from tracker.outputs.answer_fields import day
from tracker.outputs.words.fact_lines import said


def tell_meanwhile(sheet: Sheet) -> None:
    """Name what was printed, given out or decided since the value was written down."""
    sheet.after_admission.append(lambda: _tell(sheet))


def _tell(sheet: Sheet) -> None:
    found = sheet.recorded.meanwhile
    sheet.more["meanwhile"] = [
        {
            "id": one.id,
            "number": sheet.book.name_of(one),
            "kind": one.kind,
            "code": one.subject,
            "on": day(one.when),
            "recorded": one.recorded,
            "said": said(one.fact),
        }
        for one in found
    ]
    if found:
        sheet.tell(lambda: "Done on what it said before; look at each again:")
        sheet.lines += [lambda one=one: _line(sheet, one) for one in found]  # type: ignore[misc]  # bound now


def _line(sheet: Sheet, one: Entry) -> str:
    return f"  {one.when}  {sheet.book.name_of(one)}  {one.subject}  {said(one.fact)}"
