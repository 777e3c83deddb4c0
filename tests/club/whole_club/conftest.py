"""A small club with something odd in each corner, and its folder of sheets."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from shutil import copy

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import edit
from obslog.club.register.undo import undo
from obslog.club.whole_club.export_all import export_all
from obslog.records.database import Database
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook_tables import (
    Arrival,
    Equipment,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    Tube,
)
from obslog.vocabulary.arrivals import Landing, Role
from tests.club.whole_club.folders import opened

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
ODD_NOTES = (
    "=HYPERLINK(1)", "-5", "+44", "@home", "'tis", "'=1", "two\nlines, \"quoted\"", "é \u00df \u4e2d", " spaced ",
)  # fmt: skip


def fill_odd_club(database: Database) -> None:
    """Beside the club of CLUB: nights, arrivals with odd notes, loans handed on, contacts, acts undone."""
    with database.write(NOW, "a night of oddities") as session:
        _fill_night(session)
        _fill_loans(session)
    set_contact(database, "Ines", {"phone": "+44 1223 000000", "email": "ines@example.org"}, NOW)
    edit(database, "site", "Mill Field", {"note": "-behind the barn"}, NOW)
    undo(database, NOW + timedelta(minutes=1))


def _fill_night(session: Session) -> None:
    site = session.scalars(select(Site).where(Site.name_key == "mill field")).one()
    mount = session.scalars(select(Mount).where(Mount.name_key == "heron")).one()
    tube = session.scalars(select(Tube)).one()
    ines = session.scalars(select(Member).where(Member.name_key == "ines")).one()
    night = Night(site_id=site.id, night_of=date(2026, 3, 2), note="=1+1", started_utc=NOW)
    session.add(night)
    session.flush()
    setup = Setup(night_id=night.id, mount_id=mount.id, tube_id=tube.id, member_id=ines.id, open=True)
    session.add(setup)
    session.flush()
    for number, note in enumerate(ODD_NOTES):
        session.add(
            Arrival(
                setup_id=setup.id, at_utc=NOW + timedelta(seconds=number, microseconds=number), role=Role.GOTO,
                target=f"M {number + 1}", member_id=ines.id, ra_hours=0.1 + number, dec_deg=-number / 3,
                offset_east_arcmin=-1.5 * number, offset_north_arcmin=1e-7, landing=Landing.IN, note=note,
            )
        )  # fmt: skip
    session.add(
        Observation(night_id=night.id, at_utc=NOW, target="M 31", member_id=ines.id, description="-faint")
    )


def _fill_loans(session: Session) -> None:
    ines, bram = session.scalars(select(Member).order_by(Member.name_key.desc())).all()
    battery = session.scalars(select(Equipment).where(Equipment.name_key == "lead battery")).one()
    day = date(2026, 1, 10)
    later = Loan(member_id=bram.id, out_on=day, due_on=day, equipment_id=battery.id)
    session.add(later)
    session.flush()
    first = Loan(member_id=ines.id, out_on=day, due_on=day, equipment_id=battery.id, back_on=day)
    session.add(first)
    session.flush()
    later.handed_over_from_id = first.id  # the older of the two has the later key


@pytest.fixture(scope="session")
def odd_file(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The odd club's file, to be copied."""
    path = Path(copy(club_file, tmp_path_factory.mktemp("odd") / "odd.db"))
    database = opened(path)
    fill_odd_club(database)
    database.close()
    return path


@pytest.fixture(scope="session")
def odd_folder(odd_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The odd club's folder of sheets, contacts too; to be copied where it is changed."""
    folder = tmp_path_factory.mktemp("sheets") / "club"
    database = opened(odd_file)
    export_all(database, folder, NOW, with_private=True)
    database.close()
    return folder
