"""Every message of the program, held to how a colleague would say it at the bench."""

import ast
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

import pytest
import typer

import tracker
from scripts.list_messages import Message, messages
from tracker.cli.help.verb_table import VERBS

FOLDER = Path(tracker.__file__).parent

# A word or turn nobody says aloud today, and what is said instead.
BANNED = {
    r"\bwhoever\b": "the person who",
    r"\banew\b": "again",
    r"\bmend(?:s|ed|ing)?\b": "correct, repair",
    r"\bamiss\b": "wrong",
    r"\btill when\b": "how long",
    r"(?-i:\bin force\b)": "what counts",
    r"\b(?:is|are) wanted, |\b(?:is|are) wanted$": "it needs",
    r"\bstrike the strike\b": "strike the entry that took it back",
    r"\bgoes by the code\b": "has the code",
    r"\bhereby\b|\bthereof\b|\bhitherto\b|\bwhence\b|\bthus\b|\bupon\b|\blest\b": "plain words",
    r"\butili[sz]|\bcommenc|\bterminat|\bascertain|\berroneous|\binvalid\b": "plain words",
    r"\binput should be\b|\b(?:string|list) should have\b": "it has to be, it needs",
    r"\bsynchroni[sz]ing\b": "that syncs",
    r"\{'": "the words of the option, and not a part of the program",
}
# What a programming mistake says, with a traceback: it names the argument.
_OF_A_MISTAKE = re.compile(r"^\w+ must be |^warn_below |^‹\w+› must be |^‹self\.liquid› has ")
_NAME_OF_THE_FORMAT = re.compile(r"\b[a-z]+_[a-z_]+\b")
# `…` of a page's source, of TOML and of what is typed: within code marks a name is meant.
_MARKED = re.compile(r"`[^`]*`|‹[^›]*›")
# Texts for other programs, of which a maker reads none.
_FOR_PROGRAMS = (
    "quantities.py",
    "journal/model/",
    "daemon/notify/apart.py",
    "outputs/page/",
    "outputs/pictures/",
    "cli/completion/",
)
_COMMAND = re.compile(r"\bstillroom ((?:--[a-z-]+(?: [A-Z]+)? )*)([a-z][a-z-]*)((?: [^`;.]*)?)")
_OPTION = re.compile(r"(?<![\w-])--?[a-z][a-z-]*")


def said(text: str) -> str:
    """The words of a message alone, without what is put in."""
    return re.sub(r"‹[^›]*›", "", text)


def banned_in(text: str) -> list[str]:
    return [why for turn, why in BANNED.items() if re.search(turn, said(text), re.IGNORECASE)]


def names_in(text: str) -> list[str]:
    """The names of the format that a person would read."""
    if _OF_A_MISTAKE.match(text):
        return []
    return _NAME_OF_THE_FORMAT.findall(_MARKED.sub(" ", text))


@cache
def options_of(verb: str) -> frozenset[str]:
    """What a verb takes, with that of the verbs below it."""
    group = typer.main.get_group(import_module(f"tracker.cli.verbs.{VERBS[verb]}").app)
    todo, found = [group.commands[verb]], {"--help"}
    while todo:
        one = todo.pop()
        found |= {name for param in one.params for name in (*param.opts, *param.secondary_opts)}
        todo += getattr(one, "commands", {}).values()
    return frozenset(found)


def misled_by(verb: str, options: str) -> list[str]:
    """What is no verb, or no option of it."""
    if verb not in VERBS:
        return [verb]
    return [one for one in _OPTION.findall(options) if one not in options_of(verb)]


def suggested_in(text: str) -> Iterator[tuple[str, str]]:
    """The verb and the options of every command that stands in a message.

    Without code marks it may be the name of the program in a sentence.
    """
    for found in _COMMAND.finditer(said(text)):
        is_marked = said(text)[: found.start()].count("`") % 2 == 1
        if is_marked or found[2] in VERBS:
            yield found[2], found[3]


class Called(NamedTuple):
    """A call, where it stands, and what the names around it were given."""

    where: str
    call: ast.Call
    given: dict[str, list[ast.expr]]


def calls(*names: str) -> Iterator[Called]:
    """Every call by one of these names."""
    for path in sorted(FOLDER.rglob("*.py")):
        tree = ast.parse(path.read_text())
        for owner in ast.walk(tree):
            if not isinstance(owner, ast.FunctionDef):
                continue
            inside = list(ast.walk(owner))
            for node in inside:
                if isinstance(node, ast.Call) and called(node) in names:
                    where = f"{path.relative_to(FOLDER).as_posix()}:{node.lineno}"
                    yield Called(where, node, given_in(inside))


def called(call: ast.Call) -> str:
    return ast.unparse(call.func).rpartition(".")[2]


def given_in(nodes: list[ast.AST]) -> dict[str, list[ast.expr]]:
    """What each name of a function is set to, here or there in it."""
    given: dict[str, list[ast.expr]] = {}
    for node in nodes:
        if isinstance(node, ast.Assign):
            for target in node.targets:
                pairs = [(target, node.value)]
                if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                    pairs = list(zip(target.elts, node.value.elts, strict=False))
                for name, value in pairs:
                    given.setdefault(ast.unparse(name), []).append(value)
    return given


def constant(node: ast.expr | None) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def ends_of(node: ast.expr | None, given: dict[str, list[ast.expr]]) -> set[str]:
    """The last signs of a text, as far as they are written there."""
    match node:
        case ast.Constant(value=str(text)) if text:
            return {text[-1]}
        case ast.JoinedStr(values=[*_, last]):
            return ends_of(last, given)
        case ast.IfExp(body=one, orelse=other):
            return ends_of(one, given) | ends_of(other, given)
        case ast.Name(id=name):
            others = {key: values for key, values in given.items() if key != name}
            return {end for one in given.get(name, ()) for end in ends_of(one, others)}
    return set()


