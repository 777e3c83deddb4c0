"""A club on a server with its roles, and logins to come in by."""

from collections.abc import Callable, Iterator
from itertools import count

import pytest
from sqlalchemy import Connection, make_url

from obslog.club.night.nights import start_night
from obslog.club.office.server_logins import give_login, make
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.records.roles.rights import ServerRole
from tests.conftest import NOW, quiet
from tests.written_once import Rows, put_rows

_numbers = count(1)
Opened = Callable[[str], Database]
LOGINS = (
    ("ines", ServerRole.MEMBER, "Ines"),
    ("bram", ServerRole.MEMBER, "Bram Ostler"),
    ("officer", ServerRole.OFFICER, None),
    ("reader", ServerRole.READER, None),
)


@pytest.fixture(scope="session")
def server_template(postgres_socket: str, postgres_admin: Connection, club_rows: Rows) -> str:
    """The address of a database with the club in it, to be copied and never changed."""
    postgres_admin.exec_driver_sql("CREATE DATABASE club_of_roles TEMPLATE template0")
    url = str(postgres_admin.engine.url.set(database="club_of_roles").render_as_string())
    owner = open_database(url, NOW, quiet)
    put_rows(owner.engine, club_rows)
    owner.close()
    return url


@pytest.fixture
def server_url(server_template: str, postgres_admin: Connection) -> Iterator[str]:
    """The address of a club's server with its roles; the logins bear the name of the database, a test's own."""
    club = f"roles{next(_numbers)}"
    postgres_admin.exec_driver_sql(f"CREATE DATABASE {club} TEMPLATE club_of_roles")
    url = make_url(server_template).set(database=club).render_as_string()
    owner = open_database(url, NOW, quiet)
    make(owner, NOW)
    for login, role, member in LOGINS:
        give_login(owner, NOW, f"{club}_{login}_in", role, member)
    owner.close()
    yield url
    postgres_admin.exec_driver_sql(f"DROP DATABASE {club} WITH (FORCE)")
    for name in (*(f"{login}_in" for login, *_ in LOGINS), *ServerRole):
        postgres_admin.exec_driver_sql(f"DROP ROLE {club}_{name}")


@pytest.fixture
def as_login(server_url: str) -> Iterator[Opened]:
    """Opens the club as one of the logins, or as its owner."""
    opened: list[Database] = []

    def come_in(login: str) -> Database:
        url = make_url(server_url)
        if login != "owner":
            url = url.set(username=f"{url.database}_{login}_in")
        opened.append(open_database(url.render_as_string(hide_password=False), NOW, quiet))
        return opened[-1]

    yield come_in
    for database in opened:
        database.close()


@pytest.fixture
def bram_at_night(as_login: Opened) -> Opened:
    """Bram has a night at Kestrel Ridge, open and his own."""
    start_night(as_login("bram"), "Kestrel Ridge", NOW, present=["Bram Ostler"])
    return as_login
