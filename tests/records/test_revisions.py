"""Each revision, from a database of the revision before: what was on record stays, and the new can be written."""

from datetime import date, datetime
from typing import Any

import pytest
from alembic import command
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from obslog.club.register.undo import undo
from obslog.errors import ObslogError
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan
from obslog.records.tables.logbook_tables import Arrival, Member, Mount, Observation, Site, Tick, Tube
from obslog.records.tables.storeroom import ClubRule, Paper
from obslog.records.upgrading import upgrade
from obslog.vocabulary.observations import Sighting
from obslog.vocabulary.steps import Step
from tests.records.developers import on_database

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
A_MOUNT_AND_ITS_SNAG = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'mount', 'Heron', 'heron')",
    f"INSERT INTO mounts (id, refraction) VALUES ('{KEY}', {{false}})",
    f"INSERT INTO snags (id, at_utc, step, text, equipment_id) VALUES "
    f"('{KEY}', '2026-02-01T20:00:00.000000Z', 'level', 'a leg sank', '{KEY}')",
)
A_NIGHT_AND_AN_OBSERVATION = (
    f"INSERT INTO sites (id, name, name_key) VALUES ('{KEY}', 'Mill Field', 'mill field')",
    f"INSERT INTO nights (id, site_id, night_of, open, note) "
    f"VALUES ('{KEY}', '{KEY}', '2026-02-01', {{false}}, 'COLD')",
    f"INSERT INTO observations (id, night_id, at_utc, target, sighting, description) "
    f"VALUES ('{KEY}', '{KEY}', '2026-02-01T20:00:00.000000Z', 'M 13', 'suspected', 'Très FAINT')",
)


@pytest.fixture
def target_at_0001(new_target: str) -> str:
    """A database of revision 0001 with a mount and a snag of it."""
    engine = make_engine(new_target)
    upgrade(engine, revision="0001")
    false = "0" if engine.dialect.name == "sqlite" else "false"
    with writing(engine).begin() as connection:
        for statement in A_MOUNT_AND_ITS_SNAG:
            connection.execute(text(statement.format(false=false)))
    engine.dispose()
    return new_target


def test_0002_adds_ticks_and_keeps_what_there_was(
    target_at_0001: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0001, now, said.append)
    with database.write(now) as session:
        mount = session.query(Mount).one()
        assert mount.name == "Heron"
        assert session.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
        session.add(
            Tick(at_utc=now, step=Step.LEVEL, went_well=True, value="bubble 0.2 deg", mount_id=mount.id)
        )
    with database.read() as session:
        tick = session.query(Tick).one()
        assert (tick.at_utc, tick.step, tick.went_well, tick.value) == (
            now,
            Step.LEVEL,
            True,
            "bubble 0.2 deg",
        )
    database.close()


def test_0002_can_be_taken_back(target_at_0001: str, now: datetime, said: list[str]) -> None:
    open_database(target_at_0001, now, said.append).close()
    on_database(target_at_0001, command.downgrade, "0001")
    engine = make_engine(target_at_0001)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0001",)]
        assert connection.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
    engine.dispose()


def test_0003_keeps_observations_and_makes_them_searchable(
    new_target: str, now: datetime, said: list[str]
) -> None:
    engine = make_engine(new_target)
    upgrade(engine, revision="0002")
    with writing(engine).begin() as connection:
        for statement in A_NIGHT_AND_AN_OBSERVATION:
            connection.execute(
                text(statement.format(false="0" if engine.dialect.name == "sqlite" else "false"))
            )
    engine.dispose()
    database = open_database(new_target, now, said.append)
    with database.write(now) as session:
        seen = session.query(Observation).one()
        assert (seen.target, seen.sighting, seen.description) == ("M 13", Sighting.SUSPECTED, "Très FAINT")
        assert (seen.vision, seen.rating, seen.alt_deg) == (None, None, None)
        assert seen.search_text == "m 13\ntres faint"
        assert session.execute(text("SELECT search_text FROM nights")).all() == [("cold",)]
        seen.rating = 5
    with pytest.raises(ObslogError), database.write(now) as session:
        session.query(Observation).one().rating = 6
    database.close()


