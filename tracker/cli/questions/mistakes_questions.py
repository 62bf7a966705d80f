"""What `same` asks; `undo`, `correct` and `strike` show lines and ask about those."""

from msgspec.structs import replace

from tracker.cli.questions.asked import Asked
from tracker.cli.questions.which_questions import WHY

_LINE = Asked(
    name="event",
    words="Which line stands",
    such_as=lambda _: "214, or a code",
    help="Its number in `history`; of a code its lines are shown.",
    may_skip=False,
)

ASKED = {
    "same": (
        _LINE,
        replace(_LINE, name="other", words="Which line says it again"),
        replace(WHY, may_skip=True),
    )
}
