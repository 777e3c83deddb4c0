"""However a text comes on record, it can be found, and `db check` would say where one cannot."""

import io
import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import insert, text

from obslog.club.finding import find_text
from obslog.club.register.undo import undo
from obslog.errors import ObslogError
from obslog.records.bulk_insert import insert_rows, update_rows
from obslog.records.care.damage import complaints
from obslog.records.database import Database
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Act, Change, Night, Service, Setup, Snag
from obslog.records.tables.schema import metadata
from obslog.records.tables.search_text import SEARCHED
from obslog.records.upgrading import upgrade
from tests.cli.program import Program
from tests.records.test_revisions import KEY

WORD = "gritstone"
PAPER = f"""Mill Field
2026-03-01


{WORD} cold
Heron



20:10
20:31 sync Regulus 12E 9S
21:05 saw M 81; {WORD} glow

yes
"""
SHEET = (
    "night,site,mount,utc,role,target,note\n"
    f"2026-02-20,Mill Field,Heron,2026-02-20T20:00:00Z,sync,Vega,{WORD}\n"
)


def found(database: Database) -> list[str]:
    return [hit.kind for hit in find_text(database, WORD)]


@pytest.fixture
def outdoors(capsys: pytest.CaptureFixture[str], club_file: Path, tmp_path: Path, now: datetime) -> Program:
    path = Path(shutil.copy(club_file, tmp_path / "outdoors.db"))
    return Program(capsys, {"OBSLOG_DB": str(path)}, now)


