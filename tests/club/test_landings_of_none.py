"""A mount without a set-up on record has no landings, and says so without failing."""

import pytest

from obslog.club.history import NoArrivals, mount_history
from obslog.records.opening import Database


def test_a_mount_without_arrivals_has_no_history(club: Database) -> None:
    with pytest.raises(NoArrivals):
        mount_history(club, "Juniper")
