"""How hard Hypothesis searches: the same examples on every run, so that a red test stays red.

Used as decorators; nothing is loaded for the whole process.
"""

from hypothesis import HealthCheck, Phase, settings

_SLOW_IS_FINE = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def searching(examples: int) -> settings:
    """So many examples, without a clock and without chance."""
    return settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        # Not to explain at length what a shrunk example already shows.
        phases=(Phase.explicit, Phase.generate, Phase.shrink),
        suppress_health_check=_SLOW_IS_FINE,
    )


SHORT = searching(20)
USUAL = searching(60)
LONG = searching(100)
