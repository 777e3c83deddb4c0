"""The truth's own exact model of a mount: from axis angles to a direction, and back.

Directions are unit vectors (n, 3) to north, east and up. Axis angles are radians, counted as on a perfect
mount: the first axis like an hour angle (azimuth for altaz), the second like a declination (altitude),
beyond 90 deg where the tube is west of the pier. The program has a model of its own; this one stays apart
so that recovering what it made means something.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

RADIANS_PER_ARCMIN = np.pi / 180.0 / 60.0


@dataclass(frozen=True, slots=True)
class Head:
    """How the first axis stands: the polar axis in altitude and azimuth, or the tilt north and east."""

    lat_deg: Floats
    altaz: Flags
    altitude_arcmin: Floats
    azimuth_arcmin: Floats


@dataclass(frozen=True, slots=True)
class Mechanics:
    """What belongs to a mount and its tube."""

    cone_arcmin: Floats
    squareness_arcmin: Floats
    sag_arcmin: Floats


def turned(first: Floats, second: Floats, angle: Floats) -> tuple[Floats, Floats]:
    """Two components after a turn by `angle` (radians) from the first toward the second."""
    cos, sin = np.cos(angle), np.sin(angle)
    return first * cos - second * sin, second * cos + first * sin


def perfect_axis_frame(head: Head) -> Floats:
    """Rows (n, 3, 3): the axes of a faultless mount in north, east, up.

    Equatorial: meridian at the equator, east, north celestial pole. Altaz: north, west, zenith.
    """
    lat = np.radians(head.lat_deg)
    zero, one = np.zeros_like(lat), np.ones_like(lat)
    equatorial = np.stack(
        [-np.sin(lat), zero, np.cos(lat), zero, one, zero, np.cos(lat), zero, np.sin(lat)], axis=-1
    )
    altaz = np.stack([one, zero, zero, zero, -one, zero, zero, zero, one], axis=-1)
    return np.where(head.altaz[:, None], altaz, equatorial).reshape(-1, 3, 3)


def perfect_axis_angles(direction: Floats, head: Head, tube_west: Flags) -> tuple[Floats, Floats]:
    """The axis angles at which a faultless mount points there: what a controller works out."""
    x, y, z = np.moveaxis(np.einsum("nij,nj->ni", perfect_axis_frame(head), direction), -1, 0)
    first, second = np.arctan2(-y, x), np.arcsin(np.clip(z, -1.0, 1.0))
    return first + np.pi * tube_west, np.where(tube_west, np.pi - second, second)


def pointing_direction(first: Floats, second: Floats, mechanics: Mechanics, head: Head) -> Floats:
    """Where a mount with these faults points for these axis angles."""
    x, y, z = line_of_sight(second, mechanics, head)
    x, y = turned(x, y, -first)
    square = np.einsum("nij,ni->nj", perfect_axis_frame(head), np.stack([x, y, z], axis=-1))
    return lowered(with_head_error(square, head), sag_rad(mechanics))


def axis_angles_pointing_at(
    direction: Floats, mechanics: Mechanics, head: Head, tube_west: Flags
) -> tuple[Floats, Floats]:
    """The axis angles at which a mount with these faults points there; closed form but for sag.

    A direction that no declination angle reaches (within cone plus squareness of the pole) gets the nearest.
    """
    level = without_head_error(raised(direction, sag_rad(mechanics)), head)
    x, y, z = np.moveaxis(np.einsum("nij,nj->ni", perfect_axis_frame(head), level), -1, 0)
    cone = mechanics.cone_arcmin * RADIANS_PER_ARCMIN
    lean = squareness_rad(mechanics, head)
    sin_second = (z - np.sin(cone) * np.sin(lean)) / (np.cos(cone) * np.cos(lean))
    second = np.arcsin(np.clip(sin_second, -1.0, 1.0))
    second = np.where(tube_west, np.pi - second, second)
    x0, y0, _ = line_of_sight(second, mechanics, head)
    return np.arctan2(y0, x0) - np.arctan2(y, x), second


def line_of_sight(second: Floats, mechanics: Mechanics, head: Head) -> tuple[Floats, Floats, Floats]:
    """The tube's direction with the first axis at zero: cone, then the second axis leaning."""
    cone = mechanics.cone_arcmin * RADIANS_PER_ARCMIN
    x, z = np.cos(cone) * np.cos(second), np.cos(cone) * np.sin(second)
    y, z = turned(np.sin(cone) + 0.0 * second, z, squareness_rad(mechanics, head))
    return x, y, z


def squareness_rad(mechanics: Mechanics, head: Head) -> Floats:
    """The lean toward north pole or zenith; the definition counts toward the visible pole."""
    southern = ~head.altaz & (head.lat_deg < 0)
    return np.where(southern, -1.0, 1.0) * mechanics.squareness_arcmin * RADIANS_PER_ARCMIN


