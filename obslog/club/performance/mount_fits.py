"""The joint fits of several mounts, each made once however many ask for it."""

from obslog.club.performance.placed_arrivals import PlacedArrivals, placed_arrivals
from obslog.pointing.joint_fit.estimates import PointingFit
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.records.opening import Database


class MountFits:
    """Arrivals and fit by mount and tube, kept for as long as one command runs: a fit takes a third of a second."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._made: dict[tuple[str, str | None], tuple[PlacedArrivals, PointingFit]] = {}

    def of(self, mount: str, tube: str | None = None) -> tuple[PlacedArrivals, PointingFit]:
        """The placed arrivals of a mount and tube (None: its most used one), and their fit.

        Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
        """
        if (mount, tube) not in self._made:
            placed = placed_arrivals(self._database, mount, tube)
            fit = fit_pointing(placed.machine, placed.arrivals, placed.era_of_setup)
            self._made[mount, tube] = placed, fit
        return self._made[mount, tube]
