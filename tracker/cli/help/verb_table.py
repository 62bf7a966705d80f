"""Every verb: its section, in the order of the work, its module, and what it is for in one line.

Help, completion and the manual page read it, and load nothing else for it. A line has 62 cells, so
that it stands whole beside the longest name on a screen of 80.
"""

# section: the verb, the module below cli/verbs/ it lives in, the first line of its help
SECTIONS = {
    "every day": (
        ("due", "looking.lists", "What needs doing, the most pressing first."),
        ("shelf", "looking.lists", "The jars with herb in them, what matters next first."),
        ("shake", "making.shaking", "Record that jars were shaken."),
        ("look", "making.jar_care", "Record what was seen of jars or extracts."),
        ("note", "keeping.notes", "Write down a remark about a jar, extract, bottle or lot."),
        ("later", "keeping.pauses", "Put off one reminder of a jar or extract until a day."),
        ("away", "keeping.pauses", "No reminders from one day through another."),
    ),
    "making": (
        ("charge", "making.charge", "Put herb and menstruum in a jar: day 0 of the maceration."),
        ("top-up", "making.steeps", "Record more menstruum poured onto the herb."),
        ("add-herb", "making.steeps", "Record more herb put into a jar."),
        ("move", "making.jar_care", "Record where something stands now, its lid, or whose it is."),
        ("draw", "making.steeps", "Record liquid drawn off the herb, which stays in."),
        ("recharge", "making.steeps", "Record new herb put in an old extract."),
        ("steep-again", "making.steeps", "Record new menstruum poured on the old marc of a jar."),
        ("split", "making.shares", "Record a jar shared out into others, herb and liquid alike."),
        ("join", "making.shares", "Record jars put into one, herb and all."),
        ("found", "stock.lots_in", "Record a jar of unknown history found on the shelf."),
    ),
    "press day": (
        ("press", "making.press_day", "Record a pressing: what came out opens an extract."),
        ("filter", "making.press_day", "Record an extract filtered, or poured off its lees."),
        (
            "bottle",
            "making.press_day",
            "Record bottles filled from an extract; the rest stays in it.",
        ),
        ("dilute", "making.blends", "Record an extract diluted, sweetened or made up to a volume."),
        ("blend", "making.blends", "Record extracts put together."),
    ),
    "giving out": (
        (
            "dispense",
            "stock.giving_out",
            "Record what was given out, from an extract, bottle or jar.",
        ),
        ("refill", "making.blends", "Record a bottle in use filled again."),
        ("count", "stock.giving_out", "Say what is really there of an extract, bottle or lot."),
        ("stocktake", "stock.stocktake", "Count all that stands on the shelf in one go."),
        (
            "discard",
            "stock.giving_out",
            "Record that something was thrown out, all of it or a part.",
        ),
        ("restore", "stock.giving_out", "Take back the last discard of something."),
        (
            "hold",
            "stock.hold_release",
            "Put something on hold: nothing of it is used until released.",
        ),
        ("release", "stock.hold_release", "Release something from hold, and say why."),
    ),
    "lots": (
        ("gather", "stock.lots_in", "Record herb gathered: a lot that jars are charged from."),
        ("buy", "stock.lots_in", "Record herb, spirit or another liquid bought, as a lot."),
        ("dry", "stock.lots_in", "Record fresh herb of a lot dried."),
        ("lots", "stock.lot_list", "Herb and liquids in store: what came in, what is left."),
        ("recall", "looking.traces", "Put all that holds any of a lot on hold; list what left."),
    ),
    "mistakes": (
        ("undo", "keeping.mistakes", "Take back the last command recorded here."),
        (
            "correct",
            "keeping.mistakes",
            "Put right something recorded, and say why.",
        ),
        ("strike", "keeping.mistakes", "Take back something recorded earlier, with a reason."),
        ("same", "keeping.mistakes", "Say that two records are of one thing that happened."),
    ),
    "looking": (
        (
            "show",
            "looking.one_thing",
            "All that is known about one thing, and how.",
        ),
        ("stock", "looking.lists", "Extracts and bottles, the first to expire first."),
        ("history", "looking.histories", "What was recorded about a thing, or lately in the book."),
        ("trace", "looking.traces", "Where a thing came from, and where any of it went."),
        (
            "batches",
            "looking.past_batches",
            "How a herb was done before: its last batches side by side.",
        ),
        ("yields", "looking.past_batches", "What your own jars gave, herb by herb."),
        ("timeline", "looking.pictures", "A jar's life as a line through time."),
        ("season", "looking.pictures", "What becomes ready and what expires, month by month."),
        (
            "supply",
            "looking.pictures",
            "The stock of each herb through time, and when it runs out.",
        ),
    ),
    "working out": (
        ("size", "looking.jar_size", "From any two of jar, herb and ratio, the third."),
        ("mix", "looking.mixtures", "What to measure out of what is on hand, for a strength."),
        ("strength", "looking.mixtures", "How strong a mixture of pours is, or a jar."),
    ),
    "paper and files": (
        ("label", "paper.labels", "Print labels as a PDF, and record what they say."),
        ("handout", "paper.handout", "Many jars in one table, with the next date of each."),
        ("record", "paper.batch_record", "The batch record: everything the book holds of a batch."),
        ("page", "paper.page", "The whole shelf as one HTML file that needs no network."),
        ("calendar", "paper.calendar", "The days that matter, as a file for a calendar."),
        ("enter", "keeping.enter", "Record a page of lines: all of them, or none."),
    ),
    "keeping safe": (
        ("begin", "keeping.begin", "Where the book stands, who you are, your country: once."),
        ("check", "keeping.safe_keeping", "Whether every line of the book is as it was written."),
        (
            "backup",
            "keeping.book_copies",
            "Make a verified copy of the book, or a book of a copy.",
        ),
        (
            "practice",
            "keeping.practice_rules",
            "Where the book is, your own rules, and those built in.",
        ),
        ("reminders", "keeping.reminder_switch", "Reminders on or off, how they stand, or a test."),
        ("remind", "keeping.remind", "Send what is due once, if it was not sent today."),
        ("daemon", "keeping.remind", "Keep running, and remind each day at the hour set."),
        (
            "completion",
            "keeping.completion_script",
            "Print the script with which a shell completes codes and names.",
        ),
        ("demo", "keeping.demo", "Copy the demo book to a new folder, to try things on."),
    ),
}

# A module is imported when its verb is called.
VERBS = {verb: module for rows in SECTIONS.values() for verb, module, _ in rows}
LINES = {verb: line for rows in SECTIONS.values() for verb, _, line in rows}
