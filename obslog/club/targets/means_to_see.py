"""What a target is judged by: the sky on record at the site, and a tube to look through."""

from dataclasses import dataclass

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.optics import magnification
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Night, Site, SkyReading, Tube
from obslog.sky.contrast.moonlight import moonlight_nl, nanolamberts
from obslog.sky.contrast.through_tube import Views, usual_magnifications, views_through
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_disc, body_places
from obslog.sky.places.instants import as_datetime64
from obslog.values import Place
from obslog.vocabulary.sky_scales import SkyScale

# Common practice: a country sky without a town near, and a tube that most clubs have.
USUAL_SKY_MAG = 21.3
USUAL_APERTURE_MM = 150.0
# Readings in which the Moon's light has a larger part than this say nothing of the sky without it.
_MOONS_PART = 0.1


@dataclass(frozen=True, slots=True)
class SkyOnRecord:
    """What the sky meter showed at a site over its nights: median, spread (None from one reading) and number.

    Only readings without moonlight, where there are any; `under_moon` tells that there are none.
    """

    median: float
    sd: float | None
    readings: int
    under_moon: bool = False


@dataclass(frozen=True, slots=True)
class JudgedIn:
    """The tube that targets are judged in, and why it is this one; None is a usual tube, for none is on record."""

    tube: str | None
    aperture_mm: float
    why: str
    magnification: float | None

    def views(self) -> Views:
        """At the magnification of the eyepiece that was named, else at all that are usual."""
        powers = usual_magnifications(self.aperture_mm) if self.magnification is None else self.magnification
        return views_through(self.aperture_mm, powers)


def sky_on_record(session: Session, site: str, place: Place) -> SkyOnRecord | None:
    """The sky of a site; None without a reading."""
    query = (
        select(SkyReading.value, SkyReading.at_utc)
        .join(Night, SkyReading.night_id == Night.id)
        .where(Night.site_id == by_name(session, Site, site).id, SkyReading.scale == SkyScale.SKY_METER)
        .order_by(SkyReading.id)
    )
    rows = session.execute(query).all()
    if not rows:
        return None
    values = np.array([row.value for row in rows], float)
    timed = np.array([row.at_utc is not None for row in rows], bool)
    moonlit = np.zeros(values.size, bool)
    if timed.any():
        when = np.array([as_datetime64(row.at_utc) for row in rows if row.at_utc], "datetime64[us]")
        moonlit[timed] = _light_overhead_nl(when, place) > _MOONS_PART * nanolamberts(values[timed])
    used = values if moonlit.all() else values[~moonlit]
    sd = float(used.std(ddof=1)) if used.size > 1 else None
    return SkyOnRecord(float(np.median(used)), sd, used.size, bool(moonlit.all()))


def _light_overhead_nl(when: np.ndarray[tuple[int], np.dtype[np.datetime64]], place: Place) -> np.ndarray:
    moon = body_places(Body.MOON, when, place)
    zenith_deg = 90 - moon.airless_alt_deg
    return moonlight_nl(body_disc(Body.MOON, when, place).phase_angle_deg, zenith_deg, zenith_deg, 0.0)


def judged_in(session: Session, tube: Tube | None, eyepiece: Eyepiece | None) -> JudgedIn:
    """The tube that was named, else the club's largest: what it does not show, no other does."""
    if tube is not None and tube.aperture_mm is not None:
        power = None
        if tube.focal_mm and eyepiece is not None and eyepiece.focal_mm:
            power = float(magnification(tube.focal_mm, eyepiece.focal_mm))
        return JudgedIn(tube.name, tube.aperture_mm, "", power)
    largest = session.scalars(
        select(Tube)
        .where(Tube.retired_on.is_(None), Tube.aperture_mm.is_not(None))
        .order_by(Tube.aperture_mm.desc(), Tube.name_key)
        .limit(1)
    ).first()
    if largest is None or largest.aperture_mm is None:
        return JudgedIn(None, USUAL_APERTURE_MM, "a usual tube: none is on record", None)
    return JudgedIn(largest.name, largest.aperture_mm, "the club's largest", None)