def test_0003_can_be_taken_back(target_at_0001: str, now: datetime, said: list[str]) -> None:
    open_database(target_at_0001, now, said.append).close()
    on_database(target_at_0001, command.downgrade, "0002")
    engine = make_engine(target_at_0001)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
        assert connection.execute(text("SELECT count(*) FROM observations")).all() == [(0,)]
    engine.dispose()


@pytest.fixture
def target_at_0003(target_at_0001: str) -> str:
    """The database of `target_at_0001`, two revisions on."""
    engine = make_engine(target_at_0001)
    upgrade(engine, revision="0003")
    engine.dispose()
    return target_at_0001


def test_0004_adds_the_store_room_and_keeps_what_there_was(
    target_at_0003: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0003, now, said.append)
    with database.write(now) as session:
        assert session.query(Mount).one().name == "Heron"
        assert session.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
        kit = Kit(name="Evening kit", name_key="evening kit")
        member = Member(name="Ines", name_key="ines")
        session.add_all([kit, member])
        session.flush()
        days: dict[str, Any] = {"out_on": date(2026, 2, 1), "due_on": date(2026, 3, 1)}
        session.add(Loan(member_id=member.id, kit_id=kit.id, **days))
        session.flush()
        session.add(Loan(member_id=member.id, kit_id=kit.id, **days))
        with pytest.raises(IntegrityError, match=r"loans\.kit_id|ix_loans_kit_id"):
            session.flush()
        session.rollback()
    database.close()


def test_0004_can_be_taken_back(target_at_0003: str, now: datetime, said: list[str]) -> None:
    open_database(target_at_0003, now, said.append).close()
    on_database(target_at_0003, command.downgrade, "0003")
    engine = make_engine(target_at_0003)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0003",)]
        assert connection.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
    engine.dispose()


@pytest.fixture
def target_at_0004(new_target: str) -> str:
    """A database of revision 0004 with a site, a night and an observation."""
    engine = make_engine(new_target)
    upgrade(engine, revision="0004")
    false = "0" if engine.dialect.name == "sqlite" else "false"
    with writing(engine).begin() as connection:
        for statement in A_NIGHT_AND_AN_OBSERVATION:
            connection.execute(text(statement.format(false=false)))
    engine.dispose()
    return new_target


def test_0005_adds_horizons_and_keeps_what_there_was(
    target_at_0004: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0004, now, said.append)
    with database.write(now) as session:
        site = session.query(Site).one()
        assert (site.name, site.horizon) == ("Mill Field", None)
        assert session.query(Observation).one().target == "M 13"
        site.horizon = "0:10,180:25"
    with pytest.raises(ObslogError), database.write(now) as session:
        session.query(Site).one().horizon = ""
    database.close()


def test_0005_can_be_taken_back(target_at_0004: str, now: datetime, said: list[str]) -> None:
    open_database(target_at_0004, now, said.append).close()
    on_database(target_at_0004, command.downgrade, "0004")
    engine = make_engine(target_at_0004)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0004",)]
        assert connection.execute(text("SELECT name FROM sites")).all() == [("Mill Field",)]
        assert connection.execute(text("SELECT target FROM observations")).all() == [("M 13",)]
    engine.dispose()


