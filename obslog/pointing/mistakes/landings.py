"""Where the first stars would land under each supposed mistake: one function per family of mistakes.

A controller whose sidereal time is ahead by x degrees sends the mount x degrees west of the star. The
sidereal time itself is never needed: a clock ahead by t hours puts it ahead by 15.041 t degrees, a longitude
too far east by as much.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.pointing.model.frames import (
    BoolArray,
    FloatArray,
    az_alt_deg,
    equatorial_direction,
    horizontal_direction,
    separation_deg,
)
from obslog.pointing.model.geometry import turned_head
from obslog.vocabulary import Cause, MountType

SIDEREAL_DEG_PER_HOUR = 15.04106864
SIDEREAL_DEG_PER_DAY = 0.98564737
CLOCK_SCALE_MINUTES, HOME_SCALE_DEG = 20.0, 6.0
POLAR_ALTITUDE_DEG, POLAR_AZIMUTH_DEG = 4.0, 10.0
"""Typical sizes, judged from common practice: a wrong clock, a wrong home, a grossly wrong axis."""
IN_VIEW_DEG, SEEN_FAR, SENT_FAR = 5.0, 0.01, 0.05
"""Whoever takes another star for the right one saw it in the finder or beside its place, within some degrees; few find
one far away. A star that was keyed in wrongly is more often a far one, but mostly a neighbour too. Judged."""
SAME_STAR_DEG = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstStars:
    """The first stars of a set-up, in order, before any sync; shape (n,).

    Apparent places as in the joint fit; `ra_deg` of date; `landed` (3, n) is where the mount pointed.
    """

    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    ra_deg: FloatArray
    tube_west: BoolArray
    landed: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Where and when, as they truly are; zone as hours ahead of universal time; the club's other sites."""

    mount_type: MountType
    lat_deg: float
    lon_deg: float
    local_date: date
    zone_hours: float
    other_sites: tuple[tuple[str, float, float], ...] = ()
    """Name, latitude and longitude in degrees."""


@dataclass(frozen=True, slots=True)
class BrightStars:
    """Stars that could be taken for the right one, shape (m,), with their names and apparent places now."""

    names: tuple[str, ...]
    hour_angle_deg: FloatArray
    dec_deg: FloatArray
    magnitude: FloatArray


@dataclass(frozen=True, slots=True)
class Supposed:
    """A mistake's variants: log shares (m,), landings (3, m, n), and words once scores (m,) are known."""

    cause: Cause
    log_share: FloatArray
    directions: FloatArray
    particulars: Callable[[FloatArray], str]


def all_supposed(stars: FirstStars, situation: Situation, catalogue: BrightStars) -> list[Supposed]:
    """Every mistake that this mount can suffer here and now, with its variants."""
    families = (_of_time, _of_date, _of_place, _of_home, _of_axis, _of_star)
    found = [_turned(stars, situation, Cause.ORDINARY, [0.0], [""])]
    for family in families:
        found.extend(family(stars, situation))
    found.extend(_of_wrong_star(stars, situation, catalogue))
    return found


