"""Reads a log of observations, of this or an older version of the schema: what is missing is unknown."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from obslog.exchange.arrivals_rows import Fault
from obslog.exchange.open_log.guarded import Element, records
from obslog.exchange.open_log.leftovers import Parts
from obslog.exchange.open_log.moments import read_moment
from obslog.exchange.open_log.records import (
    Log,
    LogEyepiece,
    LogFilter,
    LogLens,
    LogObservation,
    LogObserver,
    LogResult,
    LogScope,
    LogSession,
    LogSite,
    LogTarget,
)
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale

Faults = list[Fault]


def read_log(path: Path) -> tuple[Log, Faults]:
    """The log of a file, and what in it cannot be placed at all. Raises NoSuchLog, XmlRefused."""
    log = Log()
    faults: Faults = []
    for element in records(path):
        if element.tag == "observation":
            if (seen := _observation(element, faults)) is not None:
                log.observations.append(seen)
        elif element.tag in _READ:
            container, read = _READ[element.tag]
            record = read(element, faults)
            key = element.attributes.get("id", "").strip()
            if record is not None and key:
                getattr(log, container).setdefault(key, record)
    return log, faults


def _observer(element: Element, _faults: Faults) -> LogObserver:
    parts = Parts(element)
    return LogObserver(
        id=_id(element),
        name=parts.text("name") or "",
        surname=parts.text("surname") or "",
        had_contacts=parts.drop("contact"),
        other=parts.left(),
    )


def _site(element: Element, _faults: Faults) -> LogSite:
    parts = Parts(element)
    zone = parts.number("timezone", low=-840, high=840)
    return LogSite(
        id=_id(element),
        name=parts.text("name") or "",
        lon_deg=parts.angle_deg("longitude", -180, 180),
        lat_deg=parts.angle_deg("latitude", -90, 90),
        elevation_m=parts.number("elevation", low=-500, high=9000),
        timezone_minutes=None if zone is None else round(zone),
        other=parts.left(),
    )


def _session(element: Element, faults: Faults) -> LogSession | None:
    parts = Parts(element)
    begin, end = (read_moment(parts.text(name) or "") for name in ("begin", "end"))
    if begin is None:
        faults.append(Fault(element.line, "session", "has no begin that is a date and a time. Correct it."))
        return None
    return LogSession(
        id=_id(element),
        begin=begin,
        end=end or begin,
        site=parts.text("site"),
        co_observers=parts.texts("coObserver"),
        weather=parts.text("weather"),
        equipment=parts.text("equipment"),
        comments=parts.text("comments"),
        other=parts.left(),
        line=element.line,
    )


def _target(element: Element, _faults: Faults) -> LogTarget:
    parts = Parts(element)
    kind = (parts.attribute("type") or "").rpartition(":")[2] or None
    ra, dec, place = _position(parts)
    return LogTarget(
        id=_id(element),
        name=parts.text("name") or "",
        kind=kind,
        datasource=parts.text("datasource"),
        observer=parts.text("observer"),
        aliases=parts.texts("alias"),
        ra_deg=ra,
        dec_deg=dec,
        constellation=parts.text("constellation"),
        notes=parts.text("notes"),
        components=parts.texts("component"),
        other=(*place, *parts.left()),
    )


def _position(parts: Parts) -> tuple[float | None, float | None, tuple[str, ...]]:
    """Right ascension and declination of J2000 in degrees; of another equinox, in words alone."""
    position = parts.child("position")
    if position is None:
        return None, None, ()
    frame = position.child("frame")
    equinox, origin = (frame.text("equinox"), frame.text("origin")) if frame else (None, None)
    seen_from = ("seen from the site, not from the Earth's centre",) if origin == "topo" else ()
    if equinox not in (None, "J2000"):
        return None, None, (f"equinox: {equinox}", *position.left(), *seen_from)
    ra, dec = position.angle_deg("ra", 0, 360), position.angle_deg("dec", -90, 90)
    return ra, dec, (*position.left(), *seen_from)


def _scope(element: Element, _faults: Faults) -> LogScope:
    parts = Parts(element)
    parts.attribute("type")  # of the two types of the schema, told by what the scope has
    return LogScope(
        id=_id(element),
        model=parts.text("model") or "",
        kind=parts.text("type"),
        vendor=parts.text("vendor"),
        aperture_mm=parts.number("aperture", low=1e-9),
        focal_mm=parts.number("focalLength", low=1e-9),
        magnification=parts.number("magnification", low=1),
        other=parts.left(),
    )


def _eyepiece(element: Element, _faults: Faults) -> LogEyepiece:
    parts = Parts(element)
    return LogEyepiece(
        id=_id(element),
        model=parts.text("model") or "",
        vendor=parts.text("vendor"),
        focal_mm=parts.number("focalLength", low=1e-9),
        longest_mm=parts.number("maxFocalLength", low=1e-9),
        field_deg=parts.angle_deg("apparentFOV", 0, 180),
        other=parts.left(),
    )


def _lens(element: Element, _faults: Faults) -> LogLens:
    parts = Parts(element)
    return LogLens(
        id=_id(element),
        model=parts.text("model") or "",
        factor=parts.number("factor", low=1e-9),
        other=parts.left(),
    )


def _filter(element: Element, _faults: Faults) -> LogFilter:
    parts = Parts(element)
    return LogFilter(
        id=_id(element),
        model=parts.text("model") or "",
        kind=parts.text("type") or "other",
        other=parts.left(),
    )


def _imager(element: Element, _faults: Faults) -> str:
    parts = Parts(element)
    parts.attribute("type")
    return ", ".join(parts.left())


def _observation(element: Element, faults: Faults) -> LogObservation | None:
    parts = Parts(element)
    told = parts.text("begin")
    begin = read_moment(told or "")
    if begin is None:
        words = f"{told[:40]!r} is not a date and a time" if told else "is missing"
        faults.append(Fault(element.line, "begin", f"{words}. Write it like 2026-03-02T20:41:00+00:00."))
        return None
    seeing = parts.number("seeing", low=1, high=5)
    limit, darkest = SKY_SCALE_RANGE[SkyScale.NAKED_EYE_LIMIT], SKY_SCALE_RANGE[SkyScale.SKY_METER]
    return LogObservation(
        id=_id(element) or None,
        observer=parts.text("observer"),
        site=parts.text("site"),
        session=parts.text("session"),
        target=parts.text("target"),
        begin=begin,
        faintest_star=parts.number("faintestStar", low=limit[0], high=limit[1]),
        sky_quality=parts.surface_brightness("sky-quality", "sqm", low=darkest[0], high=darkest[1]),
        seeing=int(seeing) if seeing is not None and seeing.is_integer() else None,
        scope=parts.text("scope"),
        eyepiece=parts.text("eyepiece"),
        lens=parts.text("lens"),
        filter=parts.text("filter"),
        imager=parts.text("imager"),
        magnification=parts.number("magnification", low=1, high=5000),
        results=tuple(map(_result, parts.children("result"))),
        images=parts.texts("image"),
        other=(*([f"seeing: {seeing}"] if seeing and not seeing.is_integer() else []), *parts.left()),
        line=element.line,
    )


def _result(parts: Parts) -> LogResult:
    parts.attribute("type")
    language = parts.attribute("lang")
    description = parts.text("description") or ""
    rating = parts.number("rating", low=1, high=99)
    known = rating is not None and rating.is_integer() and rating <= 7
    odd = [f"rating: {rating:g}"] if rating is not None and not known and rating != 99 else []
    return LogResult(
        description=description,
        language=language,
        rating=int(rating) if rating is not None and known else None,
        other=(*odd, *parts.left()),
    )


def _id(element: Element) -> str:
    return element.attributes.get("id", "").strip()


_READ: dict[str, tuple[str, Callable[[Element, Faults], Any]]] = {
    "observer": ("observers", _observer),
    "site": ("sites", _site),
    "session": ("sessions", _session),
    "target": ("targets", _target),
    "scope": ("scopes", _scope),
    "eyepiece": ("eyepieces", _eyepiece),
    "lens": ("lenses", _lens),
    "filter": ("filters", _filter),
    "imager": ("imagers", _imager),
}
