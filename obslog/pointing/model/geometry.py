"""Where a mount points: exact rotations from axis angles to the sky, for german, fork and alt-azimuth mounts.

The chain is: tube on the declination axis (cone error), declination axis on the hour axis (squareness), hour
axis in the world (polar axis error, or tilt of an alt-azimuth base), and the bending of the tube (sag). Signs:
cone + where the line of sight leans outward from the pier; squareness + where the tube's end of the
declination axis leans toward the visible pole; polar altitude + too high, azimuth + too far east, in both
hemispheres; sag + where the tube points lower. For an alt-azimuth mount read "azimuth axis" for hour axis,
"altitude" for declination and "zenith" for visible pole, and the two polar errors are the lean of the azimuth
axis's top toward north and toward east.
"""

from dataclasses import dataclass, fields

import numpy as np

from obslog.pointing.model.frames import (
    ARCMIN_PER_RAD,
    RAD_PER_ARCMIN,
    BoolArray,
    FloatArray,
    IntArray,
    Numbers,
    az_alt_deg,
    equatorial_direction,
    hour_angle_dec_deg,
    offsets_arcmin,
    raised,
)
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True)
class AxisErrors:
    """What a mount, its tube and its set-up add to perfect pointing, in arcminutes; scalars or arrays that
    broadcast.

    The zero points are what the controller adds to the hour axis and the declination axis angles. For
    alt-azimuth mounts the polar errors are the lean of the base (altitude: to the north, azimuth: to the
    east).
    """

    zero_hour_arcmin: Numbers = 0.0
    zero_dec_arcmin: Numbers = 0.0
    polar_altitude_arcmin: Numbers = 0.0
    polar_azimuth_arcmin: Numbers = 0.0
    cone_arcmin: Numbers = 0.0
    squareness_arcmin: Numbers = 0.0
    sag_arcmin: Numbers = 0.0

    def in_radians(self) -> tuple[Numbers, ...]:
        """The seven errors in the order of the fields, in radians."""
        return tuple(getattr(self, field.name) * RAD_PER_ARCMIN for field in fields(self))


@dataclass(frozen=True, slots=True)
class StarPlaces:
    """Stars gone to: where the catalogue and the air put them, on which side of the pier the tube was; all
    shape (n,).

    `hour_angle_deg` and `dec_deg` are of the apparent topocentric airless place; `refraction_arcmin` is how
    much the air raises it; `tube_west` counts for german mounts only.
    """

    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    lat_deg: FloatArray
    refraction_arcmin: FloatArray
    tube_west: BoolArray

    def airless(self) -> FloatArray:
        """Directions before refraction, shape (3, n)."""
        return equatorial_direction(self.hour_angle_deg, self.dec_deg, self.lat_deg)

    def seen(self) -> FloatArray:
        """Directions in which the stars are seen, refraction included, shape (3, n)."""
        return raised(self.airless(), self.refraction_arcmin)


def some_stars(stars: StarPlaces, index: IntArray | BoolArray) -> StarPlaces:
    """Some of the stars, in that order."""
    return StarPlaces(*(getattr(stars, field.name)[index] for field in fields(StarPlaces)))


def assumed_tube_west(hour_angle_deg: Numbers) -> BoolArray:
    """The side taken for a german mount where none was written: opposite the target; east on the meridian."""
    return np.asarray((np.asarray(hour_angle_deg) + 180.0) % 360.0 - 180.0 < 0.0)


def side_is_seen(hour_angle_deg: Numbers) -> BoolArray:
    """Whether a german mount's tube stands on the side of the pier that `tube_west` calls it: within 6 h.

    Farther from the meridian the tube's end of the declination axis, along h - 90 deg, has swung over the pier: what
    is called the tube east is seen in the west.
    """
    return np.asarray(np.abs((np.asarray(hour_angle_deg) + 180.0) % 360.0 - 180.0) < 90.0)


def commanded_axes_rad(
    places: StarPlaces, mount_type: MountType, corrects_refraction: bool
) -> tuple[FloatArray, FloatArray]:
    """The axis angles that the controller works out for the catalogue place, before its zero points.

    German and fork: hour angle and declination; alt-azimuth: azimuth and altitude. With the tube west of the
    pier of a german mount they become hour angle + 180 and 180 - declination. A controller that corrects
    refraction starts from the refracted place, another from the airless one.
    """
    if mount_type is MountType.ALTAZ:
        first, second = az_alt_deg(places.seen() if corrects_refraction else places.airless())
    elif corrects_refraction:
        first, second = hour_angle_dec_deg(places.seen(), places.lat_deg)
    else:
        first, second = places.hour_angle_deg, places.dec_deg
    if mount_type is MountType.GERMAN:
        first = np.where(places.tube_west, first + 180.0, first)
        second = np.where(places.tube_west, 180.0 - second, second)
    return np.radians(first), np.radians(second)


