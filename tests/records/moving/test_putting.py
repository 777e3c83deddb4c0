"""What is put is there, text for text, and what is emptied is gone."""

from obslog.records.database import Database
from obslog.records.engine import writing
from obslog.records.moving.putting import empty_tables, put_rows
from obslog.records.moving.stored_rows import count_rows, stored_rows, tables_to_move
from obslog.records.tables.schema import metadata

HOSTILE = ["tab\there", "line\nline", "back\\slash", "\\N", '"quoted", and; more', "π × ½ 星"]


def test_any_text_arrives_as_it_was(database: Database) -> None:
    sites = metadata.tables["sites"]
    blank = dict.fromkeys(sites.columns.keys())
    rows = [
        tuple(
            (
                blank
                | {"id": f"01890000-0000-7000-8000-00000000000{number}", "name": f"S{number}"}
                | {"name_key": f"s{number}", "lat_deg": 0.1 + 0.2, "lon_deg": -1.0, "elevation_m": 0.0}
                | {"zone": "UTC", "note": text}
            ).values()
        )
        for number, text in enumerate(HOSTILE)
    ]
    with writing(database.engine).begin() as connection:
        put_rows(connection, sites, rows)
    with database.engine.begin() as connection:
        assert [row for found in stored_rows(connection, sites) for row in found] == rows


def test_all_tables_are_emptied_whatever_refers_to_what(club: Database) -> None:
    with writing(club.engine).begin() as connection:
        assert count_rows(connection, metadata.tables["mounts"]) == 3
        empty_tables(connection, tables_to_move())
        assert not any(count_rows(connection, table) for table in tables_to_move())
