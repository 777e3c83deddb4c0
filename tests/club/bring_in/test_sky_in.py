"""What the sky was like beside observations of a sheet: a reading only where the record would say otherwise."""

from datetime import UTC, datetime

from sqlalchemy import select

from obslog.club.bring_in.give_out import sheet_rows
from obslog.records.tables.logbook_tables import Night, SkyReading
from obslog.vocabulary.sky_scales import SkyScale
from tests.club.bring_in.sheets import Desk

HEADS = "night,utc,site,target,antoniadi,naked-eye-limit"
NIGHT = "2026-02-27"


def readings(desk: Desk) -> list[tuple[str, float, str | None]]:
    with desk.database.read() as session:
        query = select(SkyReading.scale, SkyReading.value, SkyReading.at_utc).order_by(SkyReading.id)
        return [(str(s), value, f"{at:%H:%M}" if at else None) for s, value, at in session.execute(query)]


def note(desk: Desk, scale: SkyScale, value: float, at: str | None) -> None:
    """A reading as it is typed on the night, which the sheet has made."""
    with desk.database.write(datetime(2026, 2, 28, tzinfo=UTC), "note") as session:
        (night,) = session.scalars(select(Night))
        instant = datetime.fromisoformat(f"{NIGHT}T{at}+00:00") if at else None
        session.add(SkyReading(night_id=night.id, scale=scale, value=value, at_utc=instant))


def test_what_rows_tell_becomes_readings_where_it_changes(desk_of_each: Desk) -> None:
    desk = desk_of_each
    rows = (HEADS, f"{NIGHT},20:00,Mill Field,M 81,2,5.6", f"{NIGHT},21:00,Mill Field,M 82,2,5.6")
    assert [words for _, _, words in desk.outcomes("observations", *rows)] != []
    assert readings(desk) == [("antoniadi", 2.0, "20:00"), ("naked-eye-limit", 5.6, "20:00")]
    told = (HEADS, f"{NIGHT},20:00,Mill Field,M 81,2,5.6", f"{NIGHT},21:00,Mill Field,M 82,3,")
    assert desk.outcomes("observations", *told) == [(2, "same", ""), (3, "changed", "antoniadi 2 to 3")]
    assert desk.outcomes("observations", *told) == [(2, "same", ""), (3, "same", "")]
    assert readings(desk)[2:] == [("antoniadi", 3.0, "21:00")]
    seeing = [row["antoniadi"] for row in sheet_rows(desk.database, "observations")]
    assert seeing == [2.0, 3.0]


def test_a_blank_cell_tells_nothing(desk: Desk) -> None:
    desk.take("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,,")
    assert readings(desk) == []
    (row,) = sheet_rows(desk.database, "observations")
    assert {row[scale.column] for scale in SkyScale} == {None}


def test_an_added_reading_does_not_change_what_was_told_of_an_earlier_time(desk: Desk) -> None:
    desk.take("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,,")
    note(desk, SkyScale.ANTONIADI, 5, at="23:00")
    rows = (HEADS, f"{NIGHT},20:00,Mill Field,M 81,5,", f"{NIGHT},21:00,Mill Field,M 82,4,")
    desk.take("observations", *rows)
    assert [row["antoniadi"] for row in sheet_rows(desk.database, "observations")] == [5.0, 4.0]


def test_the_nights_own_reading_holds_and_is_not_told_twice(desk: Desk) -> None:
    desk.take("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,,")
    note(desk, SkyScale.ANTONIADI, 3, at=None)
    assert desk.outcomes("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,3,") == [(2, "same", "")]
    assert readings(desk) == [("antoniadi", 3.0, None)]


def test_two_rows_of_one_instant_that_disagree_are_a_fault(desk: Desk) -> None:
    faults = desk.faults(
        "observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,2,", f"{NIGHT},20:00,Mill Field,M 82,3,"
    )
    assert faults == [
        "3 antoniadi: It is 3 here and 2 in row 2, at the same time of one night. "
        "Correct one of the two, or leave it blank."
    ]


def test_a_number_that_its_scale_does_not_have_is_a_fault(desk: Desk) -> None:
    (fault,) = desk.faults("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,6,")
    assert fault.startswith("2 antoniadi: ")
    assert "1 to 5" in fault


def test_one_undo_takes_the_readings_back_too(desk: Desk) -> None:
    from obslog.club.register.undo import undo
    from tests.club.bring_in.sheets import NOW

    desk.take("observations", HEADS, f"{NIGHT},20:00,Mill Field,M 81,2,5.6")
    undo(desk.database, NOW)
    assert readings(desk) == []
