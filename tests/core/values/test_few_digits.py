"""Numbers as a person can use them: three digits, none behind the point where none is needed."""

import pytest

from tracker.core.values.few_digits import few_digits, trimmed
from tracker.outputs.words.amount_words import grams, ml


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (118.294, "118"), (1405.0, "1405"), (99.96, "100"), (12.34, "12.3"), (12.0, "12"),
        (9.999, "10"), (1.256, "1.26"), (0.5, "0.5"), (0.0, "0"), (-0.001, "0"), (-50.0, "-50"),
    ],
)  # fmt: skip
def test_three_digits_are_enough(value, said):
    assert few_digits(value) == said


def test_a_tenth_that_is_nought_is_not_said():
    assert (trimmed(400.0), trimmed(400.3), trimmed(1405.04)) == ("400", "400.3", "1405")


@pytest.mark.parametrize(
    ("volume_ml", "written", "said"),
    [
        (118.294, "4 fl oz", "4 fl oz (118 ml)"),
        (1000.0, "1l", "1 l"),
        (1500.0, "1.5 litres", "1.5 l"),
        (370.0, "0.37l", "0.37 l"),
        (1000.0, "1000 ml", "1000 ml"),
        (370.0, None, "370 ml"),
    ],
)
def test_a_volume_is_said_as_it_was_written(volume_ml, written, said):
    assert ml(volume_ml, written) == said


def test_a_weight_is_said_as_it_was_written():
    assert grams(340.19, "12 oz") == "12 oz (340 g)"
    assert grams(1000.0, "1 kg") == "1000 g"
    assert grams(20.0) == "20 g"
