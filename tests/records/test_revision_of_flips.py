"""Revision 0010, from a database of the one before: no controller, binoculars, flips, undoings that are settled."""

from datetime import datetime

import pytest
from alembic import command
from sqlalchemy import text

from obslog.errors import ObslogError
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Act, Mount, Observation, Setup
from obslog.vocabulary.mounts import Controller
from obslog.vocabulary.observations import FindingMethod
from tests.records.developers import fill_at_revision, on_database

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
AT_0009 = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'mount', 'Heron', 'heron')",
    f"INSERT INTO mounts (id, controller, refraction) VALUES ('{KEY}', 'shift', {{false}})",
    f"INSERT INTO sites (id, name, name_key) VALUES ('{KEY}', 'Mill Field', 'mill field')",
    f"INSERT INTO nights (id, site_id, night_of, open) VALUES ('{KEY}', '{KEY}', '2026-02-01', {{false}})",
    f"INSERT INTO setups (id, night_id, mount_id, ordinal, open, note, search_text) "
    f"VALUES ('{KEY}', '{KEY}', '{KEY}', 1, {{false}}, 'DEW', 'dew')",
    f"INSERT INTO observations (id, night_id, at_utc, target, sighting, found_by, search_text) "
    f"VALUES ('{KEY}', '{KEY}', '2026-02-01T20:00:00.000000Z', 'M 13', 'seen', 'naked eye', 'm 13')",
    f"INSERT INTO acts (id, at_utc, sentence, undone_utc) VALUES "
    f"('{KEY}', '2026-02-01T20:00:00.000000Z', 'saw M 13', '2026-02-01T20:01:00.000000Z')",
)
WORDS_OF_0010 = (
    "UPDATE mounts SET controller = 'none'",
    "UPDATE observations SET found_by = 'binoculars'",
    "UPDATE setups SET pier_side = 'west', pier_side_since_utc = '2026-02-01T20:00:00.000000Z'",
)
REFUSED_AT_0010 = (
    "UPDATE mounts SET controller = 'good'",
    "UPDATE observations SET found_by = 'luck'",
    "UPDATE setups SET pier_side = 'up', pier_side_since_utc = '2026-02-01T20:00:00.000000Z'",
    "UPDATE setups SET pier_side = 'west', pier_side_since_utc = NULL",
)


@pytest.fixture
def target_at_0009(new_target: str) -> str:
    """A database of revision 0009 with a mount, its set-up, an observation, and an act that was undone."""
    fill_at_revision(new_target, "0009", AT_0009)
    return new_target


def test_0010_takes_mounts_without_a_controller_binoculars_and_flips(
    target_at_0009: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_at_0009, now, said.append)
    with database.read() as session:
        assert session.query(Mount).one().controller == Controller.SHIFT
        assert session.query(Observation).one().found_by == FindingMethod.NAKED_EYE
        setup = session.query(Setup).one()
        assert (setup.note, setup.pier_side, setup.pier_side_since_utc) == ("DEW", None, None)
        act = session.query(Act).filter(Act.sentence == "saw M 13").one()
        assert act.undone_utc is not None
    for statement in WORDS_OF_0010:
        with database.write(now) as session:
            session.execute(text(statement.replace(":", r"\:")))
    for wrong in REFUSED_AT_0010:
        with pytest.raises(ObslogError), database.write(now) as session:
            session.execute(text(wrong.replace(":", r"\:")))
    database.close()


def test_0010_can_be_taken_back(target_at_0009: str, now: datetime, said: list[str]) -> None:
    database = open_database(target_at_0009, now, said.append)
    for statement in WORDS_OF_0010:
        with database.write(now) as session:
            session.execute(text(statement.replace(":", r"\:")))
    database.close()
    on_database(target_at_0009, command.downgrade, "0009")
    engine = make_engine(target_at_0009)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0009",)]
        assert connection.execute(text("SELECT controller FROM mounts")).all() == [(None,)]
        assert connection.execute(text("SELECT found_by FROM observations")).all() == [("other",)]
        assert connection.execute(text("SELECT note FROM setups")).all() == [("DEW",)]
        assert connection.execute(text("SELECT sentence FROM acts")).all() == [("saw M 13",)]
    engine.dispose()
