"""Which thing is meant: a jar, an extract or several, as verbs of every section ask it."""

from msgspec.structs import replace

from tracker.cli.questions import on_shelf
from tracker.cli.questions.asked import Asked

_ONE = "Its number here, its code or its name."
_SEVERAL = "Numbers or codes with spaces between, or a name."

JAR = Asked(
    name="code",
    words="Which jar",
    help=_ONE,
    offers=lambda walk: on_shelf.pressing(walk, on_shelf.free_jars(walk)),
    may_skip=False,
)
EXTRACT = replace(
    JAR,
    words="Which extract",
    offers=lambda walk: on_shelf.offered(walk, on_shelf.free_extracts(walk)),
)
THINGS = Asked(
    name="codes",
    words="Which jars or extracts",
    help=_SEVERAL,
    offers=lambda walk: on_shelf.pressing(
        walk, [*on_shelf.whole_jars(walk), *on_shelf.extracts(walk)]
    ),
    may_skip=False,
    many="codes",
    fills=("codes", "every"),
)
WHY = Asked(
    name="why",
    words="Why",
    help="In your own words; it stands in the history.",
    may_skip=False,
    sample=lambda _: "?",
)
