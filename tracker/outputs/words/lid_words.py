"""Lids and what lies under them, in words."""

from tracker.core.reckoning.lids import is_nothing


def lid_said(lid: str) -> str:
    """`tin lid`; `no lid` where the maker said there is none."""
    if is_nothing(lid):
        return "no lid"
    return lid if "lid" in lid.lower().split() else f"{lid} lid"


def barrier_said(barrier: str) -> str:
    """`parchment`; `nothing` where the maker said there is none."""
    return "nothing" if is_nothing(barrier) else barrier
