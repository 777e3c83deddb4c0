"""Nights and set-ups that what comes in was part of: found on record, or made."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.bring_in.intake import Intake
from obslog.errors import WrongInput
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Mount, Night, Setup

MOUNT_NOT_TOLD = "Mount not told"
"""A tube stands on a mount, whatever a sheet leaves out: the name under which it is then kept."""


class SetupHasOtherTube(WrongInput):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"That set-up of {mount} has another tube.", "Correct the tube or the number of the set-up."
        )


@dataclass(slots=True, kw_only=True)
class SetupIn:
    """A set-up of a night, on record or new."""

    key: UUID
    mount_id: UUID
    ordinal: int
    tube_id: UUID | None


@dataclass(slots=True, kw_only=True)
class NightsIn:
    """Nights by site and evening, and the set-ups of each; what is not on record yet is added to the intake."""

    intake: Intake
    nights: dict[tuple[UUID, date], UUID] = field(default_factory=dict)
    made: set[UUID] = field(default_factory=set)
    made_mount: bool = False
    _setups: dict[UUID, list[SetupIn]] = field(default_factory=dict)
    _mount_not_told: UUID | None = None

    def load(self) -> None:
        """Read what is on record."""
        session = self.intake.session
        for key, site_id, night_of in session.execute(select(Night.id, Night.site_id, Night.night_of)):
            self.nights[site_id, night_of] = key
        for setup, night_id in _setups(session):
            self._setups.setdefault(night_id, []).append(setup)
        self._mount_not_told = session.scalar(
            select(Mount.id).where(Mount.name_key == name_key(MOUNT_NOT_TOLD))
        )

    def night(self, site_id: UUID, night_of: date) -> UUID:
        """The night of that evening at a site."""
        found = self.nights.get((site_id, night_of))
        if found is None:
            found = self.intake.add(
                Night,
                site_id=site_id,
                night_of=night_of,
                started_utc=None,
                ended_utc=None,
                open=False,
                note=None,
            )
            self.nights[site_id, night_of] = found
            self.made.add(found)
        return found

    def setup(
        self, night: UUID, mount: tuple[UUID, str] | None, ordinal: int | None, tube: UUID | None
    ) -> SetupIn | None:
        """The set-up that is meant: of that number, or the last that fits; None where neither mount nor tube is told.

        Raises SetupHasOtherTube.
        """
        if mount is None and tube is None:
            return None
        if mount is None:
            of_tube = [setup for setup in self._setups.get(night, ()) if setup.tube_id == tube]
            return of_tube[-1] if of_tube else self._made(night, self._unnamed_mount(), None, tube)
        of_mount = [setup for setup in self._setups.get(night, ()) if setup.mount_id == mount[0]]
        if ordinal is not None:
            of_mount = [setup for setup in of_mount if setup.ordinal == ordinal]
        fitting = [setup for setup in of_mount if tube is None or setup.tube_id in (tube, None)]
        if of_mount and not fitting and ordinal is not None:
            raise SetupHasOtherTube(mount[1])
        if not fitting:
            return self._made(night, mount[0], ordinal, tube)
        found = fitting[-1]
        if tube is not None and found.tube_id is None:
            found.tube_id = tube
            self.intake.change(Setup, found.key, {"tube_id": tube})
        return found

    def _made(self, night: UUID, mount: UUID, ordinal: int | None, tube: UUID | None) -> SetupIn:
        there = self._setups.setdefault(night, [])
        if ordinal is None:
            ordinal = max((setup.ordinal for setup in there if setup.mount_id == mount), default=0) + 1
        key = self.intake.add(
            Setup, night_id=night, mount_id=mount, tube_id=tube, ordinal=ordinal, open=False, note=None
        )
        made = SetupIn(key=key, mount_id=mount, ordinal=ordinal, tube_id=tube)
        there.append(made)
        return made

    def _unnamed_mount(self) -> UUID:
        if self._mount_not_told is None:
            self.made_mount = True
            self._mount_not_told = self.intake.add(
                Mount,
                name=MOUNT_NOT_TOLD,
                name_key=name_key(MOUNT_NOT_TOLD),
                note="Stands in for the mount of set-ups that came in with a tube and without a mount.",
                mount_type=None,
                controller=None,
                refraction=False,
            )
        return self._mount_not_told


def _setups(session: Session) -> Iterable[tuple[SetupIn, UUID]]:
    query = select(Setup.id, Setup.mount_id, Setup.ordinal, Setup.tube_id, Setup.night_id).order_by(
        Setup.night_id, Setup.mount_id, Setup.ordinal
    )
    for key, mount_id, ordinal, tube_id, night_id in session.execute(query):
        yield SetupIn(key=key, mount_id=mount_id, ordinal=ordinal, tube_id=tube_id), night_id
