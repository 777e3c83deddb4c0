"""What each cell of an arrivals sheet may hold: bad cells are named with line, column and reason, all at once."""

from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival
from tests.club.sheets.sheets import LATER, counts, faults, row, sheet_text, written


@pytest.fixture
def sheet_club(sqlite_database: Database) -> Database:
    """The names of the good row, on SQLite: cells are read before any database is asked."""
    from obslog.club.register import named_records

    named_records.add(sqlite_database, "site", "Mill Field", {"zone": "Europe/London"}, LATER)
    for kind, name in (("member", "Ines"), ("mount", "Heron"), ("tube", "Long tube")):
        named_records.add(sqlite_database, kind, name, _needed(kind), LATER)
    return sqlite_database


def _needed(kind: str) -> dict[str, object]:
    from obslog.vocabulary.mounts import Controller, MountType

    needed: dict[str, dict[str, object]] = {
        "member": {},
        "mount": {"mount_type": MountType.GERMAN, "controller": Controller.SHIFT},
        "tube": {"aperture_mm": 212.0, "focal_mm": 1000.0},
    }
    return needed[kind]


@pytest.mark.parametrize(
    ("column", "cell", "reason"),
    [
        ("night", "", "is blank, but it is needed"),
        ("night", "2.3.2026", "2026-03-02"),
        ("night", "2026-02-30", "not a date of the calendar"),
        ("night", "9999-12-31", "not a date of the calendar"),
        ("night", "0001-01-01", "not a date of the calendar"),
        ("setup", "0", "at least 1"),
        ("setup", "100", "at most 99"),
        ("setup", "1.5", "not a whole number"),
        ("setup", "first", "not a whole number"),
        ("site", "", "is blank, but it is needed"),
        ("site", "Mill Feild", "Did you mean Mill Field?"),
        ("observer", "Inez", "Did you mean Ines?"),
        ("mount", "", "is blank, but it is needed"),
        ("mount", "Herron", "Did you mean Heron?"),
        ("tube", "Long Tim", "Did you mean Long tube?"),
        ("tube", "x" * 201, "200"),
        ("utc", "20:41", "2026-03-02T20:41:00Z"),
        ("utc", "2026-03-02T20:41:00", "2026-03-02T20:41:00Z"),
        ("utc", "2026-03-02T25:41:00Z", "not a time of the calendar and the clock"),
        ("utc", "0001-01-01T00:00:00+14:00", "not between the years"),
        ("utc", "9999-12-31T23:59:59-14:00", "not between the years"),
        ("utc", "2026-03-03T20:41:00Z", "not in the night of 2026-03-02"),
        ("role", "", "is blank, but it is needed"),
        ("role", "look", "'sync', 'check', 'goto'"),
        ("target", "", "is blank, but it is needed"),
        ("target", "x" * 201, "200"),
        ("target", "Ve\x00ga", "cannot be printed"),
        ("target", "\x1b[31mVega", "cannot be printed"),
        ("pier_side", "left", "'east', 'west'"),
        ("offset_east_arcmin", "3,5", "not a finite number"),
        ("offset_east_arcmin", "3'", "not a finite number"),
        ("offset_east_arcmin", "inf", "not a finite number"),
        ("offset_east_arcmin", "nan", "not a finite number"),
        ("offset_east_arcmin", "1e999", "not a finite number"),
        ("offset_east_arcmin", "10801", "at most 10800"),
        ("offset_north_arcmin", "-10801", "at least -10800"),
        ("landing", "near", "'centred', 'in', 'edge', 'finder', 'lost'"),
        ("field_arcmin", "0.009", "at least 0.01"),
        ("field_arcmin", "wide", "not a finite number"),
        ("centring_arcmin", "-1", "at least 0"),
        ("note", "x" * 4001, "4000"),
        ("note", "bell\x07", "cannot be printed"),
    ],
)
def test_a_bad_cell_is_named_with_line_column_and_reason(
    sheet_club: Database, tmp_path: Path, column: str, cell: str, reason: str
) -> None:
    path = written(tmp_path, sheet_text(row(), row(target="Deneb", **{column: cell}) if column != "target"
                                        else row(target=cell)))  # fmt: skip
    ((line, named, why),) = faults(sheet_club, path)
    assert (line, named) == (3, column)
    assert reason in why


@pytest.mark.parametrize(
    ("ra_hours", "dec_deg", "column", "reason"),
    [
        ("24.1", "0", "ra_hours", "at most 24"),
        ("-0.1", "0", "ra_hours", "at least 0"),
        ("6", "90.5", "dec_deg", "at most 90"),
        ("6", "", "dec_deg", "give both or neither"),
        ("", "12", "ra_hours", "give both or neither"),
    ],
)
def test_a_place_has_both_coordinates_inside_the_sphere(
    sheet_club: Database, tmp_path: Path, ra_hours: str, dec_deg: str, column: str, reason: str
) -> None:
    path = written(tmp_path, sheet_text(row(ra_hours=ra_hours, dec_deg=dec_deg)))
    ((line, named, why),) = faults(sheet_club, path)
    assert (line, named) == (2, column)
    assert reason in why


