"""Which rows stand behind a mount's page: every arrival is used or left out with a reason."""

from obslog.club.pages.basis import Rows
from obslog.club.pages.mount_facts import mount_facts
from obslog.club.pages.mount_rows import NO_LANDING, NOT_JUDGED
from obslog.records.database import Database
from tests.club.performance.histories import NOW, Evening, fortnightly, put_on_record


def test_syncs_and_what_says_nothing_are_left_out_with_the_reason(club_of_three: Database) -> None:
    """Twelve set-ups of a sync and six checks each; one more night where nothing came after the sync."""
    put_on_record(club_of_three, [Evening(fortnightly(13)[-1], mount="Alder")])
    basis = mount_facts(club_of_three, "Alder", NOW).basis
    assert basis.used == (Rows(count=12, kind="set-up"), Rows(count=72, kind="landing"))
    assert basis.left_out == (
        Rows(count=1, kind="set-up", why=NO_LANDING),
        Rows(count=13, kind="arrival", why=f"not a landing: {NOT_JUDGED}"),
    )