def test_by_every_command(outdoors: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text(SHEET, encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(PAPER))

    def kinds() -> list[str]:
        return sorted(hit["kind"] for hit in outdoors.document("find", WORD))

    kept: list[str] = []
    for words, kind in (
        (["import", "arrivals", str(sheet)], "arrival"),
        (["night", "type-up"], "night observation"),
        (["night", "start", "Mill Field", "--note", f"{WORD} road"], "night"),
        (["setup", "start", "Heron", "--tube", "Long tube", "--note", f"on {WORD}"], "set-up"),
        (["sync", "Regulus", "12E", "5N", "--note", WORD], "arrival"),
        (["check", "Procyon", "3E", "4N", "--note", WORD], "arrival"),
        (["goto", "M 81", "in", "--note", WORD], "arrival"),
        (["saw", "M 82", "--note", f"like {WORD}"], "observation"),
        (["snag", "add", "level", f"a leg on {WORD}"], "snag"),
        (["service", "add", "Heron", f"brushed the {WORD} off", "--mechanical"], "service"),
    ):
        outdoors.must(*words)
        kept = sorted([*kept, *kind.split()])
        assert kinds() == kept, words
    for edit, kind in (
        (["setup", "edit", "--note", "on sandstone"], "set-up"),
        (["night", "note", "--note", "sandstone road"], "night"),
        (["observation", "edit", "1", "--note", "like sandstone"], "observation"),
    ):
        assert kind not in [hit["kind"] for hit in outdoors.document("find", "sandstone")]
        outdoors.must(*edit)
        assert kind in [hit["kind"] for hit in outdoors.document("find", "sandstone")]
        outdoors.must("undo")
        assert outdoors.document("find", "sandstone") == []
        assert kinds() == kept
    assert outdoors.document("db", "check")["complaints"] == []


def test_by_the_demo(tmp_path: Path) -> None:
    from seed_demo.load import fill

    database = open_database(str(tmp_path / "demo.db"), datetime(2026, 11, 1, 12, tzinfo=UTC), lambda _: None)
    fill(database, date(2026, 10, 31), datetime(2026, 11, 1, 12, tzinfo=UTC), lambda _: None)
    assert complaints(database.engine) == []
    with database.read() as session:
        noted = {night.note for night in session.query(Night) if night.note}
        assert len(noted) > 3
    for note in noted:
        assert note in {hit.text for hit in find_text(database, note, most=10**6)}
    database.close()


def test_by_rows_put_in_or_changed_at_once(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        night = session.query(Night).one()
        table, columns = metadata.tables["nights"], ("id", "site_id", "night_of", "open", "note")
        rows = [
            (new_key(), night.site_id, date(2026, 1, 1), False, f"{WORD} a"),
            (new_key(), night.site_id, date(2026, 1, 2), False, None),
            (new_key(), night.site_id, date(2026, 1, 3), False, ""),
        ]
        insert_rows(session, table, columns, rows)
        update_rows(session, Setup, [{"id": session.query(Setup).one().id, "note": f"{WORD} b"}])
        update_rows(session, Snag, [{"id": session.query(Snag).one().id, "fixed_utc": now}])
    assert sorted(found(full_database)) == ["night", "set-up"]
    assert complaints(full_database.engine) == []


def test_rows_changed_at_once_must_have_all_that_is_searched(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session, pytest.raises(KeyError, match="remedy"):
        update_rows(session, Snag, [{"id": session.query(Snag).one().id, "text": "a leg sank"}])


def test_a_text_without_its_search_text_is_refused(full_database: Database, now: datetime) -> None:
    for statement in (
        "UPDATE nights SET note = 'windy'",
        "UPDATE services SET search_text = NULL",
        "UPDATE arrivals SET search_text = 'nothing said'",
    ):
        with pytest.raises(ObslogError), full_database.write(now) as session:
            session.execute(text(statement))


def test_a_record_put_back_by_undo_can_be_found_though_its_search_text_was_not_kept(
    full_database: Database, now: datetime
) -> None:
    with full_database.write(now) as session:
        service = session.query(Service).one()
        key, image = new_key(), {"text": f"{WORD} off", "done_on": "2026-02-01", "mechanical": 0}
        image |= {"id": str(key), "equipment_id": str(service.equipment_id), "member_id": None}
        act = new_key()  # as it was noted before there were search texts
        session.execute(insert(Act).values(id=act, at_utc=now, sentence="remove a service"))
        change = {"id": new_key(), "act_id": act, "record_kind": "Service", "record_id": key}
        session.execute(insert(Change).values(**change, before=json.dumps(image)))
    assert undo(full_database, now) == "remove a service"
    assert found(full_database) == ["service"]
    assert complaints(full_database.engine) == []


def test_the_check_names_what_cannot_be_found(full_database: Database) -> None:
    with writing(full_database.engine).begin() as connection:
        key = connection.execute(text("SELECT id FROM services")).scalar_one()
        connection.execute(text("UPDATE services SET search_text = 'oiled'"))
    told = f"1 row of services cannot be found by the words in them, the first with key {key}"
    assert complaints(full_database.engine) == [told]


@pytest.fixture
def target_at_0007(new_target: str) -> str:
    """A database of revision 0007 with notes that lack their search text, or have that of an older note."""
    engine = make_engine(new_target)
    upgrade(engine, revision="0007")
    false = "0" if engine.dialect.name == "sqlite" else "false"
    site = f"INSERT INTO sites (id, name, name_key) VALUES ('{KEY}', 'Mill Field', 'mill field')"
    with writing(engine).begin() as connection:
        connection.execute(text(site))
        for digit, note, kept in (
            ("1", "'GRITSTONE'", "NULL"),
            ("2", "'fog'", "'gritstone'"),
            ("3", "NULL", "'gritstone'"),
            ("4", "''", "NULL"),
        ):
            values = f"'{KEY[:-1]}{digit}', '{KEY}', '2026-02-0{digit}', {false}, {note}, {kept}"
            connection.execute(
                text(f"INSERT INTO nights (id, site_id, night_of, open, note, search_text) VALUES ({values})")
            )
    engine.dispose()
    return new_target


def test_the_upgrade_mends_what_was_on_record(target_at_0007: str, now: datetime) -> None:
    database = open_database(target_at_0007, now, lambda _: None)
    assert [(hit.kind, hit.day) for hit in find_text(database, WORD)] == [("night", date(2026, 2, 1))]
    assert complaints(database.engine) == []
    database.close()


def test_every_searched_table_has_the_check_of_its_own_columns() -> None:
    for name, columns in SEARCHED.items():
        rules = {
            str(rule.name): str(getattr(rule, "sqltext", "")) for rule in metadata.tables[name].constraints
        }
        rule = rules[f"ck_{name}_search_text_kept"]
        assert [
            word
            for word in rule.replace("(", " ").replace(")", " ").replace(",", " ").split()
            if word in columns
        ] == [*columns]


def test_a_file_written_by_another_tool_is_checked_too(sqlite_database: Database) -> None:
    with closing(sqlite3.connect(sqlite_database.where)) as other:
        other.execute("PRAGMA ignore_check_constraints=ON")
        other.execute("PRAGMA foreign_keys=OFF")
        other.execute("INSERT INTO sites (id, name, name_key) VALUES ('1', 'A', 'a')")
        other.execute(
            "INSERT INTO nights (id, site_id, night_of, open, note) VALUES ('1', '1', '2026-03-02', 0, 'fog')"
        )
        other.commit()
    assert complaints(sqlite_database.engine)
