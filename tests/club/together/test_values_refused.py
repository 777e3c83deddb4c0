"""Values that nobody could have typed, and what a newer version tells: refused as a whole, or kept for it."""

from datetime import datetime
from io import BytesIO
from pathlib import Path

import pytest
from sqlalchemy import func, select

from obslog.club.night.open_night import SetupChoice
from obslog.club.register.named_records import add, edit
from obslog.club.together.merging import NewerValue, merge_bundles
from obslog.exchange.bundles.entries import BatchEntry, ChangeEntry, Entry
from obslog.exchange.bundles.manifest import Facts
from obslog.exchange.bundles.reading import read_bundle
from obslog.exchange.bundles.writing import write_bundle
from obslog.records.bundles.telling import Choice, tell
from obslog.records.database import Database
from obslog.records.merging.checks import ValueRefused
from obslog.records.tables.logbook import Act
from obslog.records.upgrading import SCHEMA_REVISION
from tests.club.together.conftest import named, rows

HERON = SetupChoice(mount="Heron")


def counted(database: Database, kind: type) -> int:
    with database.read() as session:
        return session.scalar(select(func.count()).select_from(kind)) or 0


def told(database: Database) -> list[Entry]:
    with database.read() as session:
        return list(tell(session, Choice(with_private=True)))


def bundle_file(path: Path, entries: list[Entry], now: datetime, schema: str = SCHEMA_REVISION) -> Path:
    stream = BytesIO()
    origin = "00000000-0000-7000-8000-000000000001"
    write_bundle(stream, Facts(schema=schema, origin=origin, written_utc=now), entries)
    path.write_bytes(stream.getvalue())
    return path


def _with(entries: list[Entry], **changed: object) -> list[Entry]:
    """The entries, in the last of which the image says something else."""
    import msgspec

    last = max((one for one in entries if isinstance(one, ChangeEntry)), key=lambda one: (one.act_id, one.id))
    other = msgspec.structs.replace(last, after={**(last.after or {}), **changed})
    return [other if one is last else one for one in entries]


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("lat_deg", 91.0, "lat deg 91.0 is not between -90 and 90"),
        ("lat_deg", "north", "lat deg 'north' is of another type"),
        ("zone", "Mars/Olympus", "There is no time zone named 'Mars/Olympus'"),
        ("horizon", "here and there", "horizon"),
        ("name", "", "The name has 1 to 200 characters"),
        ("name", "x" * 201, "The name has 1 to 200 characters"),
        ("name", "a\x1bb", "no control characters"),
        ("retired_on", "yesterday", "is no day"),
    ],
)
def test_a_value_that_nobody_could_have_typed_refuses_the_whole_bundle(
    here: Database,
    there: Database,
    now: datetime,
    later: datetime,
    tmp_path: Path,
    field: str,
    value: object,
    said: str,
) -> None:
    add(there, "member", "Anna", {}, now)
    add(there, "site", "Hut", {"lat_deg": 51.0, "lon_deg": 1.0, "zone": "Europe/London"}, now)
    path = bundle_file(tmp_path / "wrong.bundle", _with(told(there), **{field: value}), now)
    before = rows(here), counted(here, Act)
    with pytest.raises(ValueRefused) as refused:
        merge_bundles(here, [path], later)
    assert said in refused.value.message or said.split(" has")[0].lower() in refused.value.message.lower()
    assert refused.value.message.startswith("Site ")
    assert (rows(here), counted(here, Act)) == before


def test_what_a_newer_program_told_is_kept_and_handed_on(
    here: Database, there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    add(there, "site", "Hut", {"lat_deg": 51.0, "lon_deg": 1.0, "zone": "Europe/London"}, now)
    entries = _with(told(there), darkness=3)
    act_id = max(one.act_id for one in entries if isinstance(one, ChangeEntry))
    entries.append(
        BatchEntry(
            id="019ca000-0000-7000-8000-000000000001",
            act_id=act_id,
            record_kind="Moon",
            what="added",
            columns=("id", "phase"),
            ids=["019ca000-0000-7000-8000-000000000002"],
            rows=[["019ca000-0000-7000-8000-000000000002", 0.5]],
        )
    )
    merge_bundles(here, [bundle_file(tmp_path / "newer.bundle", entries, now)], later)
    assert "Hut" in named(here, "sites")
    again = bundle_file(tmp_path / "again.bundle", told(here), now)
    with again.open("rb") as stream:
        handed_on = list(read_bundle(stream, later).entries)
    images = [one.after for one in handed_on if isinstance(one, ChangeEntry) and one.act_id == act_id]
    assert [image and image.get("darkness") for image in images] == [3]
    assert [
        one.rows[0][1] for one in handed_on if isinstance(one, BatchEntry) and one.record_kind == "Moon"
    ] == [0.5]


def test_of_a_value_that_a_newer_version_knows_it_is_said_to_update(
    here: Database, there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    edit(there, "site", "Mill Field", {"note": "by the lane"}, now)
    bundle = bundle_file(tmp_path / "bundle", _with(told(there), zone="Mars/Olympus"), later, "9999")
    with pytest.raises(NewerValue, match="no time zone named 'Mars/Olympus'") as refused:
        merge_bundles(here, [bundle], later)
    assert refused.value.hint == (
        "A newer version wrote that. Nothing was taken in: update the program here, then merge it again."
    )
