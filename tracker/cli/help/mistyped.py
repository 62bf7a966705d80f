"""A line that cannot be read: what is wrong with it and what to type, in one line."""

import re
from typing import TYPE_CHECKING, cast

import typer

from tracker.cli.help.verb_table import VERBS
from tracker.core.values.command_words import command
from tracker.core.values.errors import MisusedError
from tracker.core.values.near_names import near_names

if TYPE_CHECKING:
    from typer.core import TyperCommand

_CODE = re.compile(r"[A-Za-z]+-\d\d-\d\d\w?(/\d+)?")
_ALL = "All verbs: stillroom --help"
_MOST_NAMED = 4
_QUOTED = "Text of several words needs quotation marks. "


class MistypedError(MisusedError):
    """The line names no verb, or gives a verb what it does not take."""

    def __init__(self, what: str, see: str, *, hint: str = "") -> None:
        super().__init__(what, where="the command line", do=f"{hint}{see}")
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.what} {self.do}"


def no_verb(word: str) -> MistypedError:
    """A word that is not a verb: the verb it is near to, or those that do what it says."""
    from tracker.cli.help.other_words import OTHER_WORDS

    if said := OTHER_WORDS.get(word.casefold()):
        return MistypedError(f"`{word}` is not a verb:", _ALL, hint=f"{said} ")
    if _CODE.fullmatch(word):
        line = command("show", word)
        return MistypedError(f"`{word}` is not a verb.", _ALL, hint=f"Begin with one: `{line}`. ")
    near = near_names(word, VERBS)
    hint = f"Did you mean `{near[0]}`? " if near else ""
    return MistypedError(f"`{word}` is not a verb.", _ALL, hint=hint)


def in_plain_words(reason: typer.BadParameter) -> MistypedError:
    """What typer could not read of a line."""
    context = getattr(reason, "ctx", None)
    path = context.command_path if context is not None else "stillroom"
    verb, see = path.rpartition(" ")[2], f"See: {path} --help"
    if option := getattr(reason, "option_name", None):
        return _of_option(reason, str(option), verb, see)
    param = getattr(reason, "param", None)
    if param is None:
        return _of_words(reason, verb, see)
    is_option = param.param_type_name == "option"
    name = max(param.opts, key=len) if is_option else param.name.upper()
    if type(reason).__name__ == "MissingParameter":
        return MistypedError(f"`{verb}` needs {name}: {_lower(param)}", see)
    low, high = (getattr(param.type, side, None) for side in ("min", "max"))
    if low is not None and high is not None:
        return MistypedError(f"{name} takes a whole number, {low} to {high}.", see)
    return MistypedError(f"{name}: {reason.message}", see)


def _of_option(reason: typer.BadParameter, option: str, verb: str, see: str) -> MistypedError:
    params = reason.ctx.command.params if reason.ctx else []
    taken = {name: one for one in params for name in one.opts if name.startswith("-")}
    if option not in taken:
        words = {name.strip("-"): name for name in [*taken, "--help"]}
        near = near_names(option.strip("-"), words)
        hint = f"Did you mean {words[near[0]]}? " if near else ""
        return MistypedError(f"`{verb}` takes no {option}.", see, hint=hint)
    if getattr(taken[option], "is_flag", False):
        return MistypedError(f"{option} takes nothing after it.", see)
    return MistypedError(f"{option} needs something after it: {_lower(taken[option])}", see)


def _of_words(reason: typer.BadParameter, verb: str, see: str) -> MistypedError:
    message = reason.format_message()
    if message.startswith("Missing command"):
        return MistypedError("A verb is missing.", _ALL)
    _, is_more, words = message.partition("unexpected extra argument")
    if not is_more:
        return MistypedError(message, see)
    more = words.partition(" (")[2].removesuffix(")")
    if more[:1].isalpha() and not _CODE.match(more):
        hint = _QUOTED
    else:
        named = _own_options(cast("TyperCommand", reason.ctx.command)) if reason.ctx else []
        hint = "Write the option it belongs to"
        hint += f": {', '.join(named)}. " if 0 < len(named) <= _MOST_NAMED else ". "
    return MistypedError(f"`{more}` is more than `{verb}` takes.", see, hint=hint)


def _own_options(verb: "TyperCommand") -> list[str]:
    """The options that only this verb takes, but for those with nothing behind them."""
    from tracker.cli.help.verb_help import takes

    return [name.split()[0].rstrip(",") for name, _ in takes(verb)["own"] if " " in name]


def _lower(param: object) -> str:
    """The help of what is missing, behind a colon."""
    text = getattr(param, "help", None) or "see its help."
    return f"{text[:1].lower()}{text[1:]}"
