"""Strength by volume from its definition, which `mass_fraction` must undo, and weighed water."""

from tracker.core.menstruum.ethanol_water import density_kg_m3
from tracker.core.menstruum.mixture import Part


def volume_fraction(ethanol_ww, reference_c=20.0):
    """The volume of the pure ethanol over that of the mixture, OIML R 22 (1975)."""
    mixture = density_kg_m3(ethanol_ww, reference_c)
    return min(1.0, ethanol_ww * mixture / density_kg_m3(1.0, reference_c))


def water_from_g(water_g, reference_c=20.0):
    """Weighed water as a pour."""
    return Part("water", 1000.0 * water_g / density_kg_m3(0.0, reference_c))
