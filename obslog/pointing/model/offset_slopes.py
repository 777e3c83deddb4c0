"""Predicted arrival offsets together with their slopes in the seven errors, in one vectorised evaluation.

The same chain of rotations as `geometry`, differentiated by hand: each error turns the line of sight about
one axis, so its slope is a cross product.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.model.frames import ARCMIN_PER_RAD, FloatArray, pole_direction
from obslog.pointing.model.geometry import (
    AxisErrors,
    StarPlaces,
    axis_frame_to_horizon,
    commanded_axes_rad,
    head_sign,
    lowered,
    pole_sign,
    turned_head,
)
from obslog.vocabulary.mounts import MountType

ERRORS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """What does not change while errors are sought: commanded axis angles and where the stars are seen."""

    mount_type: MountType
    lat_deg: FloatArray
    hour_axis_rad: FloatArray
    dec_axis_rad: FloatArray
    seen: FloatArray
    pole: FloatArray
    across: FloatArray

    @classmethod
    def of(cls, stars: StarPlaces, mount_type: MountType, corrects_refraction: bool) -> "Arrived":
        hour_axis_rad, dec_axis_rad = commanded_axes_rad(stars, mount_type, corrects_refraction)
        seen, pole = stars.seen(), pole_direction(stars.lat_deg)
        across = np.cross(pole, seen, axis=0)  # its part along the pointing is the offset east
        return cls(
            mount_type=mount_type,
            lat_deg=stars.lat_deg,
            hour_axis_rad=hour_axis_rad,
            dec_axis_rad=dec_axis_rad,
            seen=seen,
            pole=pole,
            across=across,
        )

    def part(self, rows: slice) -> "Arrived":
        """The same for some of the rows, without copying."""
        return Arrived(
            mount_type=self.mount_type,
            lat_deg=self.lat_deg[rows],
            hour_axis_rad=self.hour_axis_rad[rows],
            dec_axis_rad=self.dec_axis_rad[rows],
            seen=self.seen[:, rows],
            pole=self.pole[:, rows],
            across=self.across[:, rows],
        )


def offsets_and_slopes(arrived: Arrived, errors: AxisErrors) -> tuple[FloatArray, FloatArray]:
    """Predicted offsets (2, n) in arcminutes, east then north, and their slopes (2, 7, n) in the seven
    errors.

    Slopes are arcminutes per arcminute. nan where the star is 90 degrees or more from the pointing.
    Neglects: terms of the order of sag squared (1e-5 at 10') in the slopes only.
    """
    pointing, slopes = _pointing_and_slopes(arrived, errors)
    along = _dot(arrived.seen, pointing)
    sin_dec = _dot(arrived.pole, pointing)
    cos_dec = np.sqrt(np.maximum(1.0 - sin_dec * sin_dec, 1e-30))
    scale = np.where(along > 0.0, 1.0, np.nan) / (along * cos_dec)
    east = _dot(arrived.across, pointing) * scale
    north = (_dot(arrived.pole, arrived.seen) - sin_dec * along) * scale
    result = np.empty((2, ERRORS, along.size))
    for index, slope in enumerate(slopes):
        along_slope = _dot(arrived.seen, slope)
        sin_slope = _dot(arrived.pole, slope)
        shrink = along_slope / along - sin_dec * sin_slope / (cos_dec * cos_dec)
        result[0, index] = _dot(arrived.across, slope) * scale - east * shrink
        result[1, index] = -(sin_slope * along + sin_dec * along_slope) * scale - north * shrink
    return np.stack([east, north]) * ARCMIN_PER_RAD, result


def _pointing_and_slopes(arrived: Arrived, errors: AxisErrors) -> tuple[FloatArray, list[FloatArray]]:
    """The line of sight (3, n) and its slope (3, n) in each of the seven errors, per radian."""
    zero_hour, zero_dec, polar_altitude, polar_azimuth, cone, squareness, sag = errors.in_radians()
    lat_deg, mount_type = arrived.lat_deg, arrived.mount_type
    sign, turn = pole_sign(lat_deg, mount_type), head_sign(lat_deg, mount_type)
    hour, dec, lean = arrived.hour_axis_rad + zero_hour, arrived.dec_axis_rad + zero_dec, squareness * sign
    sin_hour, cos_hour, sin_lean, cos_lean = np.sin(hour), np.cos(hour), np.sin(lean), np.cos(lean)
    none = np.zeros_like(hour)
    # ahead: where the tube looks at declination angle 0; level: the tube's end of a square declination axis
    frame = np.array([[cos_hour, sin_hour, none], [-sin_hour, cos_hour, none], [none, none, none + 1.0]])
    upright = axis_frame_to_horizon(frame, lat_deg, mount_type)
    turned = turned_head(upright, polar_altitude, polar_azimuth, lat_deg, mount_type)
    ahead, level, axis = turned[:, 0], turned[:, 1], turned[:, 2]
    outward = cos_lean * level + sin_lean * axis
    poleward = cos_lean * axis - sin_lean * level
    sin_dec, cos_dec, sin_cone, cos_cone = np.sin(dec), np.cos(dec), np.sin(cone), np.cos(cone)
    tube = cos_dec * ahead + sin_dec * poleward
    straight = cos_cone * tube + sin_cone * outward
    sideways = sin_cone * cos_lean - cos_cone * sin_dec * sin_lean
    slopes = [
        sideways * ahead - cos_cone * cos_dec * level,
        cos_cone * (cos_dec * poleward - sin_dec * ahead),
        *_head_slopes(straight, polar_azimuth, turn, mount_type),
        cos_cone * outward - sin_cone * tube,
        sign * (sin_cone * poleward - cos_cone * sin_dec * outward),
    ]
    pointing = lowered(straight, sag)
    bent = [_bent(slope, straight, sag) for slope in slopes]
    return pointing, [*bent, _sag_slope(straight, sag)]


def _head_slopes(
    straight: FloatArray, polar_azimuth: float | FloatArray, turn: FloatArray, mount_type: MountType
) -> tuple[FloatArray, FloatArray]:
    """Slopes of a direction in the two polar errors."""
    north, east, up = straight
    sin_turn, cos_turn = np.sin(turn * polar_azimuth), np.cos(turn * polar_azimuth)
    none = np.zeros_like(north)
    if mount_type is MountType.ALTAZ:
        leaned_up = -sin_turn * east + cos_turn * up  # turn is -1 here: the sine carries its sign
        altitude = turn * np.stack([-leaned_up, -sin_turn * north, cos_turn * north])
        return altitude, np.stack([none, up, -east])
    to_pole = cos_turn * north + sin_turn * east
    altitude = turn * np.stack([-cos_turn * up, -sin_turn * up, to_pole])
    return altitude, turn * np.stack([-east, north, none])


def _bent(slope: FloatArray, straight: FloatArray, sag: float | FloatArray) -> FloatArray:
    """A slope carried through the bending of the tube, to first order in sag."""
    bent: FloatArray = slope * (1.0 + sag * straight[2]) + straight * (sag * slope[2])
    return bent


def _sag_slope(straight: FloatArray, sag: float | FloatArray) -> FloatArray:
    up = straight[2]
    level = np.hypot(straight[0], straight[1])
    sine, cosine = np.sin(sag * level), np.cos(sag * level)
    slope = straight * (up * cosine - level * sine)
    slope[2] -= cosine
    result: FloatArray = slope
    return result


def _dot(one: FloatArray, other: FloatArray) -> FloatArray:
    product: FloatArray = one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
    return product
