"""How bright the surface of an extended object is."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.sky.names.object_types import ObjectType

Array = NDArray[np.float64]

_ARCSEC2_PER_ARCMIN2 = 3600.0
GLOWING = frozenset(
    (
        ObjectType.GALAXY, ObjectType.GALAXY_PAIR, ObjectType.GALAXY_TRIPLET, ObjectType.GALAXY_GROUP,
        ObjectType.PLANETARY_NEBULA, ObjectType.HYDROGEN_REGION, ObjectType.EMISSION_NEBULA, ObjectType.NEBULA,
        ObjectType.REFLECTION_NEBULA, ObjectType.SUPERNOVA_REMNANT,
    )
)  # fmt: skip
"""Types whose light is spread out; a cluster's is in its stars."""


def mean_surface_brightness(magnitude: ArrayLike, major_arcmin: ArrayLike, minor_arcmin: ArrayLike) -> Array:
    """The light of an object spread evenly over its ellipse, magnitudes per square arcsecond.

    In the band of the magnitude. An unknown short axis is taken as the long one; nan where the magnitude or the long
    axis is unknown or zero.

    Neglects: that a galaxy's middle is brighter than its mean by several magnitudes, and its rim fainter.
    """
    major = np.asarray(major_arcmin, float)
    minor = np.where(np.isnan(minor_arcmin), major, np.asarray(minor_arcmin, float))
    area = np.pi / 4 * major * minor * _ARCSEC2_PER_ARCMIN2
    return np.asarray(np.asarray(magnitude, float) + 2.5 * np.log10(np.where(area > 0, area, np.nan)))