def _of_time(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    minutes = np.arange(-240.0, 241.0, 1.0)
    share = -np.abs(minutes) / CLOCK_SCALE_MINUTES

    def by_clock(score: FloatArray) -> str:
        mean, sd = _mean_and_sd(minutes, score)
        return f"{abs(mean):.0f} ± {max(sd, 1.0):.0f} minutes {'fast' if mean > 0 else 'slow'}"

    shifts = minutes / 60.0 * SIDEREAL_DEG_PER_HOUR
    yield Supposed(Cause.CLOCK, _normalised(share), _west_of(stars, situation, shifts), by_clock)
    hour = SIDEREAL_DEG_PER_HOUR
    yield _turned(stars, situation, Cause.SUMMER_TIME, [hour, -hour], ["ahead", "behind"])
    hours = [float(h) for h in range(-12, 13) if abs(h) >= 2] + [0.5, -0.5]
    if abs(situation.zone_hours) >= 1.0:
        hours += [2.0 * situation.zone_hours] * 8  # the zone's sign is the usual slip
    words = [f"{abs(h):g} hours {'ahead' if h > 0 else 'behind'}" for h in hours]
    yield _turned(stars, situation, Cause.TIME_ZONE, [h * hour for h in hours], words)
    yield _turned(stars, situation, Cause.MORNING_FOR_EVENING, [12.0 * hour, -12.0 * hour], ["", ""])


def _of_date(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    day = SIDEREAL_DEG_PER_DAY
    yield _turned(stars, situation, Cause.DATE, [day, -day], ["ahead", "behind"])
    today = situation.local_date
    if today.day <= 12 and today.day != today.month:
        swapped = today.replace(month=today.day, day=today.month)
        days = (swapped - today).days
        yield _turned(stars, situation, Cause.DAY_AND_MONTH_SWAPPED, [days * day], [f"{swapped} for {today}"])


def _of_place(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    lon, others = situation.lon_deg, situation.other_sites
    yield _turned(stars, situation, Cause.LONGITUDE_SIGN, [-2.0 * lon], [""])
    if others:
        shifts = [site_lon - lon for _, _, site_lon in others]
        yield _turned(
            stars, situation, Cause.ANOTHER_SITES_LONGITUDE, shifts, [name for name, _, _ in others]
        )
    typed = _typed_wrongly(lon)
    yield _turned(
        stars, situation, Cause.DEGREES_AND_MINUTES, [t - lon for t in typed], ["longitude"] * len(typed)
    )
    if situation.mount_type is MountType.ALTAZ:
        latitudes = [-situation.lat_deg, *_typed_wrongly(situation.lat_deg), *(lat for _, lat, _ in others)]
        words = [
            "sign",
            "degrees and minutes",
            "decimal degrees",
            *(f"that of {name}" for name, _, _ in others),
        ]
        yield Supposed(
            Cause.LATITUDE,
            _normalised(np.zeros(len(latitudes))),
            np.stack([_with_latitude(stars, situation, lat) for lat in latitudes], axis=1),
            _best_of(words),
        )


def _of_home(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    second_deg = np.arange(-90.0, 90.5, 0.5)
    share = _normalised(-np.abs(second_deg) / HOME_SCALE_DEG)
    quarter_turns = np.array([90.0, -90.0, 180.0])
    if situation.mount_type is MountType.ALTAZ:
        az_deg, alt_deg = az_alt_deg(
            equatorial_direction(stars.hour_angle_deg, stars.dec_deg, situation.lat_deg)
        )
        raised = horizontal_direction(az_deg + 0.0 * second_deg[:, None], alt_deg + second_deg[:, None])
        turned = horizontal_direction(az_deg + quarter_turns[:, None], alt_deg + 0.0 * quarter_turns[:, None])
    else:
        flip = np.where(stars.tube_west & (situation.mount_type is MountType.GERMAN), -1.0, 1.0)
        raised = _at(stars, situation, 0.0 * second_deg[:, None], flip * second_deg[:, None])
        turned = _west_of(stars, situation, quarter_turns)

    def by_home(score: FloatArray) -> str:
        mean, sd = _mean_and_sd(second_deg, score)
        return f"{abs(mean):.1f}° ± {max(sd, 0.1):.1f}°"

    yield Supposed(Cause.DECLINATION_ZERO, share, raised, by_home)
    names = ["90", "90", "180"]
    yield Supposed(Cause.HOUR_AXIS_HOME, _normalised(np.zeros(3)), turned, _best_of(names))


def _of_axis(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    altitude, azimuth = (
        grid.ravel() for grid in np.meshgrid(np.arange(-20.0, 21.0), np.arange(-60.0, 61.0, 1.5))
    )
    share = -np.abs(altitude) / POLAR_ALTITUDE_DEG - np.abs(azimuth) / POLAR_AZIMUTH_DEG
    upright = equatorial_direction(stars.hour_angle_deg, stars.dec_deg, situation.lat_deg)
    everywhere = np.broadcast_to(upright[:, None], (3, altitude.size, upright.shape[1]))
    angles = np.radians(altitude)[:, None], np.radians(azimuth)[:, None]
    directions = turned_head(everywhere, *angles, situation.lat_deg, situation.mount_type)

    def by_axis(score: FloatArray) -> str:
        up, _ = _mean_and_sd(altitude, score)
        side, _ = _mean_and_sd(azimuth, score)
        far = "to the {}" if situation.mount_type is MountType.ALTAZ else "too {}"
        ends = ("north", "south") if situation.mount_type is MountType.ALTAZ else ("high", "low")
        level = far.format(ends[0] if up > 0 else ends[1])
        return f"{abs(up):.0f}° {level}, {abs(side):.0f}° to the {'east' if side > 0 else 'west'}"

    yield Supposed(Cause.POLAR_AXIS, _normalised(share), directions, by_axis)


def _of_star(stars: FirstStars, situation: Situation) -> Iterator[Supposed]:
    year = situation.local_date.year + situation.local_date.timetuple().tm_yday / 365.25
    landings = []
    for equinox in (2000.0, 1950.0):
        ra_shift_deg, dec_shift_deg = precession_deg(stars.ra_deg, stars.dec_deg, year - equinox)
        landings.append(_at(stars, situation, ra_shift_deg[None], -dec_shift_deg[None]))
    yield Supposed(
        Cause.EQUINOX,
        np.log([0.8, 0.2]),
        np.concatenate(landings, axis=1),
        _best_of(["2000 for today's", "1950 for today's"]),
    )


def _of_wrong_star(stars: FirstStars, situation: Situation, catalogue: BrightStars) -> Iterator[Supposed]:
    """The first star only: the later ones are supposed to have been right."""
    if not catalogue.names:
        return
    right_one = equatorial_direction(stars.hour_angle_deg[:1], stars.dec_deg[:1], situation.lat_deg)
    others = equatorial_direction(catalogue.hour_angle_deg, catalogue.dec_deg, situation.lat_deg)
    away_deg = separation_deg(others, right_one)
    is_other = away_deg > SAME_STAR_DEG
    if not is_other.any():
        return
    near = np.exp(-0.5 * (away_deg / IN_VIEW_DEG) ** 2)
    # brighter stars are taken more easily: one magnitude is worth a factor of e
    bright = np.where(is_other, -catalogue.magnitude, -np.inf)
    seen_share, sent_share = (
        _normalised(bright + np.log(near + anywhere)) for anywhere in (SEEN_FAR, SENT_FAR)
    )
    right = equatorial_direction(stars.hour_angle_deg, stars.dec_deg, situation.lat_deg)
    directions = np.repeat(right[:, None, :], others.shape[1], axis=1)
    sent = directions.copy()
    sent[:, :, 0] = others
    # the mount went to the right place, and the star seen was another: it stood where it does, the mount
    # seemed off
    directions[:, :, 0] = _seeming(stars, situation, catalogue)
    names = list(catalogue.names)
    yield Supposed(Cause.WRONG_STAR, seen_share, directions, _best_of(names))
    yield Supposed(Cause.SENT_TO_ANOTHER_STAR, sent_share, sent, _best_of(names))


def _seeming(stars: FirstStars, situation: Situation, catalogue: BrightStars) -> FloatArray:
    """Where the mount seems to have pointed if the offset of another star is taken for the right one's."""
    hour_angle, dec = stars.hour_angle_deg[0], stars.dec_deg[0]
    shrink = np.cos(np.radians(catalogue.dec_deg)) / max(np.cos(np.radians(dec)), 1e-6)
    difference = (hour_angle - catalogue.hour_angle_deg + 180.0) % 360.0 - 180.0
    seeming_dec = np.clip(2.0 * dec - catalogue.dec_deg, -90.0, 90.0)
    return equatorial_direction(hour_angle + difference * shrink, seeming_dec, situation.lat_deg)


def precession_deg(ra_deg: FloatArray, dec_deg: FloatArray, years: float) -> tuple[FloatArray, FloatArray]:
    """How far precession carries a star in right ascension and declination in so many years, degrees.

    Source: J. Meeus, Astronomical Algorithms, 2nd ed. 1998, chapter 21, low accuracy: m 3.075 s, n 20.04" a
    year.
    Neglects: terms of second order, 1' in 26 years at declination 80.
    """
    per_year_m, per_year_n = 3.075 * 15.0 / 3600.0, 20.043 / 3600.0
    ra, dec = np.radians(ra_deg), np.radians(dec_deg)
    return years * (per_year_m + per_year_n * np.sin(ra) * np.tan(dec)), years * per_year_n * np.cos(ra)


def _typed_wrongly(degrees: float) -> list[float]:
    """A value whose minutes were given as decimals, and one whose decimals were given as minutes."""
    whole, fraction = divmod(abs(degrees), 1.0)
    as_decimals, as_minutes = whole + fraction * 0.6, whole + min(fraction / 0.6, 1.0)
    return [float(np.copysign(as_decimals, degrees)), float(np.copysign(as_minutes, degrees))]


def _turned(
    stars: FirstStars, situation: Situation, cause: Cause, shifts_deg: list[float], words: list[str]
) -> Supposed:
    """A mistake with a few variants, alike in likelihood, that put the sidereal time ahead by degrees."""
    share = _normalised(np.zeros(len(shifts_deg)))
    return Supposed(cause, share, _west_of(stars, situation, np.array(shifts_deg)), _best_of(words))


def _west_of(stars: FirstStars, situation: Situation, shifts_deg: FloatArray) -> FloatArray:
    """Landings (3, m, n) west of the stars by each shift."""
    return _at(stars, situation, shifts_deg[:, None], 0.0 * shifts_deg[:, None])


def _at(
    stars: FirstStars, situation: Situation, hour_shift_deg: FloatArray, dec_shift_deg: FloatArray
) -> FloatArray:
    """Landings (3, m, n) at the stars' places plus shifts (m, n); declinations past 90 go over the pole."""
    return equatorial_direction(
        stars.hour_angle_deg + hour_shift_deg, stars.dec_deg + dec_shift_deg, situation.lat_deg
    )


def _with_latitude(stars: FirstStars, situation: Situation, lat_deg: float) -> FloatArray:
    """Landings (3, n) of an alt-azimuth mount whose controller believes in another latitude."""
    return equatorial_direction(stars.hour_angle_deg, stars.dec_deg, lat_deg)


def _normalised(log_share: FloatArray) -> FloatArray:
    top = log_share.max()
    result: FloatArray = log_share - top - np.log(np.exp(log_share - top).sum())
    return result


def _mean_and_sd(values: FloatArray, log_score: FloatArray) -> tuple[float, float]:
    weights = np.exp(_normalised(log_score))
    mean = float(weights @ values)
    return mean, float(np.sqrt(weights @ (values - mean) ** 2))


def _best_of(words: list[str]) -> Callable[[FloatArray], str]:
    def best(score: FloatArray) -> str:
        return words[int(np.argmax(score))]

    return best
