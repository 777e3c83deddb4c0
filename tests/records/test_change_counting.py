"""The database counts what changes of each mount's nights, whoever writes and however."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from sqlalchemy import Connection, inspect, select, text

from obslog.records.change_counting import COUNTED, start_counting, stop_counting
from obslog.records.database import Database
from obslog.records.engine import writing
from obslog.records.name_lookup import by_name
from obslog.records.tables.kept import mount_changes
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Service, Setup, Site, SkyReading, Tube
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.sky_scales import SkyScale

EVENING = datetime(2026, 2, 3, 20, tzinfo=UTC)


@pytest.fixture
def two(club: Database, now: datetime) -> Database:
    """Heron with the long tube and Bracken, both set up on one night, each with an arrival; a night without set-ups."""
    with club.write(now) as session:
        site = by_name(session, Site, "Mill Field")
        tube = by_name(session, Tube, "Long tube")
        night = Night(site_id=site.id, night_of=date(2026, 2, 3))
        session.add_all([night, Night(site_id=site.id, night_of=date(2026, 2, 4))])
        session.flush()
        for name, used in (("Heron", tube), ("Bracken", None)):
            mount = by_name(session, Mount, name)
            setup = Setup(night_id=night.id, mount_id=mount.id, tube_id=used.id if used else None)
            session.add(setup)
            session.flush()
            star = "Vega" if used else "Rigel"
            session.add(Arrival(setup_id=setup.id, at_utc=EVENING, role=Role.SYNC, target=star))
    return club


def counts(database: Database) -> dict[str, int]:
    """The count of each mount, by name."""
    with database.read() as session:
        query = select(Mount.name, mount_changes.c.changes).join(
            mount_changes, mount_changes.c.mount_id == Mount.id
        )
        return {name: changes for name, changes in session.execute(query)}  # noqa: C416


def counted(database: Database, write: Callable[[Connection], object]) -> set[str]:
    """The mounts whose counts rose by what was written, past all acts, by SQL alone."""
    before = counts(database)
    with writing(database.engine).begin() as connection:
        write(connection)
    after = counts(database)
    assert all(after[name] >= before[name] for name in before)
    return {name for name in before if after[name] > before[name]}


HERON = "(SELECT id FROM equipment WHERE name = 'Heron')"
OF_HERON = f"(SELECT id FROM setups WHERE mount_id = {HERON})"
TUBE = "(SELECT id FROM equipment WHERE name = 'Long tube')"


@pytest.mark.parametrize(
    ("statement", "mounts"),
    [
        (f"UPDATE arrivals SET landing = 'in', field_arcmin = 60 WHERE setup_id = {OF_HERON}", {"Heron"}),
        (f"UPDATE arrivals SET sheet_line = 7 WHERE setup_id = {OF_HERON}", {"Heron"}),
        (f"DELETE FROM arrivals WHERE setup_id = {OF_HERON}", {"Heron"}),
        (f"UPDATE setups SET ordinal = 2 WHERE id = {OF_HERON}", {"Heron"}),
        (f"UPDATE setups SET tube_id = NULL WHERE id = {OF_HERON}", {"Heron"}),
        (f"UPDATE arrivals SET setup_id = {OF_HERON} WHERE target = 'Rigel'", {"Heron", "Bracken"}),
        ("UPDATE nights SET night_of = '2026-02-05' WHERE night_of = '2026-02-03'", {"Heron", "Bracken"}),
        ("UPDATE sites SET lat_deg = 51.5", {"Heron", "Bracken"}),
        ("UPDATE sites SET name = 'Other field' WHERE name = 'Mill Field'", {"Heron", "Bracken"}),
        ("UPDATE equipment SET name = 'Long one' WHERE name = 'Long tube'", {"Heron"}),
        (f"UPDATE mounts SET controller = 'model' WHERE id = {HERON}", {"Heron"}),
        # what nothing is computed from
        ("UPDATE nights SET night_of = '2026-02-06' WHERE night_of = '2026-02-04'", set()),
        (f"UPDATE setups SET open = {{false}} WHERE id = {OF_HERON}", set()),
        ("UPDATE nights SET ended_utc = NULL", set()),
        ("UPDATE sites SET zone = 'UTC'", set()),
    ],
)  # fmt: skip
def test_what_is_written_by_sql_is_counted(two: Database, statement: str, mounts: set[str]) -> None:
    told = statement.replace("{false}", "FALSE" if two.engine.name == "postgresql" else "0")
    assert counted(two, lambda connection: connection.execute(text(told))) == mounts


def test_a_mount_that_is_renamed_is_counted_under_its_key(two: Database) -> None:
    before = counts(two)["Heron"]
    with writing(two.engine).begin() as connection:
        connection.execute(text("UPDATE equipment SET name = 'Egret' WHERE name = 'Heron'"))
    assert counts(two)["Egret"] > before


def test_what_comes_and_goes_is_counted(two: Database, now: datetime) -> None:
    with two.read() as session:
        (night,) = session.scalars(select(Night.id).where(Night.night_of == date(2026, 2, 3)))
        heron, tube = by_name(session, Mount, "Heron").id, by_name(session, Tube, "Long tube").id
    for record, mounts in (
        (SkyReading(night_id=night, scale=SkyScale.TEMPERATURE_C, value=-3.0), {"Heron", "Bracken"}),
        (SkyReading(night_id=night, scale=SkyScale.ANTONIADI, value=2.0), set()),
        (Service(equipment_id=heron, done_on=date(2026, 2, 4), text="new worm", mechanical=True), {"Heron"}),
        (Service(equipment_id=tube, done_on=date(2026, 2, 4), text="new rings", mechanical=True), {"Heron"}),
        (Service(equipment_id=heron, done_on=date(2026, 2, 4), text="wiped", mechanical=False), set()),
        (Setup(night_id=night, mount_id=heron, ordinal=3), {"Heron"}),
    ):
        for write in ("add", "delete"):
            before = counts(two)
            with two.write(now) as session:
                getattr(session, write)(record)
            after = counts(two)
            assert {name for name in before if after[name] > before[name]} == mounts, (write, record)


def test_a_transaction_that_is_taken_back_counts_nothing(two: Database) -> None:
    before = counts(two)
    with writing(two.engine).connect() as connection:
        connection.execute(text("DELETE FROM arrivals"))
        connection.rollback()
    assert counts(two) == before


def test_a_new_mount_is_counted_from_the_start(club: Database, now: datetime) -> None:
    with club.write(now) as session:
        session.add(Mount(name="Newt", name_key="newt"))
    assert counts(club)["Newt"] >= 0


def test_a_mount_that_is_put_back_goes_on_counting(club: Database) -> None:
    """A result of before it went must not count for what comes after."""
    key = new_key()

    def put(connection: Connection) -> None:
        connection.execute(
            Mount.__mapper__.tables[0].insert().values(id=key, kind="mount", name="Newt", name_key="newt")
        )
        connection.execute(Mount.__mapper__.tables[1].insert().values(id=key, refraction=False))

    def take(connection: Connection) -> None:
        for table in reversed(Mount.__mapper__.tables):
            connection.execute(table.delete().where(table.c.id == key))

    with writing(club.engine).begin() as connection:
        put(connection)
    first = counts(club)["Newt"]
    for write in (take, put):
        with writing(club.engine).begin() as connection:
            write(connection)
    assert counts(club)["Newt"] > first


def test_the_triggers_are_there_and_nowhere_twice(database: Database) -> None:
    def found(connection: Connection) -> list[str]:
        if database.engine.name == "sqlite":
            return list(connection.scalars(text("SELECT name FROM sqlite_master WHERE type = 'trigger'")))
        return list(connection.scalars(text("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")))

    with writing(database.engine).begin() as connection:
        there = sorted(found(connection))
        start_counting(connection)
        assert sorted(found(connection)) == there
        stop_counting(connection)
        assert found(connection) == []
        start_counting(connection)
        assert sorted(found(connection)) == there
    assert all(any(table in name for name in there) for table in COUNTED)


def test_every_column_that_counts_is_on_record(database: Database) -> None:
    columns = {
        table: {column["name"] for column in inspect(database.engine).get_columns(table)} for table in COUNTED
    }
    for table, rule in COUNTED.items():
        assert set(rule.columns.split(", ")) <= columns[table], table


def test_keys_are_those_of_mounts(two: Database) -> None:
    with two.read() as session:
        kept = set(session.scalars(select(mount_changes.c.mount_id)))
        mounts = set(session.scalars(select(Mount.id)))
    assert kept == mounts
    assert all(isinstance(key, UUID) for key in kept)


@pytest.mark.parametrize(
    ("table", "changed", "mounts"),
    [
        ("sites", {"lat_deg": "51.5"}, {"Heron", "Bracken"}),
        ("nights", {"night_of": "date(night_of, '+9 days')"}, {"Heron", "Bracken"}),
        ("arrivals", {"setup_id": OF_HERON}, {"Heron", "Bracken"}),
        ("setups", {"mount_id": HERON, "ordinal": "rowid"}, {"Heron", "Bracken"}),
    ],
)
def test_a_row_that_another_takes_the_place_of_is_counted(
    two: Database, table: str, changed: dict[str, str], mounts: set[str]
) -> None:
    """As programs that show a SQLite file write it: REPLACE takes rows away without a word."""
    if two.engine.name != "sqlite":
        return
    columns = [column["name"] for column in inspect(two.engine).get_columns(table)]
    values = ", ".join(changed.get(column, column) for column in columns)
    replace = f"REPLACE INTO {table} ({', '.join(columns)}) SELECT {values} FROM {table}"
    before = keyed_counts(two)
    with writing(two.engine).begin() as connection:
        names = {key: name for key, name in connection.execute(select(Mount.id, Mount.name))}  # noqa: C416
        connection.execute(text(replace))
    after = keyed_counts(two)
    assert {names[key] for key in before if after[key] > before[key]} == mounts


def test_a_mechanical_service_that_another_takes_the_place_of_is_counted(
    two: Database, now: datetime
) -> None:
    with two.write(now) as session:
        heron = by_name(session, Mount, "Heron").id
        session.add(Service(equipment_id=heron, done_on=date(2026, 2, 4), text="new worm", mechanical=True))
    if two.engine.name == "sqlite":
        columns = "id, equipment_id, done_on, text, search_text"
        replace = f"REPLACE INTO services (mechanical, {columns}) SELECT 0, {columns} FROM services"
        assert counted(two, lambda connection: connection.execute(text(replace))) == {"Heron"}


@pytest.mark.parametrize("table", ["arrivals", "services", "sky_readings"])
def test_a_table_that_is_emptied_at_once_is_counted(two: Database, table: str) -> None:
    """On PostgreSQL TRUNCATE tells of no row; SQLite has but DELETE."""
    if two.engine.name == "postgresql":
        emptied = text(f"TRUNCATE {table} CASCADE")
        assert counted(two, lambda connection: connection.execute(emptied)) == {"Heron", "Bracken", "Thistle"}


def test_rows_are_counted_whatever_path_a_restoring_program_sets(two: Database) -> None:
    """A copy of the rows alone, as pg_dump --data-only writes it, begins with an empty search path."""
    if two.engine.name == "postgresql":

        def restore(connection: Connection) -> None:
            connection.execute(text("SET LOCAL search_path = ''"))
            connection.execute(text("UPDATE public.arrivals SET sheet_line = 7 WHERE target = 'Vega'"))

        assert counted(two, restore) == {"Heron"}


def test_what_was_written_while_nobody_counted_is_a_change_of_every_mount(two: Database) -> None:
    """As a later revision may: while it runs the triggers are gone."""

    def upgrade(connection: Connection) -> None:
        stop_counting(connection)
        connection.execute(text("UPDATE arrivals SET sheet_line = 7"))
        start_counting(connection)

    assert counted(two, upgrade) == {"Heron", "Bracken", "Thistle"}


def keyed_counts(database: Database) -> dict[UUID, int]:
    with database.engine.connect() as connection:
        return {row.mount_id: row.changes for row in connection.execute(select(mount_changes))}
