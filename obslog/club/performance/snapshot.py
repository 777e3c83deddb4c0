"""The club's nights as they stand in one session: what all mounts are judged by, each thing computed once.

What was computed before is read from the kept results; the arrivals of a mount are read only where something of it has
changed since.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from functools import cached_property
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.arrival_columns import ArrivalColumns, arrival_columns
from obslog.club.performance.landing_errors import (
    Landings,
    Temperatures,
    landings_of,
    mean_temperatures,
    together,
)
from obslog.club.performance.mathematics import MATHEMATICS
from obslog.club.performance.mechanical_services import mechanical_services
from obslog.club.performance.placed_arrivals import (
    MountOnRecord,
    mount_on_record,
)
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.errors import UnknownName
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.records.database import Database
from obslog.records.kept_results import KeptResults, Result
from obslog.records.name_lookup import kind_of, whole_name
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Mount, Setup, Tube

MOUNT_COLUMNS = Mount.id, Mount.name, Mount.mount_type, Mount.controller, Mount.refraction
"""As columns: of a record that the session read before the counts it would not see what has changed since."""
LANDINGS, LANDINGS_AMONG_OTHERS = "landings", "landings among others"


class Snapshot:
    """What one session sees of the nights; the first thing asked of it decides what is read.

    `mounts` and `tubes` by key, in order of their names; `services` are the days of mechanical services by the key of
    the thing.
    """

    def __init__(self, session: Session) -> None:
        self.kept = KeptResults.of(session, MATHEMATICS)  # before any row is read
        self._session = session
        mounts = session.execute(select(*MOUNT_COLUMNS).order_by(Mount.name_key))
        tubes = session.execute(select(Tube.id, Tube.name).order_by(Tube.name_key))
        self.mounts: Mapping[UUID, MountOnRecord] = {row.id: mount_on_record(*row) for row in mounts}
        self.tubes: Mapping[UUID, str] = {key: name for key, name in tubes}  # noqa: C416 - rows, to the type checker
        self.services: Mapping[UUID, Sequence[date]] = mechanical_services(session)
        self._arrivals: dict[UUID, ArrivalColumns] = {}
        self._landings: dict[UUID, Landings] = {}

    def landings(self, mount: UUID) -> Landings:
        """The landings of one mount, as they are without knowing of the others."""
        if mount not in self._landings:
            self._landings[mount] = self.kept.get(
                Result.of_mount(LANDINGS, mount), [mount], Landings, lambda: self._landings_of(mount)
            )
        return self._landings[mount]

    def all_landings(self) -> Landings:
        """The landings of all mounts; who says "centred" on one of them is believed on the others too."""
        self.kept.read_ahead(LANDINGS)
        of_mounts = {mount: self.landings(mount) for mount in self.mounts}
        say_centred = {who for landings in of_mounts.values() for who in landings.say_centred}
        return together(
            [self._among_others(mount, own, say_centred) for mount, own in of_mounts.items() if own.setups]
        )

    def arrivals(self, mount: UUID) -> ArrivalColumns:
        """The arrivals of a mount, in order of time; of one that has no controller now, whatever was typed, none."""
        if mount not in self._arrivals:
            counts, found = self.mounts[mount].goes_to, arrival_columns(self._session, mount)
            self._arrivals[mount] = found if counts else found.where(np.zeros_like(found.is_sync))
        return self._arrivals[mount]

    def machine_of(self, name: str) -> tuple[str, Machine]:
        """A mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown."""
        mount = self.mounts[self.mount_named(name)]
        return mount.name, mount.known_machine()

    def mount_named(self, name: str) -> UUID:
        """The key of the mount of that name, or of what it begins. Raises UnknownName, SeveralNamesFit."""
        return self._named(Mount, name, {key: mount.name for key, mount in self.mounts.items()})

    def tube_named(self, name: str) -> UUID:
        """The key of the tube of that name, or of what it begins. Raises UnknownName, SeveralNamesFit."""
        return self._named(Tube, name, self.tubes)

    def _named(self, table: type[Mount | Tube], name: str, names: Mapping[UUID, str]) -> UUID:
        keys = {name_key(known): key for key, known in names.items()}
        if name_key(name) not in keys:
            meant = whole_name(self._session, [table], name)
            if meant is None:
                raise UnknownName(kind_of(table), name, list(names.values()))
            name = meant
        return keys[name_key(name)]

    def _landings_of(self, mount: UUID, say_centred: Sequence[str | None] = ()) -> Landings:
        return landings_of(self.arrivals(mount), self.temperatures, say_centred)

    def _among_others(self, mount: UUID, own: Landings, say_centred: set[str | None]) -> Landings:
        """The landings of a mount where some of its observers are known from others to say "centred"."""
        known = sorted((say_centred & set(own.say_in)) - set(own.say_centred), key=str)
        if not known:
            return own
        return self.kept.get(
            Result.of_mount(LANDINGS_AMONG_OTHERS, mount),
            [mount],
            Landings,
            lambda: self._landings_of(mount, known),
            basis=known,
        )

    @cached_property
    def tubes_used(self) -> Mapping[UUID, Sequence[UUID | None]]:
        """The keys of the tubes that each mount was set up with, in order of their names; None: none on record."""
        found: dict[UUID, set[UUID | None]] = {}
        for mount, tube in self._session.execute(select(Setup.mount_id, Setup.tube_id).distinct()):
            found.setdefault(mount, set()).add(tube)
        in_order: list[UUID | None] = [*self.tubes, None]
        return {mount: [tube for tube in in_order if tube in used] for mount, used in found.items()}

    @cached_property
    def rules(self) -> Rules:
        return rules_in_force(self._session)

    @cached_property
    def temperatures(self) -> Temperatures:
        """The mean temperature of each night that has a reading, by its key."""
        return mean_temperatures(self._session)


@contextmanager
def snapshot_of(database: Database) -> Iterator[Snapshot]:
    """A snapshot for as long as one activity lasts; what was computed in it is kept."""
    with database.read() as session:
        yield Snapshot(session)
