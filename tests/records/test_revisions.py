"""Each revision, from a database of the revision before: what was on record stays, and the new can be written."""

from datetime import datetime

import pytest
from sqlalchemy import text

from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables import Mount, Tick
from obslog.records.upgrading import upgrade
from obslog.vocabulary import Step

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
A_MOUNT_AND_ITS_SNAG = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'mount', 'Juniper', 'juniper')",
    f"INSERT INTO mounts (id, refraction) VALUES ('{KEY}', {{false}})",
    f"INSERT INTO snags (id, at_utc, step, text, equipment_id) VALUES "
    f"('{KEY}', '2026-02-01T20:00:00.000000Z', 'level', 'a leg sank', '{KEY}')",
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
        assert mount.name == "Juniper"
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

    from tests.records.test_schema import alembic_config

    open_database(target_at_0001, now, said.append).close()
    engine, config = make_engine(target_at_0001), alembic_config()
    with writing(engine).begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "0001")
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0001",)]
        assert connection.execute(text("SELECT text FROM snags")).all() == [("a leg sank",)]
    engine.dispose()