def line_of_sight(
    hour_axis_rad: Numbers, dec_axis_rad: Numbers, lat_deg: Numbers, mount_type: MountType, errors: AxisErrors
) -> FloatArray:
    """The direction (north, east, up) in which a mount points at given axis angles; shape (3, n) or (3,)."""
    zero_hour, zero_dec, polar_altitude, polar_azimuth, cone, squareness, sag = errors.in_radians()
    lean = squareness * pole_sign(lat_deg, mount_type)
    tube = _tube_in_axis_frame(hour_axis_rad + zero_hour, dec_axis_rad + zero_dec, cone, lean)
    upright = axis_frame_to_horizon(tube, lat_deg, mount_type)
    return lowered(turned_head(upright, polar_altitude, polar_azimuth, lat_deg, mount_type), sag)


def predicted_offsets_arcmin(
    places: StarPlaces, mount_type: MountType, corrects_refraction: bool, errors: AxisErrors
) -> tuple[FloatArray, FloatArray]:
    """Arrival offsets (star minus field centre, east and north) that the errors predict, shape (n,)."""
    axes = commanded_axes_rad(places, mount_type, corrects_refraction)
    pointing = line_of_sight(*axes, places.lat_deg, mount_type, errors)
    return offsets_arcmin(places.seen(), pointing, places.lat_deg)


def axis_angles_rad(
    target: FloatArray,
    lat_deg: Numbers,
    tube_west: BoolArray | bool,
    mount_type: MountType,
    errors: AxisErrors,
) -> tuple[FloatArray, FloatArray]:
    """The axis angles at which a mount really points at a target direction: the inverse of `line_of_sight`.

    Zero points are taken off at the end. nan where the mount cannot reach the target, which happens within
    cone error plus squareness of the pole of its first axis. `tube_west` is ignored unless the mount is
    german.
    """
    zero_hour, zero_dec, polar_altitude, polar_azimuth, cone, squareness, sag = errors.in_radians()
    flipped = np.asarray(tube_west) & (mount_type is MountType.GERMAN)
    lean = squareness * pole_sign(lat_deg, mount_type)
    upright = unturned_head(unlowered(target, sag), polar_altitude, polar_azimuth, lat_deg, mount_type)
    x, y, z = _horizon_to_axis_frame(upright, lat_deg, mount_type)
    with np.errstate(invalid="ignore"):
        dec = np.arcsin((z - np.sin(cone) * np.sin(lean)) / (np.cos(cone) * np.cos(lean)))
    dec = np.where(flipped, np.pi - dec, dec)
    outward = _outward(dec, cone, lean)
    hour = np.arctan2(-y, x) - np.arctan2(-outward, np.cos(cone) * np.cos(dec))
    return hour - zero_hour, dec - zero_dec


def zero_points_arcmin(
    synced: StarPlaces, mount_type: MountType, corrects_refraction: bool, errors: AxisErrors
) -> tuple[FloatArray, FloatArray]:
    """The zero points (hour axis, declination axis) that a controller takes when these stars are centred and
    accepted.

    The zero points inside `errors` are ignored. Each lies between -180 and 180 degrees, in arcminutes.
    """
    bare = AxisErrors(0.0, 0.0, *(getattr(errors, field.name) for field in fields(errors)[2:]))
    commanded = commanded_axes_rad(synced, mount_type, corrects_refraction)
    needed = axis_angles_rad(synced.seen(), synced.lat_deg, synced.tube_west, mount_type, bare)
    hour, dec = (
        ((there - asked + np.pi) % (2.0 * np.pi) - np.pi) * ARCMIN_PER_RAD
        for there, asked in zip(needed, commanded, strict=True)
    )
    return hour, dec


def visible_pole(lat_deg: Numbers) -> FloatArray:
    """+1 where the north pole is above the horizon, -1 in the south."""
    return np.where(np.asarray(lat_deg) >= 0.0, 1.0, -1.0)


def turned_head(
    upright: FloatArray,
    polar_altitude: Numbers,
    polar_azimuth: Numbers,
    lat_deg: Numbers,
    mount_type: MountType,
) -> FloatArray:
    """Directions of a mount whose head stands right, carried along by the polar axis errors (radians)."""
    north, east, up = upright
    sign = head_sign(lat_deg, mount_type)
    north, up = _rotated(north, up, sign * polar_altitude)
    if mount_type is MountType.ALTAZ:
        up, east = _rotated(up, east, polar_azimuth)
    else:
        north, east = _rotated(north, east, sign * polar_azimuth)
    return np.stack([north, east, up])


