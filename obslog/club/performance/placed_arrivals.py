"""A mount's arrivals with the places of their stars in the sky: what the mathematics of pointing is made from."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from functools import lru_cache
from uuid import UUID

import numpy as np

from obslog.club.performance.arrival_rows import ArrivalRow, arrival_rows, setup_id
from obslog.club.performance.mechanical_services import mechanical_services
from obslog.errors import ObslogError, quoted
from obslog.pointing.joint_fit.rows import Arrivals, Machine
from obslog.pointing.model.geometry import StarPlaces, assumed_tube_west
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Mount, Tube
from obslog.sky.names.lookup import found_or_none
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import Star
from obslog.sky.places.apparent_places import Directions, Places, apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.instants import naive_utc
from obslog.values import Place, SetupId
from obslog.vocabulary import MOUNT_OPTIONS, Controller, PierSide, Role

USUAL_CENTRING_ARCMIN = 0.5
PLACE_COLUMNS = [field.name for field in fields(Places)]
Fixed = tuple[float, float, float, float, float]


class MountTypeUnknown(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"How {mount} is built is not on record, and without that its geometry cannot be computed.",
            f"Tell it: obslog mount edit {quoted(mount)} {MOUNT_OPTIONS}",
        )


class NothingPlaced(ObslogError):
    def __init__(self, mount: str, why: str) -> None:
        super().__init__(
            f"There is nothing to compute the pointing of {mount} from: {why}.",
            "It needs syncs and checks of known stars, at sites whose place is on record.",
        )


@dataclass(frozen=True, slots=True)
class MountOnRecord:
    """A mount: its key, its name, and what kind of machine it is; None where that is not on record."""

    key: UUID
    name: str
    machine: Machine | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedArrivals:
    """Arrivals of one mount and tube in time order inside each set-up, (n,), with their places and names.

    `labels` are the line of the sheet an arrival came from, or its key; `era_since` the first day of each mechanical
    era; `serviced_since` the day of a mechanical service after the last set-up; `left_out` counts arrivals with no
    known place, by target.
    """

    mount: str
    tube: str | None
    machine: Machine
    setups: list[SetupId]
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
    with database.read() as session:
        mount = mount_on_record(by_name(session, Mount, mount_name))
        if mount.machine is None:
            raise MountTypeUnknown(mount.name)
        tube = by_name(session, Tube, tube_name) if tube_name else None
        rows = arrival_rows(session, mount.key, with_places=True)
        used = tube.id if tube else most_used_tube(rows)
        name = tube.name if tube else session.get_one(Tube, used).name if used else None
        services = mechanical_services(session, [mount.key, *([used] if used else [])])
    return placed(mount, (used, name), rows, services)


def machine_of(database: Database, mount_name: str) -> tuple[str, Machine]:
    """The mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown."""
    with database.read() as session:
        mount = mount_on_record(by_name(session, Mount, mount_name))
    if mount.machine is None:
        raise MountTypeUnknown(mount.name)
    return mount.name, mount.machine


def mount_on_record(mount: Mount) -> MountOnRecord:
    """A controller that is not on record is taken as one with a model of its own, of which fewer arrivals count."""
    if mount.mount_type is None:
        return MountOnRecord(mount.id, mount.name, None)
    controller = mount.controller or Controller.MODEL
    return MountOnRecord(mount.id, mount.name, Machine(mount.mount_type, controller, mount.refraction))


def most_used_tube(rows: Sequence[ArrivalRow]) -> UUID | None:
    """The key of the tube with most of a mount's arrivals; None where most were made without one, or there are none."""
    used = Counter(row.tube_id for row in rows)
    return used.most_common(1)[0][0] if used else None


def placed(
    mount: MountOnRecord,
    tube: tuple[UUID | None, str | None],
    rows: Sequence[ArrivalRow],
    services: Mapping[UUID, Sequence[date]],
) -> PlacedArrivals:
    """A mount's arrivals, those with the tube of that key and name, with their stars' places.

    The mechanical services of either begin a new era. Raises MountTypeUnknown, NothingPlaced.
    """
    if mount.machine is None:
        raise MountTypeUnknown(mount.name)
    tube_key, tube_name = tube
    mine = [row for row in rows if row.tube_id == tube_key]
    if not mine:
        raise NothingPlaced(mount.name, f"it has no arrivals{f' with {tube_name}' if tube_name else ''}")
    places, left_out = _places(mine)
    known = ~np.isnan(places.az_deg)
    kept = [row for row, is_known in zip(mine, known, strict=True) if is_known]
    if not kept:
        raise NothingPlaced(mount.name, "no star or site of its arrivals has a known place")
    setups = {row.setup_id: setup_id(row) for row in kept}
    labels = list(setups.values())
    days = sorted({day for key in (mount.key, tube_key) if key for day in services.get(key, ())})
    eras = np.array([sum(day <= label.night for day in days) for label in labels], dtype=np.int64)
    first_of_era, era_of_setup = np.unique(eras, return_inverse=True)
    return PlacedArrivals(
        mount=mount.name,
        tube=tube_name,
        machine=mount.machine,
        setups=labels,
        arrivals=_arrivals(kept, list(setups), _star_places(kept, places, known)),
        labels=[row.sheet_line if row.sheet_line is not None else str(row.id) for row in kept],
        targets=[row.target for row in kept],
        era_of_setup=era_of_setup.astype(np.int64),
        era_since=[days[era - 1] if era else labels[0].night for era in first_of_era],
        serviced_since=days[-1] if days and days[-1] > labels[-1].night else None,
        az_deg=places.az_deg[known],
        alt_deg=places.alt_deg[known],
        left_out=left_out,
    )


def _arrivals(kept: Sequence[ArrivalRow], setups: Sequence[UUID], stars: StarPlaces) -> Arrivals:
    number = {key: place for place, key in enumerate(setups)}
    return Arrivals(
        stars=stars,
        setup=np.array([number[row.setup_id] for row in kept], dtype=np.int64),
        is_sync=np.array([row.role == Role.SYNC for row in kept]),
        offset_east_arcmin=_column(kept, "offset_east_arcmin"),
        offset_north_arcmin=_column(kept, "offset_north_arcmin"),
        centring_arcmin=np.nan_to_num(_column(kept, "centring_arcmin"), nan=USUAL_CENTRING_ARCMIN),
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
