"""What the page of a mount shows, from one look at the records."""

from dataclasses import dataclass
from datetime import datetime

from obslog.club.over_time.landing_history import MountHistory, mount_history
from obslog.club.pages.basis import Basis, Rows, some
from obslog.records.opening import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class MountFacts:
    """A mount with what its nights say of it."""

    mount: str
    history: MountHistory
    basis: Basis


def mount_facts(database: Database, name: str, now: datetime) -> MountFacts:
    """What is on record of a mount. Raises UnknownName, NoArrivals."""
    history = mount_history(database, name)
    arrivals = sum(setup.arrivals for setup in history.setups)
    used = [Rows(count=len(history.setups), kind="set-up"), Rows(count=arrivals, kind="arrival")]
    return MountFacts(mount=history.mount, history=history, basis=Basis(day=now.date(), used=some(used)))
