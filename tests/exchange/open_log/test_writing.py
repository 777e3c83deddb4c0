"""A log is written element after element, so that another parser reads what was handed in."""

import xml.etree.ElementTree as ElementTree
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import xmlschema

from obslog.exchange.open_log.records import Log, LogObservation, LogObserver, LogResult, LogTarget
from obslog.exchange.open_log.writing import write_log

SCHEMA = Path(__file__).parents[2] / "published" / "data" / "oal21" / "oal21.xsd"
AT = datetime(2026, 3, 2, 21, 5, tzinfo=UTC)


def log_of(description: str, rating: int | None = None, language: str | None = None) -> Log:
    result = LogResult(description=description, rating=rating, language=language)
    return Log(
        observers={"o": LogObserver(id="o", name="Ada", surname="Brook & sons")},
        targets={
            "t": LogTarget(
                id="t", name="M 81", kind="deepSkyGX", datasource="a list", ra_deg=148.9, dec_deg=69.1
            )
        },
        observations=[LogObservation(id="x", observer="o", target="t", begin=AT, results=(result,))],
    )


def written(log: Log) -> tuple[ElementTree.Element, int]:
    file = BytesIO()
    left_out = write_log(file, log)
    return ElementTree.fromstring(file.getvalue()), left_out


def test_all_containers_stand_in_the_order_of_the_schema_though_they_are_empty() -> None:
    root, _ = written(Log())
    assert root.tag == "{http://groups.google.com/group/openastronomylog}observations"
    assert root.attrib == {"version": "2.1"}
    assert [child.tag for child in root] == [
        "observers",
        "sites",
        "sessions",
        "targets",
        "scopes",
        "eyepieces",
        "lenses",
        "filters",
        "imagers",
    ]


def test_texts_are_texts_and_what_xml_cannot_hold_is_counted() -> None:
    root, left_out = written(log_of("<b>&amp; a \x00 glow\x1f"))
    assert root.findtext("observation/result/description") == "<b>&amp; a  glow"
    assert root.findtext("observers/observer/surname") == "Brook & sons"
    assert left_out == 2


def test_a_rating_of_the_standard_makes_a_result_one_of_the_deep_sky() -> None:
    kind = "{http://www.w3.org/2001/XMLSchema-instance}type"
    rated, _ = written(log_of("a glow", rating=3, language="en"))
    result = rated.find("observation/result")
    assert result is not None
    assert (result.get(kind), result.get("lang"), result.findtext("rating")) == (
        "oal:findingsDeepSkyType",
        "en",
        "3",
    )
    plain = written(log_of("a glow"))[0].find("observation/result")
    assert plain is not None
    assert plain.attrib == {}


def test_a_rated_result_is_valid_by_the_schema(tmp_path: Path) -> None:
    schema = xmlschema.XMLSchema(str(SCHEMA), allow="local")
    with (tmp_path / "log.xml").open("wb") as file:
        write_log(file, log_of("a glow", rating=3, language="en"))
    assert [error.reason for error in schema.iter_errors(str(tmp_path / "log.xml"))] == []
