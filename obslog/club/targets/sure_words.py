"""Why a target is sure to be seen or not, in a few words for who looks for the first time."""

import numpy as np

from obslog.club.targets.how_sure import MOON, STARRY, Sure, VisualMargins
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.surface_brightness import GLOWING
from obslog.sky.names.double_stars import Parted
from obslog.sky.names.object_types import ObjectType

# Common practice: what is called small and what wide, and from when on the Moon's part is told.
SMALL_ARCMIN, WIDE_ARCMIN = 5.0, 60.0
TOLD_MOONLIGHT_MAG = 0.5
LIKE_A_STAR_MAG = 5.0  # common practice: of the planets Uranus and Neptune are fainter, and look like stars


def why(catalogue: Catalogue, judged: VisualMargins, place: int) -> str:
    """The reason for the word that one thing has."""
    kind, sure = str(catalogue.types[place]), judged.sure(place)
    if sure is Sure.UNKNOWN:
        return _what_is_not_known(catalogue, place, kind)
    if kind == MOON:
        return "the brightest there is"
    if kind == "planet":
        return _of_planet(float(catalogue.magnitude[place]))
    if kind in (ObjectType.STAR, ObjectType.DOUBLE_STAR):
        return _of_star(judged.pairs[place], sure)
    reason = _of_cluster(kind, sure) if kind in STARRY else _of_glow(catalogue, judged, place, sure)
    taken = judged.dark_margin_mag[place] - judged.margin_mag[place]
    if sure in (Sure.WITH_CARE, Sure.HARDLY) and taken >= TOLD_MOONLIGHT_MAG:
        return f"{reason}; the Moon weakens it"
    return reason


def _what_is_not_known(catalogue: Catalogue, place: int, kind: str) -> str:
    if kind == ObjectType.DARK_NEBULA:
        return "a dark nebula, with no light of its own to judge it by"
    if np.isnan(catalogue.magnitude[place]):
        return "its magnitude is not known"
    if kind in GLOWING or kind == ObjectType.GLOBULAR_CLUSTER:
        return "its size is not known"
    return "what it is, is not known"


def _of_planet(magnitude: float) -> str:
    return "bright" if magnitude < LIKE_A_STAR_MAG else "like a star, to be found on a chart"


def _of_star(pair: Parted | None, sure: Sure) -> str:
    if pair is Parted.NO:
        return "too close for this tube to part"
    if pair is Parted.JUST:
        return "only just parted by this tube, in steady air"
    word = "a star" if pair is None else "the fainter of its stars"
    return {
        Sure.EASILY: "bright enough, and apart" if pair else "bright enough",
        Sure.WITH_CARE: f"{word} is faint",
    }.get(sure, f"{word} is at the limit of this tube")


def _of_cluster(kind: str, sure: Sure) -> str:
    stars = {
        Sure.EASILY: "its stars are bright enough",
        Sure.WITH_CARE: "only its brightest stars show",
    }.get(sure, "its brightest stars are at the limit of this tube")
    return (
        f"{stars}; the nebula around them is not judged" if kind == ObjectType.CLUSTER_WITH_NEBULA else stars
    )


def _of_glow(catalogue: Catalogue, judged: VisualMargins, place: int, sure: Sure) -> str:
    major = float(catalogue.major_arcmin[place])
    core = float(judged.core_arcmin[place])
    if major >= SMALL_ARCMIN and np.isfinite(core):
        return _of_core(core, float(catalogue.bulge_share[place]))
    wide = f"its light is spread over {major / 60:.2g}°" if major >= WIDE_ARCMIN else None
    if sure is Sure.EASILY:
        if judged.by_eye[place]:
            return "bright enough for the naked eye"
        return "bright and compact" if major < SMALL_ARCMIN else "it stands out well from the sky"
    if sure is Sure.WITH_CARE:
        return wide or ("small and faint" if major < SMALL_ARCMIN else "faint against the sky")
    return wide or ("small and very faint" if major < SMALL_ARCMIN else "very faint against the sky")


def _of_core(across_arcmin: float, bulge_share: float) -> str:
    """Of a galaxy that shows by its inner part alone; one without a bulge has no core."""
    across = f"{across_arcmin:.0f}'" if across_arcmin >= 1 else f'{across_arcmin * 60:.0f}"'
    if bulge_share == 0:
        return f"by its middle, {across} across; the rest is too faint"
    core = f"by its core, {across} across; the disc is too faint"
    return f"{core} (its type is not known: a usual core is taken)" if np.isnan(bulge_share) else core
