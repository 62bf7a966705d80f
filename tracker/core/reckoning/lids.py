"""Lids: what is between the liquid and the metal."""

from tracker.core.shelf.jar import Jar


def has_bare_metal_lid(jar: Jar) -> bool:
    """Whether spirit or vinegar stands under metal with nothing between."""
    corrodes = jar.preparation.startswith(("spirit", "vinegar"))
    return corrodes and jar.barrier is None and "metal" in (jar.lid or "").lower()
