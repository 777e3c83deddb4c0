"""What all mounts are judged by, read once: arrivals, services, temperatures. What follows from it is computed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.arrival_rows import ArrivalRow, arrival_rows
from obslog.club.performance.landing_errors import Landings, Temperatures, landings_of, mean_temperatures
from obslog.club.performance.mechanical_services import mechanical_services
from obslog.club.performance.placed_arrivals import (
    MountOnRecord,
    MountTypeUnknown,
    PlacedArrivals,
    most_used_tube,
    mount_on_record,
    placed,
)
from obslog.errors import UnknownName
from obslog.pointing.joint_fit.rows import Machine
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Mount, Tube


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """The club's nights as they stood at one reading.

    `mounts` in order of their names and `tubes` by key, `arrivals` by the key of their mount in order of time,
    `services` the days of mechanical services by the key of the thing.
    """

    mounts: Mapping[UUID, MountOnRecord]
    tubes: Mapping[UUID, str]
    arrivals: Mapping[UUID, Sequence[ArrivalRow]]
    services: Mapping[UUID, Sequence[date]]
    temperatures: Temperatures

    def landings(self, mount: UUID | None = None) -> Landings:
        """The landings of one mount, or of all; those of one as they are without knowing of the others."""
        rows = (
            self.arrivals.get(mount, ()) if mount else [row for own in self.arrivals.values() for row in own]
        )
        return landings_of(rows, self.temperatures)

    def placed(self, mount: UUID, tube: UUID | None = None) -> PlacedArrivals:
        """The placed arrivals of a mount with a tube, None: its most used one.

        Raises MountTypeUnknown, NothingPlaced.
        """
        rows = self.arrivals.get(mount, ())
        used = tube or most_used_tube(rows)
        return placed(self.mounts[mount], (used, self.tubes[used] if used else None), rows, self.services)

    def machine_of(self, name: str) -> tuple[str, Machine]:
        """A mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown."""
        mount = self.mounts[self.mount_named(name)]
        if mount.machine is None:
            raise MountTypeUnknown(mount.name)
        return mount.name, mount.machine

    def mount_named(self, name: str) -> UUID:
        """The key of the mount of that name, in any case. Raises UnknownName."""
        return _named("mount", name, {key: mount.name for key, mount in self.mounts.items()})

    def tube_named(self, name: str) -> UUID:
        """The key of the tube of that name, in any case. Raises UnknownName."""
        return _named("tube", name, self.tubes)


def read_snapshot(session: Session) -> Snapshot:
    """Read what all mounts are judged by."""
    rows = arrival_rows(session, with_places=True)
    mounts = session.scalars(select(Mount).order_by(Mount.name_key))
    tubes = session.execute(select(Tube.id, Tube.name).order_by(Tube.name_key))
    return Snapshot(
        mounts={mount.id: mount_on_record(mount) for mount in mounts},
        tubes={key: name for key, name in tubes},  # noqa: C416 - rows, not pairs, to the type checker
        arrivals={key: list(own) for key, own in groupby(rows, key=lambda row: row.mount_id)},
        services=mechanical_services(session),
        temperatures=mean_temperatures(session),
    )


def _named(kind: str, name: str, names: Mapping[UUID, str]) -> UUID:
    for key, known in names.items():
        if name_key(known) == name_key(name):
            return key
    raise UnknownName(kind, name, list(names.values()))
