"""What is likely a slip and yet on record is said, with what to do."""

from datetime import datetime

from numpy.testing import assert_allclose

from obslog.club.night.setup_corrections import SetupEntry, edit_setup
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from tests.club.night.typed_arrivals import OPEN, record
from tests.known import known


def test_an_unknown_name_is_kept_as_written_and_remarked(evening: Database, now: datetime) -> None:
    recorded = record(evening, now, " Vegga  star ")
    assert recorded.arrival.target == "Vegga star"
    assert "kept as written" in recorded.remarks[0]
    misspelt = record(evening, now, "Vegaa", Role.CHECK)
    assert "Did you mean Vega" in misspelt.remarks[0]


def test_an_unknown_name_with_its_place_needs_no_remark(evening: Database, now: datetime) -> None:
    recorded = record(evening, now, "field star", where="4s E @16x", ra_hours=18.6, dec_deg=60.0)
    assert recorded.remarks == []
    assert_allclose(known(recorded.arrival.offset_east_arcmin), 8.0219, atol=1e-4)


def test_a_side_of_the_pier_that_does_not_count_is_remarked(evening: Database, now: datetime) -> None:
    """At 20:40 on 2 March the sidereal time is 7 h 22 min: Alkaid (13 h 48 min) stands 6.4 h east of it."""
    (told,) = record(evening, now, "Alkaid", at="20:40", pier_side=PierSide.WEST).remarks
    assert told.startswith("Alkaid stood 6.4 h from the meridian")


def test_of_a_first_star_before_the_set_up_it_is_said_how_to_put_the_beginning_right(
    evening: Database, now: datetime
) -> None:
    said = "On record this set-up began at 19:40, after 19:31. To put that right: obslog setup edit Heron --start TIME"
    assert record(evening, now, "Capella", at="19:31").remarks == [said]
    assert record(evening, now, "Procyon", at="19:36").remarks == []  # said once, not of each star
    edit_setup(evening, SetupEntry(start="19:25"), OPEN, now)
    assert record(evening, now, "Regulus", at="19:30").remarks == []


def test_the_same_star_at_the_same_place_a_moment_later_may_have_been_typed_twice(
    evening: Database, now: datetime
) -> None:
    def remarks(target: str, at: str, where: str | None = "3E 2N") -> list[str]:
        return record(evening, now, target, Role.CHECK, at=at, where=where).remarks

    assert remarks("Procyon", "20:31") == []
    assert remarks("Procyon", "20:32") == [
        "The check of Procyon at 20:31 is just the same, number 1; both are kept. "
        "If it was typed twice: obslog undo"
    ]
    assert remarks("Procyon", "20:33", "4E 2N") == []
    assert remarks("Procyon", "20:36", "4E 2N") == []
    assert remarks("Castor", "20:36", "4E 2N") == []
    assert remarks("Pollux", "20:37", None) == []
    assert "is just the same, number 6;" in remarks("Pollux", "20:38", None)[0]
