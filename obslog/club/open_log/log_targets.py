"""What was looked at, in the standard's terms: its type and place by the tables of stars and objects."""

from obslog.exchange.open_log.records import LogTarget
from obslog.sky.names.coordinates import SkyPoint
from obslog.sky.names.deepsky import DeepSkyObject
from obslog.sky.names.double_stars import DoubleStar, double_named
from obslog.sky.names.lookup import found_or_none
from obslog.sky.names.object_types import ObjectType
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star

Detail = tuple[str, str, str | None]
_BODIES = {Body.SUN: "SunTargetType", Body.MOON: "MoonTargetType"}
_KINDS = {
    ObjectType.STAR: "starTargetType",
    ObjectType.DOUBLE_STAR: "deepSkyDS",
    ObjectType.ASSOCIATION: "deepSkySC",
    ObjectType.OPEN_CLUSTER: "deepSkyOC",
    ObjectType.GLOBULAR_CLUSTER: "deepSkyGC",
    ObjectType.CLUSTER_WITH_NEBULA: "deepSkyGN",
    ObjectType.GALAXY: "deepSkyGX",
    ObjectType.GALAXY_GROUP: "deepSkyCG",
    ObjectType.PLANETARY_NEBULA: "deepSkyPN",
    ObjectType.HYDROGEN_REGION: "deepSkyGN",
    ObjectType.DARK_NEBULA: "deepSkyDN",
    ObjectType.EMISSION_NEBULA: "deepSkyGN",
    ObjectType.NEBULA: "deepSkyGN",
    ObjectType.REFLECTION_NEBULA: "deepSkyGN",
    ObjectType.SUPERNOVA_REMNANT: "deepSkyGN",
}
"""Types of objects by ours; pairs and triplets of galaxies, novae and what is unknown are in the standard's "other"."""
_OTHER = "deepSkyNA"
_WITH_ANGLE = ("deepSkyDN", "deepSkyDS", "deepSkyGN", "deepSkyGX", "deepSkySC")


def log_target(key: str, name: str, observer: str) -> LogTarget:
    """The target of a name as it is on record; one that no table knows is the observer's own."""
    found = found_or_none(name)
    thing = None if found is None else found.thing
    if isinstance(thing, Body):
        kind = _BODIES.get(thing, "PlanetTargetType")
        return LogTarget(id=key, name=name, kind=kind, datasource="the solar system")
    if isinstance(thing, Star):
        return _star(key, name, thing)
    if isinstance(thing, DeepSkyObject):
        return _object(key, name, thing)
    if isinstance(thing, SkyPoint):
        return LogTarget(
            id=key,
            name=name,
            observer=observer,
            ra_deg=_ra_deg(thing.ra_hours),
            dec_deg=round(thing.dec_deg, 6),
        )
    return LogTarget(id=key, name=name, observer=observer)


def _star(key: str, name: str, star: Star) -> LogTarget:
    pair = double_named(star.name)
    details = _pair(pair) if pair else [("apparentMag", f"{star.magnitude:g}", None)]
    return LogTarget(
        id=key,
        name=name,
        kind="deepSkyDS" if pair else "starTargetType",
        datasource="Hipparcos, the New Reduction",
        aliases=_others(name, (star.name, star.designation, f"HIP {star.hip}")),
        ra_deg=_ra_deg(star.ra_hours),
        dec_deg=round(star.dec_deg, 6),
        constellation=star.constellation,
        details=tuple(details),
    )


def _pair(pair: DoubleStar) -> list[Detail]:
    angle = pair.position_angle_deg
    return [
        ("visMag", f"{pair.magnitude_a:g}", None),
        ("separation", f"{pair.separation_arcsec:g}", "arcsec"),
        *([("pa", _whole_degrees(angle), None)] if angle is not None else []),
        ("magComp", f"{pair.magnitude_b:g}", None),
    ]


def _object(key: str, name: str, thing: DeepSkyObject) -> LogTarget:
    kind = _KINDS.get(thing.type, _OTHER)
    notes = [*([str(thing.type)] if kind == _OTHER else []), *([thing.note] if thing.note else [])]
    return LogTarget(
        id=key,
        name=name,
        kind=kind,
        datasource="OpenNGC",
        aliases=_others(name, (thing.known_as, thing.designation, *thing.others, *thing.names)),
        ra_deg=_ra_deg(thing.ra_hours),
        dec_deg=round(thing.dec_deg, 6),
        constellation=thing.constellation,
        notes="; ".join(notes) or None,
        details=tuple(_details(kind, thing)),
    )


def _details(kind: str, thing: DeepSkyObject) -> list[Detail]:
    """Sizes and a magnitude where it is visual, then what the type has of its own, in the schema's order."""
    if kind == "starTargetType":
        return [("apparentMag", f"{thing.v_mag:g}", None)] if thing.v_mag is not None else []
    details: list[Detail] = [
        (element, f"{size:g}", "arcmin")
        for element, size in (("smallDiameter", thing.minor_arcmin), ("largeDiameter", thing.major_arcmin))
        if size is not None
    ]
    if thing.v_mag is not None:
        details.append(("visMag", f"{thing.v_mag:g}", None))
    if kind == "deepSkyGN":
        details.append(("nebulaType", str(thing.type), None))
    if kind == "deepSkyGX" and thing.hubble_type:
        details.append(("hubbleType", thing.hubble_type, None))
    if kind in _WITH_ANGLE and thing.position_angle_deg is not None:
        details.append(("pa", _whole_degrees(thing.position_angle_deg), None))
    return details


def _others(name: str, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for one in names if one != name))


def _ra_deg(hours: float) -> float:
    return round(hours * 15, 6) % 360


def _whole_degrees(angle: float) -> str:
    return str(round(angle) % 360)
