"""The common name of a plant by its Latin one, without what else is known of plants."""

from functools import cache

_SIGNS = ("x", "×")  # of a hybrid


def common_name(herb: str) -> str | None:
    """What people call a plant, by its accepted name or a synonym; None where no table has it."""
    return _by_latin().get(_binomial(herb))


@cache
def _by_latin() -> dict[tuple[str, ...], str]:
    from tracker.core.herbs.tables.plants_table import PLANTS  # most herbs have a name recorded

    found = {_binomial(row[5]): row[3] for row in PLANTS if row[5]}
    found |= {_binomial(row[0]): row[3] for row in PLANTS}
    return {latin: common.partition(" (")[0] for latin, common in found.items()}


def _binomial(name: str) -> tuple[str, ...]:
    """Genus and epithet, whatever follows."""
    return tuple([word for word in name.lower().split() if word not in _SIGNS][:2])
