"""Logs written by hand from the text of the open schema, read as that text says; the schema lies beside them.

Source: OpenAstronomyLog 2.1, revision of 2011-08-08, Fachgruppe Computerastronomie of the VdS, Apache License 2.0; in
`data/oal21` as published, with its licence.
"""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from xml.etree.ElementTree import Element, parse

import pytest
import xmlschema

from obslog.club.bring_in.give_out import sheet_rows
from obslog.club.open_log.log_in import bring_in_log
from obslog.club.register.undo import undo
from obslog.exchange.open_log.leftovers import in_words
from obslog.exchange.open_log.reading import read_log
from obslog.records.database import Database
from tests.written_once import rows_of

DATA = Path(__file__).with_name("data")
LOGS = DATA / "open_logs"
VALID = ("all_elements.xml", "variable_star.xml", "every_choice.xml")
XSD = "{http://www.w3.org/2001/XMLSchema}"
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def schema() -> xmlschema.XMLSchema:
    return xmlschema.XMLSchema(str(DATA / "oal21" / "oal21.xsd"), allow="local")


@pytest.mark.parametrize("name", VALID)
def test_the_logs_by_hand_are_themselves_valid(schema: xmlschema.XMLSchema, name: str) -> None:
    assert [error.reason for error in schema.iter_errors(str(LOGS / name))] == []


def elements(name: str) -> list[Element]:
    return list(parse(LOGS / name).iter())


def test_the_logs_by_hand_have_every_element_attribute_type_and_word_of_the_schema() -> None:
    names, attributes, types, words = set(), set(), set(), set()
    for path in (DATA / "oal21").rglob("*.xsd"):
        for one in parse(path).iter():
            name = one.get("name", "")
            if one.tag == f"{XSD}element":
                names.add(name)
            elif one.tag == f"{XSD}attribute":
                attributes.add(name)
            elif one.tag == f"{XSD}enumeration":
                words.add(one.get("value", ""))
            elif (
                one.tag == f"{XSD}complexType"
                and one.find(f".//{XSD}complexContent/{XSD}extension") is not None
            ):
                types |= {f"oal:{name}"} if one.get("abstract") != "true" else set()
    written = [one for name in VALID for one in elements(name)]
    assert len(names) > 100
    assert names - {one.tag.rpartition("}")[2] for one in written} == set()
    assert attributes - {key for one in written for key in one.attrib} == set()
    texts = {(one.text or "").strip() for one in written} | {
        text for one in written for text in one.attrib.values()
    }
    assert words - texts == set()
    assert len(types) > 25
    assert types - texts == set()


# What is told of objects that a table here knows is left out, and how people are reached.
KNOWN_HERE = {"M35", "Albireo", "Jupiter", "Mira", "Moon", "Sun"}
REFERENCES = {
    "observer", "coObserver", "site", "session", "target", "scope", "eyepiece", "lens", "filter", "imager", "component",
}  # fmt: skip


def told_texts(name: str) -> Iterator[tuple[str, str]]:
    """The elements with words or a number of their own, but for instants, places and what is read as something else."""
    for record in elements(name):
        if record.tag == "target" and record.findtext("name") in KNOWN_HERE:
            continue
        for one in record:
            text = (one.text or "").strip()
            if text and not len(one) and one.tag not in REFERENCES | {"contact", "begin", "end", "timezone"}:
                yield one.tag, text


READ_AS = {
    "longitude": "a place in degrees", "latitude": "a place in degrees", "ra": "a place in degrees",
    "dec": "a place in degrees", "apparentFOV": "a field in degrees", "sky-quality": "of a square arcsecond",
    "name": "whole names, and objects under their names here", "origin": "in a sentence",
}  # fmt: skip


@pytest.mark.parametrize("name", VALID)
def test_nothing_that_a_log_tells_is_lost(name: str, database: Database) -> None:
    """Each text and number stands somewhere in the record afterwards, and what is said yes or no to in attributes."""
    bring_in_log(database, LOGS / name, NOW)
    record = "\n".join(values_on_record(database))
    lost = [
        (tag, text)
        for tag, text in told_texts(name)
        if tag not in READ_AS and not stands_in(record, text) and not stands_in(record, as_number(text))
    ]
    lost += [
        (key, value)
        for one in elements(name)
        if one.tag in ("result", "visMag", "chartID", "orientation")
        for key, value in one.attrib.items()
        if value in ("true", "false") and not re.search(rf"\b{in_words(key)}:? {value}\b", record)
    ]
    assert [one for one in lost if one not in SAYS_NOTHING] == []


SAYS_NOTHING = {("equinox", "J2000"), ("type", "other"), ("rating", "99"), ("type", "B")}
"""The equinox that is meant anyway, a kind of filter that is none of the others, a rating that is unknown; binoculars,
which are how the object was found.
"""


def values_on_record(database: Database) -> Iterator[str]:
    """Every text and number in the rows, without keys, instants and the log."""
    for table, rows in rows_of(database.engine):
        if table.name not in ("acts", "changes", "change_batches"):
            for row in rows:
                yield from (f"{value}" for value in row.values() if isinstance(value, str | int | float))


def stands_in(record: str, text: str) -> bool:
    return re.search(rf"(?<![\w.]){re.escape(text)}(?![\w])", record) is not None


def as_number(text: str) -> str:
    """A number as the record has it: 28 as 28.0."""
    try:
        return f"{float(text)}"
    except ValueError:
        return text


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


@pytest.mark.parametrize("name", [*VALID, "older_version.xml"])
def test_a_second_time_adds_nothing_and_one_undo_takes_all_back(database: Database, name: str) -> None:
    first = bring_in_log(database, LOGS / name, NOW)
    again = bring_in_log(database, LOGS / name, NOW)
    assert (again.new, again.same, again.made) == (0, first.new, [])
    assert undo(database, NOW) == f"import observations {name}"
    for kind in ("observations", "members", "items"):
        assert sheet_rows(database, kind, officer=True) == []
