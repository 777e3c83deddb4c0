"""Looking for stars, objects and planets by part of a name."""

from dataclasses import dataclass

from obslog.cautions import Danger
from obslog.sky.names.deepsky_search import search_objects
from obslog.sky.names.solar_system import INNER_PLANETS, Body
from obslog.sky.names.spelling import folded
from obslog.sky.names.stars import also_called, search_stars


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
    bodies = [
        Hit(
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
        for body in Body
        if wanted and wanted in folded(body.value)
    ]
    stars = [
        Hit(
            name=s.name,
            kind="star",
            constellation=s.constellation,
            magnitude=s.magnitude,
            band=s.band,
            ra_hours=s.ra_hours,
            dec_deg=s.dec_deg,
            also=", ".join(also_called(s)),
            magnitude_from=s.magnitude_from,
        )
        for s in search_stars(text)
    ]
    objects = [
        Hit(
            name=o.known_as,
            kind=o.type.value,
            constellation=o.constellation,
            magnitude=o.magnitude,
            band=o.band,
            ra_hours=o.ra_hours,
            dec_deg=o.dec_deg,
            also=", ".join(name for name in (*o.names, o.designation, *o.others) if name != o.known_as),
            magnitude_from=o.magnitude_from,
        )
        for o in search_objects(text)
    ]
    return bodies + stars + objects


def _caution(body: Body) -> str | None:
    if body is Body.SUN:
        return Danger.THE_SUN
    return Danger.NEVER_FAR if body in INNER_PLANETS else None
