"""Which of a source's numbers to trust for the visual magnitude of an object: V, B less a usual colour, or the surface.

The source gathered V from many places and B from few: of the galaxies whose two magnitudes cannot both be right, V is
wrong nine times in ten. The third witness is the surface brightness (B, inside the 25 mag isophote) times the size.
"""

import math
from typing import NamedTuple

MEASURED, FROM_B, FROM_SURFACE = "V", "from B", "from surface brightness"

# B - V by Hubble type. Common practice, from memory of the means in the Third Reference Catalogue (1991).
GALAXY_COLOURS = {
    "E": 0.95, "E-S0": 0.93, "S0": 0.92, "S0-a": 0.88, "Sa": 0.80, "Sab": 0.76, "Sb": 0.70, "Sbc": 0.63, "Sc": 0.55,
    "Scd": 0.52, "Sd": 0.48, "Sm": 0.42, "I": 0.42, "IB": 0.42, "IAB": 0.42,
}  # fmt: skip
USUAL_GALAXY_COLOUR = 0.7
# Medians of the source's own objects that have both, where more than a hundred do.
CLUSTER_COLOURS = {"OCl": 0.4, "GCl": 0.7}
GALAXIES = ("G", "GPair", "GTrpl", "GGroup")
MOST_OFF_THE_USUAL_COLOUR = 0.5
# By how much surface brightness times the ellipse's area falls short of B: the median of 10,261 galaxies,
# for the light outside the isophote.
LIGHT_OUTSIDE_MAG = 0.41


class Visual(NamedTuple):
    """A visual magnitude and where it is from; both None where nothing tells it."""

    magnitude: float | None
    source: str | None


UNKNOWN = Visual(None, None)


def usual_colour(kind: str, hubble: str | None) -> float | None:
    """B - V as is usual for a type of the source; None where the light is in lines, or of a few stars."""
    if kind not in GALAXIES:
        return CLUSTER_COLOURS.get(kind)
    plain = (hubble or "").replace("SAB", "S").replace("SB", "S")
    return GALAXY_COLOURS.get(plain, USUAL_GALAXY_COLOUR)


def b_from_surface(
    surface_brightness: float | None, major_arcmin: float | None, minor_arcmin: float | None
) -> float | None:
    """The B magnitude that a mean surface brightness, in magnitudes per square arcsecond, spreads over an ellipse."""
    if not (surface_brightness and major_arcmin and minor_arcmin):
        return None
    area_arcsec2 = math.pi / 4 * major_arcmin * minor_arcmin * 3600
    return surface_brightness - 2.5 * math.log10(area_arcsec2) - LIGHT_OUTSIDE_MAG


def visual_magnitude(
    v_mag: float | None,
    b_mag: float | None,
    b_by_surface: float | None,
    colour: float | None,
    *,
    judged: bool = True,
) -> Visual:
    """The visual magnitude to trust.

    V where it lies within half a magnitude of B less the colour, or where nothing else speaks; where the two disagree,
    the one nearer to the surface, and B where there is none. Without a usual colour, and where it is not `judged` since
    dust reddens each cluster its own way, V is taken as it is.
    """
    if colour is None or (v_mag is not None and not judged):
        return UNKNOWN if v_mag is None else Visual(v_mag, MEASURED)
    by_b = None if b_mag is None else b_mag - colour
    by_surface = None if b_by_surface is None else b_by_surface - colour
    if v_mag is None:
        return _first(Visual(by_b, FROM_B), Visual(by_surface, FROM_SURFACE))
    if by_b is None or abs(v_mag - by_b) <= MOST_OFF_THE_USUAL_COLOUR:
        return Visual(v_mag, MEASURED)
    if by_surface is not None and abs(v_mag - by_surface) < abs(by_b - by_surface):
        return Visual(v_mag, MEASURED)
    return Visual(by_b, FROM_B)


def _first(*candidates: Visual) -> Visual:
    return next((found for found in candidates if found.magnitude is not None), UNKNOWN)
