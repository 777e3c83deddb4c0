"""Looking for stars, objects and planets by part of a name."""

from dataclasses import dataclass

from obslog.sky.names.deepsky import DeepSkyObject
from obslog.sky.names.deepsky_search import search_objects
from obslog.sky.names.solar_system import INNER_PLANETS, Body
from obslog.sky.names.spelling import folded
from obslog.sky.names.star_tables import Star
from obslog.sky.names.stars import also_called, search_stars
from obslog.vocabulary.cautions import Danger


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """Something found by name; place J2000, None for what wanders. `also` are its other names and designations.

    `magnitude_from` tells what a magnitude rests on, None for what wanders or has none.
    `caution` is the solar caution of the Sun and of the two planets that never leave it: what else needs one depends on
    the time.
    """

    name: str
    kind: str
    constellation: str | None
    magnitude: float | None
    band: str | None
    ra_hours: float | None
    dec_deg: float | None
    also: str
    magnitude_from: str | None = None
    caution: str | None = None


def search_sky(text: str) -> list[Hit]:
    """Everything whose name holds the text: planets, then stars, then objects, each the likeliest first."""
    wanted = folded(text)
    bodies = [body for body in Body if wanted and wanted in folded(body.value)]
    return [
        *map(_hit_of_body, bodies),
        *map(_hit_of_star, search_stars(text)),
        *map(_hit_of_object, search_objects(text)),
    ]


def _hit_of_body(body: Body) -> Hit:
    return Hit(
        name=body.value,
        kind="solar system",
        constellation=None,
        magnitude=None,
        band=None,
        ra_hours=None,
        dec_deg=None,
        also="",
        caution=_caution(body),
    )


def _hit_of_star(star: Star) -> Hit:
    return Hit(
        name=star.name,
        kind="star",
        constellation=star.constellation,
        magnitude=star.magnitude,
        band=star.band,
        ra_hours=star.ra_hours,
        dec_deg=star.dec_deg,
        also=", ".join(also_called(star)),
        magnitude_from=star.magnitude_from,
    )


def _hit_of_object(found: DeepSkyObject) -> Hit:
    also = (*found.names, found.designation, *found.others)
    return Hit(
        name=found.known_as,
        kind=found.type.value,
        constellation=found.constellation,
        magnitude=found.magnitude,
        band=found.band,
        ra_hours=found.ra_hours,
        dec_deg=found.dec_deg,
        also=", ".join(name for name in also if name != found.known_as),
        magnitude_from=found.magnitude_from,
    )


def _caution(body: Body) -> str | None:
    if body is Body.SUN:
        return Danger.THE_SUN
    return Danger.NEVER_FAR if body in INNER_PLANETS else None
