"""The club's observations as a log: valid by the schema whatever they hold, and with no more than is asked for."""

import xml.etree.ElementTree as ElementTree
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import xmlschema
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from obslog.club.bring_in.observations_out import ObservationChoice
from obslog.club.night.nights import start_night
from obslog.club.open_log.log_out import LogChoice, write_log_to
from obslog.club.register import named_records
from obslog.club.register.contacts import set_contact
from obslog.club.register.undo import undo
from obslog.errors import ObslogError
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.vocabulary.sky_scales import SkyScale
from tests.club.bring_in.sheets import Desk
from tests.club.open_log.nights import NOW, READINGS, observation, put_on_record

SCHEMA = Path(__file__).parents[2] / "published" / "data" / "oal21" / "oal21.xsd"
HOSTILE = st.text(
    st.one_of(
        st.sampled_from("<>&'\"]\x00\x08\x0b\x1f\x7f\x85\ufffe\uffff\r\n\t\u202e\U0001f52d"),
        st.characters(exclude_categories=["Cs"]),
    ),
    max_size=60,
)
NAMES = st.lists(HOSTILE.map(lambda text: f"A{text}"), min_size=2, max_size=2)
TEN_OF_FIFTY = 20


@pytest.fixture(scope="session")
def schema() -> xmlschema.XMLSchema:
    return xmlschema.XMLSchema(str(SCHEMA), allow="local")


@settings(
    max_examples=TEN_OF_FIFTY,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),  # smaller cases take minutes to look for
    suppress_health_check=[
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
)
@given(
    seen=st.lists(observation(HOSTILE), min_size=25, max_size=25),
    names=NAMES,
    note=st.one_of(st.none(), HOSTILE.filter(bool)),
    sky=st.sets(st.sampled_from(list(READINGS))),
    exact=st.booleans(),
)
def test_five_hundred_made_observations_are_valid_by_the_schema(
    sqlite_club: Database,
    tmp_path: Path,
    schema: xmlschema.XMLSchema,
    seen: list[dict[str, Any]],
    names: list[str],
    note: str | None,
    sky: set[SkyScale],
    exact: bool,
) -> None:
    """Twenty evenings of 25 each."""
    put_on_record(sqlite_club, seen, names, note, sorted(sky))
    path = tmp_path / "log.xml"
    path.unlink(missing_ok=True)
    written = write_log_to(sqlite_club, path, LogChoice(exact=exact, language="en"))
    undo(sqlite_club, NOW)
    assert written.observations == len(seen)
    assert [error.reason for error in schema.iter_errors(str(path))] == []


SHEET = (
    "night,time,site,object,observer,mount,scope,eyepiece,rating,notes",
    "2026-02-27,21:05,Mill Field,M 81,Ines,Heron,Long tube,Wide 25,4,oval glow",
    "2026-02-27,21:15,Mill Field,M 3,Bram Ostler,,,,,",
    "2026-02-28,21:30,Kestrel Ridge,M 42,Ines,,,,,",
)


@pytest.fixture
def desk(sqlite_club: Database, tmp_path: Path) -> Desk:
    made = Desk(sqlite_club, tmp_path)
    made.take("observations", *SHEET)
    return made


def exported(desk: Desk, choice: LogChoice | None = None) -> tuple[ElementTree.Element, list[str]]:
    path = desk.folder / "log.xml"
    path.unlink(missing_ok=True)
    written = write_log_to(desk.database, path, choice or LogChoice())
    return ElementTree.parse(path).getroot(), written.remarks


def test_an_observation_refers_to_all_that_it_was_made_with(desk: Desk) -> None:
    root, _ = exported(desk)
    seen = root.findall("observation")[0]
    known = {element.get("id"): element for element in root.iter() if element.get("id")}
    assert {
        part: known[seen.findtext(part)].findtext(name)
        for part, name in (
            ("observer", "name"),
            ("site", "name"),
            ("target", "name"),
            ("scope", "model"),
            ("eyepiece", "model"),
        )
    } == {
        "observer": "Ines",
        "site": "Mill Field",
        "target": "M 81",
        "scope": "Long tube",
        "eyepiece": "Wide 25",
    }
    assert (seen.findtext("begin"), seen.findtext("magnification")) == ("2026-02-27T21:05:00+00:00", "40")
    assert seen.findtext("result/description") == (
        "oval glow\n\nNot in the standard:\nrating: 4\nmount: Heron\nset-up: 1"
    )
    assert seen.find("result/rating") is None  # ours runs from 1 to 5, the best: another scale


