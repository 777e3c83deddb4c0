"""A mount's arrivals with the places of their stars in the sky: what the mathematics of pointing is made from."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID

import numpy as np

from obslog.club.performance.arrival_columns import ArrivalColumns, setup_id
from obslog.errors import ObslogError, quoted
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.model.geometry import StarPlaces, assumed_tube_west, side_is_seen
from obslog.values import SetupId
from obslog.vocabulary.hint_options import MOUNT_OPTIONS
from obslog.vocabulary.mounts import Controller, MountType, PierSide

if TYPE_CHECKING:
    from obslog.sky.places.apparent_places import Places

USUAL_CENTRING_ARCMIN = 0.5
NEWEST_SETUPS = 12
"""Of a mount, by which it is told what it is now: its tube, and how it lands."""


class MountTypeUnknown(ObslogError):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"How {mount} is built is not on record, and without that its geometry cannot be computed.",
            f"Tell it: obslog mount edit {quoted(mount)} {MOUNT_OPTIONS}",
        )


class NoController(MountTypeUnknown):
    """A mount that goes to nothing by itself: of its pointing there is as little to compute."""

    def __init__(self, mount: str) -> None:
        ObslogError.__init__(
            self,
            f"{mount} has no controller that goes to objects, so there is no pointing of it to compute.",
            f"If it has one: obslog mount edit {quoted(mount)} {MOUNT_OPTIONS}",
        )


class NothingPlaced(ObslogError):
    def __init__(self, mount: str, why: str) -> None:
        self.why = why
        super().__init__(
            f"There is nothing to compute the pointing of {mount} from: {why}.",
            "It needs syncs and checks of known stars, at sites whose place is on record.",
        )


@dataclass(frozen=True, slots=True)
class MountOnRecord:
    """A mount: its key, its name, and what kind of machine it is; None where that is not on record.

    One that has no controller, `goes_to` nothing, is no machine either.
    """

    key: UUID
    name: str
    machine: Machine | None
    goes_to: bool = True

    def known_machine(self) -> Machine:
        """What kind of machine it is. Raises MountTypeUnknown, NoController."""
        if self.machine is None:
            raise MountTypeUnknown(self.name) if self.goes_to else NoController(self.name)
        return self.machine


@dataclass(frozen=True, slots=True)
class OtherTube:
    """Set-ups with another tube since the mount's last service, and the last night; None: a tube not on record."""

    name: str | None
    setups: int
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedArrivals:
    """Arrivals of one mount and tube in time order inside each set-up, (n,), with their places and names.

    `numbers` are those by which people name the arrivals of a set-up, the first 1; `labels` the line of the sheet an
    arrival came from, or its key where another of its set-up came from such a line too; `era_since` the first day of
    each mechanical era; `serviced_since` the day of a mechanical service after the last set-up; `left_out` counts
    arrivals with no known place, by target. `others` are the tubes that were on the mount too, of which nothing is
    said here.
    """

    mount: str
    tube: str | None
    machine: Machine
    setups: list[SetupId]
    arrivals: Arrivals
    circumstances: Circumstances
    numbers: np.ndarray[tuple[int], np.dtype[np.int64]]
    labels: list[int | str]
    targets: list[str]
    era_of_setup: np.ndarray[tuple[int], np.dtype[np.int64]]
    era_since: list[date]
    serviced_since: date | None
    az_deg: np.ndarray[tuple[int], np.dtype[np.float64]]
    alt_deg: np.ndarray[tuple[int], np.dtype[np.float64]]
    left_out: Counter[str]
    others: list[OtherTube] = field(default_factory=list)

    def with_eras(self, eras: np.ndarray[tuple[int], np.dtype[np.int64]]) -> "PlacedArrivals":
        """The same in more eras, (k,): one that begins at a set-up is since its night."""
        firsts = np.unique(eras, return_index=True)[1].tolist()
        begun = dict(zip(self._first_setups(), self.era_since, strict=True))
        since = [begun.get(first, self.setups[first].night) for first in firsts]
        return replace(self, era_of_setup=eras, era_since=since)

    def _first_setups(self) -> list[int]:
        first: list[int] = np.unique(self.era_of_setup, return_index=True)[1].tolist()
        return first


def mount_on_record(
    key: UUID, name: str, mount_type: MountType | None, controller: Controller | None, refraction: bool
) -> MountOnRecord:
    """A controller that is not on record is taken as one with a model of its own, of which fewer arrivals count."""
    if controller is Controller.NONE:
        return MountOnRecord(key, name, None, goes_to=False)
    if mount_type is None:
        return MountOnRecord(key, name, None)
    return MountOnRecord(key, name, Machine(mount_type, controller or Controller.MODEL, refraction))


def most_used_tube(arrivals: ArrivalColumns) -> UUID | None:
    """The key of the tube with most arrivals in the mount's newest set-ups; None where that is none, or there are none.

    Not in all of them: a tube that was taken off a year ago is not the one of tonight, however long it was on.
    """
    newest = np.unique(arrivals.setup)[-NEWEST_SETUPS:].tolist()
    if not newest:
        return None
    count = np.bincount(arrivals.setup)
    used = Counter[UUID | None]()
    for place in newest[::-1]:  # of as many the one used last
        used[arrivals.setups[place].tube_id] += int(count[place])
    return used.most_common(1)[0][0]


