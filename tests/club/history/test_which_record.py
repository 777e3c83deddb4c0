"""What is meant is found by a name, by a kind and a name, by the reference of a record or of an act."""

from datetime import datetime

import pytest
from sqlalchemy import select

from obslog.club.history.which_record import Meant, NoSuchRecord, WhichRecord, what_is_meant
from obslog.club.register.named_records import add
from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.keys import new_key, reference_of
from obslog.records.tables.logbook_tables import Act, Member, Mount


def meant(database: Database, what: str) -> tuple[str, str]:
    with database.read() as session:
        found = what_is_meant(session, what)
        return ("Act", found.sentence) if isinstance(found, Act) else (found.kind, str(found.key))


def key_of(database: Database, kind: type[Mount | Member], name: str) -> str:
    with database.read() as session:
        return str(session.scalars(select(kind.id).where(kind.name == name)).one())


@pytest.mark.parametrize("typed", ["Heron", "heron", "her", "mount Heron", "MOUNT her"])
def test_a_record_is_found_by_its_name(club: Database, typed: str) -> None:
    assert meant(club, typed) == ("Mount", key_of(club, Mount, "Heron"))


def test_where_several_fit_the_kind_says_which(club: Database, now: datetime) -> None:
    add(club, "tube", "Heron", {}, now)
    with pytest.raises(WhichRecord) as refused:
        meant(club, "Heron")
    assert refused.value.message == "'Heron' may be mount Heron or tube Heron."
    assert meant(club, "mount Heron")[0] == "Mount"
    assert meant(club, "tube Heron")[0] == "Tube"


def test_a_record_is_found_by_its_reference_also_where_it_came_with_many(
    club: Database, now: datetime
) -> None:
    heron = key_of(club, Mount, "Heron")
    assert meant(club, heron[-6:].upper()) == ("Mount", heron)
    guests = [{"id": new_key(), "name": f"Guest {n}", "name_key": f"guest {n}"} for n in range(30)]
    with club.write(now, "import members") as session:
        insert_noted(session, Member, guests)
    key = guests[11]["id"]
    assert meant(club, str(key)) == ("Member", str(key))


def test_a_record_that_is_gone_is_found_by_its_reference(club: Database, now: datetime) -> None:
    heron = key_of(club, Mount, "Heron")
    with club.write(now, "throw Heron away") as session:
        session.delete(session.scalars(select(Mount).where(Mount.name == "Heron")).one())
    assert meant(club, heron[-6:]) == ("Mount", heron)
    with pytest.raises(NoSuchRecord):
        meant(club, "Heron")


def test_an_act_is_found_by_its_reference(club: Database, now: datetime) -> None:
    add(club, "member", "Cleo Marsh", {}, now)
    with club.read() as session:
        key = session.scalars(select(Act.id).order_by(Act.id.desc())).first()
    assert key is not None
    assert meant(club, reference_of(key)) == ("Act", "add member Cleo Marsh")


@pytest.mark.parametrize("typed", ["Nessie", "000000", "", "mount", "%"])
def test_what_is_not_on_record_is_said_so(club: Database, typed: str) -> None:
    with pytest.raises((NoSuchRecord, WhichRecord)):
        meant(club, typed)


def test_a_record_is_a_kind_and_a_key() -> None:
    key = new_key()
    assert Meant(kind="Mount", key=key).key == key
