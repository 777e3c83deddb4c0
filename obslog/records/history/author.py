"""Who writes an act: the person at the keyboard, as they typed their name, and the machine."""

from dataclasses import dataclass, replace
from uuid import UUID

from sqlalchemy import text
from sqlalchemy.orm import Session

MY_NAME = "obslog_my_name()"
"""The function of a server with roles that gives the name of the member whose login it is."""


@dataclass(frozen=True, slots=True)
class Author:
    """`who` is None where nobody has said who types here; `origin` where no machine is known.

    `with_login` is true where each person has a login of their own: then acts of one machine may be of several.
    """

    who: str | None = None
    origin: UUID | None = None
    with_login: bool = False


NOBODY = Author()


def as_the_server_knows(session: Session, typed: Author) -> Author:
    """The author by the login's member where a server has roles, whatever was typed; else `typed`."""
    if session.get_bind().dialect.name == "sqlite":
        return typed
    if session.scalar(text("SELECT to_regprocedure(:name)"), {"name": MY_NAME}) is None:
        return typed
    return replace(typed, who=session.scalar(text(f"SELECT {MY_NAME}")) or typed.who, with_login=True)