def unturned_head(
    turned: FloatArray,
    polar_altitude: Numbers,
    polar_azimuth: Numbers,
    lat_deg: Numbers,
    mount_type: MountType,
) -> FloatArray:
    """The inverse of `turned_head`."""
    north, east, up = turned
    sign = head_sign(lat_deg, mount_type)
    if mount_type is MountType.ALTAZ:
        up, east = _rotated(up, east, -polar_azimuth)
    else:
        north, east = _rotated(north, east, -sign * polar_azimuth)
    north, up = _rotated(north, up, -sign * polar_altitude)
    return np.stack([north, east, up])


def lowered(direction: FloatArray, sag: Numbers) -> FloatArray:
    """Directions brought down by sag x cos(altitude) (radians); smooth through the zenith."""
    up = direction[2]
    level = np.hypot(direction[0], direction[1])
    # sin(sag level) / level without dividing by zero at the zenith
    drop = sag * np.sinc(sag * level / np.pi)
    along = np.cos(sag * level) + up * drop
    return np.stack([direction[0] * along, direction[1] * along, up * along - drop])


def unlowered(direction: FloatArray, sag: Numbers) -> FloatArray:
    """The inverse of `lowered`, by fixed-point iteration (converges as sag^n; sag below a few degrees)."""
    level = np.hypot(direction[0], direction[1])
    altitude = np.arctan2(direction[2], level)
    straight = altitude
    for _ in range(8):
        straight = altitude + sag * np.cos(straight)
    ratio = np.cos(straight) / np.maximum(level, 1e-15)
    return np.stack([direction[0] * ratio, direction[1] * ratio, np.sin(straight)])


def pole_sign(lat_deg: Numbers, mount_type: MountType) -> FloatArray:
    return np.asarray(1.0) if mount_type is MountType.ALTAZ else visible_pole(lat_deg)


def head_sign(lat_deg: Numbers, mount_type: MountType) -> FloatArray:
    """The sense in which positive errors turn north toward up and toward east."""
    return np.asarray(-1.0) if mount_type is MountType.ALTAZ else visible_pole(lat_deg)


def _rotated(a: FloatArray, b: FloatArray, angle: Numbers) -> tuple[FloatArray, FloatArray]:
    """Two components of a direction after a turn that carries the first axis toward the second."""
    sine, cosine = np.sin(angle), np.cos(angle)
    return a * cosine - b * sine, a * sine + b * cosine


def _outward(dec: Numbers, cone: Numbers, lean: Numbers) -> FloatArray:
    """How far the line of sight is pushed out of the plane in which it would turn with `dec` alone."""
    result: FloatArray = np.sin(cone) * np.cos(lean) - np.cos(cone) * np.sin(dec) * np.sin(lean)
    return result


def _tube_in_axis_frame(hour: Numbers, dec: Numbers, cone: Numbers, lean: Numbers) -> FloatArray:
    """Line of sight with x on the axis angles (0, 0), y at (-90 deg, 0) and z along the first axis.

    `lean` is the declination axis's lean toward z, the north pole (or zenith) end of the first axis.
    """
    ahead = np.cos(cone) * np.cos(dec)
    outward = _outward(dec, cone, lean)
    along_axis = np.cos(cone) * np.sin(dec) * np.cos(lean) + np.sin(cone) * np.sin(lean)
    x = ahead * np.cos(hour) + outward * np.sin(hour)
    y = outward * np.cos(hour) - ahead * np.sin(hour)
    return np.stack(np.broadcast_arrays(x, y, along_axis))


def axis_frame_to_horizon(tube: FloatArray, lat_deg: Numbers, mount_type: MountType) -> FloatArray:
    x, y, z = tube
    if mount_type is MountType.ALTAZ:
        return np.stack([x, -y, z])
    sin_lat, cos_lat = np.sin(np.radians(lat_deg)), np.cos(np.radians(lat_deg))
    return np.stack([cos_lat * z - sin_lat * x, y, sin_lat * z + cos_lat * x])


def _horizon_to_axis_frame(upright: FloatArray, lat_deg: Numbers, mount_type: MountType) -> FloatArray:
    north, east, up = upright
    if mount_type is MountType.ALTAZ:
        return np.stack([north, -east, up])
    sin_lat, cos_lat = np.sin(np.radians(lat_deg)), np.cos(np.radians(lat_deg))
    return np.stack([cos_lat * up - sin_lat * north, east, sin_lat * up + cos_lat * north])
