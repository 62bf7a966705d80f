"""What can stand behind a verb and behind an option, where a shell can offer it."""

# The arguments of each verb in their order; `...` where any number of the last may follow.
# What takes none that can be offered is not here.
ARGUMENTS = {
    "shake": ("jar", "..."),
    "look": ("thing", "..."),
    "note": ("anything",),
    "later": ("thing", "..."),
    "charge": ("herb",),
    "top-up": ("jar",),
    "add-herb": ("jar",),
    "move": ("thing", "..."),
    "draw": ("jar",),
    "recharge": ("extract",),
    "steep-again": ("pressed jar",),
    "split": ("jar",),
    "join": ("jar", "..."),
    "found": ("plant",),
    "press": ("jar",),
    "filter": ("extract",),
    "bottle": ("extract",),
    "dilute": ("extract",),
    "dispense": ("thing",),
    "refill": ("bottle",),
    "count": ("liquid or lot",),
    "discard": ("anything",),
    "restore": ("thrown out",),
    "hold": ("anything", "..."),
    "release": ("on hold", "..."),
    "gather": ("plant",),
    "buy": ("plant",),
    "correct": ("anything known",),
    "dry": ("lot",),
    "recall": ("lot",),
    "show": ("anything known",),
    "history": ("anything known",),
    "trace": ("anything known",),
    "batches": ("plant",),
    "yields": ("plant",),
    "timeline": ("batch",),
    "strength": ("thing", "..."),
    "label": ("thing", "..."),
    "handout": ("jar", "..."),
    "record": ("batch",),
    "enter": ("file",),
    "backup": ("file",),
    "demo": ("file",),
    "reminders": ("switch",),
    "completion": ("shell",),
}

# Behind an option, whatever the verb; and where one verb means something else by it.
OPTIONS = {
    "--to": "file",
    "--at": "file",
    "--restore": "file",
    "--lot": "lot",
    "--like": "batch",
    "--herb": "plant",
    "--sign": "sign",
    "--verdict": "verdict",
    "--marc": "marc",
    "--way": "way",
    "--with": "method",
    "--lid": "lid",
    "--place": "place",
}
OPTIONS_OF = {
    ("move", "--to"): "place",
    ("press", "--like"): "pressed jar",
    ("refill", "--from"): "liquid",
    ("mix", "--from"): "liquid",
    ("dilute", "--to"): "",
    ("mix", "--to"): "",
    ("mix", "--at"): "",
    ("strength", "--at"): "",
    ("label", "--lid"): None,  # takes nothing
}

# Words that are always the same.
WORDS = {
    "switch": ("on", "off", "status", "test"),
    "shell": ("bash", "zsh", "fish", "powershell"),
    "sign": (
        *("mould", "slime", "gas", "smell", "flecks", "cloudy", "level", "sediment", "taste"),
        *("colour", "lid", "other"),
    ),
    "verdict": ("fine", "watch", "hold"),
    "marc": ("kept", "composted"),
    "way": ("maceration", "percolation", "double", "simmered"),
    "method": ("hand", "cloth", "ricer", "screw press", "hydraulic press"),
    "lid": ("glass", "plastic", "cork", "metal"),
}
