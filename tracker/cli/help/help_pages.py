"""What `stillroom` and `stillroom --help` print."""

from tracker.cli.help.verb_table import SECTIONS

_HEAD = "Stillroom knows every jar on a tincture shelf."
_LAST = "Help for one verb, with examples: stillroom VERB --help"
_EVERY_DAY = 5  # so many verbs stand on the short page


def whole_page() -> str:
    """Every verb in the order of the work, a line each."""
    width = max(len(verb) for rows in SECTIONS.values() for verb, _, _ in rows)
    lines = [
        "stillroom [--book FOLDER] VERB ...",
        "",
        _HEAD,
        "--book names the folder of the record, as STILLROOM_BOOK does.",
        "--version prints the version.",
    ]
    for section, rows in SECTIONS.items():
        lines += ["", f"{section[0].upper()}{section[1:]}"]
        lines += [f"  {verb:{width}}  {line}" for verb, _, line in rows]
    return "\n".join([*lines, "", _LAST, ""])


def short_page() -> str:
    """What it is, the verbs of every day, and where the others are."""
    rows = next(iter(SECTIONS.values()))[:_EVERY_DAY]
    width = max(len(verb) for verb, _, _ in rows)
    lines = [f"  {verb:{width}}  {line}" for verb, _, line in rows]
    begin = "Begin with `stillroom begin`, or with `stillroom demo FOLDER` to try things on."
    return "\n".join([_HEAD, "", *lines, "", begin, "All verbs: stillroom --help", ""])