def sag_rad(mechanics: Mechanics) -> Floats:
    return mechanics.sag_arcmin * RADIANS_PER_ARCMIN


def head_turns(head: Head) -> tuple[Floats, Floats]:
    """The head's two errors in radians; a southern axis rises and goes east the other way."""
    sign = np.where(~head.altaz & (head.lat_deg < 0), -1.0, 1.0) * RADIANS_PER_ARCMIN
    return sign * head.altitude_arcmin, sign * head.azimuth_arcmin


def with_head_error(direction: Floats, head: Head) -> Floats:
    """Directions carried along: polar axis raised, then turned in azimuth; base leaned north, then east."""
    first, second = head_turns(head)
    north, east, up = np.moveaxis(direction, -1, 0)
    # Raising a polar axis carries the zenith away from the pole; leaning a base north carries it
    # toward the north.
    north, up = turned(north, up, np.where(head.altaz, -first, first))
    turned_north, turned_east = turned(north, east, second)
    leaned_east, leaned_up = turned(east, up, -second)
    return np.where(
        head.altaz[:, None],
        np.stack([north, leaned_east, leaned_up], axis=-1),
        np.stack([turned_north, turned_east, up], axis=-1),
    )


def without_head_error(direction: Floats, head: Head) -> Floats:
    """The inverse of `with_head_error`."""
    first, second = head_turns(head)
    north, east, up = np.moveaxis(direction, -1, 0)
    turned_north, turned_east = turned(north, east, -second)
    leaned_east, leaned_up = turned(east, up, second)
    north = np.where(head.altaz, north, turned_north)
    east = np.where(head.altaz, leaned_east, turned_east)
    up = np.where(head.altaz, leaned_up, up)
    north, up = turned(north, up, np.where(head.altaz, first, -first))
    return np.stack([north, east, up], axis=-1)


def lowered(direction: Floats, sag: Floats) -> Floats:
    """Directions that sag: altitude less sag x cos(altitude)."""
    level = np.hypot(direction[:, 0], direction[:, 1])
    alt = np.arctan2(direction[:, 2], level)
    return at_altitude(direction, alt - sag * level)


def raised(direction: Floats, sag: Floats) -> Floats:
    """The inverse of `lowered`; five rounds reach full precision for any sag under a degree."""
    seen = np.arctan2(direction[:, 2], np.hypot(direction[:, 0], direction[:, 1]))
    alt = seen
    for _ in range(5):
        alt = seen + sag * np.cos(alt)
    return at_altitude(direction, alt)


def at_altitude(direction: Floats, alt: Floats) -> Floats:
    az = np.arctan2(direction[:, 1], direction[:, 0])
    return np.stack([np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt)], axis=-1)


def east_and_north(direction: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
    """Unit vectors (n, 3) along the sky at these directions, toward celestial east and north."""
    lat = np.radians(lat_deg)
    pole = np.stack([np.cos(lat), np.zeros_like(lat), np.sin(lat)], axis=-1)
    # North, east, up is a left-handed set, so the cross product changes sign.
    east = -np.cross(pole, direction)
    east /= np.linalg.norm(east, axis=-1, keepdims=True)
    return east, -np.cross(direction, east)


def arrival_offset_arcmin(target: Floats, centre: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
    """Target minus field centre on the sky, east and north, in the plane that touches the sky at the centre.

    nan where the two are 90 deg or more apart, for then there is no such plane.
    """
    east, north = east_and_north(centre, lat_deg)
    depth = np.sum(target * centre, axis=-1)
    depth = np.where(depth > 0, depth, np.nan)
    offset_east = np.sum(target * east, axis=-1) / depth / RADIANS_PER_ARCMIN
    offset_north = np.sum(target * north, axis=-1) / depth / RADIANS_PER_ARCMIN
    return offset_east, offset_north


def displaced(direction: Floats, east_arcmin: Floats, north_arcmin: Floats, lat_deg: Floats) -> Floats:
    """Directions moved a little along the sky."""
    east, north = east_and_north(direction, lat_deg)
    moved = direction + RADIANS_PER_ARCMIN * (east_arcmin[:, None] * east + north_arcmin[:, None] * north)
    return np.asarray(moved / np.linalg.norm(moved, axis=-1, keepdims=True))


def sky_turned_west(direction: Floats, hours: Floats, lat_deg: Floats) -> Floats:
    """Directions carried about the celestial pole by `hours` of hour angle."""
    none = np.zeros_like(lat_deg)
    frame = perfect_axis_frame(Head(lat_deg, none > 0, none, none))
    x, y, z = np.moveaxis(np.einsum("nij,nj->ni", frame, direction), -1, 0)
    x, y = turned(x, y, -np.radians(15.0 * hours))
    return np.asarray(np.einsum("nij,ni->nj", frame, np.stack([x, y, z], axis=-1)))
