"""Fields in plain words: units, names in place of keys, and nothing of how a member is reached."""

from datetime import datetime

import pytest
from sqlalchemy import select

from obslog.club.history.field_words import FieldReader, field_words, kind_words, title_of
from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.register.contacts import set_contact
from obslog.club.shelves.counting import saw, start
from obslog.club.storeroom.loans import lend, renew
from obslog.records.database import Database
from obslog.records.history.images import image_of, record_kind
from obslog.records.tables.keys import new_key
from obslog.records.tables.lending import Loan, Renewal
from obslog.records.tables.logbook_tables import Setup, Tube
from obslog.records.tables.officer import Stocktake, StocktakeTick
from obslog.records.tables.storeroom import Contact


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("focal_mm", "focal (mm)"),
        ("weight_kg", "weight (kg)"),
        ("field_deg", "field (°)"),
        ("note", "note"),
        ("retired_on", "retired on"),
        ("fixed_utc", "fixed"),
        ("member_id", "member"),
        ("equipment_id", "item"),
        ("sort", "category"),
        ("capacity_percent", "capacity (%)"),
    ],
)
def test_a_field_is_called_as_people_call_it(name: str, words: str) -> None:
    assert field_words(name) == words


def test_kinds_and_records_are_called_as_people_call_them() -> None:
    key = new_key()
    assert [kind_words(kind) for kind in ("Mount", "KitPart", "Setup", "SkyReading")] == [
        "mount", "kit part", "set-up", "sky reading",
    ]  # fmt: skip
    assert title_of("Mount", {"name": "Heron"}, key) == "mount Heron"
    assert title_of("Arrival", {"target": "Vega"}, key) == "arrival Vega"
    assert title_of("Snag", {"text": "a" * 60}, key) == f"snag {'a' * 39}…"
    assert title_of("Loan", {"due_on": "2026-03-02"}, key) == f"loan {key.hex[-6:]}"
    assert title_of("Contact", {"label": "555"}, key) == f"contact {key.hex[-6:]}"


def test_values_are_words_and_keys_are_names(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now, tube="Long tube", observer="Ines")
    with club.read() as session:
        image = image_of(session.scalars(select(Setup)).one())
        told = FieldReader(session).changes(record_kind(Setup), None, image)
    after = {change.field: change.after for change in told}
    assert after["night"] == "2026-03-02"
    assert (after["mount"], after["tube"], after["member"]) == ("Heron", "Long tube", "Ines")
    assert (after["open"], after["number"]) == ("yes", "1")
    assert after["started"] == f"{now:%Y-%m-%d %H:%M:%S} UTC"
    assert {change.before for change in told} == {None}


def test_a_set_up_is_called_by_its_number_and_its_mount(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now)
    with club.read() as session:
        setup = session.scalars(select(Setup)).one()
        reader = FieldReader(session)
        assert reader.title("Setup", image_of(setup), setup.id) == "set-up 1 of Heron"
        assert reader.title("Setup", {"id": str(setup.id)}, setup.id) == f"set-up {setup.id.hex[-6:]}"
        assert reader.title("Mount", {"name": "Heron"}, setup.id) == "mount Heron"


def test_what_has_no_name_is_called_by_that_of_which_it_is_and_by_its_day(
    club: Database, now: datetime
) -> None:
    lend(club, "Wide 25", "Ines", now)
    renew(club, "Wide 25", now)
    start(club, now)
    saw(club, "Wide 25", now)
    day = f"{now:%Y-%m-%d}"
    with club.read() as session:
        reader = FieldReader(session)
        told = {
            table.__name__: reader.title(table.__name__, image_of(row), row.id)
            for table in (Loan, Renewal, Stocktake, StocktakeTick)
            for row in session.scalars(select(table))
        }
    assert told == {
        "Loan": f"loan of Wide 25, {day}",
        "Renewal": f"renewal of Wide 25, {day}",
        "Stocktake": f"stocktake {day}",
        "StocktakeTick": "stocktake tick of Wide 25",
    }


def test_the_day_of_an_end_and_one_to_come_are_not_those_of_a_beginning(club: Database) -> None:
    with club.read() as session:
        reader, tube = FieldReader(session), session.scalars(select(Tube)).first()
        assert tube is not None
        of = {
            "equipment_id": str(tube.id),
            "found_on": "2026-05-01",
            "closed_on": "2026-05-01",
            "next_on": "2027-03-02",
        }
        assert reader.title("Reservation", of, tube.id) == f"reservation of {tube.name}"
        assert (
            reader.title("Absence", of | {"since": "2026-04-01"}, tube.id)
            == f"absence of {tube.name}, 2026-04-01"
        )


def test_a_contact_is_called_by_no_name(club: Database, now: datetime) -> None:
    set_contact(club, "Ines", {"phone": "01632 960 417"}, now)
    with club.read() as session:
        contact = session.scalars(select(Contact)).one()
        title = FieldReader(session).title("Contact", image_of(contact), contact.id)
    assert title == f"contact {contact.id.hex[-6:]}"


def test_only_what_differs_is_told(club: Database) -> None:
    with club.read() as session:
        kind = record_kind(Tube)
        image = image_of(session.scalars(select(Tube)).first())
        told = FieldReader(session).changes(kind, image, {**image, "focal_mm": 480.0, "name_key": "x"})
    assert [(change.field, change.after) for change in told] == [("focal (mm)", "480")]


def test_how_a_member_is_reached_is_not_told(club: Database, now: datetime) -> None:
    set_contact(club, "Ines", {"phone": "01632 960 417"}, now)
    with club.read() as session:
        image = image_of(session.scalars(select(Contact)).one())
        told = FieldReader(session).changes(record_kind(Contact), None, image)
    assert ("phone", "(not shown)") in [(change.field, change.after) for change in told]
    assert "01632 960" not in repr(told)
