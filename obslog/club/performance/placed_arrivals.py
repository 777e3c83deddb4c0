"""A mount's arrivals with the places of their stars in the sky: what the mathematics of pointing is made from."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from functools import lru_cache
from typing import Any, cast
from uuid import UUID

import numpy as np
from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from obslog.errors import ObslogError, quoted
from obslog.pointing.joint_fit.rows import Arrivals, Machine
from obslog.pointing.model.geometry import StarPlaces, assumed_tube_west
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Service, Setup, Site, Tube
from obslog.sky.names.lookup import found_or_none
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import Star
from obslog.sky.places.apparent_places import Directions, Places, apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.instants import naive_utc
from obslog.values import Place
from obslog.vocabulary import Controller, PierSide, Role

USUAL_CENTRING_ARCMIN = 0.5
PLACE_COLUMNS = [field.name for field in fields(Places)]
Fixed = tuple[float, float, float, float, float]
ArrivalRow = Row[Any]


class MountTypeUnknown(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"How {mount} is built is not on record, and without that its geometry cannot be computed.",
            f"Tell it: obslog mount edit {quoted(mount)} --type german|fork|altaz --controller shift|model",
        )


class NothingPlaced(ObslogError):
    def __init__(self, mount: str, why: str) -> None:
        super().__init__(
            f"There is nothing to compute the pointing of {mount} from: {why}.",
            "It needs syncs and checks of known stars, at sites whose place is on record.",
        )


@dataclass(frozen=True, slots=True)
class SetupLabel:
    """A set-up as it is named."""

    night: date
    setup: int
    site: str


@dataclass(frozen=True, slots=True)
class PlacedArrivals:
    """Arrivals of one mount and tube in time order inside each set-up, (n,), with their places and names.

    `labels` are the line of the sheet an arrival came from, or its key; `era_since` the first day of each mechanical
    era; `serviced_since` the day of a mechanical service after the last set-up; `left_out` counts arrivals with no
    known place, by target.
    """

    mount: str
    tube: str | None
    machine: Machine
    setups: list[SetupLabel]
    arrivals: Arrivals
    labels: list[int | str]
    targets: list[str]
    era_of_setup: np.ndarray[tuple[int], np.dtype[np.int64]]
    era_since: list[date]
    serviced_since: date | None
    az_deg: np.ndarray[tuple[int], np.dtype[np.float64]]
    alt_deg: np.ndarray[tuple[int], np.dtype[np.float64]]
    left_out: Counter[str]


def placed_arrivals(database: Database, mount_name: str, tube_name: str | None = None) -> PlacedArrivals:
    """All arrivals of a mount with one tube: the tube named, or the one with most arrivals on it.

    Raises UnknownName, MountTypeUnknown, NothingPlaced.
    """
    name, machine = machine_of(database, mount_name)
    with database.read() as session:
        mount = by_name(session, Mount, name)
        tube = by_name(session, Tube, tube_name) if tube_name else _most_used_tube(session, mount)
        rows = _rows(session, mount.id, tube.id if tube else None)
        if not rows:
            raise NothingPlaced(mount.name, f"it has no arrivals{f' with {tube.name}' if tube else ''}")
        services = _mechanical_services(session, [mount.id, *([tube.id] if tube else [])])
        return _placed(mount.name, tube.name if tube else None, machine, rows, services)


def machine_of(database: Database, mount_name: str) -> tuple[str, Machine]:
    """The mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown.

    A controller that is not on record is taken as one with a model of its own, of which fewer arrivals count.
    """
    with database.read() as session:
        mount = by_name(session, Mount, mount_name)
        if mount.mount_type is None:
            raise MountTypeUnknown(mount.name)
        return mount.name, Machine(mount.mount_type, mount.controller or Controller.MODEL, mount.refraction)


def _most_used_tube(session: Session, mount: Mount) -> Tube | None:
    query = (
        select(Setup.tube_id).join(Arrival, Arrival.setup_id == Setup.id).where(Setup.mount_id == mount.id)
    )
    used = Counter(session.scalars(query))
    key = used.most_common(1)[0][0] if used else None
    return session.get(Tube, key) if key else None


def _rows(session: Session, mount_id: UUID, tube_id: UUID | None) -> Sequence[ArrivalRow]:
    query = (
        select(
            Setup.id.label("setup_id"), Night.night_of, Setup.ordinal, Site.name.label("site"), Site.lat_deg,
            Site.lon_deg, Site.elevation_m, Arrival.id, Arrival.at_utc, Arrival.role, Arrival.target, Arrival.ra_hours,
            Arrival.dec_deg, Arrival.pier_side, Arrival.offset_east_arcmin, Arrival.offset_north_arcmin,
            Arrival.centring_arcmin, Arrival.sheet_line,
        )
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .where(Setup.mount_id == mount_id, Setup.tube_id == tube_id)
        .order_by(Night.night_of, Site.name_key, Setup.ordinal, Arrival.at_utc, Arrival.id)
    )  # fmt: skip
    return cast(Sequence[ArrivalRow], session.execute(query).all())


def _mechanical_services(session: Session, equipment: Sequence[UUID]) -> list[date]:
    query = select(Service.done_on).where(Service.equipment_id.in_(equipment), Service.mechanical)
    return sorted(set(session.scalars(query)))


def _placed(
    mount: str,
    tube: str | None,
    machine: Machine,
    rows: Sequence[ArrivalRow],
    services: list[date],
) -> PlacedArrivals:
    places, left_out = _places(rows)
    kept = [row for row, known in zip(rows, ~np.isnan(places.az_deg), strict=True) if known]
    if not kept:
        raise NothingPlaced(mount, "no star or site of its arrivals has a known place")
    known = ~np.isnan(places.az_deg)
    setups: dict[UUID, SetupLabel] = {}
    for row in kept:
        setups.setdefault(row.setup_id, SetupLabel(row.night_of, row.ordinal, row.site))
    number = {key: place for place, key in enumerate(setups)}
    labels = list(setups.values())
    eras = np.array([sum(day <= label.night for day in services) for label in labels], dtype=np.int64)
    first_of_era, era_of_setup = np.unique(eras, return_inverse=True)
    arrivals = Arrivals(
        stars=_star_places(kept, places, known),
        setup=np.array([number[row.setup_id] for row in kept], dtype=np.int64),
        is_sync=np.array([row.role == Role.SYNC for row in kept]),
        offset_east_arcmin=_column(kept, "offset_east_arcmin"),
        offset_north_arcmin=_column(kept, "offset_north_arcmin"),
        centring_arcmin=np.nan_to_num(_column(kept, "centring_arcmin"), nan=USUAL_CENTRING_ARCMIN),
    )
    return PlacedArrivals(
        mount,
        tube,
        machine,
        labels,
        arrivals,
        [row.sheet_line if row.sheet_line is not None else str(row.id) for row in kept],
        [row.target for row in kept],
        era_of_setup.astype(np.int64),
        [services[era - 1] if era else labels[0].night for era in first_of_era],
        services[-1] if services and services[-1] > labels[-1].night else None,
        places.az_deg[known],
        places.alt_deg[known],
        left_out,
    )


def _star_places(
    kept: Sequence[ArrivalRow],
    places: Places,
    known: np.ndarray[tuple[int], np.dtype[np.bool_]],
) -> StarPlaces:
    hour_angle_deg = places.hour_angle_hours[known] * 15
    west = np.array([row.pier_side == PierSide.WEST for row in kept])
    given = np.array([row.pier_side is not None for row in kept])
    return StarPlaces(
        hour_angle_deg,
        places.dec_deg[known],
        _column(kept, "lat_deg"),
        (places.alt_deg[known] - places.airless_alt_deg[known]) * 60,
        np.where(given, west, assumed_tube_west(hour_angle_deg)),
    )


def _places(rows: Sequence[ArrivalRow]) -> tuple[Places, Counter[str]]:
    """Where each arrival's star stood at its time; nan where star or site has no known place."""
    columns = {name: np.full(len(rows), np.nan) for name in PLACE_COLUMNS}
    things = {target: _thing(target) for target in {row.target for row in rows}}
    left_out: Counter[str] = Counter()
    groups: dict[tuple[float, float, float, Body | None], list[int]] = {}
    for index, row in enumerate(rows):
        thing = things[row.target] if row.ra_hours is None else None
        if row.lat_deg is None or row.lon_deg is None or (thing is None and row.ra_hours is None):
            left_out[row.target] += 1
            continue
        body = thing if isinstance(thing, Body) else None
        groups.setdefault((row.lat_deg, row.lon_deg, row.elevation_m or 0.0, body), []).append(index)
    for (lat, lon, elevation, body), indexes in groups.items():
        when = np.array([naive_utc(rows[i].at_utc) for i in indexes], dtype="datetime64[us]")
        place = Place(lat, lon, elevation)
        if body is None:
            fixed = np.array([_fixed(rows[i], things[rows[i].target]) for i in indexes]).T
            seen = apparent_places(Directions(*fixed), when, place)
        else:
            seen = body_places(body, when, place)
        for name, column in columns.items():
            column[indexes] = getattr(seen, name)
    return Places(**columns), left_out


@lru_cache(maxsize=4096)  # the same few hundred names come again with every mount
def _thing(target: str) -> Body | Fixed | None:
    found = found_or_none(target)
    if found is None:
        return None
    thing = found.thing
    if isinstance(thing, Body):
        return thing
    if isinstance(thing, Star):
        motion = (thing.pm_ra_mas_per_year, thing.pm_dec_mas_per_year, thing.parallax_mas)
        return (thing.ra_hours, thing.dec_deg, *motion)
    return (thing.ra_hours, thing.dec_deg, 0.0, 0.0, 0.0)


def _fixed(row: ArrivalRow, thing: Body | Fixed | None) -> Fixed:
    """The catalogue place of an arrival: the one written beside it, else that of its name."""
    if row.ra_hours is not None:
        return (row.ra_hours, row.dec_deg, 0.0, 0.0, 0.0)
    assert isinstance(thing, tuple)
    return thing


def _column(rows: Sequence[ArrivalRow], name: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([getattr(row, name) for row in rows], dtype=float)
