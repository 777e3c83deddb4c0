"""Each revision, from a database of the revision before: what was on record stays, and the new can be written."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime

import pytest
from sqlalchemy import Connection, text
from sqlalchemy.exc import IntegrityError

from obslog.errors import ObslogError
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.lending import Kit, Loan
from obslog.records.tables.logbook_tables import Member, Mount, Observation, Site, Tick
from obslog.records.upgrading import upgrade
from obslog.vocabulary import Sighting, Step

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
    from alembic import command

    from tests.records.tables.test_schema import alembic_config

    open_database(target_at_0001, now, said.append).close()
    engine, config = make_engine(target_at_0001), alembic_config()
    with writing(engine).begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0001")
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
    from alembic import command

    from tests.records.tables.test_schema import alembic_config

    open_database(target_at_0001, now, said.append).close()
    engine, config = make_engine(target_at_0001), alembic_config()
    with writing(engine).begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0002")
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
        days = {"out_on": date(2026, 2, 1), "due_on": date(2026, 3, 1)}
        session.add(Loan(member_id=member.id, kit_id=kit.id, **days))
        session.flush()
        session.add(Loan(member_id=member.id, kit_id=kit.id, **days))
        with pytest.raises(IntegrityError, match=r"loans\.kit_id|ix_loans_kit_id"):
            session.flush()
        session.rollback()
    database.close()


def test_0004_can_be_taken_back(target_at_0003: str, now: datetime, said: list[str]) -> None:
    from alembic import command

    from tests.records.tables.test_schema import alembic_config

    open_database(target_at_0003, now, said.append).close()
    engine, config = make_engine(target_at_0003), alembic_config()
    with writing(engine).begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0003")
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0003",)]
        assert connection.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
    engine.dispose()


@contextmanager
def _references_off(connection: Connection) -> Iterator[None]:
    """A table that others refer to is rebuilt; SQLite's pragma would do nothing inside the transaction."""
    raw = connection.connection.driver_connection if connection.dialect.name == "sqlite" else None
    if raw is not None:
        raw.execute("PRAGMA foreign_keys=OFF").close()
    yield


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
    from alembic import command

    from tests.records.tables.test_schema import alembic_config

    open_database(target_at_0004, now, said.append).close()
    engine, config = make_engine(target_at_0004), alembic_config()
    with writing(engine).connect() as connection, _references_off(connection), connection.begin():
        config.attributes["connection"] = connection
        command.downgrade(config, "0004")
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0004",)]
        assert connection.execute(text("SELECT name FROM sites")).all() == [("Mill Field",)]
        assert connection.execute(text("SELECT target FROM observations")).all() == [("M 13",)]
    engine.dispose()
