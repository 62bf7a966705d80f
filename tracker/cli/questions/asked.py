"""A question of a verb as data: what it fills in, what is offered, what Enter takes."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from tracker.cli.choosing import Choice
from tracker.cli.questions.candidates import Candidate

if TYPE_CHECKING:
    from tracker.cli.questions.walk import Walk

Offers = Callable[["Walk"], Sequence[Choice | Candidate]]
Usual = Callable[["Walk"], str | None]
Text = Callable[["Walk"], str]
Into = Callable[["Walk", list[str]], Mapping[str, object]]
# One answer, several on one line, or one after the other until a blank one.
Many = Literal["one", "words", "codes", "lines"]


def _nothing_offered(_: "Walk") -> Sequence[Choice]:
    return ()


def _nothing_usual(_: "Walk") -> str | None:
    return None


def _always(_: "Walk") -> bool:
    return True


def _no_text(_: "Walk") -> str:
    return ""


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """One question of a verb.

    Attributes:
        name: what it fills in, as an answer is looked up by it; mostly a parameter of the verb.
        words: how it is put.
        such_as: an example, shown where nothing is usual.
        help: what `?` answers, in a line or two.
        offers: what may be chosen by number.
        usual: what Enter takes; None where Enter leaves it out or an answer is needed.
        may_skip: whether it may be left out.
        left_out: what `-` answers, where something has to be said.
        many: how many answers it takes.
        unit: what a bare number is counted in; it stands in the question.
        sample: what stands for the answer while those before it are tried.
        fills: the parameters of the verb it answers, where they are not `name` alone.
        into: what an answer gives the verb; `name` as it was typed where it is None.
        out_of: the answers that parameters of the verb come from; `name` where it is None.
        applies: whether it is asked at all, by the answers so far.
        settles: what is as another answer says, and forgotten where this one is changed.
        is_part: whether an amount stands before what is chosen: 40 ml 2.
        is_tried: whether the verb can say at once what is wrong with the answer.
        is_default: whether Enter on what is usual leaves it to the verb.
    """

    name: str
    words: str
    such_as: Text = _no_text
    help: str
    offers: Offers = _nothing_offered
    usual: Usual = _nothing_usual
    may_skip: bool = True
    left_out: str = ""
    many: Many = "one"
    unit: Text = _no_text
    sample: Usual = _nothing_usual
    fills: tuple[str, ...] = ()
    into: Into | None = None
    out_of: Callable[[Mapping[str, Any]], list[str]] | None = None
    applies: Callable[["Walk"], bool] = _always
    settles: tuple[str, ...] = ()
    is_part: bool = False
    is_tried: bool = True
    is_default: bool = False

    def given_by(self, words: Mapping[str, Any]) -> bool:
        """Whether the command line answers it already."""
        return any(words.get(one) not in (None, [], False) for one in self.fills or (self.name,))

    def arguments(self, walk: "Walk", texts: list[str]) -> Mapping[str, object]:
        """What the answer gives the verb, as its command line would."""
        if self.into is not None:
            return self.into(walk, texts)
        return {self.name: texts[0] if self.many == "one" else texts}

    def answers_in(self, words: Mapping[str, Any]) -> list[str]:
        """The answers that stand in what a verb is given."""
        if self.out_of is not None:
            return self.out_of(words)
        found = words.get(self.name)
        return [] if found is None else list(found) if isinstance(found, list) else [str(found)]


def fixed(text: str | None) -> Usual:
    """The same answer whatever was said before."""
    return lambda _: text


def choices(*words: str) -> Offers:
    """Words to choose from, each as it is typed."""
    offered = tuple(Choice(one, one) for one in words)
    return lambda _: offered


def in_volume(walk: "Walk") -> str:
    """The unit in which the practice pours."""
    return walk.desk.bench.practice.volume_unit


def in_weight(walk: "Walk") -> str:
    """The unit in which the practice weighs."""
    return walk.desk.bench.practice.weight_unit


def by_measures(metric: str, ounces: str) -> Text:
    """An example in the measures of the practice."""
    return lambda walk: metric if walk.desk.bench.practice.measures == "metric" else ounces
