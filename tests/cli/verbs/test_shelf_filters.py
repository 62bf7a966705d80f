"""`shelf` and `stock` by place, herb, kind of liquid and whose it is; what there is otherwise."""

import pytest


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    from tests.command import Command

    command = Command(tmp_path_factory.mktemp("filters")).practice('zone = "Europe/Berlin"\n')
    pours = (
        ("Melissa officinalis", "leaf", "700 ml glycerin", "cellar", "ME"),
        ("Calendula officinalis", "flower", "500 ml olive oil", "pantry, top", "CA"),
        ("Valeriana officinalis", "root", "500 ml 60% spirit", "pantry, low", "VA"),
        ("Verbena officinalis", "herb", "500 ml 12% red wine", "cellar", "VE"),
        ("Urtica dioica", "leaf", "500 ml cider vinegar", "cellar", "UR"),
    )
    for herb, part, pour, place, code in pours:
        command.ok(
            f"charge '{herb}' --part {part} --dried 100g --pour '{pour}' --place '{place}' "
            f"--code {code} --when 2025-03-03 --sure"
        )
    command.ok("press ME 500ml --when 2025-06-03")
    command.ok("move MEA --to shop --when 2025-06-04")
    command.ok("press VA 400ml --when 2025-06-03")
    return command


def codes(shelf, line: str) -> list[str]:
    return sorted(one["code"] for one in shelf.json(f"{line} --on 2025-06-05"))


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("shelf --place cellar", ["UR", "VE"]),
        ("shelf --place Pantry", ["CA"]),
        ("shelf --done --place pantry", ["CA", "VA"]),
        ("shelf --herb marigold", ["CA"]),
        ("shelf --herb officinalis", ["CA", "VE"]),
        ("shelf --herb vervain --kind wine", ["VE"]),
        ("shelf --kind oil", ["CA"]),
        ("shelf --kind vinegar --place cellar", ["UR"]),
        ("shelf --kind vinegar --place pantry", []),
        ("stock --herb valerian", ["VAA"]),
        ("stock --place shop --kind glycerite", ["MEA"]),
    ],
)
def test_what_is_asked_for_is_all_that_is_listed(shelf, line, found):
    assert codes(shelf, line) == found


def test_where_nothing_fits_it_says_what_there_is(shelf):
    said = shelf.run("shelf --place attic --kind oil --on 2025-06-05").err

    assert "Nothing fits --place attic --kind oil. There is" in said
    assert "by place: cellar (2) · pantry, top (1)" in said
    assert "by kind: olive oil (1) · " in said


def test_the_kind_of_liquid_stands_in_every_row(shelf):
    rows = shelf.ok("shelf --done --on 2025-06-05")

    for said in ("glycerite", "olive oil", "spirit ~", "wine ~", "cider vinegar"):
        assert said in rows


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("common", "marigold flower"),
        ("latin", "Calendula officinalis flower"),
        ("both", "marigold (Calendula officinalis) flower"),
    ],
)
def test_plants_are_called_as_the_practice_says(shelf, names, said):
    shelf.practice(f'zone = "Europe/Berlin"\nnames = "{names}"\n')
    shelf.env["COLUMNS"] = "160"

    assert said in shelf.ok("shelf --on 2025-06-05")
    (rule,) = (one for one in shelf.json("practice") if one["rule"] == "names")
    assert (rule["in_force"], rule["from"]) == (names, "practice.toml, line 2")


@pytest.mark.parametrize("columns", [60, 80, 120, 200])
@pytest.mark.parametrize("names", ["common", "latin", "both"])
def test_rows_that_differ_in_plant_or_part_are_told_apart_at_any_width(shelf, columns, names):
    """Valerian and vervain are both `V. officinalis` by one letter of the genus."""
    shelf.practice(f'zone = "Europe/Berlin"\nnames = "{names}"\n')
    shelf.env["COLUMNS"] = str(columns)
    lines = [
        one
        for verb in ("shelf --done", "stock", "season", "supply", "yields")
        for one in shelf.ok(f"{verb} --on 2025-06-05").splitlines()
    ]
    head, *rows = shelf.ok("shelf --on 2025-06-05").splitlines()
    called = [one[: head.index("CODE")].strip() for one in rows]

    assert max(map(len, lines)) <= max(columns, 80)
    assert len(set(called)) == len(called) == 3


def test_short_dates_are_as_exact_as_they_are_known(command):
    command.practice('zone = "Europe/Berlin"\nhemisphere = "south"\n')
    for code, when in (
        ("A1", "2025-06-03"), ("A2", "2024-06-03"), ("A3", "2024-06"), ("A4", "2022-summer"),
        ("A5", "2022"), ("A6", "unknown"),
    ):  # fmt: skip
        command.ok(f"charge Nettle --dried 50g --pour '250 ml 50%' --code {code} --when {when}")
    rows = command.ok("shelf --on 2025-06-05")

    for code, said in (
        ("A1", "3 Jun"), ("A2", "3 Jun 24"), ("A3", "Jun 2024"), ("A4", "summer 22"),
        ("A5", "2022"), ("A6", "not known"),
    ):  # fmt: skip
        (row,) = (one for one in rows.splitlines() if f" {code} " in one)
        assert f"  {said}  1:5" in row
