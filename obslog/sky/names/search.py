"""Looking for stars, objects and planets by part of a name."""

from dataclasses import dataclass

from obslog.sky.names.deepsky_search import search_objects
from obslog.sky.names.solar_system import Body
from obslog.sky.names.spelling import folded
from obslog.sky.names.stars import search_stars
from obslog.vocabulary import Danger


@dataclass(frozen=True, slots=True)
class Hit:
    """Something found by name; place J2000, None for what wanders. `also` are its other names and designations.

    `caution` is the solar caution of the Sun itself: what else needs one depends on the time.
    """

    name: str
    kind: str
    constellation: str | None
    magnitude: float | None
    band: str | None
    ra_hours: float | None
    dec_deg: float | None
    also: str
    caution: str | None = None


def search_sky(text: str) -> list[Hit]:
    """Everything whose name holds the text: planets, then stars, then objects, each the likeliest first."""
    wanted = folded(text)
    bodies = [
        Hit(body.value, "solar system", None, None, None, None, None, "", _caution(body))
        for body in Body
        if wanted and wanted in folded(body.value)
    ]
    stars = [
        Hit(
            s.name,
            "star",
            s.constellation,
            s.magnitude,
            s.band,
            s.ra_hours,
            s.dec_deg,
            f"{s.designation}, HIP {s.hip}",
        )
        for s in search_stars(text)
    ]
    objects = [
        Hit(
            o.known_as,
            o.type.value,
            o.constellation,
            o.magnitude,
            o.band,
            o.ra_hours,
            o.dec_deg,
            ", ".join(name for name in (*o.names, o.designation, *o.others) if name != o.known_as),
        )
        for o in search_objects(text)
    ]
    return bodies + stars + objects


def _caution(body: Body) -> str | None:
    return Danger.THE_SUN.value if body is Body.SUN else None
