"""Names the mistake from where the first stars landed, before any sync.

Each mistake says where the mount would have gone; the one whose landing is closest, weighted by how often it
happens, is the most likely. Mistakes with a size (minutes of clock, degrees of home position) are summed over
it.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.mistakes.landings import all_supposed
from obslog.pointing.mistakes.prior import NO_PAST, Past, prior_shares
from obslog.pointing.mistakes.supposed import BrightStars, FirstStars, LocalCircumstances, Supposed
from obslog.pointing.mistakes.words import words_for
from obslog.pointing.model.frames import FloatArray, equatorial_direction, separation_deg
from obslog.vocabulary.mistakes import Cause

ORDINARY_DEG = 1.0
"""Scatter per axis of a first star without a mistake: level, home position and polar axis by eye."""
FIRST_STAR_FAR_ARCMIN = 3.0 * 60.0 * ORDINARY_DEG
"""Three times that scatter: nearer ones are no mistake."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyCause:
    """A possible cause, its probability, what to do about it and what to look at to be certain."""

    cause: Cause
    probability: float
    what: str
    remedy: str
    look_at: str


def landed_from_offset(
    hour_angle_deg: FloatArray,
    dec_deg: FloatArray,
    lat_deg: float,
    east_deg: FloatArray,
    north_deg: FloatArray,
) -> FloatArray:
    """Where the mount pointed (3, n), from how far east and north of it the star stood, degrees.

    East is measured along the star's parallel of declination: the hour angles differ by east /
    cos(declination). Misses of many degrees have no tangent plane, and this is what a miss in time looks
    like.
    """
    shift_deg = east_deg / np.maximum(np.cos(np.radians(dec_deg)), 1e-6)
    landed_dec = np.clip(dec_deg - north_deg, -90.0, 90.0)
    return equatorial_direction(hour_angle_deg + shift_deg, landed_dec, lat_deg)


def likely_causes(
    stars: FirstStars,
    circumstances: LocalCircumstances,
    catalogue: BrightStars,
    past: Past = NO_PAST,
    ordinary_deg: float = ORDINARY_DEG,
) -> list[LikelyCause]:
    """Every mistake on the list with its probability, most likely first; the probabilities add up to 1.

    With several stars, all before the first sync, one mistake must explain them together; a star mistaken for
    another is looked for among the first only. `past` is what the club did on earlier nights.
    Raises UnknownMistake for a name in it that is not on the list.
    Neglects: refraction, and slack or flexure, all far below the ordinary scatter of 1 degree.
    """
    shares = prior_shares(past)
    supposed = all_supposed(stars, circumstances, catalogue)
    scores = [_log_scores(one, stars.landed, ordinary_deg) for one in supposed]
    evidence = np.array(
        [
            np.log(shares[one.cause]) + np.logaddexp.reduce(np.ravel(score))
            for one, score in zip(supposed, scores, strict=True)
        ]
    )
    evidence = np.append(evidence, np.log(shares[Cause.SOMETHING_ELSE]) - stars.landed.shape[1] * _log_sky())
    probabilities = np.exp(evidence - np.logaddexp.reduce(evidence))
    causes = [
        _cause(one.cause, float(probability), one.particulars(score), circumstances)
        for one, score, probability in zip(supposed, scores, probabilities[:-1], strict=True)
    ]
    causes.append(_cause(Cause.SOMETHING_ELSE, float(probabilities[-1]), "", circumstances))
    return sorted(causes, key=lambda cause: -cause.probability)


def _log_scores(supposed: Supposed, landed: FloatArray, ordinary_deg: float) -> FloatArray:
    """Log of prior times likelihood for each variant of a mistake, (m,); per square degree."""
    away = separation_deg(supposed.directions, landed[:, None, :])
    log_density = -0.5 * (away / ordinary_deg) ** 2 - np.log(2.0 * np.pi * ordinary_deg**2)
    total: FloatArray = supposed.log_share + log_density.sum(axis=1)
    return total


def _log_sky() -> float:
    """Log of the square degrees above the horizon."""
    return float(np.log(2.0 * np.pi * (180.0 / np.pi) ** 2))


def _cause(
    name: Cause, probability: float, particulars: str, circumstances: LocalCircumstances
) -> LikelyCause:
    words = words_for(name, circumstances.mount_type, circumstances.lat_deg)
    return LikelyCause(
        cause=name,
        probability=probability,
        what=words.what.format(particulars),
        remedy=words.remedy,
        look_at=words.look_at,
    )
