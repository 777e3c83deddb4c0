"""Polar axis errors from timed declination drifts, the rule of thumb behind them, and the turning of the
field.

A mount that turns about a wrong axis keeps a constant declination of its own; a star's declination in the
mount's frame therefore changes, and that change is the drift: north positive, in both hemispheres, with no
cos(declination).
"""

from dataclasses import dataclass

import numpy as np

from obslog.errors import WrongInput
from obslog.pointing.model.frames import (
    ARCMIN_PER_RAD,
    FloatArray,
    Numbers,
    equatorial_direction,
    hour_angle_dec_deg,
    pole_direction,
)
from obslog.pointing.model.geometry import turned_head
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

SIDEREAL_DEG_PER_MINUTE = 360.98564736629 / 1440.0
"""Rotation of the Earth to the mean equinox. Source: IAU 1982 (Aoki et al., A&A 105, 359)."""

LEAST_SHARE = 0.5
"""A star that drifts by one error more than half as fast as by the other tells of either: from 1 h 46 min to 4 h 14 min
of hour angle. Judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drifts:
    """Stars watched for a while, shape (n,): where at the start, for how long, how far north they drifted.

    `drift_north_arcmin` is how far the star moved north in the field while the mount followed it (south
    negative); `reading_arcmin` is how well that was judged.
    """

    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    minutes: FloatArray
    drift_north_arcmin: FloatArray
    reading_arcmin: FloatArray


@dataclass(frozen=True, slots=True)
class DriftAnswer:
    """Polar errors from drifts; covariance (2, 2) of altitude and azimuth, arcminutes squared."""

    polar_altitude: Estimate
    polar_azimuth: Estimate
    covariance: FloatArray


class NoTimePassed(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "A drift was timed over no time at all.",
            "Give the minutes from the first look to the last, above zero.",
        )


def drift_arcmin(
    hour_angle_deg: Numbers,
    dec_deg: Numbers,
    minutes: Numbers,
    lat_deg: float,
    polar_altitude_arcmin: Numbers,
    polar_azimuth_arcmin: Numbers,
) -> FloatArray:
    """How far north a star drifts in a mount with these polar errors, exactly; broadcasts.

    Source: first order, rate -0.2625"/min per arcmin x (altitude error x sin H + azimuth error x cos(latitude) x
    cos H): F. Barrett, Measuring polar axis alignment error, 3rd ed. 2016.
    Neglects: refraction, which displaces the pole it is measured from by 1.0' at latitude 45 and 1.7' at 30.
    """
    axis = _axis(lat_deg, polar_altitude_arcmin, polar_azimuth_arcmin)
    start = equatorial_direction(hour_angle_deg, dec_deg, lat_deg)
    later = _hour_angle_after(hour_angle_deg, minutes)
    end = equatorial_direction(later, dec_deg, lat_deg)
    return (_mount_declination(axis, end) - _mount_declination(axis, start)) * ARCMIN_PER_RAD


def polar_errors_from_drifts(drifts: Drifts, lat_deg: float, prior_sd_arcmin: float = 60.0) -> DriftAnswer:
    """The polar errors that explain timed drifts, by Gauss-Newton on the exact drift with a prior about zero.

    Estimates in arcminutes; one star determines at most one of them, and the other stays at its prior. The
    two are told apart by stars about six hours of hour angle apart: one on the meridian (azimuth), one east
    or west (altitude).
    Raises NoTimePassed where a duration is not positive.
    """
    if np.any(drifts.minutes <= 0.0):
        raise NoTimePassed
    polar = np.zeros(2)
    covariance: FloatArray = np.eye(2)
    for _ in range(20):
        expected, slopes = _drift_and_slopes(drifts, lat_deg, polar)
        left = (drifts.drift_north_arcmin - expected) / drifts.reading_arcmin
        slopes = slopes / drifts.reading_arcmin[:, None]
        covariance = np.linalg.inv(slopes.T @ slopes + np.eye(2) / prior_sd_arcmin**2).astype(np.float64)
        step = covariance @ (slopes.T @ left - polar / prior_sd_arcmin**2)
        polar = polar + step
        if np.abs(step).max() < 1e-6:
            break
    altitude, azimuth = (
        Estimate(float(value), float(sd), drifts.minutes.size, bool(sd < 0.5 * prior_sd_arcmin))
        for value, sd in zip(polar, np.sqrt(np.diagonal(covariance)), strict=True)
    )
    return DriftAnswer(altitude, azimuth, covariance)


def drift_meaning(
    hour_angle_deg: float, lat_deg: float, drift_north_arcmin: float, reading_arcmin: float
) -> str:
    """What one drift says, as a rule in words; between the meridian and six hours from it, both errors that it may be.

    Neglects: the error that is not told, where the star drifts less than half as fast by it.
    """
    if abs(drift_north_arcmin) < reading_arcmin:
        return f"no drift beyond ±{reading_arcmin:g}': it shows no error"
    hour_angle = (hour_angle_deg + 180.0) % 360.0 - 180.0
    altitude_rate, azimuth_rate = -np.sin(np.radians(hour_angle)), -np.cos(np.radians(hour_angle))
    # a southern sky is a northern one in a mirror: north and south change places
    poleward = drift_north_arcmin * np.copysign(1.0, lat_deg)
    high = f"too {'high' if poleward * altitude_rate > 0.0 else 'low'}"
    east = f"too far {'east' if poleward * azimuth_rate > 0.0 else 'west'}"
    lesser, greater = sorted([abs(altitude_rate), abs(azimuth_rate)])
    if lesser > LEAST_SHARE * greater:
        return f"the polar axis points {high} or {east}, or both"
    return f"the polar axis points {east if abs(azimuth_rate) == greater else high}"


def field_rotation_deg(
    hour_angle_deg: Numbers, dec_deg: Numbers, minutes: Numbers, lat_deg: float, axis: FloatArray
) -> FloatArray:
    """How far the camera turns against the stars about a guided star, degrees; north through east is
    positive.

    `axis` (3,) is the direction of the axis the camera turns about: `polar_axis` for a polar mount, straight
    up (0, 0, 1) for an alt-azimuth mount, whose rate is -15.04 deg/h x cos(latitude) cos(azimuth) /
    cos(altitude).
    """
    later = _hour_angle_after(hour_angle_deg, minutes)
    start = _axis_position_angle(equatorial_direction(hour_angle_deg, dec_deg, lat_deg), axis, lat_deg)
    end = _axis_position_angle(equatorial_direction(later, dec_deg, lat_deg), axis, lat_deg)
    return np.degrees((end - start + np.pi) % (2.0 * np.pi) - np.pi)


def _hour_angle_after(hour_angle_deg: Numbers, minutes: Numbers) -> FloatArray:
    return np.asarray(hour_angle_deg) + np.asarray(minutes) * SIDEREAL_DEG_PER_MINUTE


def polar_axis(lat_deg: float, polar_altitude_arcmin: float, polar_azimuth_arcmin: float) -> FloatArray:
    """The direction (3,) of the north end of a polar axis with these errors."""
    return _axis(lat_deg, polar_altitude_arcmin, polar_azimuth_arcmin)


def _axis(lat_deg: float, altitude_arcmin: Numbers, azimuth_arcmin: Numbers) -> FloatArray:
    altitude, azimuth = (
        np.asarray(altitude_arcmin) / ARCMIN_PER_RAD,
        np.asarray(azimuth_arcmin) / ARCMIN_PER_RAD,
    )
    shape = np.broadcast_shapes(altitude.shape, azimuth.shape)
    pole = pole_direction(np.full(shape, lat_deg))
    return turned_head(pole, altitude, azimuth, lat_deg, MountType.GERMAN)


def _mount_declination(axis: FloatArray, star: FloatArray) -> FloatArray:
    if axis.ndim < star.ndim:
        axis = axis[:, None]
    cross = np.cross(axis, star, axis=0)
    along: FloatArray = (axis * star).sum(axis=0)
    declination: FloatArray = np.arctan2(along, np.sqrt((cross * cross).sum(axis=0)))
    return declination


def _drift_and_slopes(drifts: Drifts, lat_deg: float, polar: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Expected drifts (n,) and their slopes (n, 2) by central differences of 1'."""

    def expected(altitude: float, azimuth: float) -> FloatArray:
        return drift_arcmin(drifts.hour_angle_deg, drifts.dec_deg, drifts.minutes, lat_deg, altitude, azimuth)

    altitude, azimuth = float(polar[0]), float(polar[1])
    in_altitude = (expected(altitude + 1.0, azimuth) - expected(altitude - 1.0, azimuth)) / 2.0
    in_azimuth = (expected(altitude, azimuth + 1.0) - expected(altitude, azimuth - 1.0)) / 2.0
    return expected(altitude, azimuth), np.stack([in_altitude, in_azimuth], axis=1)


def _axis_position_angle(star: FloatArray, axis: FloatArray, lat_deg: float) -> FloatArray:
    """Position angle, north through east, of the direction from a star toward the axis (radians)."""
    hour_angle_deg, dec_deg = hour_angle_dec_deg(star, lat_deg)
    north = equatorial_direction(hour_angle_deg, dec_deg + 90.0, lat_deg)
    east = equatorial_direction(hour_angle_deg - 90.0, np.zeros_like(dec_deg), lat_deg)
    along = axis if star.ndim == 1 else axis[:, None]
    angle: FloatArray = np.arctan2((along * east).sum(axis=0), (along * north).sum(axis=0))
    return angle
