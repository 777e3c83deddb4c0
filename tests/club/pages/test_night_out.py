"""A night given out has what was recorded in it and nothing of another night or site."""

from datetime import date
from pathlib import Path

import pytest

from obslog.club.night.open_night import NightChoice, NoSuchNight
from obslog.club.pages.night_out import night_out
from obslog.records.database import Database
from tests.club.bring_in.sheets import Desk, day

SHEET = (
    "night,time,site,object,observer,antoniadi",
    "2026-02-27,21:05,Mill Field,M 81,Ines,2",
    "2026-02-27,21:05,Kestrel Ridge,M 42,Ines,4",
    "2026-02-28,00:20,Mill Field,M 3,Bram Ostler,3",
)


def test_it_has_its_own_rows_and_no_others(club: Database, tmp_path: Path) -> None:
    Desk(club, tmp_path).take("observations", *SHEET)
    found = night_out(club, NightChoice("Mill Field", day("2026-02-27")))
    assert (found.page.night, found.page.site) == (date(2026, 2, 27), "Mill Field")
    assert [(row["target"], row["antoniadi"]) for row in found.observations] == [("M 81", 2.0)]
    assert (found.arrivals, found.snags) == ([], [])
    assert (found.started_utc, found.ended_utc) == (None, None)


def test_a_night_that_is_not_on_record_is_refused(sqlite_club: Database) -> None:
    with pytest.raises(NoSuchNight):
        night_out(sqlite_club, NightChoice(night=day("2026-02-27")))
