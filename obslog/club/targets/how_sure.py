"""How sure a target is to be seen: by how many magnitudes it passes the eye's threshold, in one of four words.

What glows is judged by the contrast of its surface, at its size: of several parts about its middle the one that shows
best decides, so that a galaxy is seen by its core. What is made of stars is judged by whether they are brighter than
the faintest star that the tube shows against that sky. Unknown stays unknown.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from obslog.optics import dawes_limit_arcsec, rayleigh_limit_arcsec
from obslog.sky.contrast.galaxy_light import APERTURES, USUAL_BULGE_SHARE, galaxy_light_within
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

# Where half of the light is, in the object's own half axes: diffuse nebulae and pairs and groups of galaxies, as a disc
# has it that ends at 25 mag per square arcsecond (K. C. Freeman, Astrophys. J. 160 (1970) 811: from memory); globular
# clusters, whose printed diameters are five times those that hold half of the light (W. E. Harris 1996 and handbooks,
# from memory).
HALF_LIGHT_OF_GLOW, HALF_LIGHT_OF_GLOBULAR = 0.55, 0.2
# From half of its axes on a part is the disc and no longer the core.
CORE_ENDS = 0.5
_EVEN = frozenset((ObjectType.PLANETARY_NEBULA, ObjectType.SUPERNOVA_REMNANT))

# Common practice: the brightest stars of an open cluster are three magnitudes fainter than the whole.
BRIGHTEST_STARS_MAG = 3.0
STARRY = frozenset((ObjectType.OPEN_CLUSTER, ObjectType.CLUSTER_WITH_NEBULA, ObjectType.ASSOCIATION))
_POINTS = frozenset((ObjectType.STAR, ObjectType.DOUBLE_STAR, "planet"))
MOON = "Moon"


@dataclass(frozen=True, slots=True, kw_only=True)
class VisualMargins:
    """For n things the margin over the threshold, magnitudes, with the Moon's light and without it; nan is unknown.

    `by_eye` are those that the naked eye shows easily, or better than the tube; `pairs` what the tube makes of double
    stars. `core_arcmin` is how wide the core is by which a galaxy shows whose disc does not; nan for all others.
    """

    margin_mag: Floats
    dark_margin_mag: Floats
    by_eye: Masks
    pairs: tuple[Parted | None, ...]
    core_arcmin: Floats

    def sure(self, place: int) -> Sure:
        return _word(float(self.margin_mag[place]), self.pairs[place])

    def all_sure(self) -> tuple[Sure, ...]:
        return tuple(self.sure(place) for place in range(self.margin_mag.size))

    def drowned(self, place: int) -> bool:
        """Whether it is the Moon alone that keeps a thing from being seen."""
        return bool(self.margin_mag[place] < HARDLY_MAG <= self.dark_margin_mag[place])


def judge(catalogue: Catalogue, behind: SkyBehind, views: Views, aperture_mm: float) -> VisualMargins:
    """How far above the threshold each thing of a catalogue is, in the best of the views or with the naked eye."""
    pairs = tuple(_parted(name, aperture_mm) for name in catalogue.names)
    lit, by_eye, core = _margins(catalogue, behind, views)
    moonlit = bool((behind.moonlight_mag > 0).any())
    dark = _margins(catalogue, behind.without_moon(), views)[0] if moonlit else lit
    return VisualMargins(margin_mag=lit, dark_margin_mag=dark, by_eye=by_eye, pairs=pairs, core_arcmin=core)


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


def _margins(catalogue: Catalogue, behind: SkyBehind, views: Views) -> tuple[Floats, Masks, Floats]:
    types = np.array([str(kind) for kind in catalogue.types])
    galaxies = types == str(ObjectType.GALAXY)
    glows = np.isin(types, [str(kind) for kind in (*GLOWING, ObjectType.GLOBULAR_CLUSTER)])
    found, core = np.full((2, len(catalogue)), np.nan)
    by_eye = np.zeros(len(catalogue), bool)
    stars = ~glows & np.isin(types, [str(kind) for kind in (*STARRY, *_POINTS)])
    found[stars] = _star_margins(catalogue, types, behind, views)[stars]
    for which, light_within in ((galaxies, _of_galaxies), (glows & ~galaxies, _of_others)):
        places = np.flatnonzero(which)
        if places.size:
            parts = light_within(catalogue, types, places)
            found[places], by_eye[places], core[places] = _glow_margins(
                catalogue, behind, views, places, parts
            )
    core[~galaxies] = np.nan
    found[types == MOON] = np.inf
    return found, by_eye, core


def _star_margins(catalogue: Catalogue, types: NDArray[np.str_], behind: SkyBehind, views: Views) -> Floats:
    """Of a cluster by its brightest stars, of a pair by its fainter star."""
    pairs = (double_named(name) for name in catalogue.names)
    fainter = np.array([np.nan if pair is None else pair.magnitude_b for pair in pairs])
    magnitude = np.where(np.isnan(fainter), catalogue.magnitude, fainter)
    magnitude = magnitude + np.where(np.isin(types, [str(kind) for kind in STARRY]), BRIGHTEST_STARS_MAG, 0.0)
    limit = faintest_star_mag(behind.lit_mag, views)
    return np.asarray(limit - magnitude - behind.extinction_mag)


@dataclass(frozen=True, slots=True)
class _Parts:
    """Parts about the middle of each of n things: their axes over the thing's own, and their part of its light.

    Shape: parts, n or 1; from the inside outwards.
    """

    aperture: Floats
    light: Floats


def _of_galaxies(catalogue: Catalogue, _types: NDArray[np.str_], places: NDArray[np.intp]) -> _Parts:
    major, minor = _axes(catalogue, places)
    share = catalogue.bulge_share[places]
    share = np.where(np.isnan(share), USUAL_BULGE_SHARE, share)
    ratio = minor / np.where(major > 0, major, np.nan)
    aperture = APERTURES[:, None]
    return _Parts(aperture, galaxy_light_within(aperture, share, ratio))


def _of_others(_catalogue: Catalogue, types: NDArray[np.str_], places: NDArray[np.intp]) -> _Parts:
    """The part that holds half of the light, and the whole."""
    half = _half_light(types[places])
    return _Parts(np.stack([half, np.ones(half.size)]), np.array([[0.5], [1.0]]))


def _glow_margins(
    catalogue: Catalogue, behind: SkyBehind, views: Views, places: NDArray[np.intp], parts: _Parts
) -> tuple[Floats, Masks, Floats]:
    """The best of the parts; whether by eye; how wide the best part is, where only the inner ones show."""
    major, minor = _axes(catalogue, places)
    area = np.where(major * minor > 0, np.pi / 4 * major * minor, np.nan)
    surface = mean_surface_brightness(catalogue.magnitude[places], major, minor)
    surface = surface + behind.extinction_mag[places] - 2.5 * np.log10(parts.light / parts.aperture**2)
    sky = behind.lit_mag[places]
    tube, eye = (
        glow_margin_mag(surface, area * parts.aperture**2, sky, through) for through in (views, naked_eye())
    )
    best, eyes_best = np.maximum(tube, eye), eye.max(axis=0)
    by_eye = (eyes_best >= EASILY_MAG) | (eyes_best > tube.max(axis=0))
    margin = best.max(axis=0)
    aperture = np.broadcast_to(parts.aperture, best.shape)
    disc = np.where(aperture >= CORE_ENDS, best, -np.inf).max(axis=0)
    widest = np.take_along_axis(aperture, best.argmax(axis=0)[None], axis=0)[0]
    by_core = (margin >= HARDLY_MAG) & (disc < HARDLY_MAG)
    return margin, by_eye, np.where(by_core, widest * np.sqrt(major * minor), np.nan)


def _axes(catalogue: Catalogue, places: NDArray[np.intp]) -> tuple[Floats, Floats]:
    major, minor = catalogue.major_arcmin[places], catalogue.minor_arcmin[places]
    return major, np.where(np.isnan(minor), major, minor)


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