def keyword(call: ast.Call, name: str) -> ast.expr | None:
    return next((one.value for one in call.keywords if one.arg == name), None)


EVERY = list(messages())


def complaints(about: Callable[[str], list[str]], of: list[Message]) -> list[str]:
    return [
        f"{one.file}:{one.line}: {one.text!r}: {what}" for one in of for what in about(one.text)
    ]


def test_no_message_is_in_words_that_nobody_says():
    assert complaints(banned_in, EVERY) == []


def test_no_message_names_a_field_of_the_format():
    read = [one for one in EVERY if not one.file.startswith(_FOR_PROGRAMS)]

    assert complaints(names_in, read) == []


def test_every_command_that_is_suggested_can_be_typed():
    told = [
        f"{one.file}:{one.line}: {one.text!r}: {wrong}"
        for one in EVERY
        for verb, options in suggested_in(one.text)
        for wrong in misled_by(verb, options)
    ]
    for where, call, _ in calls("command"):
        verb = constant(call.args[0]) if call.args else None
        if verb is not None:
            options = constant(keyword(call, "options")) or ""
            told += [f"{where}: {wrong}" for wrong in misled_by(verb, options)]

    assert told == []


# Of each call that says what is wrong and what to do: which of its arguments is a sentence, and
# which one the program ends with a full stop.
_SENTENCES = {
    "TrackerError",
    "BookError",
    "MisusedError",
    "PracticeError",
    "DamagedLineError",
    "StrangeLineError",
}
_WHAT_IS_ENDED = {"RefusedError": 1, "QuantityError": 1, "FileError": 0, "refused": 0}


def slips_in(one: Called) -> list[str]:
    """How the texts of an error or a finding end otherwise than they should."""
    args, name = one.call.args, called(one.call)
    texts: list[tuple[str, ast.expr | None, str]] = []
    if name in _SENTENCES:
        texts.append(("what", args[0] if args else None, ".?"))
        texts.append(("do", keyword(one.call, "do"), ".?`"))
    elif name in _WHAT_IS_ENDED:
        place = _WHAT_IS_ENDED[name]
        texts.append(("what", args[place] if len(args) > place else None, ""))
        do = keyword(one.call, "do") or (args[place + 1] if len(args) > place + 1 else None)
        texts.append(("do", do, "."))
    else:
        texts += [(which, each, "") for which, each in zip(("what", "do"), args[2:4], strict=False)]
    return [
        f"{which} ends in {end!r}"
        for which, text, signs in texts
        for end in ends_of(text, one.given)
        if (end not in signs if signs else end in ".!")
    ]


def test_what_is_wrong_and_what_to_do_are_whole_sentences_once_they_are_put_together():
    every = calls(*_SENTENCES, *_WHAT_IS_ENDED, "Finding")

    assert sorted({f"{one.where}: {slip}" for one in every for slip in slips_in(one)}) == []


def test_no_sentence_has_two_blanks_in_it():
    sentences = [one for one in EVERY if one.text.rstrip().endswith((".", "?"))]

    assert [one for one in sentences if re.search(r"[\w,;.:] {2,}\w", one.text)] == []


@pytest.mark.parametrize(
    "text",
    [
        "till when it is good is not known",
        "strike the strike to bring it back",
        "a time such as 08:00 is wanted",
        "{'jar': 'x'} is not there",
    ],
)
def test_a_word_that_nobody_says_is_seen(text):
    assert banned_in(text)
    assert not banned_in(f"all is well, and ‹{text}› is put in")


def test_a_name_of_the_format_is_seen():
    assert names_in("correct volume_ml first") == ["volume_ml"]
    assert names_in("correct `volume_ml` first, ‹fact.volume_ml› ml") == []


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("see `stillroom shelve`", ["shelve"]),
        ("see `stillroom settle CODE 5ml`", ["settle"]),
        ("see `stillroom look CODE --lid cork`", ["--lid"]),
        ("see `stillroom --book DIR press CODE --with hand`", []),
        ("another stillroom is making one", []),
    ],
)
def test_a_command_that_cannot_be_typed_is_seen(text, wrong):
    assert [one for each in suggested_in(text) for one in misled_by(*each)] == wrong


@pytest.mark.parametrize(
    ("source", "slips"),
    [
        ("BookError('It is gone', where='there', do='look.')", ["what ends in 'e'"]),
        ("BookError('It is gone.', where='there', do='look')", ["do ends in 'k'"]),
        ("RefusedError(code, 'it is gone.', do='look.')", ["what ends in '.'"]),
        ("Finding('ended', code, f'it is {gone}', 'look.')", ["do ends in '.'"]),
        ("QuantityError(text, 'that is long', do='write it shorter.')", []),
    ],
)
def test_a_text_that_ends_otherwise_is_seen(source, slips):
    call = ast.parse(source, mode="eval").body
    assert isinstance(call, ast.Call)

    assert slips_in(Called("", call, {})) == slips


def test_a_text_with_a_name_of_its_own_is_followed_to_where_it_is_written():
    tree = ast.parse("def f():\n    do = 'look.'\n    Finding('ended', code, 'it is gone', do)")
    call = next(one for one in ast.walk(tree) if isinstance(one, ast.Call))

    assert slips_in(Called("", call, given_in(list(ast.walk(tree))))) == ["do ends in '.'"]
