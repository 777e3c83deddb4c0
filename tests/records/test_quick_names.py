"""The names on record as a shell reads them."""

from datetime import datetime

from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.quick_names import names_on_record


def test_the_names_of_the_kinds_asked_for_in_order(sqlite_database: Database, now: datetime) -> None:
    for kind, name in (("member", "ines"), ("member", "Bram"), ("item", "Case"), ("site", "Tarn")):
        values = {"lat_deg": 54.0, "lon_deg": -3.0, "zone": "Europe/London"} if kind == "site" else {}
        named_records.add(sqlite_database, kind, name, dict(values), now)
    path = sqlite_database.engine.url.database
    assert path is not None
    assert names_on_record(path, ["member"]) == ["Bram", "ines"]
    assert names_on_record(path, ["item", "site", "kit"]) == ["Case", "Tarn"]
    assert names_on_record(path, ["mount"]) == []


def test_a_server_or_nothing_at_all_has_none() -> None:
    assert names_on_record("postgresql+psycopg://nobody@localhost/club", ["member"]) == []
    assert names_on_record("/no/such/folder/club.db", ["member"]) == []
