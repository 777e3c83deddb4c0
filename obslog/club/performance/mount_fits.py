"""The joint fits of several mounts, each made once however many ask for it, and kept."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from uuid import UUID

from obslog.club.performance.fit_summary import FitSummary, summary_of
from obslog.club.performance.placed_arrivals import (
    MountTypeUnknown,
    NothingPlaced,
    PlacedArrivals,
    most_used_tube,
    other_tubes,
    placed,
)
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.pointing.joint_fit.answer import NothingMeasured, PointingFit
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.findings import Finding, findings_of
from obslog.pointing.misfit.found_changes import FoundChange, changes_of
from obslog.records.database import Database
from obslog.records.kept_results import Result

FIT, OUTCOME = "fit", "outcome of the fit"
NO_TUBE = UUID(int=0)
"""The key of no tube: asks for the set-ups of which no tube is on record."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A mount's placed arrivals, in eras that a change begins too, their fit, and what that leaves out."""

    placed: PlacedArrivals
    fit: PointingFit
    findings: list[Finding]
    changes: list[FoundChange]


@dataclass(frozen=True, slots=True)
class FitOutcome:
    """What came of fitting a mount's arrivals with a tube; `not_placed` says why none of them could be placed.

    With neither, they could be placed, but none of them measures anything.
    """

    summary: FitSummary | None
    not_placed: str | None


class MountFits:
    """Arrivals and fit by mount and tube: a fit takes a third of a second, and is asked for again and again."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self._fitted: dict[tuple[UUID, UUID | None], Fitted] = {}

    def of(self, mount: str, tube: str | None = None) -> tuple[PlacedArrivals, PointingFit]:
        """The placed arrivals of a mount and tube (None: its most used one), and their fit.

        Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
        """
        fitted = self.fitted(mount, tube)
        return fitted.placed, fitted.fit

    def fitted(self, mount: str, tube: str | None = None) -> Fitted:
        """The same with what the model leaves out. Raises as `of` does."""
        self.summary(mount, tube)
        return self._fit(*self._keys(mount, tube))

    def summary(self, mount: str, tube: str | None = None) -> FitSummary:
        """What that mount is compared by. Raises as `of` does."""
        return self.summary_of(*self._keys(mount, tube))

    def summary_of(self, key: UUID, tube_key: UUID | None = None) -> FitSummary:
        """The same of a mount and tube, or NO_TUBE, by their keys.

        Raises MountTypeUnknown, NothingPlaced, NothingMeasured.
        """
        on_record = self.snapshot.mounts[key]
        on_record.known_machine()
        outcome = self.snapshot.kept.get(
            Result.of_mount(OUTCOME, key, tube_key or ""),
            [key],
            FitOutcome,
            lambda: self._outcome(key, tube_key),
            basis=tube_key and self.snapshot.tubes.get(tube_key, ""),  # why nothing was placed may name it
        )
        if outcome.not_placed is not None:
            raise NothingPlaced(on_record.name, outcome.not_placed)
        if outcome.summary is None:
            raise NothingMeasured
        return outcome.summary

    def summaries_of(self, mount: UUID) -> dict[UUID | None, FitSummary]:
        """The summary of its set-ups with each tube by its key, None: no tube on record; of what cannot be fitted none.

        Arrivals too much alike must not take the whole checklist with them.
        """
        names = {tube: self.snapshot.tubes[tube] if tube else None for tube in self._tubes_used(mount)}
        most_used = self._summary_or_none(mount, None)
        found = {
            tube: most_used
            if most_used is not None and most_used.tube == name
            else self._summary_or_none(mount, tube or NO_TUBE)
            for tube, name in names.items()
        }
        return {tube: its for tube, its in found.items() if its is not None}

    def _tubes_used(self, mount: UUID) -> Sequence[UUID | None]:
        return self.snapshot.tubes_used.get(mount, ())

    def _summary_or_none(self, mount: UUID, tube: UUID | None) -> FitSummary | None:
        try:
            return self.summary_of(mount, tube)
        except (MountTypeUnknown, NothingPlaced, NothingMeasured):
            return None

    def read_ahead(self) -> None:
        """Read all summaries at once: for who asks for that of every mount."""
        self.snapshot.kept.read_ahead(OUTCOME)

    def machine_of(self, mount: str) -> tuple[str, Machine]:
        """The mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown."""
        return self.snapshot.machine_of(mount)

    def placed(self, mount: UUID, tube: UUID | None = None) -> PlacedArrivals:
        """The placed arrivals of a mount with a tube or NO_TUBE, None: its most used one. Raises NothingPlaced."""
        snapshot, arrivals = self.snapshot, self.snapshot.arrivals(mount)
        used = None if tube == NO_TUBE else tube or most_used_tube(arrivals)
        named = used, snapshot.tubes[used] if used else None
        its = placed(snapshot.mounts[mount], named, arrivals, snapshot.services, snapshot.temperatures)
        return replace(
            its, others=other_tubes(arrivals, used, snapshot.services.get(mount, ()), snapshot.tubes)
        )

    def _keys(self, mount: str, tube: str | None) -> tuple[UUID, UUID | None]:
        return self.snapshot.mount_named(mount), self.snapshot.tube_named(tube) if tube else None

    def _outcome(self, mount: UUID, tube: UUID | None) -> FitOutcome:
        try:
            fitted = self._fit(mount, tube)
        except NothingPlaced as error:
            return FitOutcome(None, error.why)
        except NothingMeasured:
            return FitOutcome(None, None)
        return FitOutcome(summary_of(fitted.placed, fitted.fit, fitted.findings, fitted.changes), None)

    def _fit(self, mount: UUID, tube: UUID | None) -> Fitted:
        if (mount, tube) not in self._fitted:
            self._fitted[mount, tube] = self.snapshot.kept.get(
                Result.of_mount(FIT, mount, tube or ""), [mount], Fitted, lambda: self._made(mount, tube)
            )
        return self._fitted[mount, tube]

    def _made(self, mount: UUID, tube: UUID | None) -> Fitted:
        return examined(self.placed(mount, tube))


@contextmanager
def fits_from(records: Database | MountFits) -> Iterator[MountFits]:
    """The fits that are handed in, or those of a database, for as long as one activity lasts."""
    if isinstance(records, MountFits):
        yield records
        return
    with snapshot_of(records) as snapshot:
        yield MountFits(snapshot)


def examined(placed: PlacedArrivals) -> Fitted:
    """The joint fit of placed arrivals, an era for each mechanical service and each change that nobody wrote down.

    Raises NothingMeasured.
    """
    from obslog.pointing.misfit.examined import examine

    found = examine(placed.machine, placed.arrivals, placed.era_of_setup, placed.circumstances)
    in_eras = placed.with_eras(found.left_out.eras)
    changes = changes_of(placed.setups, found)
    return Fitted(in_eras, found.fit, findings_of(placed.mount, placed.setups, found, changes), changes)
