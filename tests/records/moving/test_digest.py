"""Two tables have the same digest where they hold the same, and only there."""

from sqlalchemy import text

from obslog.records.database import Database
from obslog.records.engine import make_engine, writing
from obslog.records.moving.digest import Digesting, TableDigest, digest_of
from obslog.records.tables.schema import metadata
from tests.written_once import Rows, put_rows

SITES = metadata.tables["sites"]


def digested(*rows: tuple[object, ...]) -> TableDigest:
    digesting = Digesting()
    digesting.take(rows)
    return digesting.digest()


def test_both_databases_give_the_same_for_the_same_rows(
    club: Database, club_rows: Rows, sqlite_database: Database
) -> None:
    put_rows(sqlite_database.engine, club_rows)
    for table in metadata.sorted_tables:
        if "id" not in table.columns:
            continue
        with club.engine.begin() as one, sqlite_database.engine.begin() as other:
            assert digest_of(one, table) == digest_of(other, table), table.name


def test_a_value_a_kind_or_an_order_that_differs_makes_another() -> None:
    rows = (("a", 1, None), ("b", 2.5, "x"))
    others = [
        (("a", 1, None), ("b", 2.5, "y")),
        (("a", 1.0, None), ("b", 2.5, "x")),
        (("a", 1, ""), ("b", 2.5, "x")),
        (("b", 2.5, "x"), ("a", 1, None)),
        (("a", 1, None),),
    ]
    assert digested(*rows) == digested(*rows)
    assert digested(*rows) not in [digested(*other) for other in others]


def test_batches_do_not_count() -> None:
    digesting = Digesting()
    digesting.take([("a",)])
    digesting.take([("b",), ("c",)])
    assert digesting.digest() == digested(("a",), ("b",), ("c",))


def test_one_changed_letter_is_seen(club: Database) -> None:
    with writing(club.engine).begin() as connection:
        before = digest_of(connection, SITES)
        connection.execute(text("UPDATE sites SET note = 'x' WHERE name = 'Mill Field'"))
        assert digest_of(connection, SITES) != before
        assert digest_of(connection, SITES).rows == before.rows == 2


def test_nothing_is_something(sqlite_path: str) -> None:
    engine = make_engine(str(sqlite_path))
    with engine.begin() as connection:
        assert digest_of(connection, SITES).rows == 0
    engine.dispose()
