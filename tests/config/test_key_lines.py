"""On which line of a TOML text each key stands, however TOML lets it be written."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.config.key_lines import DEEPEST, MOST_PARTS, KeyLines
from tracker.config.small_file import FileError

Q, L = '"""', "'''"


@pytest.mark.parametrize(
    ("text", "of"),
    [
        ("a = 1\nb = 2\n", {("a",): 1, ("b",): 2}),
        ("[t]\na = 1\n\n[u]\na = 2", {("t",): 1, ("t", "a"): 2, ("u",): 4, ("u", "a"): 5}),
        ("[ t . u ]\na = 1\n", {("t",): 1, ("t", "u"): 1, ("t", "u", "a"): 2}),
        ("['t.u']\n\"a b\" = 1\n", {("t.u",): 1, ("t.u", "a b"): 2}),
        ("t.a = 1\nt.b = 2\n", {("t",): 1, ("t", "a"): 1, ("t", "b"): 2}),
        ('"t" . \'a\' = 1\n', {("t",): 1, ("t", "a"): 1}),
        ('"\\u0061\\t" = 1\n', {("a\t",): 1}),
        ("t = { a = 1, b.c = { d = 2 } }\nz = 3\n", {
            ("t",): 1, ("t", "a"): 1, ("t", "b"): 1, ("t", "b", "c"): 1, ("t", "b", "c", "d"): 1,
            ("z",): 2,
        }),
        ("t = { a = [\n1,\n2], b = 2 }\n", {("t",): 1, ("t", "a"): 1, ("t", "b"): 3}),
        ("a = [\n  {b = 1},\n  {c = 2},\n]\nd = 1", {
            ("a",): 1, ("a", "b"): 2, ("a", "c"): 3, ("d",): 5,
        }),
        ("[[t]]\na = 1\n[[t]]\nb = 2\n", {("t",): 1, ("t", "a"): 2, ("t", "b"): 4}),
        # What only looks like a key is none: in a text, in a remark, in a text over lines.
        ('a = "b = 1 # [c]"\nd = 2\n', {("a",): 1, ("d",): 2}),
        ("a = 1 # b = 2\n# c = 3\n#[d]\ne = 4", {("a",): 1, ("e",): 4}),
        (f'a = {Q}\nb = 1\n[c]\n"x" \\{Q} {Q}\nd = 2\n', {("a",): 1, ("d",): 5}),
        (f"a = {L}\nb = 1\n''[c]\n{L}'\nd = 2\n", {("a",): 1, ("d",): 5}),
        (f'a = {Q}""x{Q}""\nb = {Q}{Q}\nc = ""\nd = \'\'\ne = 1', {
            ("a",): 1, ("b",): 2, ("c",): 3, ("d",): 4, ("e",): 5,
        }),
        ("a = 07:30:00\nb = 1979-05-27T07:32:00-07:00\nc = +1.5e-3\nd = -inf", {
            ("a",): 1, ("b",): 2, ("c",): 3, ("d",): 4,
        }),
        ("a = 1\r\n[b]\r\nc = 2\r\n", {("a",): 1, ("b",): 2, ("b", "c"): 3}),
        ("a = 'x\u2028y\x85'\nb = 1", {("a",): 1, ("b",): 2}),
    ],
)  # fmt: skip
def test_each_key_has_the_line_it_stands_on(text, of):
    assert tomllib.loads(text) is not None
    assert KeyLines(text).of == of


def test_a_key_that_is_not_there_has_the_line_of_what_is_around_it():
    lines = KeyLines("[a]\nb = 1\n")

    assert lines["a", "b", "c"] == 2
    assert lines["a", "x"] == 1
    assert lines["x", "a"] is None
    assert lines[()] is None


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = 1\nb = " + "[" * 3000, 2),
        ("a = 1\n\nb = " + "{a=" * 3000, 3),
        (".".join("a" * 3000) + " = 1", 1),
        ("x = 1\n[" + ".".join("a" * 3000) + "]", 2),
        ("x = { " + ".".join("a" * 3000) + " = 1 }", 1),
    ],
)
def test_what_costs_tomllib_the_square_of_its_length_is_refused_with_its_line(text, line):
    with pytest.raises(FileError) as refused:
        KeyLines(text)

    assert refused.value.line == line


def test_the_deepest_and_longest_that_are_read():
    deep = "a = " + "[" * DEEPEST + "]" * DEEPEST
    assert KeyLines(deep).of == {("a",): 1}
    parts = "b." * (MOST_PARTS - 1) + "b"
    assert len(KeyLines(f"{parts} = 1").of) == MOST_PARTS


# Any TOML: what tomllib reads has its lines, key for key

bare = st.text("ab-_1", min_size=1, max_size=3)
keys = bare | bare.map(lambda name: f'"{name}.[x] # ="') | bare.map(lambda name: f"'{name} \"'")
scalars = st.sampled_from(
    ["1", '"t = 1 # x"', "'[a]'", f"{Q}\na = 1\n[b]\n{Q}", f"{L}x\n'' = 2{L}", "true", "07:30:00"]
)
values = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda every: "[\n" + ",\n# c = 1\n".join(every) + "]")
        | st.dictionaries(bare, st.just("1"), max_size=2).map(
            lambda every: "{" + ", ".join(f"{key} = {one}" for key, one in every.items()) + "}"
        )
    ),
    max_leaves=5,
)
statements = st.one_of(
    st.tuples(st.lists(keys, min_size=1, max_size=3).map(" . ".join), values).map(" = ".join),
    st.lists(keys, min_size=1, max_size=2).map(lambda every: f"[{'.'.join(every)}] # [x]"),
    st.lists(keys, min_size=1, max_size=2).map(lambda every: f"[[ {'.'.join(every)} ]]"),
    st.sampled_from(["", "# a = 1", "\t# [a]"]),
)


def paths(value: Any, above: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
    if isinstance(value, list):
        return {path for one in value for path in paths(one, above)}
    if not isinstance(value, dict):
        return set()
    below = {(*above, key) for key in value}
    return below.union(*(paths(inner, (*above, key)) for key, inner in value.items()))


@USUAL
@given(st.lists(statements, max_size=8), st.sampled_from(["\n", "\r\n"]))
def test_every_key_that_tomllib_reads_has_a_line_and_no_other_has(written, ending):
    """And the line of each is that of the first statement of the text that gives it."""
    text = ending.join(written)
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        KeyLines(text)  # ends, and says nothing
        return
    found = KeyLines(text).of

    assert set(found) == paths(tables)
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())


@pytest.mark.parametrize(
    "piece",
    ['"', "'", Q, L, '"\\', "[", "{", '\\"', "'''\\", "a.", "a = ", '"a" = ', ",", "#", "="],
)
def test_a_text_is_looked_at_once(piece):
    """The steps of the reading grow with the text, whatever it is made of; no clock decides."""
    assert steps(piece * 2000) <= 2.5 * steps(piece * 1000) + 100


def steps(text: str) -> int:
    """How many lines of the program a reading passes through."""
    import sys

    count = 0

    def trace(frame, event, argument):
        nonlocal count
        if "key_lines" not in frame.f_code.co_filename:
            return None
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        KeyLines(text)
    except FileError:
        pass
    finally:
        sys.settrace(before)
    return count