@pytest.mark.parametrize(("exact", "place"), [(False, ("22.3", "-32.4")), (True, ("22.34", "-32.44"))])
def test_places_are_coarse_unless_asked_for(desk: Desk, exact: bool, place: tuple[str, str]) -> None:
    named_records.edit(
        desk.database,
        "site",
        "Kestrel Ridge",
        {"lat_deg": -32.44, "lon_deg": 22.34, "elevation_m": 1267.0},
        NOW,
    )
    root, remarks = exported(desk, LogChoice(exact=exact))
    (site,) = [one for one in root.findall("sites/site") if one.findtext("name") == "Kestrel Ridge"]
    assert (site.findtext("longitude"), site.findtext("latitude")) == place
    assert site.findtext("elevation") == ("1267" if exact else "1300")
    assert site.findtext("timezone") == "120"
    assert any("rounded to 0.1° and 100 m" in remark for remark in remarks) is not exact


def test_how_members_are_reached_never_leaves(desk: Desk) -> None:
    set_contact(desk.database, "Ines", {"phone": "01632 960 123", "email": "ines@example.org"}, NOW)
    exported(desk, LogChoice(exact=True))
    text = (desk.folder / "log.xml").read_text(encoding="utf-8")
    assert "01632 960" not in text
    assert "ines@" not in text


@pytest.mark.parametrize(
    ("which", "targets"),
    [
        (ObservationChoice(observer="Ines"), ["M 81", "M 42"]),
        (ObservationChoice(night=date(2026, 2, 27)), ["M 81", "M 3"]),
        (ObservationChoice(first=date(2026, 2, 28)), ["M 42"]),
    ],
)
def test_those_that_are_chosen_and_nobody_else(
    desk: Desk, which: ObservationChoice, targets: list[str]
) -> None:
    start_night(desk.database, "Mill Field", datetime(2026, 3, 1, 20, tzinfo=UTC), present=["Bram Ostler"])
    root, _ = exported(desk, LogChoice(which=which))
    assert [target.findtext("name") for target in root.findall("targets/target")] == targets
    if which.observer == "Ines":
        assert [one.findtext("name") for one in root.findall("observers/observer")] == ["Ines"]


def test_only_antoniadi_is_seeing_and_no_scale_is_turned_into_another(desk: Desk) -> None:
    start_night(
        desk.database,
        "Mill Field",
        datetime(2026, 3, 1, 20, tzinfo=UTC),
        sky=[read_sky(text) for text in ("pickering 7", "bortle 4", "antoniadi 2.5", "naked-eye-limit 5.6")],
    )
    desk.take(
        "observations",
        SHEET[0],
        "2026-03-01,21:05,Mill Field,M 81,Ines,,,,,",
        now=datetime(2026, 3, 3, tzinfo=UTC),
    )
    root, _ = exported(desk)
    seen = root.findall("observation")[-1]
    assert [seen.findtext(name) for name in ("seeing", "faintestStar", "sky-quality")] == [None, "5.6", None]
    weather = root.findall("sessions/session")[-1].findtext("weather") or ""
    assert [reading.split(" at ")[0] for reading in weather.split("; ")] == [
        "pickering 7",
        "bortle 4",
        "antoniadi 2.5",
        "naked-eye-limit 5.6",
    ]


def test_a_site_without_a_place_is_left_out_and_said(desk: Desk) -> None:
    named_records.add(desk.database, "site", "Somewhere", {"zone": "UTC"}, NOW)
    desk.take("observations", SHEET[0], "2026-02-26,21:05,Somewhere,M 81,Ines,,,,,")
    root, remarks = exported(desk)
    first = root.findall("observation")[0]
    assert (first.find("site"), first.find("session")) == (None, None)
    assert "Without a place on record, and so left out: Somewhere." in remarks


def test_a_file_that_is_there_is_not_written_over(desk: Desk) -> None:
    exported(desk)
    before = (desk.folder / "log.xml").read_bytes()
    with pytest.raises(ObslogError):
        write_log_to(desk.database, desk.folder / "log.xml", LogChoice())
    assert (desk.folder / "log.xml").read_bytes() == before
