"""Where the first stars would land under each supposed mistake: one function per family of mistakes.

A controller whose sidereal time is ahead by x degrees sends the mount x degrees west of the star. The
sidereal time itself is never needed: a clock ahead by t hours puts it ahead by 15.041 t degrees, a longitude
too far east by as much.
"""

from collections.abc import Iterator

import numpy as np

from obslog.pointing.mistakes.supposed import (
    BrightStars,
    FirstStars,
    LocalCircumstances,
    Supposed,
    best_of,
    landings_at,
    mean_and_sd,
    normalised,
    turned,
    west_of,
)
from obslog.pointing.model.frames import (
    FloatArray,
    az_alt_deg,
    equatorial_direction,
    horizontal_direction,
    separation_deg,
)
from obslog.pointing.model.geometry import turned_head
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType

SIDEREAL_DEG_PER_HOUR = 15.04106864
SIDEREAL_DEG_PER_DAY = 0.98564737
CLOCK_SCALE_MINUTES, HOME_SCALE_DEG = 20.0, 6.0
POLAR_ALTITUDE_DEG, POLAR_AZIMUTH_DEG = 4.0, 10.0
"""Typical sizes, judged from common practice: a wrong clock, a wrong home, a grossly wrong axis."""
IN_VIEW_DEG, SEEN_FAR, SENT_FAR = 5.0, 0.01, 0.05
"""Whoever takes another star for the right one saw it in the finder or beside its place, within some degrees; few find
one far away. A star that was keyed in wrongly is more often a far one, but mostly a neighbour too. Judged."""
SAME_STAR_DEG = 0.05


def all_supposed(
    stars: FirstStars, circumstances: LocalCircumstances, catalogue: BrightStars
) -> list[Supposed]:
    """Every mistake that this mount can suffer here and now, with its variants."""
    families = (_of_time, _of_date, _of_place, _of_home, _of_axis, _of_star)
    found = [turned(stars, circumstances, Cause.ORDINARY, [0.0], [""])]
    for family in families:
        found.extend(family(stars, circumstances))
    found.extend(_of_wrong_star(stars, circumstances, catalogue))
    return found