ITEMS = {name: KEY[:-1] + digit for name, digit in (("Wide 25", "1"), ("Stop 20", "2"), ("Filter", "3"))}
OF_0005 = (
    *(
        f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{key}', 'item', '{name}', '{name.lower()}')"
        for name, key in ITEMS.items()
    ),
    *(f"INSERT INTO items (id, sort) VALUES ('{key}', 'bits')" for key in ITEMS.values()),
    f"INSERT INTO kits (id, name, name_key) VALUES ('{KEY}', 'Box', 'box')",
    # as it was written: in the paper, in the part and in the absence; the part's day had been written over
    f"INSERT INTO papers (id, equipment_id, missing_since) "
    f"VALUES ('{KEY[:-1]}4', '{ITEMS['Wide 25']}', '2026-02-01')",
    f"INSERT INTO absences (id, equipment_id, since) VALUES ('{KEY[:-1]}5', '{ITEMS['Wide 25']}', '2026-02-01')",
    f"INSERT INTO kit_parts (id, kit_id, label, joined_on, equipment_id, missing_since) "
    f"VALUES ('{KEY[:-1]}6', '{KEY}', 'Wide 25', '2026-01-01', '{ITEMS['Wide 25']}', '2026-02-09')",
    # a paper without an absence, and a part without either
    f"INSERT INTO papers (id, equipment_id, missing_since) "
    f"VALUES ('{KEY[:-1]}7', '{ITEMS['Stop 20']}', '2026-02-02')",
    f"INSERT INTO kit_parts (id, kit_id, label, joined_on, equipment_id, missing_since) "
    f"VALUES ('{KEY[:-1]}8', '{KEY}', 'Filter', '2026-01-01', '{ITEMS['Filter']}', '2026-02-03')",
    f"INSERT INTO kit_parts (id, kit_id, label, joined_on, missing_since) "
    f"VALUES ('{KEY[:-1]}9', '{KEY}', 'dust cap', '2026-01-01', '2026-02-04')",
    f"INSERT INTO club_rules (id, name, value) VALUES ('{KEY}', 'loan-days', 42)",
    # the act by which Wide 25 would be found: taken back, it may not fill the part's day again
    f"INSERT INTO acts (id, at_utc, sentence) VALUES ('{KEY}', '2026-02-09T12:00:00.000000Z', 'it went missing')",
    "INSERT INTO changes (id, act_id, record_kind, record_id, before, after) "
    f"VALUES ('{KEY}', '{KEY}', 'KitPart', '{KEY[:-1]}6', "
    f'\'{{"equipment_id": "{ITEMS["Wide 25"]}", "missing_since": "2026-02-01"}}\', '
    f'\'{{"equipment_id": "{ITEMS["Wide 25"]}", "missing_since": "2026-02-09"}}\')',
)


@pytest.fixture
def target_at_0005(new_target: str) -> str:
    """A database of revision 0005 with items that are missing in every way in which that could be written."""
    engine = make_engine(new_target)
    upgrade(engine, revision="0005")
    with writing(engine).begin() as connection:
        for statement in OF_0005:
            connection.execute(text(statement.replace(":", r"\:")))
    engine.dispose()
    return new_target


def test_0006_keeps_since_when_an_item_is_missing_in_its_absence_alone(
    target_at_0005: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0005, now, said.append)
    with database.read() as session:
        absences = session.query(Absence).order_by(Absence.since).all()
        names = {f"{key}": name for name, key in ITEMS.items()}
        assert [(names[f"{a.equipment_id}"], a.since, a.found_on) for a in absences] == [
            ("Wide 25", date(2026, 2, 1), None),
            ("Stop 20", date(2026, 2, 2), None),
            ("Filter", date(2026, 2, 3), None),
        ]
        parts = {part.label: part.missing_since for part in session.query(KitPart)}
        assert parts == {"Wide 25": None, "Filter": None, "dust cap": date(2026, 2, 4)}
        assert session.query(Paper).count() == 2
        assert [(rule.name, rule.value) for rule in session.query(ClubRule)] == [("loan-days", 42)]
    assert undo(database, now) == "it went missing"
    for wrong in (
        "UPDATE kit_parts SET missing_since = '2026-02-01' WHERE equipment_id IS NOT NULL",
        "UPDATE club_rules SET word = 'EUR'",
        "UPDATE club_rules SET value = NULL",
    ):
        with pytest.raises(ObslogError), database.write(now) as session:
            session.execute(text(wrong))
    database.close()


