"""What `shelf`, `stock` and `due` print, whatever read the command line."""

from datetime import date
from typing import TYPE_CHECKING, Literal

from tracker.bench.bench import Bench
from tracker.bench.day_shelf import DayShelf, day_shelf
from tracker.cli.damaged_book import tell_damages
from tracker.cli.given.day_asked import day_asked
from tracker.cli.screen import columns, has_colour, say, say_lines
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tracker.cli.verbs.looking.shelf_filters import Wanted
    from tracker.core.practice.practice import Practice
    from tracker.core.rules.reminders import Due
    from tracker.core.shelf.flag import Flag
    from tracker.outputs.answer_fields import Answer

Form = Literal["table", "json", "csv"]


def shelf(
    bench: Bench,
    on: str | None = None,
    *,
    done: bool = False,
    wanted: "Wanted | None" = None,
    form: Form = "table",
) -> None:
    """The jars with herb in them, what matters next first."""
    with bench.asking():
        day = day_asked(bench, on)
        today, practice = day or bench.today(), bench.practice
        found = bench.batches(live_only=not done, on=day)
        every = found if done else [*_with_herb_in(found)]
        rows = every
        if wanted:
            found = [one for one in found if wanted.fits(whole(one), practice, today)]
            rows = found if done else [*_with_herb_in(found)]
        from tracker.outputs.terminal.shelf_table import shelf_fields

        not_held = bench.not_held()
        if form != "table":
            _say_fields(shelf_fields(rows, practice, today, not_held), form)
        elif not every:
            say("The shelf is empty. `stillroom charge` begins the first jar.", err=True)
        elif not rows:
            assert wanted is not None
            say(wanted.nothing_found(map(whole, every), practice, today), err=True)
        else:
            _show_shelf(found, practice, today, not_held, done=done)
        tell_damages(bench.damages())


def _with_herb_in(batches: list[Batch]) -> list[Jar]:
    return [one for one in batches if isinstance(one, Jar) and one.is_macerating]


def _show_shelf(
    found: list[Batch], practice: "Practice", today: date, not_held: "Sequence[Flag]", *, done: bool
) -> None:
    from tracker.outputs.terminal.shelf_table import done_table, shelf_table

    total, colour = columns(), has_colour()
    jars = _with_herb_in(found)
    lines = shelf_table(jars, practice, today, total=total, colour=colour, not_held=not_held)
    if done:
        ended = done_table(found, practice, today, total=total, colour=colour, not_held=not_held)
        lines += ["", *ended]
    say_lines(lines)


def stock(
    bench: Bench,
    on: str | None = None,
    *,
    cost: bool = False,
    wanted: "Wanted | None" = None,
    form: Form = "table",
) -> None:
    """Extracts and bottles, the first to expire first."""
    from tracker.outputs.terminal.stock_table import in_stock, stock_fields, stock_table

    with bench.asking():
        day = day_asked(bench, on)
        today, practice = day or bench.today(), bench.practice
        found = bench.batches(live_only=True, on=day)
        lots = {lot.id: lot for lot in bench.lots()} if cost or form != "table" else None
        every, not_held = in_stock(found, practice), bench.not_held()
        things = every
        if wanted:
            things = [one for one in every if wanted.fits(one, practice, today)]
        if form != "table":
            _say_fields(stock_fields(things, practice, today, lots, not_held), form)
        elif not every:
            say("There is no stock. `stillroom press` makes some.", err=True)
        elif not things:
            assert wanted is not None
            say(wanted.nothing_found(every, practice, today), err=True)
        else:
            lines = stock_table(
                things,
                practice,
                today,
                total=columns(),
                colour=has_colour(),
                lots=lots,
                not_held=not_held,
            )
            say_lines(lines)
        tell_damages(bench.damages())


def due(
    bench: Bench, on: str | None = None, *, unfolded: bool = False, form: Form = "table"
) -> None:
    """What is due in groups, most pressing first, one line a jar."""
    from tracker.outputs.view.day import day_of

    with bench.asking():
        day = day_asked(bench, on)
        today = day or bench.today()
        shelf = (
            day_shelf(bench, today)
            if day is None
            else DayShelf(bench.batches(live_only=True, on=day))
        )
        found = day_of(shelf.batches, bench.practice, today, bench.not_held(), ahead=shelf.ahead)
        if form == "table" and not found.lines:
            _say_what_comes(shelf.batches, bench.practice, today, day)
        else:
            _say_due(found.lines, shelf.batches, bench.practice, today, unfolded, form)
        for code, flag in found.questions:
            from tracker.outputs.words.flags import flag_text

            why = flag_text(flag, bench.present)
            say(f"QUESTION about {shown(code)}: {shown(why)}.", err=True)
        tell_damages(bench.damages())


def _say_due(
    lines: "Sequence[Due]",
    batches: "Sequence[Batch]",
    practice: "Practice",
    today: date,
    unfolded: bool,
    form: Form,
) -> None:
    from tracker.outputs.terminal.due_groups import due_fields, due_groups
    from tracker.outputs.words.due.due_names import with_names

    items = with_names(lines, batches, practice.names)
    if form != "table":
        _say_fields(due_fields(items, today), form)
        return
    total, colour = columns(), has_colour()
    said = due_groups(items, today, practice.names, total=total, colour=colour, unfolded=unfolded)
    say_lines(said)


def _say_what_comes(
    batches: "Sequence[Batch]", practice: "Practice", today: date, on: date | None
) -> None:
    from tracker.outputs.view.day import next_due
    from tracker.outputs.words.due.due_names import to_do_said, with_names
    from tracker.outputs.words.due.near_days import day_in_full, next_day

    day = "today" if on is None else f"on {day_in_full(on)}"
    coming = next_due(batches, practice, today)
    if coming is None:
        say(f"Nothing is due {day}, nor in the week after.", err=True)
        return
    item = with_names([coming[1]], batches, practice.names)[0]
    text = f"Nothing is due {day}. Next: {to_do_said(item)} {next_day(coming[0], today)}."
    say(shown(text), err=True)


def _say_fields(answers: "list[Answer]", form: Form) -> None:
    from tracker.cli.printing import echo_csv, echo_json
    from tracker.outputs.answer_fields import in_columns

    echo_json(answers) if form == "json" else echo_csv(in_columns(answers))
