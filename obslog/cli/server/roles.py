"""`db roles`: what the logins of the club's server may do."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput, quoted

if TYPE_CHECKING:
    from obslog.club.office.server_logins import ServerRoles
    from obslog.records.database import Database

MAY = {
    "reader": "reads all but contacts",
    "member": "reads all but contacts; writes own nights, snags and ticks",
    "officer": "reads and writes all",
}
Make = Annotated[bool, typer.Option("--make", help="Make the roles, or give them their rights anew.")]
Login = Annotated[str | None, typer.Option("--login", help="The login to make, or to change.")]
As = Annotated[str | None, typer.Option("--as", help="What it may do: reader, member or officer.")]
Whose = Annotated[str | None, typer.Option("--member", help="The member who uses it.")]
Remove = Annotated[str | None, typer.Option("--remove", help="The login whose role is taken away.")]


class OneAtATime(WrongInput):
    def __init__(self) -> None:
        super().__init__("--make, --login and --remove are three acts.", "Give one of them in each line.")


class RoleWanted(WrongInput):
    def __init__(self, role: str | None) -> None:
        super().__init__(
            "What may the login do?" if role is None else f"There is no role {quoted(role)}.",
            f"Say --as and one of these: {', '.join(MAY)}.",
        )


def add_to(app: typer.Typer) -> None:
    """Put the command among those of the database."""
    command(app, "roles", show=show_roles)(roles)


def roles(
    database: "Database",
    now: datetime,
    make: Make = False,
    login: Login = None,
    role: As = None,
    member: Whose = None,
    remove: Remove = None,
) -> "ServerRoles":
    """Say who may do what on the club's server, or change it.

    A reader reads all but contacts. A member also writes nights of their own: those that they are put down for. An
    officer reads and writes all. Only the owner of the database can make or change this.

    obslog db roles --login ines --as member --member "Ines Alvarado"

    No password passes through here: set it with psql, \\password ines.
    """
    from obslog.club.office import server_logins
    from obslog.records.roles.rights import ServerRole

    if (make, login is not None, remove is not None).count(True) > 1:
        raise OneAtATime
    if make:
        return server_logins.make(database, now)
    if remove is not None:
        return server_logins.take_login(database, now, remove)
    if login is None:
        return server_logins.server_roles(database)
    if role not in MAY:
        raise RoleWanted(role)
    return server_logins.give_login(database, now, login, ServerRole(role), member)


def show_roles(screen: Screen, found: "ServerRoles") -> None:
    if not found.made:
        screen.line("There are no roles yet: every login that is let in may do what its owner has granted.")
        screen.line("Make them: obslog db roles --make")
        return
    screen.table(("role", "may"), MAY.items())
    screen.line()
    if not found.logins:
        screen.line("No login has a role yet: obslog db roles --login NAME --as ROLE")
        return
    screen.table(("login", "role", "member"), [(one.login, one.role, one.member) for one in found.logins])
