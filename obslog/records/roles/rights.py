"""Who may do what with which table of a club on a server: four kinds of people, as roles of PostgreSQL.

- a reader reads all but contacts;
- a member reads the same, and writes nights of their own: those that they are put down for as present. Whoever begins a
  night may put people down for it, for a day and a half even where nobody is; and on a night that is open anybody may
  put down themselves. A night that was left open longer than that may be closed by whoever begins the next, and nothing
  else in it changed. A snag or a tick that hangs on no set-up is of the member whom it names;
- an officer reads and writes all;
- the owner of the tables may also change the tables, and say who is what.

Undoing needs no right of its own: what an act takes back is guarded as what it wrote.
"""

from dataclasses import dataclass
from enum import StrEnum

ALL_BUT_FROM_THE_PROGRAM = frozenset({"obslog_logins", "alembic_version"})
UNREAD_BY_MEMBERS = frozenset({"contacts"})
CONTACT_KIND = "Contact"
_DAY_AND_A_HALF = "36 hours"


class ServerRole(StrEnum):
    """What a login may be."""

    READER = "reader"
    MEMBER = "member"
    OFFICER = "officer"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRows:
    """Which rows of a table a member may write, as conditions on the row: to add it, to change or remove it, and,
    where that is another's, to close it."""

    added: str
    changed: str
    closed: str | None = None


def _of_night(night: str) -> OwnRows:
    mine = f"obslog_my_night({night})"
    return OwnRows(added=mine, changed=mine)


_NIGHT_OF_SETUP = "(SELECT night_id FROM setups WHERE setups.id = setup_id)"
_NAMED = (
    f"CASE WHEN setup_id IS NULL THEN member_id = obslog_me() ELSE obslog_my_night({_NIGHT_OF_SETUP}) END"
)
OWN_ROWS = {
    "nights": OwnRows(
        added="obslog_me() IS NOT NULL", changed="obslog_my_night(id)", closed="obslog_left_open(id)"
    ),
    "attendances": OwnRows(
        added="obslog_my_night(night_id) OR (member_id = obslog_me() AND obslog_is_open(night_id))",
        changed="obslog_my_night(night_id)",
    ),
    "setups": OwnRows(
        added="obslog_my_night(night_id)",
        changed="obslog_my_night(night_id)",
        closed="obslog_left_open(night_id)",
    ),
    "sky_readings": _of_night("night_id"),
    "arrivals": _of_night(_NIGHT_OF_SETUP),
    "observations": _of_night("night_id"),
    "snags": OwnRows(added=_NAMED, changed=_NAMED),
    "ticks": OwnRows(added=_NAMED, changed=_NAMED),
}
"""The tables that a member may write to."""

KINDS_OF_MEMBERS = ("Night", "Attendance", "Setup", "SkyReading", "Arrival", "Observation", "Snag", "Tick")
HISTORY = {
    "changes": OwnRows(added=f"record_kind IN {KINDS_OF_MEMBERS}", changed="FALSE"),
    "change_batches": OwnRows(added=f"record_kind IN {KINDS_OF_MEMBERS}", changed="FALSE"),
    "parked_records": OwnRows(added="FALSE", changed="FALSE"),
}
"""What is written beside them: added, and never changed."""

ACTS_CHANGED = ("undone_utc", "settled_utc")
KEPT = "kept_results"

FUNCTIONS = {
    "obslog_me()": ("uuid", "SELECT member_id FROM obslog_logins WHERE login = session_user"),
    "obslog_is_open(night uuid)": ("boolean", "SELECT open FROM nights WHERE id = night"),
    # A key of version 7 begins with the milliseconds since 1970 at which it was made (RFC 9562, section 5.7).
    "obslog_is_new(night uuid)": (
        "boolean",
        "SELECT ('x' || left(replace(night::text, '-', ''), 12))::bit(48)::bigint "
        f"> extract(epoch FROM now() - interval '{_DAY_AND_A_HALF}') * 1000",
    ),
    "obslog_my_night(night uuid)": (
        "boolean",
        "SELECT EXISTS (SELECT 1 FROM attendances WHERE night_id = night AND member_id = obslog_me()) "
        "OR (obslog_me() IS NOT NULL AND NOT EXISTS (SELECT 1 FROM attendances WHERE night_id = night) "
        "AND obslog_is_new(night))",
    ),
    "obslog_left_open(night uuid)": (
        "boolean",
        "SELECT obslog_is_open(night) AND obslog_me() IS NOT NULL AND NOT obslog_is_new(night)",
    ),
}
"""Functions of the owner, which see the rows that they ask about whatever the caller may see: name, type, query."""

ONLY_CLOSES = "obslog_only_closes"
CLOSING = """BEGIN
    IF obslog_me() IS NOT NULL AND NOT {writes_all} AND NOT obslog_my_night({night})
        AND (NEW.open OR to_jsonb(NEW) - 'open' - 'ended_utc' <> to_jsonb(OLD) - 'open' - 'ended_utc')
    THEN RAISE insufficient_privilege USING MESSAGE = 'the night is of another'; END IF;
    RETURN NEW;
END"""
"""What a trigger does before a night or a set-up is changed: of one that is another's only the end is written."""
