"""What `begin` shows before it writes, and what is set afterwards."""

from collections.abc import Iterator, Mapping

from tracker.bench.bench import Bench
from tracker.bench.first_steps import Steps, Wanted
from tracker.bench.own_person import own_person
from tracker.cli.verbs.keeping import login_service
from tracker.config.practice_edit import Key
from tracker.core.practice.practice import Practice

_PINTS_ML = {"us": 473, "british": 568}
_DATES = {"day first": ", 3/4 is 3 Apr", "month first": ", 3/4 is 4 Mar", "": ""}
_MEASURES = {"metric": "g and ml", "ounces": "oz and fl oz"}


def rows(wanted: Wanted, steps: Steps, bench: Bench) -> Iterator[tuple[str, str]]:
    """All that holds once it is written, line by line; what is new is said."""
    practice, keys = bench.practice, steps.keys
    is_new = not (bench.book / "events").is_dir()
    yield "The book", f"{bench.book}{', a new one' if is_new else ''}"
    person = own_person() if wanted.person is None else wanted.person
    yield "You", person or "nobody; `--by NAME` says who did a thing"
    yield "Country", _country(wanted, practice, keys)
    digest = keys.get(("reminders", "digest")) or f"{practice.digest_at:%H:%M}"
    kept = login_service.is_kept_on(bench) is True
    on = kept if wanted.reminders is None else wanted.reminders
    yield "Reminders", f"each day at {digest}; {'on' if on else 'off'}"


def _country(wanted: Wanted, practice: Practice, keys: Mapping[Key, str]) -> str:
    def now(key: Key, set_: str | None) -> str:
        return keys.get(key) or set_ or ""

    name = f"{wanted.country.name}: " if wanted.country else ""
    money = now(("", "currency"), practice.currency) or "no money named"
    sheet = now(("labels", "sheet"), practice.label_sheet)
    seasons = now(("", "hemisphere"), practice.hemisphere)
    pint_ml = _PINTS_ML[now(("", "units"), practice.units)]
    zone = now(("", "zone"), practice.zone) or "the zone of this machine"
    asked = _MEASURES[now(("", "measures"), practice.measures)]
    measures = f"labels on {sheet}, seasons of the {seasons}, {asked}, a pint is {pint_ml} ml"
    dates = _DATES[now(("", "dates"), practice.dates)]
    return f"{name}{money}, {measures}{dates}, {zone}"


def fields(bench: Bench) -> dict[str, object]:
    """The same as data."""
    practice = bench.practice
    return {
        "book": str(bench.book),
        "person": own_person(),
        "currency": practice.currency or None,
        "sheet": practice.label_sheet,
        "hemisphere": practice.hemisphere,
        "dates": practice.dates,
        "units": practice.units,
        "measures": practice.measures,
        "zone": practice.zone,
        "digest_at": f"{practice.digest_at:%H:%M}",
        "reminders": login_service.is_kept_on(bench) is True,
    }
