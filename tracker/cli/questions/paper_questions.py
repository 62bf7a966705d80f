"""What `label` asks."""

from msgspec.structs import replace

from tracker.cli.questions import on_shelf
from tracker.cli.questions.which_questions import THINGS

ASKED = {
    "label": (
        replace(
            THINGS,
            words="Labels for which",
            help=f"{THINGS.help} --bottles makes one for each bottle.",
            offers=lambda walk: on_shelf.offered(
                walk, [*on_shelf.extracts(walk), *reversed(on_shelf.whole_jars(walk))]
            ),
        ),
    )
}
