"""Whose login it is has to be the whole name of a member on record."""

import pytest

from obslog.club.office.server_logins import MemberWanted, give_login
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.roles.making import NoServer
from obslog.records.roles.rights import ServerRole
from tests.conftest import NOW


def test_a_member_who_is_not_on_record_is_not_made(sqlite_database: Database) -> None:
    with pytest.raises(UnknownName):
        give_login(sqlite_database, NOW, "nobody", ServerRole.MEMBER, "Nobody At All")


def test_who_writes_nights_of_their_own_has_to_be_somebody(sqlite_database: Database) -> None:
    with pytest.raises(MemberWanted, match="Whose login is ines"):
        give_login(sqlite_database, NOW, "ines", ServerRole.MEMBER, None)


def test_a_file_has_no_logins(sqlite_database: Database) -> None:
    with pytest.raises(NoServer):
        give_login(sqlite_database, NOW, "ines", ServerRole.READER, None)
