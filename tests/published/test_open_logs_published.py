"""Logs written by hand from the text of the open schema, read as that text says; the schema lies beside them.

Source: OpenAstronomyLog 2.1, revision of 2011-08-08, Fachgruppe Computerastronomie of the VdS, Apache License 2.0; in
`data/oal21` as published, with its licence.
"""

from datetime import UTC, datetime
from pathlib import Path

import pytest
import xmlschema

from obslog.club.bring_in.give_out import sheet_rows
from obslog.club.open_log.log_in import bring_in_log
from obslog.club.register.undo import undo
from obslog.exchange.open_log.reading import read_log
from obslog.records.opening import Database

DATA = Path(__file__).with_name("data")
LOGS = DATA / "open_logs"
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def schema() -> xmlschema.XMLSchema:
    return xmlschema.XMLSchema(str(DATA / "oal21" / "oal21.xsd"), allow="local")


@pytest.mark.parametrize("name", ["all_elements.xml", "variable_star.xml"])
def test_the_logs_by_hand_are_themselves_valid(schema: xmlschema.XMLSchema, name: str) -> None:
    assert [error.reason for error in schema.iter_errors(str(LOGS / name))] == []


def test_units_and_zones_are_as_the_schema_has_them() -> None:
    log, faults = read_log(LOGS / "all_elements.xml")
    assert faults == []
    hollow, far = log.sites["site_1"], log.sites["site_2"]
    # 93 minutes of arc are 1.55 degrees; east is positive; half a radian is 90 / pi degrees.
    assert hollow.lon_deg == pytest.approx(-1.55)
    assert (hollow.lat_deg, hollow.timezone_minutes, far.timezone_minutes) == (51.25, 0, 120)
    assert far.lon_deg == pytest.approx(28.6478898)
    own = log.targets["t_own"]
    assert own.ra_deg == pytest.approx(57.2957795)
    assert own.dec_deg == pytest.approx(10.0)
    old = log.targets["t_old"]
    assert (old.ra_deg, old.dec_deg) == (None, None)  # of another equinox: kept in words
    assert "equinox: B1950" in old.other
    first = log.observations[0]
    assert first.begin.astimezone(UTC) == datetime(2024, 10, 5, 23, 40, tzinfo=UTC)
    assert (first.faintest_star, first.sky_quality, first.seeing) == (5.8, 20.9, 2)
    assert [(r.language, r.rating) for r in first.results] == [("de", 2), ("en", None)]
    assert log.observations[1].results[0].rating is None  # 99 means unknown


def test_a_whole_log_comes_into_an_empty_club(database: Database) -> None:
    taken = bring_in_log(database, LOGS / "all_elements.xml", NOW, language="en")
    assert (taken.new, taken.same, taken.faults) == (5, 0, [])
    rows = {row["target"]: row for row in sheet_rows(database, "observations")}
    m35 = rows["M 35"]
    assert (m35["observer"], m35["site"], str(m35["night"])) == (
        "Jürgen Feldmühle",
        "Hollow Down",
        "2024-10-05",
    )
    assert (m35["tube"], m35["eyepiece"], m35["magnification"]) == ("Garden 250", "Plain 25 mm", 50.0)
    assert (m35["filter"], m35["sketch"]) == ("Nebula (narrow band)", "m35.jpg")
    assert m35["description"].splitlines() == [
        "A rich cluster.",
        "",
        "From all_elements.xml:",
        "notes: with a smaller one beside it",
        "image: m35-later.jpg",
        "in de: Ein reicher Haufen.",
        "unusual shape: true",
        "small diameter: 25 arcmin",
        "character: E",
        "end: 2024-10-06T00:55:00+01:00",
        "accessories: a chair",
    ]
    blot = rows["Feldmühle's Blot"]
    assert (blot["eyepiece"], blot["magnification"]) == ("Plain 8 mm", 200.0)
    assert blot["filter"] == "Number 25 (color, vendor: Glassmaker, color: red, wratten: 25)"
    for line in (
        "place: right ascension 57.2958°, declination 10°",
        "lens: Doubler, factor 2",
        "camera: model: Small chip, remarks: cooled, pixels x: 640, pixels y: 480, binning: 2",
    ):
        assert line in blot["description"].splitlines()
    jupiter, albireo, smudge = rows["Jupiter"], rows["Albireo"], rows["Smudge 7"]
    assert (jupiter["found_by"], jupiter["magnification"], jupiter["tube"]) == ("binoculars", 10.0, None)
    assert "seen with: Ten by fifty 10x 50 mm" in jupiter["description"]
    assert (albireo["found_by"], albireo["tube"]) == ("naked eye", None)
    assert albireo["utc"] == "2024-11-02T18:15:00Z"
    for line in ("rating of the standard: 3", "color main: yellow", "equal brightness: false"):
        assert line in albireo["description"].splitlines()
    for line in ("type: galaxy", "also called: Grey Smudge", "equinox: B1950", "hubble type: Sb"):
        assert line in smudge["description"].splitlines()


