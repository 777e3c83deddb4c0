"""Observations from a sheet."""

import pytest
from sqlalchemy import text

from tests.club.bring_in.sheets import NOW, Desk

HEAD = "night,time,site,object,observer,power,filter,rating,notes,scope,eyepiece,mount"
ROW = "2026-03-01,21:05,Mill Field,m81,ines,,O III,4,oval glow,Long tube,Wide 25,Heron"


def test_a_row_comes_in_with_what_is_on_record(desk_of_each: Desk) -> None:
    desk = desk_of_each
    assert desk.outcomes("observations", HEAD, ROW) == [(2, "new", "night of 2026-03-01 at Mill Field")]
    (row,) = desk.rows("observations")
    # 1000 mm through 25 mm is 40 times; 21:05 in London in March is 21:05 UTC.
    assert {name: str(value) for name, value in row.items()} == {
        "night": "2026-03-01",
        "utc": "2026-03-01T21:05:00Z",
        "site": "Mill Field",
        "target": "M 81",
        "observer": "Ines",
        "sighting": "seen",
        "description": "oval glow",
        "mount": "Heron",
        "setup": "1",
        "tube": "Long tube",
        "eyepiece": "Wide 25",
        "magnification": "40.0",
        "filter": "O III",
        "rating": "4",
    }


def test_a_second_time_adds_nothing_and_a_changed_row_changes_its_own(desk: Desk) -> None:
    desk.take("observations", HEAD, ROW)
    assert desk.outcomes("observations", HEAD, ROW) == [(2, "same", "")]
    other = ROW.replace("oval glow", "round glow").replace(",4,", ",,")
    assert desk.outcomes("observations", HEAD, other) == [
        (2, "changed", "description oval glow to round glow")
    ]
    (row,) = desk.rows("observations")
    assert (row["description"], row["rating"]) == ("round glow", 4)


def test_two_entries_of_one_minute_are_two_and_a_row_written_twice_is_one(desk: Desk) -> None:
    other = ROW.replace("oval glow", "with more power: a core")
    assert [outcome for _, outcome, _ in desk.outcomes("observations", HEAD, ROW, other, ROW)] == [
        "new",
        "new",
        "same",
    ]
    assert [outcome for _, outcome, _ in desk.outcomes("observations", HEAD, other, ROW)] == ["same", "same"]
    assert len(desk.rows("observations")) == 2


def test_what_should_be_looked_at_again_is_said_and_taken(desk: Desk) -> None:
    lines = (
        "2026-03-01,21:05,Mill Field,Antares,,,,,,,,",
        "2026-03-01,21:06,Mill Field,Old Smudge,,,,,,,,",
    )
    below, unknown = desk.outcomes("observations", HEAD, *lines, look=True)
    # Antares stands at -26.4 degrees and rises at Mill Field, latitude 52.2, about three in the morning in March.
    assert "below the horizon: check the time" in below[2]
    assert "not a known star or object, kept as written" in unknown[2]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("Mill Field", "Mill Feld"), "Is it Mill Field?"),
        (("ines", "Nobody"), "no member named 'Nobody'"),
        (("Wide 25", "Wide 24"), "Is it Wide 25?"),
        (("Mill Field", ""), "2 are on record"),
        (("21:05", ""), "The time is missing"),
        (("21:05", "late"), "is not a time"),
        ((",4,", ",6,"), "is not between 1 and 5"),
    ],
)
def test_what_cannot_be_meant_is_refused(desk: Desk, change: tuple[str, str], said: str) -> None:
    (found,) = desk.faults("observations", HEAD, ROW.replace(*change))
    assert said in found


def test_a_zone_that_this_computer_does_not_know_stops_only_the_rows_of_its_site(desk: Desk) -> None:
    """A machine with an old table of time zones, and records from one with a newer one."""
    with desk.database.write(NOW) as session:
        session.execute(text("UPDATE sites SET zone = 'Europe/Nowhere' WHERE name = 'Kestrel Ridge'"))
    assert [outcome for _, outcome, _ in desk.outcomes("observations", HEAD, ROW)] == ["new"]
    (fault,) = desk.faults("observations", HEAD, ROW.replace("Mill Field", "Kestrel Ridge"))
    assert "Europe/Nowhere" in fault