def placed(
    mount: MountOnRecord,
    tube: tuple[UUID | None, str | None],
    arrivals: ArrivalColumns,
    services: Mapping[UUID, Sequence[date]],
    temperatures: Mapping[UUID, float],
) -> PlacedArrivals:
    """A mount's arrivals, those with the tube of that key and name, with their stars' places.

    The mechanical services of either begin a new era; `temperatures` are the nights' means, by their keys.
    Raises MountTypeUnknown, NothingPlaced.
    """
    from obslog.club.performance.star_places import places_of

    machine = mount.known_machine()
    tube_key, tube_name = tube
    mine = arrivals.where(np.array([key == tube_key for key in arrivals.of_setup("tube_id")], bool))
    if not mine.setup.size:
        raise NothingPlaced(mount.name, f"it has no arrivals{f' with {tube_name}' if tube_name else ''}")
    places = places_of(mine)
    known = ~np.isnan(places.az_deg)
    kept = mine.where(known)
    if not kept.setup.size:
        raise NothingPlaced(mount.name, "no star or site of its arrivals has a known place")
    there, setup = np.unique(kept.setup, return_inverse=True)
    rows = [kept.setups[place] for place in there]
    setups = [setup_id(row) for row in rows]
    days = sorted({day for key in (mount.key, tube_key) if key for day in services.get(key, ())})
    eras = np.array([sum(day <= its.night for day in days) for its in setups], dtype=np.int64)
    first_of_era, era_of_setup = np.unique(eras, return_inverse=True)
    return PlacedArrivals(
        mount=mount.name,
        tube=tube_name,
        machine=machine,
        setups=setups,
        arrivals=_arrivals(kept, setup, _star_places(kept, places, known)),
        circumstances=Circumstances(
            observers=[row.observer for row in rows],
            temperature_c=np.array([temperatures.get(row.night_id, np.nan) for row in rows]),
        ),
        numbers=_numbers(mine)[known],
        labels=[label for label, is_known in zip(_labels(mine), known.tolist(), strict=True) if is_known],
        targets=list(kept.target),
        era_of_setup=era_of_setup.astype(np.int64),
        era_since=[days[era - 1] if era else setups[0].night for era in first_of_era],
        serviced_since=days[-1] if days and days[-1] > setups[-1].night else None,
        az_deg=places.az_deg[known],
        alt_deg=places.alt_deg[known],
        left_out=Counter(
            target for target, is_known in zip(mine.target, known.tolist(), strict=True) if not is_known
        ),
    )


def _numbers(arrivals: ArrivalColumns) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """The place of each among those of its set-up, which has one tube, so that all of them are here."""
    firsts = np.searchsorted(arrivals.setup, arrivals.setup)
    return np.arange(1, arrivals.setup.size + 1, dtype=np.int64) - firsts


def _labels(arrivals: ArrivalColumns) -> list[int | str]:
    came_from = list(zip(arrivals.setup.tolist(), arrivals.sheet_line, strict=True))
    count = Counter(came_from)
    return [
        line if line is not None and count[setup, line] == 1 else key
        for (setup, line), key in zip(came_from, arrivals.keys, strict=True)
    ]


def other_tubes(
    arrivals: ArrivalColumns, tube: UUID | None, services: Sequence[date], names: Mapping[UUID, str]
) -> list[OtherTube]:
    """The tubes beside that one with which the mount has arrivals since its last service, the last used first."""
    nights: dict[UUID | None, list[date]] = {}
    for place in np.unique(arrivals.setup).tolist():
        row = arrivals.setups[place]
        if row.tube_id != tube and not (services and row.night_of < services[-1]):
            nights.setdefault(row.tube_id, []).append(row.night_of)
    found = [
        OtherTube(None if key is None else names[key], len(those), max(those))
        for key, those in nights.items()
    ]
    return sorted(found, key=lambda other: (other.last, other.setups, other.name or ""), reverse=True)


def _arrivals(
    kept: ArrivalColumns, setup: np.ndarray[tuple[int], np.dtype[np.int64]], stars: StarPlaces
) -> Arrivals:
    return Arrivals(
        stars=stars,
        setup=setup,
        is_sync=kept.is_sync,
        offset_east_arcmin=kept.offset_east_arcmin,
        offset_north_arcmin=kept.offset_north_arcmin,
        centring_arcmin=np.nan_to_num(kept.centring_arcmin, nan=USUAL_CENTRING_ARCMIN),
    )


def _star_places(
    kept: ArrivalColumns,
    places: "Places",
    known: np.ndarray[tuple[int], np.dtype[np.bool_]],
) -> StarPlaces:
    """A side written down counts where it is the one that is seen: farther out nobody knows which was meant."""
    hour_angle_deg = places.hour_angle_hours[known] * 15
    west = np.array([side == PierSide.WEST for side in kept.pier_side], bool)
    given = np.array([side is not None for side in kept.pier_side], bool) & side_is_seen(hour_angle_deg)
    return StarPlaces(
        hour_angle_deg,
        places.dec_deg[known],
        np.array(kept.of_setup("lat_deg"), float),
        (places.alt_deg[known] - places.airless_alt_deg[known]) * 60,
        np.where(given, west, assumed_tube_west(hour_angle_deg)),
    )
