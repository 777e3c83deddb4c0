"""Who may do what with which table of a club on a server: four kinds of people, as roles of PostgreSQL.

- a reader reads all but contacts;
- a member reads the same, and writes nights of their own: those that they are put down for as present. Whoever begins a
  night may put people down for it, for a day and a half even where nobody is; and on a night that is open anybody may
  put down themselves. A night that was left open longer than that may be closed by whoever begins the next, and nothing
  else in it changed. A snag or a tick that hangs on no set-up is of the member whom it names;
- an officer reads and writes all;
- the owner of the tables may also change the tables, and say who is what.

Undoing needs no right of its own: what an act takes back is guarded as what it wrote. History is added to under one's
own name alone, and to what one's own act of the same moment did. What an act of a member makes room for is settled with
it where that is of their own nights too; else the act is refused.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

from obslog.records.history.author import MY_NAME

ALL_BUT_FROM_THE_PROGRAM = frozenset({"obslog_logins", "alembic_version"})
UNREAD_BY_MEMBERS = frozenset({"contacts"})
CONTACT_KIND = "Contact"


class ServerRole(StrEnum):
    """What a login may be."""

    READER = "reader"
    MEMBER = "member"
    OFFICER = "officer"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRows:
    """Which rows of a table a member may write, as conditions on the row: to add it, to change or remove it, where
    that is another's, to close it, and, in history, to put into it what is not kept yet."""

    added: str
    changed: str
    closed: str | None = None
    filled: str | None = None


def _of_night(night: str) -> OwnRows:
    mine = f"obslog_my_night({night})"
    return OwnRows(added=mine, changed=mine)


_NIGHT_OF_SETUP = "obslog_night_of_setup(setup_id)"
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

TABLES_OF_MEMBERS = {
    "Night": "nights",
    "Attendance": "attendances",
    "Setup": "setups",
    "SkyReading": "sky_readings",
    "Arrival": "arrivals",
    "Observation": "observations",
    "Snag": "snags",
    "Tick": "ticks",
}
"""The kinds of records that a member may write, each with its table."""

_OF_MEMBERS = f"record_kind IN {tuple(TABLES_OF_MEMBERS)}"
_OF_MY_ACT = OwnRows(added=f"{_OF_MEMBERS} AND obslog_my_act(act_id)", changed="FALSE")
HISTORY = {
    "acts": OwnRows(added=f"who = {MY_NAME}", changed="obslog_taken_back_by_me(id)"),
    "changes": _OF_MY_ACT,
    "change_batches": replace(_OF_MY_ACT, filled="obslog_my_batch(record_kind, record_ids)"),
}
"""What is written beside them: added; of an act it is changed whether it was taken back, and of records that came in
together it is put down, once, what they were, where all of them are one's own. Nothing else is changed ever."""

SET_ASIDE = {
    "parked_records": OwnRows(
        added="obslog_my_image(record_kind, record_id, image) AND NOT obslog_has_place(record_kind, record_id)",
        changed="obslog_my_record(record_kind, record_id)",
    ),
    "record_obstacles": OwnRows(
        added="obslog_my_record(record_kind, record_id) "
        "AND (why <> 'same' OR obslog_my_record(record_kind, against_id))",
        changed="obslog_my_record(record_kind, record_id) "
        f"OR ({_OF_MEMBERS} AND NOT obslog_has_place(record_kind, record_id))",
    ),
}
"""What has no place as the log says: put down and taken away of one's own records. What says the same as another is
written into that record by whoever settles it next, so both have to be one's own."""

HISTORY_CHANGED = {"acts": "undone_utc", "change_batches": "images"}
"""The column of each table of history that a member may write to at all."""

KEPT = "kept_results"

ONLY_CLOSES = "obslog_only_closes"
CLOSING = """BEGIN
    IF obslog_me() IS NOT NULL AND NOT {writes_all} AND NOT obslog_my_night({night})
        AND (NEW.open OR to_jsonb(NEW) - 'open' - 'ended_utc' <> to_jsonb(OLD) - 'open' - 'ended_utc')
    THEN RAISE insufficient_privilege USING MESSAGE = 'the night is of another'; END IF;
    RETURN NEW;
END"""
"""What a trigger does before a night or a set-up is changed: of one that is another's only the end is written."""
