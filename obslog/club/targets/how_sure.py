"""How sure a target is to be seen: by how many magnitudes it passes the eye's threshold, in one of four words.

What glows is judged by the contrast of its surface, at its size; what is made of stars by whether they are brighter
than the faintest star that the tube shows against that sky. Unknown stays unknown.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from obslog.optics import dawes_limit_arcsec, rayleigh_limit_arcsec
from obslog.sky.contrast.through_tube import Views, faintest_star_mag, glow_margin_mag, naked_eye
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.sky_behind import SkyBehind
from obslog.sky.evening.surface_brightness import GLOWING, mean_surface_brightness
from obslog.sky.names.double_stars import Parted, double_named, parted
from obslog.sky.names.object_types import ObjectType

Floats = NDArray[np.float64]
Masks = NDArray[np.bool_]


class Sure(StrEnum):
    """How sure one is to see it; the order is that of preference."""

    EASILY = "easily"
    WITH_CARE = "with care"
    HARDLY = "hardly"
    UNKNOWN = "unknown"
    NO = "no"


# Magnitudes above the threshold of a usual observer: common practice. A magnitude is two and a half times the light
# that is needed; at -0.4 a keen eye (a field factor of 1.4 instead of 2) is at its end.
EASILY_MAG, WITH_CARE_MAG, HARDLY_MAG = 1.0, 0.25, -0.4

# Where half of the light is, in the object's own half axes: a galaxy's disc that ends at 25 mag per square arcsecond
# (K. C. Freeman, Astrophys. J. 160 (1970) 811: from memory), taken for diffuse nebulae too; globular clusters, whose
# printed diameters are five times those that hold half of the light (W. E. Harris 1996 and handbooks, from memory).
HALF_LIGHT_OF_GLOW, HALF_LIGHT_OF_GLOBULAR = 0.55, 0.2
_EVEN = frozenset((ObjectType.PLANETARY_NEBULA, ObjectType.SUPERNOVA_REMNANT))

# Common practice: the brightest stars of an open cluster are three magnitudes fainter than the whole.
BRIGHTEST_STARS_MAG = 3.0
STARRY = frozenset((ObjectType.OPEN_CLUSTER, ObjectType.CLUSTER_WITH_NEBULA, ObjectType.ASSOCIATION))
_POINTS = frozenset((ObjectType.STAR, ObjectType.DOUBLE_STAR, "planet"))
MOON = "Moon"


@dataclass(frozen=True)
class Judged:
    """For n things the margin over the threshold, magnitudes, with the Moon's light and without it; nan is unknown.

    `by_eye` are those that the naked eye shows better than the tube; `pairs` what the tube makes of double stars.
    """

    margin_mag: Floats
    dark_margin_mag: Floats
    by_eye: Masks
    pairs: tuple[Parted | None, ...]

    def sure(self, place: int) -> Sure:
        return _word(float(self.margin_mag[place]), self.pairs[place])

    def all_sure(self) -> tuple[Sure, ...]:
        return tuple(self.sure(place) for place in range(self.margin_mag.size))

    def drowned(self, place: int) -> bool:
        """Whether it is the Moon alone that keeps a thing from being seen."""
        return bool(self.margin_mag[place] < HARDLY_MAG <= self.dark_margin_mag[place])


def judge(catalogue: Catalogue, behind: SkyBehind, views: Views, aperture_mm: float) -> Judged:
    """How far above the threshold each thing of a catalogue is, in the best of the views or with the naked eye."""
    pairs = tuple(_parted(name, aperture_mm) for name in catalogue.names)
    lit, by_eye = _margins(catalogue, behind, views)
    moonlit = bool((behind.moonlight_mag > 0).any())
    dark = _margins(catalogue, behind.without_moon(), views)[0] if moonlit else lit
    return Judged(lit, dark, by_eye, pairs)


def _word(margin_mag: float, pair: Parted | None) -> Sure:
    if np.isnan(margin_mag):
        return Sure.UNKNOWN
    if margin_mag < HARDLY_MAG:
        return Sure.NO
    if margin_mag < WITH_CARE_MAG or pair is Parted.NO:
        return Sure.HARDLY
    if margin_mag < EASILY_MAG or pair is Parted.JUST:
        return Sure.WITH_CARE
    return Sure.EASILY


def _margins(catalogue: Catalogue, behind: SkyBehind, views: Views) -> tuple[Floats, Masks]:
    types = np.array([str(kind) for kind in catalogue.types])
    glows = np.isin(types, [str(kind) for kind in (*GLOWING, ObjectType.GLOBULAR_CLUSTER)])
    found = np.full(len(catalogue), np.nan)
    by_eye = np.zeros(len(catalogue), bool)
    stars = ~glows & np.isin(types, [str(kind) for kind in (*STARRY, *_POINTS)])
    found[stars] = _star_margins(catalogue, types, behind, views)[stars]
    found[glows], by_eye[glows] = _glow_margins(catalogue, types, behind, views, np.flatnonzero(glows))
    found[types == MOON] = np.inf
    return found, by_eye


def _star_margins(catalogue: Catalogue, types: NDArray[np.str_], behind: SkyBehind, views: Views) -> Floats:
    """Of a cluster by its brightest stars, of a pair by its fainter star."""
    pairs = (double_named(name) for name in catalogue.names)
    fainter = np.array([np.nan if pair is None else pair.magnitude_b for pair in pairs])
    magnitude = np.where(np.isnan(fainter), catalogue.magnitude, fainter)
    magnitude = magnitude + np.where(np.isin(types, [str(kind) for kind in STARRY]), BRIGHTEST_STARS_MAG, 0.0)
    limit = faintest_star_mag(behind.lit_mag, views)
    return np.asarray(limit - magnitude - behind.extinction_mag)


def _glow_margins(
    catalogue: Catalogue,
    types: NDArray[np.str_],
    behind: SkyBehind,
    views: Views,
    places: NDArray[np.intp],
) -> tuple[Floats, Masks]:
    """The better of the whole surface and of the part that holds half of the light; and whether by eye."""
    major = catalogue.major_arcmin[places]
    minor = np.where(np.isnan(catalogue.minor_arcmin[places]), major, catalogue.minor_arcmin[places])
    area = np.where(major * minor > 0, np.pi / 4 * major * minor, np.nan)
    surface = mean_surface_brightness(catalogue.magnitude[places], major, minor)
    surface = surface + behind.extinction_mag[places]
    sky = behind.lit_mag[places]
    part = _half_light(types[places])
    inner = surface + 2.5 * np.log10(2 * part**2)

    def best(through: Views) -> Floats:
        whole, middle = (
            glow_margin_mag(light, size, sky, through)
            for light, size in ((surface, area), (inner, area * part**2))
        )
        return np.maximum(whole, middle)

    tube, eye = best(views), best(naked_eye())
    return np.maximum(tube, eye), eye > tube


def _half_light(types: NDArray[np.str_]) -> Floats:
    globular = types == str(ObjectType.GLOBULAR_CLUSTER)
    even = np.isin(types, [str(kind) for kind in _EVEN])
    part = np.where(globular, HALF_LIGHT_OF_GLOBULAR, HALF_LIGHT_OF_GLOW)
    return np.where(even, 0.5**0.5, part)


def _parted(name: str, aperture_mm: float) -> Parted | None:
    double = double_named(name)
    if double is None:
        return None
    limits = (float(limit(aperture_mm)) for limit in (dawes_limit_arcsec, rayleigh_limit_arcsec))
    return parted(double.separation_arcsec, *limits)
