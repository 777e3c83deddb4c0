"""Bundles of people who mean it badly: refused in a sentence, or taken in as what they say; never half."""

import os
import random
import shutil
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import msgspec
import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.storeroom.loans import lend
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.merging import merge_bundles
from obslog.errors import ObslogError
from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry, Image, Value
from obslog.exchange.bundles.manifest import Facts
from obslog.exchange.bundles.writing import write_bundle
from obslog.records.bundles.telling import Choice, tell
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.tables.keys import new_keys_as_text
from tests.records.merging.whole_log import Whole, entries_of_all, rows_now

ORIGIN = "00000000-0000-7000-8000-000000000001"
JUNK: list[Any] = [
    None, "", " ", "x" * 5000, 0, -1, 1, 2**40, 1e308, -1e308, True, "2026-03-02", "2026-02-30", "\u202eabc", "a\tb",
    "2026-03-02T20:00:00.000000Z", "9999-12-31", "0001-01-01", "mount", "Mars/Olympus", "../../x",
    "'; DROP TABLE acts; --",
]  # fmt: skip
FEW, MANY = 40, int(os.environ.get("OBSLOG_BAD_BUNDLES", "300"))


def badly(entries: list[Entry], chance: random.Random) -> list[Entry]:
    """The entries with some of them changed to whatever comes to mind."""
    changed = list(entries)
    ids = [one.record_id for one in entries if isinstance(one, ChangeEntry)]
    for _ in range(chance.randint(1, 6)):
        place = chance.randrange(len(changed))
        entry = changed[place]
        if isinstance(entry, ChangeEntry):
            changed[place] = _bad_change(entry, ids, chance)
        elif isinstance(entry, ActEntry):
            before = [one.id for one in entries if isinstance(one, ActEntry) and one.id < entry.id]
            changed[place] = msgspec.structs.replace(entry, undoes_id=chance.choice([None, *before]))
    if chance.random() < 0.5:
        act = chance.choice([one.id for one in entries if isinstance(one, ActEntry)])
        changed += _more(act, ids, chance)
    chance.shuffle(changed)
    return changed


def _bad_change(entry: ChangeEntry, ids: list[str], chance: random.Random) -> ChangeEntry:
    what = chance.randrange(7)
    image = dict(entry.after or entry.before or {})
    name = chance.choice(list(image) or ["id"])
    if what == 0:
        return msgspec.structs.replace(entry, after={**image, name: chance.choice(JUNK)})
    if what == 1:
        return msgspec.structs.replace(entry, before={**image, name: chance.choice(JUNK)})
    if what == 2:
        image.pop(name, None)
        return msgspec.structs.replace(entry, after=image)
    if what == 3:
        return msgspec.structs.replace(entry, record_id=chance.choice(ids))
    if what == 4:
        return msgspec.structs.replace(
            entry, record_kind=chance.choice(["Act", "Moon", "Site", "Loan", "SameRecord"])
        )
    if what == 5:
        references = [key for key in image if key.endswith("_id")]
        return msgspec.structs.replace(
            entry, after={**image, **{key: chance.choice(ids) for key in references}}
        )
    return msgspec.structs.replace(entry, before=entry.after, after=None)


def _more(act: str, ids: list[str], chance: random.Random) -> list[Entry]:
    """Records said to be one with any other, and many at once of any kind."""
    change, same, batch = new_keys_as_text(3)
    kind = chance.choice(["Member", "Site", "Night", "Moon"])
    image: Image = {
        "id": same,
        "record_kind": kind,
        "gone_id": chance.choice(ids),
        "kept_id": chance.choice(ids),
    }
    some = sorted(set(chance.sample(ids, 3)))
    rows: list[list[Value]] = [[one, chance.choice(["Anna", "", None])] for one in some]
    return [
        ChangeEntry(id=change, act_id=act, record_kind="SameRecord", record_id=same, after=image),
        BatchEntry(
            id=batch, act_id=act, record_kind=chance.choice(["Member", "Item", "Moon"]),
            what=chance.choice(["added", "removed"]), columns=("id", "name"), ids=some,
            rows=rows,
        ),
    ]  # fmt: skip


def go_through(
    club_file: Path, folder: Path, now: datetime, later: datetime, count: int, seed: int
) -> set[bool]:
    """So many bad bundles, each merged into a club of its own; whether some were taken in, and some refused."""
    source = Path(shutil.copy(club_file, folder / "source.db"))
    database = Database(make_engine(str(source)), str(source))
    start_night(database, "Mill Field", now, present=["Ines"])
    start_setup(database, "Heron", now + timedelta(minutes=1), tube="Long tube", observer="Ines")
    lend(database, "Lead battery", "Bram Ostler", now)
    with database.read() as session:
        entries = list(tell(session, Choice(with_private=True)))
    database.close()
    found: set[bool] = set()
    for number in range(count):
        chance = random.Random(seed + number)
        place = Path(shutil.copy(club_file if chance.random() < 0.7 else source, folder / "target.db"))
        target = Database(make_engine(str(place)), str(place))
        with target.read() as session:
            before = rows_now(session)
        taken = merge_badly(target, folder, badly(entries, chance), later)
        found.add(taken)
        with target.read() as session:
            assert rows_now(session) == (Whole(entries_of_all(session)).rows if taken else before), (
                seed + number
            )
        list_conflicts(target)
        target.close()
        for file in folder.glob("target*"):
            file.unlink()
    return found


def merge_badly(target: Database, folder: Path, entries: list[Entry], later: datetime) -> bool:
    stream = BytesIO()
    try:
        write_bundle(stream, Facts(schema="0015", origin=ORIGIN, written_utc=later), entries)
        (folder / "bad.bundle").write_bytes(stream.getvalue())
        merge_bundles(target, [folder / "bad.bundle"], later)
    except ObslogError:
        return False
    return True


def test_bad_bundles_are_refused_whole_or_taken_in_as_what_they_say(
    club_file: Path, tmp_path: Path, now: datetime, later: datetime
) -> None:
    assert go_through(club_file, tmp_path, now, later, FEW, 1) == {True, False}


@pytest.mark.slow
def test_thousands_of_bad_bundles(club_file: Path, tmp_path: Path, now: datetime, later: datetime) -> None:
    assert go_through(club_file, tmp_path, now, later, MANY, 10_000) == {True, False}