def test_0006_can_be_taken_back(target_at_0005: str, now: datetime, said: list[str]) -> None:
    database = open_database(target_at_0005, now, said.append)
    with database.write(now) as session:
        session.add(ClubRule(name="currency", word="EUR"))
    database.close()
    on_database(target_at_0005, command.downgrade, "0005")
    engine = make_engine(target_at_0005)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0005",)]
        papers = connection.execute(
            text("SELECT equipment_id, missing_since FROM papers ORDER BY missing_since")
        ).all()
        assert [(f"{key}", f"{since}") for key, since in papers] == [
            (ITEMS["Wide 25"], "2026-02-01"),
            (ITEMS["Stop 20"], "2026-02-02"),
            (ITEMS["Filter"], "2026-02-03"),
        ]
        parts = connection.execute(text("SELECT label, missing_since FROM kit_parts ORDER BY label")).all()
        assert {(label, f"{since}") for label, since in parts} == {
            ("Filter", "2026-02-03"),
            ("Wide 25", "2026-02-01"),
            ("dust cap", "2026-02-04"),
        }
        assert connection.execute(text("SELECT name, value FROM club_rules")).all() == [("loan-days", 42)]
    engine.dispose()


BEYOND = (
    f"INSERT INTO equipment (id, kind, name, name_key, note) VALUES ('{KEY}', 'tube', 'Stub', 'stub', 'green')",
    f"INSERT INTO tubes (id, aperture_mm, focal_mm) VALUES ('{KEY}', 8, 480)",
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY[:-1]}0', 'mount', 'Heron', 'heron')",
    f"INSERT INTO mounts (id, refraction) VALUES ('{KEY[:-1]}0', {{false}})",
    f"INSERT INTO setups (id, night_id, mount_id, ordinal, open) "
    f"VALUES ('{KEY}', '{KEY}', '{KEY[:-1]}0', 1, {{false}})",
    f"INSERT INTO arrivals (id, setup_id, at_utc, role, target, field_arcmin, note) VALUES "
    f"('{KEY}', '{KEY}', '2026-02-01T20:00:00.000000Z', 'sync', 'Vega', 20000, 'GUST')",
    f"INSERT INTO arrivals (id, setup_id, at_utc, role, target, field_arcmin) VALUES "
    f"('{KEY[:-1]}1', '{KEY}', '2026-02-01T20:05:00.000000Z', 'check', 'Deneb', 0.05)",
    "UPDATE observations SET magnification = 9000",
)


@pytest.fixture
def target_at_0006(target_at_0004: str) -> str:
    """The database of `target_at_0004`, two revisions on, with numbers that no option ever took."""
    engine = make_engine(target_at_0004)
    upgrade(engine, revision="0006")
    false = "0" if engine.dialect.name == "sqlite" else "false"
    with writing(engine).begin() as connection:
        for statement in BEYOND:
            connection.execute(text(statement.format(false=false)))
    engine.dispose()
    return target_at_0004


def test_0007_makes_what_is_beyond_the_range_unknown_and_notes_what_it_was(
    target_at_0006: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0006, now, said.append)
    with database.read() as session:
        vega, deneb = session.query(Arrival).order_by(Arrival.at_utc)
        assert (vega.field_arcmin, vega.note) == (None, "GUST\nfield_arcmin was 20000")
        assert vega.search_text == "gust field_arcmin was 20000"
        assert (deneb.field_arcmin, deneb.note) == (0.05, None)
        tube, seen = session.query(Tube).one(), session.query(Observation).one()
        assert (tube.aperture_mm, tube.focal_mm) == (None, 480)
        assert tube.note == "green\naperture_mm was 8"
        assert seen.magnification is None
        assert seen.description == "Très FAINT\nmagnification was 9000"
    with pytest.raises(ObslogError), database.write(now) as session:
        session.query(Arrival).first().field_arcmin = 0.005  # type: ignore[union-attr]
    database.close()


def test_0007_can_be_taken_back(target_at_0006: str, now: datetime, said: list[str]) -> None:
    open_database(target_at_0006, now, said.append).close()
    on_database(target_at_0006, command.downgrade, "0006")
    engine = make_engine(target_at_0006)
    with writing(engine).begin() as connection:
        connection.execute(text("UPDATE arrivals SET field_arcmin = 20000"))
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0006",)]
        assert connection.execute(text("SELECT focal_mm FROM tubes")).all() == [(480,)]
    engine.dispose()
