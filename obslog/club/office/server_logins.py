"""Who is what on a club's server: logins, their roles, and the members who use them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.errors import WrongInput
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.roles.making import (
    ServerLogin,
    have_roles,
    logins,
    make_roles,
    set_login,
    take_login_away,
)
from obslog.records.roles.rights import ServerRole
from obslog.records.tables.logbook_tables import Member


class MemberWanted(WrongInput):
    def __init__(self, login: str) -> None:
        super().__init__(
            f"Whose login is {login}? A member writes nights of their own.",
            'Say who it is: --member "Ines Alvarado"',
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoginLine:
    """A login of the server, what it may do, and the name of the member who uses it."""

    login: str
    role: ServerRole
    member: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServerRoles:
    """Whether the club's server has roles, and which logins have one of them."""

    made: bool
    logins: Sequence[LoginLine]


def server_roles(database: Database) -> ServerRoles:
    """The roles as they are. Raises NoServer."""
    with database.read() as session:
        return _found(session)


def make(database: Database, now: datetime) -> ServerRoles:
    """Make the roles, or give them their rights anew. Raises NoServer, and NotAllowed for all but the owner."""
    with database.write(now) as session:
        make_roles(session.connection())
        return _found(session)


def give_login(
    database: Database, now: datetime, login: str, role: ServerRole, member: str | None
) -> ServerRoles:
    """Say what a login may do, and whose it is. Raises MemberWanted, UnknownName, NoServer, NoRolesYet."""
    if role is ServerRole.MEMBER and member is None:
        raise MemberWanted(login)
    with database.write(now) as session:
        member_id = None if member is None else by_name(session, Member, member, whole=True).id
        set_login(session, login, role, member_id)
        return _found(session)


def take_login(database: Database, now: datetime, login: str) -> ServerRoles:
    """Take a login's role away. Raises UnknownLogin, NoServer, NoRolesYet."""
    with database.write(now) as session:
        take_login_away(session, login)
        return _found(session)


def _found(session: Session) -> ServerRoles:
    connection = session.connection()
    if connection.dialect.name == "postgresql" and not have_roles(connection):
        return ServerRoles(made=False, logins=[])
    known = logins(connection)
    names = _names(session, known)
    lines = [
        LoginLine(login=one.login, role=one.role, member=names.get(one.member_id) if one.member_id else None)
        for one in known
    ]
    return ServerRoles(made=True, logins=lines)


def _names(session: Session, known: Sequence[ServerLogin]) -> dict[UUID, str]:
    keys = [one.member_id for one in known if one.member_id]
    query = select(Member.id, Member.name).where(Member.id.in_(keys))
    return {row.id: row.name for row in session.execute(query)}
