"""The joint fits of several mounts, each made once however many ask for it."""

from obslog.club.performance.placed_arrivals import PlacedArrivals, machine_of, placed_arrivals
from obslog.club.performance.snapshot import Snapshot
from obslog.pointing.joint_fit.estimates import PointingFit
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.joint_fit.rows import Machine
from obslog.records.opening import Database


class MountFits:
    """Arrivals and fit by mount and tube, kept for as long as one command runs: a fit takes a third of a second.

    From a snapshot, which all mounts need, or from a database, which is read anew for each mount.
    """

    def __init__(self, source: Snapshot | Database) -> None:
        self._source = source
        self._made: dict[tuple[str, str | None], tuple[PlacedArrivals, PointingFit]] = {}

    def of(self, mount: str, tube: str | None = None) -> tuple[PlacedArrivals, PointingFit]:
        """The placed arrivals of a mount and tube (None: its most used one), and their fit.

        Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
        """
        if (mount, tube) not in self._made:
            placed = self._placed(mount, tube)
            self._made[mount, tube] = placed, fit_of(placed)
        return self._made[mount, tube]

    def machine_of(self, mount: str) -> tuple[str, Machine]:
        """The mount's name on record, and what kind of machine it is. Raises UnknownName, MountTypeUnknown."""
        if isinstance(self._source, Snapshot):
            return self._source.machine_of(mount)
        return machine_of(self._source, mount)

    def _placed(self, mount: str, tube: str | None) -> PlacedArrivals:
        if isinstance(self._source, Snapshot):
            key = self._source.tube_named(tube) if tube else None
            return self._source.placed(self._source.mount_named(mount), key)
        return placed_arrivals(self._source, mount, tube)


def fit_of(placed: PlacedArrivals) -> PointingFit:
    """The joint fit of a mount's placed arrivals, an era for each mechanical service. Raises NothingMeasured."""
    return fit_pointing(placed.machine, placed.arrivals, placed.era_of_setup)