def test_an_offset_has_both_directions(sheet_club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(offset_north_arcmin="")))
    assert faults(sheet_club, path)[0][:2] == (2, "offset_north_arcmin")


@pytest.mark.parametrize(
    ("cells", "reason"),
    [
        ({"utc": "", "local": ""}, "the time is missing"),
        ({"local": "20:41"}, "not both"),
        ({"utc": "", "local": "24:10"}, "not a time of the clock"),
        ({"utc": "", "local": "9 pm"}, "20:41"),
        # London's clocks: forward at 01:00 UTC on 29 March, back at 01:00 UTC on 25 October 2026 (IANA, rule EU).
        ({"utc": "", "local": "01:30", "night": "2026-03-28"}, "never came"),
        ({"utc": "", "local": "01:30", "night": "2026-10-24"}, "came twice"),
    ],
)
def test_a_row_has_one_time_that_exists_once(
    sheet_club: Database, tmp_path: Path, cells: dict[str, str], reason: str
) -> None:
    ((line, _, why),) = faults(sheet_club, written(tmp_path, sheet_text(row(**cells))))
    assert line == 2
    assert reason in why


def test_a_future_time_is_refused(sheet_club: Database, tmp_path: Path) -> None:
    path = written(tmp_path, sheet_text(row(night="2027-01-01", utc="2027-01-01T20:00:00Z")))
    ((_, column, why),) = faults(sheet_club, path)
    assert column == "utc"
    assert "has not come yet" in why


def test_every_fault_of_every_row_is_reported(sheet_club: Database, tmp_path: Path) -> None:
    path = written(
        tmp_path,
        sheet_text(
            row(role="look", landing="near", offset_east_arcmin="x"),
            row(),
            row(site="Nowhere", mount="Nothing"),
            row(utc="2026-03-05T20:41:00Z"),
        ),
    )
    found = {(line, column) for line, column, _ in faults(sheet_club, path)}
    assert found == {
        (2, "role"), (2, "landing"), (2, "offset_east_arcmin"), (4, "site"), (4, "mount"), (5, "utc"),
    }  # fmt: skip


def test_the_tube_may_not_change_within_a_setup(sheet_club: Database, tmp_path: Path) -> None:
    from obslog.club.register import named_records

    named_records.add(sheet_club, "tube", "Stub", {"aperture_mm": 77.0, "focal_mm": 489.0}, LATER)
    rows = row(), row(tube="Stub", target="Deneb"), row(tube="Stub", target="Deneb", setup="2")
    ((line, column, why),) = faults(sheet_club, written(tmp_path, sheet_text(*rows)))
    assert (line, column) == (3, "tube")
    assert "new set-up" in why


def test_names_are_found_in_any_case_and_blank_cells_are_unknown(
    sheet_club: Database, tmp_path: Path
) -> None:
    cells = {
        "mount": "HERON", "site": " mill  field ", "role": "GOTO", "setup": "", "observer": "", "tube": "",
        "offset_east_arcmin": "", "offset_north_arcmin": "", "landing": "Edge", "field_arcmin": "42",
    }  # fmt: skip
    import_arrivals(sheet_club, written(tmp_path, sheet_text(row(**cells))), LATER)
    with sheet_club.read() as session:
        arrival = session.scalars(select(Arrival)).one()
        assert (arrival.role, arrival.landing, arrival.field_arcmin) == ("goto", "edge", 42)
        assert arrival.offset_east_arcmin is None
        assert arrival.member_id is None


def test_a_local_time_is_taken_in_the_zone_of_the_site(sheet_club: Database, tmp_path: Path) -> None:
    # 21:41 and 00:10 of British Summer Time are 20:41 and 23:10 UTC of the same evening.
    rows = [
        row(night="2026-07-02", utc="", local="21:41"),
        row(night="2026-07-02", utc="", local="00:10", target="Deneb"),
    ]
    import_arrivals(sheet_club, written(tmp_path, sheet_text(*rows)), LATER)
    with sheet_club.read() as session:
        instants = [
            f"{a.at_utc:%Y-%m-%dT%H:%M}" for a in session.scalars(select(Arrival).order_by(Arrival.at_utc))
        ]
    assert instants == ["2026-07-02T20:41", "2026-07-02T23:10"]


def test_a_time_of_another_zone_is_turned_to_utc(sheet_club: Database, tmp_path: Path) -> None:
    import_arrivals(sheet_club, written(tmp_path, sheet_text(row(utc="2026-03-02 22:41:00+02:00"))), LATER)
    with sheet_club.read() as session:
        assert f"{session.scalars(select(Arrival.at_utc)).one():%H:%M}" == "20:41"
    assert counts(sheet_club)["Arrival"] == 1
