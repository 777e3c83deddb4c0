"""By which version the logins of a club's server were given their rights: a remark on the table of logins says so.

Every login can read it. So whoever is refused something hears whether an update of obslog may be the reason.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import Connection, Engine

from obslog.records.driver_errors import NotAllowed, in_sentences
from obslog.records.roles.making import LOGINS, RIGHTS, RIGHTS_OF

_ASKED = (
    "SELECT obj_description(oid, 'pg_class'), pg_has_role(relowner, 'USAGE') FROM pg_class "
    f"WHERE oid = to_regclass('{LOGINS}')"
)
GIVE = "obslog db roles --make"
LET_THE_OWNER = f"Let whoever owns the database type once: {GIVE}"
UPDATE = "Install the newest obslog on this machine too."


class Given(StrEnum):
    """What rights the logins have, beside those that this version gives."""

    OLDER = "older"
    THESE = "these"
    NEWER = "newer"


class RightsOfAnother(NotAllowed):
    """A refusal that may come of rights that another version of obslog gave."""

    def __init__(self, where: str, given: Given) -> None:
        super().__init__(where)
        why = f"The club's logins have rights from {an_obslog(given)}, which may be why. "
        self.hint = f"Nothing was changed. {why}{LET_THE_OWNER if given is Given.OLDER else UPDATE}"


@dataclass(frozen=True, slots=True)
class RightsThere:
    """Which rights the logins have, and whether whoever asks owns the database and may give them others."""

    given: Given
    may_give: bool


def rights_there(connection: Connection) -> RightsThere | None:
    """The rights that the club's logins have; None where there are no roles."""
    if connection.dialect.name == "sqlite":
        return None
    row = connection.exec_driver_sql(_ASKED).first()
    if row is None:
        return None
    told = re.fullmatch(re.escape(RIGHTS_OF) + r"(\d{1,9})", row[0] or "")
    number = int(told[1]) if told else 0  # before this was said
    given = Given.THESE if number == RIGHTS else Given.OLDER if number < RIGHTS else Given.NEWER
    return RightsThere(given, bool(row[1]))


def explained_refusal(refused: NotAllowed, engine: Engine, where: str) -> NotAllowed:
    """The refusal, with what may be the reason where the logins have rights of another version."""
    with in_sentences(where), engine.connect() as connection:
        there = rights_there(connection)
    return refused if there is None or there.given is Given.THESE else RightsOfAnother(where, there.given)


def what_to_give(connection: Connection) -> str | None:
    """What the owner of a database is told whose logins have the rights of an older version."""
    there = rights_there(connection)
    if there is None or not there.may_give or there.given is not Given.OLDER:
        return None
    return f"The club's logins have rights from an older obslog. Give them those of this one: {GIVE}"


def an_obslog(given: Given) -> str:
    """`an older obslog`."""
    return f"{'an' if given is Given.OLDER else 'a'} {given} obslog"
