"""What the page of a mount shows, read in one look."""

import pytest

from obslog.club.pages.basis import Rows
from obslog.club.pages.mount_facts import mount_facts
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.performance.histories import NOW


def test_it_counts_what_it_rests_on(club_of_three: Database) -> None:
    """Twelve set-ups, each of a sync and six checks."""
    facts = mount_facts(club_of_three, "alder", NOW)
    assert facts.mount == "Alder"
    assert facts.basis.used == (Rows(count=12, kind="set-up"), Rows(count=72, kind="landing"))
    assert facts.not_computed is not None
    assert "built" in facts.not_computed  # nobody said what kind of mount it is


def test_a_mount_that_is_not_on_record_is_refused(club_of_three: Database) -> None:
    with pytest.raises(UnknownName):
        mount_facts(club_of_three, "Elm", NOW)


def test_a_mount_without_arrivals_has_a_page_too(club: Database) -> None:
    facts = mount_facts(club, "Heron", NOW)
    assert (facts.history, facts.pointing, facts.set_up_by, facts.basis.used) == (None, None, [], ())
