"""The night that the benchmarks add is one that people could have recorded."""

import random
import shutil
from datetime import date
from pathlib import Path

from sqlalchemy import select

from obslog.records.care.damage import complaints
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.tables.logbook_tables import Arrival, Attendance, Equipment, Night, Setup
from obslog.vocabulary.arrivals import Role
from tests.benchmarks.new_night import CHECKS, SYNCS, Evening, add_night

EVENING = Evening(site="Mill Field", mount="Heron", tube="Long tube", observer="Ines", eyepiece="Wide 25")
NIGHTS = [date(2026, 3, 3), date(2026, 3, 4)]


def test_each_call_adds_one_night_of_one_set_up(club_file: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(club_file, tmp_path / "one.db"))
    rng = random.Random(1)
    for night in NIGHTS:
        add_night(path, EVENING, night, rng)
    database = Database(make_engine(str(path)), str(path))
    with database.read() as session:
        nights = session.execute(select(Night.night_of, Night.ended_utc).order_by(Night.night_of)).all()
        setups = session.execute(
            select(Equipment.name, Setup.ended_utc).join(Setup, Setup.mount_id == Equipment.id)
        ).all()
        arrivals = session.scalars(select(Arrival).order_by(Arrival.at_utc)).all()
        present = session.scalars(select(Attendance.night_id)).all()
    assert [night for night, _ in nights] == NIGHTS
    assert None not in [ended for _, ended in nights]
    assert [name for name, _ in setups] == ["Heron", "Heron"]
    assert len(present) == 2
    roles = [Role.SYNC] * len(SYNCS) + [Role.CHECK] * len(CHECKS)
    assert [arrival.role for arrival in arrivals] == roles * 2
    offsets = {(arrival.offset_east_arcmin, arrival.offset_north_arcmin) for arrival in arrivals}
    assert len(offsets) == len(arrivals), "the second night is another one than the first"
    assert complaints(database.engine) == []
    database.close()
