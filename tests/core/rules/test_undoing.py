"""What is left of a command to take back."""

from tests.lives import OneJar
from tracker.core.rules.undoing import left_to_undo


def test_what_a_command_took_out_of_its_own_lines_stays_out():
    """Without the strike the first shake would count, which it never did."""
    one = OneJar.charged()
    for day in ("04", "05"):
        one.shake(f"2025-03-{day}")
    first, second = one.entries[-2:]
    struck = one.strike(first)
    standing = frozenset({second.id, struck.id})

    assert left_to_undo([first, second, struck], standing) == [second]
    assert left_to_undo([second, struck], standing) == [struck, second]
