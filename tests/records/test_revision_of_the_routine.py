"""Revision 0014, from a database of the one before: a club's own steps, tasks, words and terms."""

from datetime import datetime

import pytest
from alembic import command
from sqlalchemy import text

from obslog.errors import ObslogError
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.lending import LoanPart
from obslog.records.tables.logbook_tables import Snag, Tick
from tests.records.developers import fill_at_revision, on_database

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
AT = "2026-02-01T20:00:00.000000Z"
BEFORE = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'mount', 'Heron', 'heron')",
    f"INSERT INTO mounts (id, refraction) VALUES ('{KEY}', {{false}})",
    f"INSERT INTO snags (id, at_utc, step, text, search_text, equipment_id) "
    f"VALUES ('{KEY}', '{AT}', 'level', 'a leg sank', 'a leg sank', '{KEY}')",
    f"INSERT INTO ticks (id, at_utc, step, mount_id) VALUES ('{KEY}', '{AT}', 'power', '{KEY}')",
    f"INSERT INTO members (id, name, name_key) VALUES ('{KEY}', 'Ines', 'ines')",
    f"INSERT INTO loans (id, member_id, out_on, due_on, equipment_id) "
    f"VALUES ('{KEY}', '{KEY}', '2026-02-01', '2026-03-01', '{KEY}')",
    f"INSERT INTO loan_parts (id, loan_id, label, equipment_id, condition_out) "
    f"VALUES ('{KEY}', '{KEY}', 'Heron', '{KEY}', 'worn')",
)
THE_SAME_OUT_TWICE = (
    "INSERT INTO loan_parts (id, loan_id, label, equipment_id) "
    f"VALUES ('{KEY[:-1]}0', '{KEY}', 'Heron again', '{KEY}')"
)
OWN = (
    "UPDATE snags SET step = 'dew-heaters'",
    "UPDATE ticks SET step = 'dew-heaters'",
    "UPDATE loan_parts SET word_out = 'scuffed'",
)
REFUSED = (
    "UPDATE snags SET step = ''",
    f"UPDATE ticks SET step = '{'x' * 41}'",
    f"UPDATE loan_parts SET word_in = '{'x' * 41}'",
    f"INSERT INTO condition_words (id, place, word, means) VALUES ('{KEY}', 1, 'scuffed', 'so so')",
    f"INSERT INTO club_tasks (id, place, task_of, task, what_to_do) VALUES ('{KEY}', 1, 'tent', 'air', 'Air it.')",
    f"INSERT INTO loan_terms (id, place) VALUES ('{KEY}', 2)",
    THE_SAME_OUT_TWICE,
)


@pytest.fixture
def target_before(new_target: str) -> str:
    """A database of the revision before with a snag, a tick and a loan."""
    fill_at_revision(new_target, "0011", BEFORE)
    return new_target


def test_0014_takes_steps_and_words_of_a_clubs_own(
    target_before: str, now: datetime, said: list[str]
) -> None:
    database = open_database(target_before, now, said.append)
    with database.read() as session:
        assert [(snag.step, snag.text) for snag in session.query(Snag)] == [("level", "a leg sank")]
        assert [tick.step for tick in session.query(Tick)] == ["power"]
        part = session.query(LoanPart).one()
        assert (part.condition_out, part.word_out, part.word_in) == ("worn", None, None)
    for statement in OWN:
        with database.write(now) as session:
            session.execute(text(statement))
    for wrong in REFUSED:
        with pytest.raises(ObslogError), database.write(now) as session:
            session.execute(text(wrong))
    database.close()


def test_0014_can_be_taken_back(target_before: str, now: datetime, said: list[str]) -> None:
    database = open_database(target_before, now, said.append)
    for statement in OWN:
        with database.write(now) as session:
            session.execute(text(statement))
    database.close()
    on_database(target_before, command.downgrade, "0011")
    engine = make_engine(target_before)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [("0011",)]
        assert connection.execute(text("SELECT step, text FROM snags")).all() == [("assemble", "a leg sank")]
        assert connection.execute(text("SELECT step FROM ticks")).all() == [("assemble",)]
        assert connection.execute(text("SELECT condition_out FROM loan_parts")).all() == [("worn",)]
    with pytest.raises(Exception, match=r"(?i)unique"), writing(engine).begin() as connection:
        connection.execute(text(THE_SAME_OUT_TWICE))
    engine.dispose()
