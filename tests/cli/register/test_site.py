"""Sites: their list and pages, read back at every width against what was typed."""

import pytest

from tests.cli.program import Program, written_once
from tests.cli.register.test_equipment import shown_at_each_width, words_of
from tests.cli.screens import Shown

COLUMNS = ("name", "latitude", "longitude", "elevation m", "zone")
TYPED = [
    "site add|Mill Field|--lat 52.2 --lon 0.12 --elevation-m 20 --tz Europe/London",
    "site add|Kestrel Ridge|--lat|32 24 S|--lon|22 18 E|--tz Africa/Johannesburg --horizon|90:25, 0:10|",
    "site add Dune --lat -0.5 --lon|75 30 15 W|--elevation-m -12.5 --tz America/Bogota --note|ask first|",
    "site add Elm --lat 45 --lon 7 --elevation-m 0 --tz Europe/Rome",
    "site retire Elm --why|built over|--on 2026-02-03",
]


@pytest.fixture
def kept(program: Program) -> Program:
    """Sites north and south, east and west, above and below the sea, one at its level, and one without a height."""
    return written_once(program, type_kept)


def type_kept(program: Program) -> None:
    for line in TYPED:
        program.must(*words_of(line))


def test_places_stand_by_name_north_and_east_positive(kept: Program) -> None:
    """32 degrees 24 minutes are 32.4; 75 degrees 30 minutes 15 seconds are 75 + 0.5 + 15/3600 = 75.50417."""
    expected = [
        ["Dune", "-0.5", "-75.5042", "-12.5", "America/Bogota"],
        ["Elm", "45", "7", "0", "Europe/Rome"],
        ["Kestrel Ridge", "-32.4", "22.3", "", "Africa/Johannesburg"],
        ["Mill Field", "52.2", "0.12", "20", "Europe/London"],
    ]
    for shown in shown_at_each_width(kept, "site", "list"):
        assert [list(row.values()) for row in shown.rows(*COLUMNS)] == [
            row for row in expected if row[0] != "Elm"
        ]
    for shown in shown_at_each_width(kept, "site", "list", "--all"):
        rows = shown.rows(*COLUMNS, "retired")
        assert [list(row.values())[:5] for row in rows] == expected
        assert [row["retired"] for row in rows] == ["", "2026-02-03", "", ""]


def test_a_page_has_the_horizon_in_the_order_of_azimuth_and_says_what_is_unknown(kept: Program) -> None:
    for shown in shown_at_each_width(kept, "site", "show", "kestrel ridge"):
        assert shown.fields() == {
            "name": "Kestrel Ridge", "latitude": "-32.4", "longitude": "22.3", "elevation m": "unknown",
            "zone": "Africa/Johannesburg", "horizon": "0:10,90:25",
        }  # fmt: skip
    for shown in shown_at_each_width(kept, "site", "show", "Dune"):
        assert shown.fields() == {
            "name": "Dune", "latitude": "-0.5", "longitude": "-75.5042", "elevation m": "-12.5",
            "zone": "America/Bogota", "horizon": "unknown", "note": "ask first",
        }  # fmt: skip
    for shown in shown_at_each_width(kept, "site", "show", "Elm"):
        assert shown.fields()["elevation m"] == "0"
        assert (shown.fields()["retired"], shown.fields()["because"]) == ("2026-02-03", "built over")


def test_an_edit_changes_what_is_given_and_an_empty_horizon_takes_it_away(kept: Program) -> None:
    before = kept.document("site", "show", "Kestrel Ridge")
    out = kept.must("site", "edit", "Kestrel Ridge", "--lat", "33 S", "--elevation-m", "0").out
    assert Shown(None, out, "").fields()["latitude"] == "-33"
    after = kept.document("site", "show", "Kestrel Ridge")
    assert after == before | {"lat_deg": -33.0, "elevation_m": 0.0}
    assert kept.document("site", "edit", "Kestrel Ridge", "--horizon", "10:5")["horizon"] == "10:5"
    assert kept.document("site", "edit", "Kestrel Ridge", "--horizon", "")["horizon"] is None
    assert kept.document("site", "edit", "Kestrel Ridge", "--rename", "Ridge", "--note", "x") == (
        after | {"horizon": None, "name": "Ridge", "note": "x"}
    )
    assert kept("site", "edit", "Ridge").code == 2


def test_a_doubtful_longitude_is_taken_where_one_is_sure(kept: Program) -> None:
    line = ("site", "add", "Nome", "--lat", "64.5", "--lon", "165.4", "--tz", "America/Nome")
    assert kept(*line).code == 2
    assert kept.document(*line, "--sure")["lon_deg"] == 165.4
    assert kept("site", "edit", "Dune", "--lon", "75.5").code == 2
    assert kept.document("site", "edit", "Dune", "--lon", "75.5", "--sure")["lon_deg"] == 75.5


def test_a_place_may_be_given_in_one_as_it_is_copied_from_a_map(program: Program) -> None:
    """12 minutes are a fifth of a degree; 2° 54' are 2.9°."""
    place = ("--place", "52° 12' N, 2° 54' E")
    added = program.document("site", "add", "Mill Field", *place, "--tz", "Europe/London")
    assert (added["lat_deg"], added["lon_deg"]) == (52.2, 2.9)
    moved = program.document("site", "edit", "Mill Field", "--place", "geo:52.3,2.8")
    assert (moved["lat_deg"], moved["lon_deg"]) == (52.3, 2.8)