def _of_time(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    minutes = np.arange(-240.0, 241.0, 1.0)
    share = -np.abs(minutes) / CLOCK_SCALE_MINUTES

    def by_clock(score: FloatArray) -> str:
        mean, sd = mean_and_sd(minutes, score)
        return f"{abs(mean):.0f} ± {max(sd, 1.0):.0f} minutes {'fast' if mean > 0 else 'slow'}"

    shifts = minutes / 60.0 * SIDEREAL_DEG_PER_HOUR
    yield Supposed(Cause.CLOCK, normalised(share), west_of(stars, circumstances, shifts), by_clock)
    hour = SIDEREAL_DEG_PER_HOUR
    yield turned(stars, circumstances, Cause.SUMMER_TIME, [hour, -hour], ["ahead", "behind"])
    hours = [float(h) for h in range(-12, 13) if abs(h) >= 2] + [0.5, -0.5]
    if abs(circumstances.zone_hours) >= 1.0:
        hours += [2.0 * circumstances.zone_hours] * 8  # the zone's sign is the usual slip
    words = [f"{abs(h):g} hours {'ahead' if h > 0 else 'behind'}" for h in hours]
    yield turned(stars, circumstances, Cause.TIME_ZONE, [h * hour for h in hours], words)
    yield turned(stars, circumstances, Cause.MORNING_FOR_EVENING, [12.0 * hour, -12.0 * hour], ["", ""])


def _of_date(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    day = SIDEREAL_DEG_PER_DAY
    yield turned(stars, circumstances, Cause.DATE, [day, -day], ["ahead", "behind"])
    today = circumstances.local_date
    if today.day <= 12 and today.day != today.month:
        swapped = today.replace(month=today.day, day=today.month)
        days = (swapped - today).days
        yield turned(
            stars, circumstances, Cause.DAY_AND_MONTH_SWAPPED, [days * day], [f"{swapped} for {today}"]
        )


def _of_place(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    lon, others = circumstances.lon_deg, circumstances.other_sites
    yield turned(stars, circumstances, Cause.LONGITUDE_SIGN, [-2.0 * lon], [""])
    if others:
        shifts = [site_lon - lon for _, _, site_lon in others]
        yield turned(
            stars, circumstances, Cause.ANOTHER_SITES_LONGITUDE, shifts, [name for name, _, _ in others]
        )
    typed = _typed_wrongly(lon)
    yield turned(
        stars, circumstances, Cause.DEGREES_AND_MINUTES, [t - lon for t in typed], ["longitude"] * len(typed)
    )
    if circumstances.mount_type is MountType.ALTAZ:
        latitudes = [
            -circumstances.lat_deg,
            *_typed_wrongly(circumstances.lat_deg),
            *(lat for _, lat, _ in others),
        ]
        words = [
            "sign",
            "degrees and minutes",
            "decimal degrees",
            *(f"that of {name}" for name, _, _ in others),
        ]
        yield Supposed(
            Cause.LATITUDE,
            normalised(np.zeros(len(latitudes))),
            np.stack([_with_latitude(stars, lat) for lat in latitudes], axis=1),
            best_of(words),
        )


def _of_home(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    second_deg = np.arange(-90.0, 90.5, 0.5)
    share = normalised(-np.abs(second_deg) / HOME_SCALE_DEG)
    quarter_turns = np.array([90.0, -90.0, 180.0])
    if circumstances.mount_type is MountType.ALTAZ:
        az_deg, alt_deg = az_alt_deg(
            equatorial_direction(stars.hour_angle_deg, stars.dec_deg, circumstances.lat_deg)
        )
        raised = horizontal_direction(az_deg + 0.0 * second_deg[:, None], alt_deg + second_deg[:, None])
        turned = horizontal_direction(az_deg + quarter_turns[:, None], alt_deg + 0.0 * quarter_turns[:, None])
    else:
        flip = np.where(stars.tube_west & (circumstances.mount_type is MountType.GERMAN), -1.0, 1.0)
        raised = landings_at(stars, circumstances, 0.0 * second_deg[:, None], flip * second_deg[:, None])
        turned = west_of(stars, circumstances, quarter_turns)

    def by_home(score: FloatArray) -> str:
        mean, sd = mean_and_sd(second_deg, score)
        return f"{abs(mean):.1f}° ± {max(sd, 0.1):.1f}°"

    yield Supposed(Cause.DECLINATION_ZERO, share, raised, by_home)
    names = ["90", "90", "180"]
    yield Supposed(Cause.HOUR_AXIS_HOME, normalised(np.zeros(3)), turned, best_of(names))


def _of_axis(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    altitude, azimuth = (
        grid.ravel() for grid in np.meshgrid(np.arange(-20.0, 21.0), np.arange(-60.0, 61.0, 1.5))
    )
    share = -np.abs(altitude) / POLAR_ALTITUDE_DEG - np.abs(azimuth) / POLAR_AZIMUTH_DEG
    upright = equatorial_direction(stars.hour_angle_deg, stars.dec_deg, circumstances.lat_deg)
    everywhere = np.broadcast_to(upright[:, None], (3, altitude.size, upright.shape[1]))
    angles = np.radians(altitude)[:, None], np.radians(azimuth)[:, None]
    directions = turned_head(everywhere, *angles, circumstances.lat_deg, circumstances.mount_type)

    def by_axis(score: FloatArray) -> str:
        (up, up_sd), (side, side_sd) = (mean_and_sd(grid, score) for grid in (altitude, azimuth))
        far = "to the {}" if circumstances.mount_type is MountType.ALTAZ else "too {}"
        ends = ("north", "south") if circumstances.mount_type is MountType.ALTAZ else ("high", "low")
        level = far.format(ends[0] if up > 0 else ends[1])
        sideways = f"{abs(side):.0f}° ± {max(side_sd, 1.0):.0f}° to the {'east' if side > 0 else 'west'}"
        return f"{abs(up):.0f}° ± {max(up_sd, 1.0):.0f}° {level}, {sideways}"

    yield Supposed(Cause.POLAR_AXIS, normalised(share), directions, by_axis)


def _of_star(stars: FirstStars, circumstances: LocalCircumstances) -> Iterator[Supposed]:
    year = circumstances.local_date.year + circumstances.local_date.timetuple().tm_yday / 365.25
    landings = []
    for equinox in (2000.0, 1950.0):
        ra_shift_deg, dec_shift_deg = precession_deg(stars.ra_deg, stars.dec_deg, year - equinox)
        landings.append(landings_at(stars, circumstances, ra_shift_deg[None], -dec_shift_deg[None]))
    yield Supposed(
        Cause.EQUINOX,
        np.log([0.8, 0.2]),
        np.concatenate(landings, axis=1),
        best_of(["2000 for today's", "1950 for today's"]),
    )


def _of_wrong_star(
    stars: FirstStars, circumstances: LocalCircumstances, catalogue: BrightStars
) -> Iterator[Supposed]:
    """The first star only: the later ones are supposed to have been right."""
    if not catalogue.names:
        return
    right_one = equatorial_direction(stars.hour_angle_deg[:1], stars.dec_deg[:1], circumstances.lat_deg)
    others = equatorial_direction(catalogue.hour_angle_deg, catalogue.dec_deg, circumstances.lat_deg)
    away_deg = separation_deg(others, right_one)
    is_other = away_deg > SAME_STAR_DEG
    if not is_other.any():
        return
    near = np.exp(-0.5 * (away_deg / IN_VIEW_DEG) ** 2)
    # brighter stars are taken more easily: one magnitude is worth a factor of e
    bright = np.where(is_other, -catalogue.magnitude, -np.inf)
    seen_share, sent_share = (
        normalised(bright + np.log(near + anywhere)) for anywhere in (SEEN_FAR, SENT_FAR)
    )
    right = equatorial_direction(stars.hour_angle_deg, stars.dec_deg, circumstances.lat_deg)
    directions = np.repeat(right[:, None, :], others.shape[1], axis=1)
    sent = directions.copy()
    sent[:, :, 0] = others
    # the mount went to the right place, and the star seen was another: it stood where it does, the mount
    # seemed off
    directions[:, :, 0] = _seeming(stars, circumstances, catalogue)
    names = list(catalogue.names)
    yield Supposed(Cause.WRONG_STAR, seen_share, directions, best_of(names))
    yield Supposed(Cause.SENT_TO_ANOTHER_STAR, sent_share, sent, best_of(names))


def _seeming(stars: FirstStars, circumstances: LocalCircumstances, catalogue: BrightStars) -> FloatArray:
    """Where the mount seems to have pointed if the offset of another star is taken for the right one's."""
    hour_angle, dec = stars.hour_angle_deg[0], stars.dec_deg[0]
    shrink = np.cos(np.radians(catalogue.dec_deg)) / max(np.cos(np.radians(dec)), 1e-6)
    difference = (hour_angle - catalogue.hour_angle_deg + 180.0) % 360.0 - 180.0
    seeming_dec = np.clip(2.0 * dec - catalogue.dec_deg, -90.0, 90.0)
    return equatorial_direction(hour_angle + difference * shrink, seeming_dec, circumstances.lat_deg)


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


def _with_latitude(stars: FirstStars, lat_deg: float) -> FloatArray:
    """Landings (3, n) of an alt-azimuth mount whose controller believes in another latitude."""
    return equatorial_direction(stars.hour_angle_deg, stars.dec_deg, lat_deg)
