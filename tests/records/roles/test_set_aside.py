"""What a member may settle of what a merge has set aside: what is of their own nights, and nothing else."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from obslog.cli.main import main
from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.care.checking import look_through
from obslog.records.care.mending import mend
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.merging.kept_for_later import may_settle_all
from obslog.records.merging.obstacles import OfAnother, write_obstacles
from tests.conftest import NOW
from tests.records.roles.conftest import Opened
from tests.records.roles.test_history_rights import done

NIGHT = "SELECT id FROM nights"
FIRST_SETUP = "SELECT id FROM setups WHERE ordinal = 1"
OTHER_SETUP = "SELECT record_id FROM record_obstacles WHERE why = 'numbered'"
NULL = "SELECT NULL::uuid"
NEW_KEY = "01990000-0000-7000-8000-00000000000b"


def begin(database: Database, at: datetime) -> None:
    start_night(database, "Kestrel Ridge", at, present=["Bram Ostler"])
    start_setup(database, "Heron", at, tube="Long tube", observer="Bram Ostler", eyepiece="Wide 25")


@pytest.fixture
def merged(as_login: Opened, club_file: Path, tmp_path: Path) -> Opened:
    """Bram began the same night on the server and on a laptop, and an officer has merged them.

    The night and his being there are on record twice, so that one of each is set aside; the second set-up is number 2.
    """
    later = datetime.now(UTC).replace(microsecond=0) + timedelta(hours=1)
    begin(as_login("bram"), NOW)
    path = shutil.copy(club_file, tmp_path / "laptop.db")
    laptop = Database(make_engine(str(path)), str(path))
    begin(laptop, NOW + timedelta(minutes=5))
    write_bundle_to(laptop, tmp_path / "laptop.bundle", WhatToTell(), later)
    laptop.close()
    merge_bundles(as_login("officer"), [tmp_path / "laptop.bundle"], later)
    return as_login


def set_aside(database: Database) -> tuple[list[tuple[str, str]], list[str], list[int]]:
    """Each obstacle by kind and reason, the kinds of the records without a row, and the numbers of the set-ups."""
    with database.read() as session:
        obstacles = session.execute(text("SELECT record_kind, why FROM record_obstacles")).all()
        parked = session.execute(text("SELECT record_kind FROM parked_records")).scalars()
        numbers = session.execute(text("SELECT ordinal FROM setups")).scalars()
        return sorted(map(tuple, obstacles)), sorted(parked), sorted(numbers)


def obstacle(kind: str, record: str, why: str, against: str) -> str:
    return (
        "INSERT INTO record_obstacles (id, record_kind, record_id, why, against_id) "
        f"SELECT gen_random_uuid(), '{kind}', ({record}), '{why}', ({against})"
    )


def parked(kind: str, record: str, columns: str) -> str:
    return (
        "INSERT INTO parked_records (id, record_kind, record_id, why, image) "
        f"SELECT gen_random_uuid(), '{kind}', ({record}), 'taken', json_build_object({columns})::text"
    )


def test_what_an_act_of_a_member_makes_room_for_is_settled_with_it(merged: Opened) -> None:
    bram = merged("bram")
    before = [("Attendance", "follows"), ("Attendance", "same"), ("Night", "same"), ("Setup", "follows")]
    assert set_aside(bram) == ([*before, ("Setup", "numbered")], ["Attendance", "Night"], [1, 2])
    address = bram.engine.url.render_as_string(hide_password=False)
    assert main(["undo"], lambda: NOW + timedelta(hours=2), {"OBSLOG_DB": address}) == 0
    assert set_aside(bram) == (before, ["Attendance", "Night"], [1])


BY_BRAM = {
    "an obstacle of his set-up goes": "DELETE FROM record_obstacles WHERE why = 'numbered'",
    "his second presence is no longer waiting": "DELETE FROM parked_records WHERE record_kind = 'Attendance'",
    "another obstacle of his set-up": obstacle("Setup", OTHER_SETUP, "numbered", "SELECT gen_random_uuid()"),
    "a set-up of his night waits": parked(
        "Setup", f"SELECT '{NEW_KEY}'::uuid", f"'id', '{NEW_KEY}', 'night_id', ({NIGHT})"
    ),
}


@pytest.mark.parametrize("statement", BY_BRAM.values(), ids=BY_BRAM)
def test_only_who_was_there_says_what_is_set_aside_of_a_night(merged: Opened, statement: str) -> None:
    assert done(merged("bram"), statement)
    assert not done(merged("ines"), statement)
    assert not done(merged("reader"), statement)
    assert done(merged("officer"), statement)


BY_NOBODY = {
    "an image of another record": parked(
        "Setup", f"SELECT '{NEW_KEY}'::uuid", f"'id', gen_random_uuid(), 'night_id', ({NIGHT})"
    ),
    "a record that has its place": parked(
        "Setup", FIRST_SETUP, f"'id', ({FIRST_SETUP}), 'night_id', ({NIGHT})"
    ),
    "a record that waits already": parked(
        "Attendance",
        "SELECT record_id FROM parked_records WHERE record_kind = 'Attendance'",
        f"'id', (SELECT record_id FROM parked_records WHERE record_kind = 'Attendance'), 'night_id', ({NIGHT})",
    ),
    "a record of officers": parked("Site", f"SELECT '{NEW_KEY}'::uuid", f"'id', '{NEW_KEY}'"),
    "an obstacle of a record of officers": obstacle("Site", "SELECT id FROM sites LIMIT 1", "renamed", NULL),
    "an obstacle of nothing": obstacle("Setup", f"SELECT '{NEW_KEY}'::uuid", "numbered", NULL),
    "a change of an obstacle": "UPDATE record_obstacles SET why = 'same'",
    "a change of what waits": "UPDATE parked_records SET image = '{}'",
}  # fmt: skip


@pytest.mark.parametrize("statement", BY_NOBODY.values(), ids=BY_NOBODY)
def test_no_member_says_more_than_that(merged: Opened, statement: str) -> None:
    assert not done(merged("bram"), statement)
    assert not done(merged("ines"), statement)
    assert done(merged("officer"), statement), "the statement is well made"


def test_what_is_ones_own_is_not_said_to_be_the_same_as_anothers(merged: Opened) -> None:
    """Whoever settles that next would write the fields of the one into the other."""
    with merged("owner").write(NOW) as session:
        session.execute(
            text(
                "INSERT INTO nights (id, site_id, night_of, open) SELECT '01890000-0000-7000-8000-000000000001', "
                "id, '2023-07-01', false FROM sites WHERE name = 'Mill Field'"
            )
        )
    same = obstacle(
        "Night", f"{NIGHT} WHERE night_of > '2024-01-01'", "same", f"{NIGHT} WHERE night_of < '2024-01-01'"
    )
    assert not done(merged("bram"), same)
    assert done(merged("bram"), same.replace("<", ">"))


def test_an_obstacle_of_a_record_that_is_no_more_is_taken_away_by_any_member(merged: Opened) -> None:
    with merged("owner").write(NOW) as session:
        session.execute(text("INSERT INTO record_obstacles (id, record_kind, record_id, why) "
                             f"VALUES (gen_random_uuid(), 'Tick', '{NEW_KEY}', 'broken')"))  # fmt: skip
    gone = "DELETE FROM record_obstacles WHERE record_kind = 'Tick'"
    assert done(merged("ines"), gone)
    assert not done(merged("ines"), gone.replace("Tick", "Night"))


def test_what_only_some_of_may_be_taken_away_is_refused(merged: Opened) -> None:
    with merged("owner").read() as session:
        second = session.execute(
            text("SELECT record_id::text FROM parked_records WHERE record_kind = 'Night'")
        )
        night = ("Night", str(second.scalar_one()))
    with pytest.raises(OfAnother), merged("ines").write(NOW) as session:
        write_obstacles(session, [night], {}, {})
    with merged("bram").write(NOW) as session:
        write_obstacles(session, [night], {}, {})
    assert ("Night", "same") not in set_aside(merged("owner"))[0]


def test_who_may_write_all_settles_anew_what_an_older_version_set_aside(merged: Opened) -> None:
    with merged("owner").engine.begin() as connection:
        connection.execute(text("UPDATE record_obstacles SET why = 'blank' WHERE why = 'numbered'"))
    bram, officer = merged("bram"), merged("officer")
    with bram.read() as session:
        assert not may_settle_all(session)
    (found,) = (one for one in look_through(officer, NOW) if one.subject == "merging")
    assert mend(officer, [found], NOW).done[0] == "1 record of a merge settled anew, as this version merges."
    assert ("Setup", "numbered") in set_aside(officer)[0]
    assert [one for one in look_through(officer, NOW) if one.subject == "merging"] == []
