from tracker.outputs.words.answers.folded import folded
from tracker.outputs.words.answers.scene import Told


def told(code, *lines, plant="lemon balm leaf"):
    return Told(plant, code, tuple(one.format(name=f"{plant} {code}", code=code) for one in lines))


def test_what_is_said_alike_of_several_things_is_said_once():
    lines = ("{name} charged: 25 g dried.", "1:5; press from 4 Aug.")
    made = folded([told("MEOF-26-01", *lines), told("MEOF-26-02", *lines)])

    assert made == ["lemon balm leaf MEOF-26-01..02 charged: 25 g dried.", "1:5; press from 4 Aug."]


def test_a_caution_of_several_jars_names_each_of_them():
    line = "{code}: Caution: bare metal lid."
    made = folded([told("MEOF-26-01", line), told("CAOF-26-01", line, plant="marigold")])

    assert made == ["MEOF-26-01, CAOF-26-01: Caution: bare metal lid."]


def test_one_thing_that_differs_in_any_line_keeps_all_of_its_own():
    shaken = "{name} shaken; next {code}."
    made = folded(
        [
            told("MEOF-26-01", "{name} shaken.", "{code}: Warning: weak."),
            told("MEOF-26-02", "{name} shaken."),
            told("MEOF-26-03", shaken),
            told("MEOF-26-04", shaken),
        ]
    )

    assert made == [
        "lemon balm leaf MEOF-26-01 shaken.",
        "MEOF-26-01: Warning: weak.",
        "lemon balm leaf MEOF-26-02 shaken.",
        "lemon balm leaf MEOF-26-03 shaken; next MEOF-26-03.",
        "lemon balm leaf MEOF-26-04 shaken; next MEOF-26-04.",
    ]


def test_what_names_no_thing_at_its_head_is_never_put_together():
    line = "Undone: SAOF-26-01 note: sweet."

    assert folded([told("", line), told("", line)]) == [line, line]
