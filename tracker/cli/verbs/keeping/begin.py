"""`begin`: where the book stands, who records here, the country, and the reminders; once."""

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from tracker.bench.bench import Bench
from tracker.bench.first_steps import Steps, Wanted, carry_out, place_in_use
from tracker.bench.home_country import country_code, system_zone
from tracker.bench.own_person import own_person
from tracker.cli.asking import Decision, decision
from tracker.cli.desk import AsJson
from tracker.cli.printing import echo_json
from tracker.cli.screen import columns
from tracker.cli.verbs.keeping import login_service
from tracker.cli.verbs.keeping.begin_questions import (
    COUNTRY_HELP,
    HOUR_HELP,
    NOBODY,
    PERSON_HELP,
    PLACE_HELP,
    REMINDERS_HELP,
    hour_of,
    person_of,
    put,
)
from tracker.cli.verbs.keeping.begin_shown import fields, rows
from tracker.cli.verbs.keeping.reminder_switch import switch_on
from tracker.core.practice.countries import COUNTRIES, Country, country
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import shown
from tracker.outputs.terminal.named_rows import named_rows

app = typer.Typer(rich_markup_mode=None)

At = Annotated[Path | None, typer.Option("--at", help="The folder of the book, new or old.")]
Me = Annotated[
    str | None, typer.Option("--me", help=f"Who records here: a name or initials; {NOBODY}.")
]
Where = Annotated[
    str | None, typer.Option("--country", help="Its name or code: money, paper, seasons, zone.")
]
Hour = Annotated[str | None, typer.Option("--hour", help="When reminders come each day: 8, 7:30.")]
On = Annotated[
    bool | None, typer.Option("--reminders/--no-reminders", help="Started at every login, or not.")
]


@app.command()
def begin(
    context: typer.Context,
    at: At = None,
    me: Me = None,
    where: Where = None,
    hour: Hour = None,
    reminders: On = None,
    yes: Annotated[bool, typer.Option("--yes", help="Write it without asking.")] = False,
    as_json: AsJson = False,
) -> None:
    """Where the book stands, who you are, your country: once."""
    asks = sys.stdin.isatty() and not (yes or as_json)
    named: Path | None = (context.parent.params if context.parent else {}).get("book")
    bench = _bench(at, named or Path(place_in_use()), asks=asks)
    wanted = Wanted(
        place=bench.book,
        person=_person(me, asks=asks),
        country=_country(where, bench, asks=asks),
        digest_at=_hour(hour, bench, asks=asks),
        reminders=_reminders(reminders, bench, asks=asks),
    )
    steps = Steps.to(wanted, bench)
    is_asked = not asks and not yes and {at, me, where, hour, reminders} == {None}
    changes = not is_asked and (steps.changes or wanted.reminders is not None)
    if not as_json:
        for line in named_rows(rows(wanted, steps, bench), columns()):
            typer.echo(line, err=asks)
    if not changes:
        _end(bench, steps, as_json=as_json)
        return
    if asks and decision("Write this?", usual="yes") != "yes":
        typer.echo("Nothing was written.", err=True)
        raise typer.Exit(1)
    if not (asks or yes):
        raise MisusedError(
            "Nothing was written yet.",
            where="the command line: there is nobody to ask",
            do="add --yes to write it.",
        )
    carry_out(steps)
    _switch(wanted.reminders, Bench(bench.book))
    _end(Bench(bench.book), steps, as_json=as_json)


def _bench(at: Path | None, offered: Path, *, asks: bool) -> Bench:
    """The bench of the folder that is given, or answered."""
    if at is not None or not asks:
        return _placed(str(at or offered))
    return put("Where the book stands", str(_whole(str(offered))), _placed, PLACE_HELP)


def _placed(text: str) -> Bench:
    """The bench of a folder where a book is or could begin, whose rules can be read.

    Raises:
        TrackerError: none can be there.
    """
    try:
        bench = Bench(_whole(text), named=False)
        bench.check_is_book()
    except (OSError, ValueError, RuntimeError) as reason:
        why = getattr(reason, "strerror", None) or reason
        raise MisusedError(
            f"A book cannot be there: {why}.", where=text, do="name a folder."
        ) from reason
    _ = bench.practice
    return bench


def _whole(text: str) -> Path:
    return Path(os.path.abspath(Path(text.strip()).expanduser()))  # noqa: PTH100  # no link followed


def _person(given: str | None, *, asks: bool) -> str | None:
    """The person to be kept: "" for nobody."""
    own = own_person()
    if given is None and not asks:
        return own
    if given is not None:
        return person_of(given)
    return put("Who you are, a name or initials", own or NOBODY, person_of, PERSON_HELP)


def _country(given: str | None, bench: Bench, *, asks: bool) -> Country | None:
    """The country that was given or answered; None leaves what it settles as it is."""
    if given is not None:
        return country(given)
    if not asks:
        return None
    is_set = bench.practice.origins.keys() & {"currency", "units", "hemisphere", "zone"}
    likely = COUNTRIES.get(country_code(system_zone()) or "")
    offered = "as it is" if is_set else likely.name if likely else "leave it"

    def read(text: str) -> Country | None:
        return None if text in ("as it is", "leave it") else country(text)

    return put("Your country, a name or code", offered, read, COUNTRY_HELP)


def _hour(given: str | None, bench: Bench, *, asks: bool) -> str | None:
    """The hour of the digest; None leaves it."""
    if given is not None:
        return hour_of(given)
    if not asks:
        return None
    return put("Remind each day at", f"{bench.practice.digest_at:%H:%M}", hour_of, HOUR_HELP)


def _reminders(given: bool | None, bench: Bench, *, asks: bool) -> bool | None:
    """Whether reminders are to be switched; None where they are as they should be."""
    kept = login_service.is_kept_on(bench) is True
    if given is None and asks:
        can = login_service.can_be_kept_on()
        usual: Decision = "yes" if kept or can else "no"
        asked = decision("Reminders at every login?", usual=usual, help_=REMINDERS_HELP)
        given = asked == "yes"
    return None if given is None or given == kept else given


def _switch(reminders: bool | None, bench: Bench) -> None:
    """Switch them; a system that does not is said, and takes nothing back."""
    try:
        if reminders:
            for line in switch_on(bench):
                typer.echo(shown(line), err=True)
        elif reminders is not None:
            login_service.let_go(bench)
    except TrackerError as failed:
        for line in str(failed).split("\n"):
            typer.echo(shown(line), err=True)


def _end(bench: Bench, steps: Steps, *, as_json: bool) -> None:
    for remark in steps.remarks():
        typer.echo(shown(remark), err=True)
    if login_service.is_kept_on(bench) is None:
        typer.echo("Reminders are on for another book: stillroom reminders on", err=True)
    if as_json:
        echo_json(fields(bench))
    elif not (bench.book / "events").is_dir():
        typer.echo("Next: stillroom charge", err=True)