def test_what_a_log_tells_of_people_nights_and_equipment_is_kept(database: Database) -> None:
    taken = bring_in_log(database, LOGS / "all_elements.xml", NOW)
    assert sorted(taken.made) == [
        "eyepiece Plain 25 mm",
        "eyepiece Plain 8 mm",
        "member Ada Brook",
        "member Jürgen Feldmühle",
        "mount Mount not told",
        "site Far Pan",
        "site Hollow Down",
        "tube Garden 250",
    ]
    assert "How observers are reached was left out." in taken.remarks
    members = {row["name"]: row for row in sheet_rows(database, "members", officer=True)}
    assert members["Jürgen Feldmühle"]["phone"] is None
    assert members["Jürgen Feldmühle"]["note"].splitlines()[1:] == [
        "account: FELD7 name societas",
        "fst offset: 0.2",
    ]
    items = {row["name"]: row for row in sheet_rows(database, "items")}
    assert (items["Garden 250"]["maker"], items["Garden 250"]["aperture_mm"]) == ("Own workshop", 250.0)
    assert "light grasp: 0.9" in items["Garden 250"]["note"]
    assert "max focal length: 24" in items["Plain 8 mm"]["note"]


def test_the_measures_of_a_variable_star_are_kept_in_words(database: Database) -> None:
    bring_in_log(database, LOGS / "variable_star.xml", NOW)
    (row,) = sheet_rows(database, "observations")
    assert row["utc"] == "2024-12-01T21:00:00.500000Z"
    for line in ("vis mag: 6.4 fainter than false uncertain true", "comparison star: 66", "bright sky: true"):
        assert line in row["description"].splitlines()


def test_an_older_version_is_read_by_what_it_says(database: Database) -> None:
    taken = bring_in_log(database, LOGS / "older_version.xml", NOW)
    (row,) = sheet_rows(database, "observations")
    # 60 minutes ahead of UT without summer time, in November.
    assert (row["utc"], row["target"]) == ("2005-11-04T22:30:00Z", "NGC 891")
    for line in ("eyepiece: nowhere (not in the file)", "rating: 2.5", "seeing: 7"):
        assert line in row["description"].splitlines()
    assert "1 time without a zone was taken by the clocks of the site." in taken.remarks


@pytest.mark.parametrize("name", ["all_elements.xml", "variable_star.xml", "older_version.xml"])
def test_a_second_time_adds_nothing_and_one_undo_takes_all_back(database: Database, name: str) -> None:
    first = bring_in_log(database, LOGS / name, NOW)
    again = bring_in_log(database, LOGS / name, NOW)
    assert (again.new, again.same, again.made) == (0, first.new, [])
    assert undo(database, NOW) == f"import observations {name}"
    for kind in ("observations", "members", "items"):
        assert sheet_rows(database, kind, officer=True) == []
