"""What else may be at work, as columns beside the slopes of the fit: by how much an arrival's offset moves for 1'.

Of the side of the pier (a mirror that shifts, slack in the declination axis), of the person who reads, of the direction
from which a place was approached, of the altitude (refraction taken twice, or not at all), of the air's temperature.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray, az_alt_deg
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType

SHIFT_ARCMIN = 5.0
"""How large a shift is expected that a side of the pier, an observer or a direction brings."""
LEAST_SHARE = 0.15
"""Of the arrivals that a column must tell apart from the rest: with fewer it cannot be tested."""
LEAST_SPAN_C = 6.0
"""Degrees Celsius between the coldest and the warmest set-up, for the temperature to be told."""
MOVED_DEG = 0.5
"""A mount that moved less than this may not have taken up its slack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PossibleCause:
    """Something that may be at work: its columns among all, its expected size, and who, where it is a person."""

    kind: MisfitKind
    columns: tuple[int, ...]
    expected_arcmin: float
    who: str | None = None


@dataclass(frozen=True, slots=True)
class Columns:
    """All columns (2, q, n) by arrival, east and north; those `at_centring` (q,) move a centred star too."""

    values: FloatArray
    at_centring: BoolArray
    causes: tuple[PossibleCause, ...]

    @property
    def expected_arcmin(self) -> FloatArray:
        """How large each is expected to be, (q,)."""
        expected = np.ones(self.values.shape[1])
        for cause in self.causes:
            expected[list(cause.columns)] = cause.expected_arcmin
        return expected

    def chosen(self, columns: tuple[int, ...]) -> "Columns":
        """Some of the columns alone."""
        return Columns(self.values[:, list(columns)], self.at_centring[list(columns)], ())

    def of_rows(self, arrival: IntArray, is_centring: BoolArray) -> FloatArray:
        """The columns of the fit's rows, (2, q, m)."""
        rows: FloatArray = self.values[:, :, arrival] * (self.at_centring[:, None] | ~is_centring)
        return rows


def columns_of(machine: Machine, arrivals: Arrivals, circumstances: Circumstances) -> Columns:
    """The columns that these arrivals can tell."""
    count = arrivals.setup.size
    built = _Built(count)
    if machine.mount_type is MountType.GERMAN:
        built.add_both(MisfitKind.SIDE_OF_PIER, arrivals.stars.tube_west.astype(float), at_centring=True)
    names = sorted({name for name in circumstances.observers if name is not None})
    if len(names) > 1:
        for name in names:
            his = np.array([observer == name for observer in circumstances.observers])[arrivals.setup]
            built.add_both(MisfitKind.OBSERVER, his.astype(float), who=name)
    up_east, up_north, alt_deg = _up(arrivals)
    came = _came_from(machine, arrivals)
    sides = [(came[0], 0.0), (0.0, came[1])]
    if machine.mount_type is MountType.ALTAZ:
        sides = [(came[0] * up_north, -came[0] * up_east), (came[1] * up_east, came[1] * up_north)]
    built.add(MisfitKind.DIRECTION, sides, SHIFT_ARCMIN, at_centring=True, of=came[0])
    low = 1.0 / np.tan(np.radians(np.clip(alt_deg, 5.0, 90.0)))
    built.add(MisfitKind.ALTITUDE, [(up_east * low, up_north * low)], 3.0, at_centring=True, of=low)
    warmth = circumstances.temperature_c[arrivals.setup]
    if np.isfinite(warmth).all() and np.ptp(warmth) >= LEAST_SPAN_C:
        bent = (warmth - warmth.mean()) / 10.0 * np.cos(np.radians(alt_deg))
        built.add(MisfitKind.TEMPERATURE, [(up_east * bent, up_north * bent)], 3.0, at_centring=True, of=bent)
    return built.whole()


class _Built:
    """Columns as they are put together."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._values: list[FloatArray] = []
        self._at_centring: list[bool] = []
        self._causes: list[PossibleCause] = []

    def add_both(
        self,
        kind: MisfitKind,
        is_so: FloatArray,
        *,
        at_centring: bool = False,
        who: str | None = None,
    ) -> None:
        """A shift east and a shift north of the arrivals of which it is so, where enough are and are not."""
        if LEAST_SHARE <= is_so.mean() <= 1.0 - LEAST_SHARE:
            self.add(
                kind, [(is_so, 0.0), (0.0, is_so)], SHIFT_ARCMIN, at_centring=at_centring, of=is_so, who=who
            )

    def add(
        self,
        kind: MisfitKind,
        pairs: Sequence[tuple[FloatArray | float, FloatArray | float]],
        expected: float,
        *,
        at_centring: bool,
        of: FloatArray,
        who: str | None = None,
    ) -> None:
        if np.ptp(of) == 0.0:
            return
        first = len(self._values)
        for east, north in pairs:
            self._values.append(np.stack([np.broadcast_to(axis, self._count) for axis in (east, north)]))
            self._at_centring.append(at_centring)
        columns = tuple(range(first, len(self._values)))
        self._causes.append(PossibleCause(kind=kind, columns=columns, expected_arcmin=expected, who=who))

    def whole(self) -> Columns:
        values = np.stack(self._values, axis=1) if self._values else np.zeros((2, 0, self._count))
        return Columns(values, np.array(self._at_centring, dtype=np.bool_), tuple(self._causes))


def _came_from(machine: Machine, arrivals: Arrivals) -> FloatArray:
    """From where either axis came, (2, n): +1 where its angle grew on the way, -1 where it shrank, 0 unknown.

    The angles are hour angle and declination, of an alt-azimuth mount azimuth and altitude.
    Neglects: that slack of an axis moves a star the less, the nearer it stands to the axis' own pole; cables that send
    an axis round the long way.
    """
    stars = arrivals.stars
    around, along = stars.hour_angle_deg, stars.dec_deg
    if machine.mount_type is MountType.ALTAZ:
        around, along = az_alt_deg(stars.airless())
    same = arrivals.setup[1:] == arrivals.setup[:-1]
    if machine.mount_type is MountType.GERMAN:  # after a flip it may have come from either side
        same &= stars.tube_west[1:] == stars.tube_west[:-1]
    came = np.zeros((2, arrivals.setup.size))
    for axis, moved in enumerate(((np.diff(around) + 180.0) % 360.0 - 180.0, np.diff(along))):
        came[axis, 1:] = np.where(same & (np.abs(moved) > MOVED_DEG), np.sign(moved), 0.0)
    return came


def _up(arrivals: Arrivals) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The way up at each arrival as parts east and north, each (n,), and the altitude, degrees.

    Source: the triangle of pole, zenith and star (J. Meeus, Astronomical Algorithms, 2nd ed. 1998, chapter 14).
    """
    stars = arrivals.stars
    lat, dec, hour = (np.radians(a) for a in (stars.lat_deg, stars.dec_deg, stars.hour_angle_deg))
    _, alt_deg = az_alt_deg(stars.airless())
    cos_alt = np.maximum(np.cos(np.radians(alt_deg)), 1e-3)
    # the zenith as seen from the star: sine and cosine of the parallactic angle, east of the meridian westward
    east = np.cos(lat) * np.sin(hour) / cos_alt
    north = (np.sin(lat) * np.cos(dec) - np.cos(lat) * np.sin(dec) * np.cos(hour)) / cos_alt
    return east, north, alt_deg
