"""What the page of a night shows, read in one look."""

from datetime import date, datetime

import pytest

from obslog.club.night.open_night import NoSuchNight
from obslog.club.pages.basis import Rows
from obslog.club.pages.night_facts import night_facts
from obslog.records.database import Database


def test_it_counts_what_it_rests_on(evening: Database, now: datetime) -> None:
    facts = night_facts(evening, date(2026, 3, 2), None, now)
    assert facts.night.page.site == "Mill Field"
    assert facts.basis.used == (Rows(count=1, kind="set-up"),)


def test_a_night_that_is_not_on_record_is_refused(evening: Database, now: datetime) -> None:
    with pytest.raises(NoSuchNight):
        night_facts(evening, date(2026, 3, 1), None, now)
