"""The functions that the rules of rows ask: whose a night, an act or a record that was set aside is.

They are the owner's, and see the rows that they ask about whatever the caller may see.
"""

from collections.abc import Iterator

from obslog.records.history.author import MY_NAME
from obslog.records.roles.rights import OWN_ROWS, TABLES_OF_MEMBERS

_DAY_AND_A_HALF = "36 hours"
_OF_NOW = "xmin = pg_current_xact_id()::xid"  # a row that this transaction wrote
_TOLD = (
    "SELECT id AS its_key, obslog_stands_for(id) AS id, obslog_stands_for(night_id) AS night_id, "
    "obslog_stands_for(setup_id) AS setup_id, member_id "
    "FROM jsonb_to_record(image::jsonb) AS told (id uuid, night_id uuid, setup_id uuid, member_id uuid)"
)


def _by_kind(of_table: str) -> str:
    """An answer for each kind of records that a member may write; no for any other."""
    cases = (
        f"WHEN '{kind}' THEN {of_table.format(table=table, mine=OWN_ROWS[table].changed)}"
        for kind, table in TABLES_OF_MEMBERS.items()
    )
    return f"SELECT CASE of_kind {' '.join(cases)} ELSE FALSE END"


def _functions() -> Iterator[tuple[str, str, str]]:
    yield "obslog_me()", "uuid", "SELECT member_id FROM obslog_logins WHERE login = session_user"
    yield MY_NAME, "text", "SELECT name FROM members WHERE id = obslog_me()"
    yield "obslog_is_open(night uuid)", "boolean", "SELECT open FROM nights WHERE id = night"
    # A key of version 7 begins with the milliseconds since 1970 at which it was made (RFC 9562, section 5.7).
    yield (
        "obslog_is_new(night uuid)",
        "boolean",
        "SELECT ('x' || left(replace(night::text, '-', ''), 12))::bit(48)::bigint "
        f"> extract(epoch FROM now() - interval '{_DAY_AND_A_HALF}') * 1000",
    )
    yield (
        "obslog_my_night(night uuid)",
        "boolean",
        "SELECT EXISTS (SELECT 1 FROM attendances WHERE night_id = night AND member_id = obslog_me()) "
        "OR (obslog_me() IS NOT NULL AND NOT EXISTS (SELECT 1 FROM attendances WHERE night_id = night) "
        "AND obslog_is_new(night))",
    )
    yield (
        "obslog_left_open(night uuid)",
        "boolean",
        "SELECT obslog_is_open(night) AND obslog_me() IS NOT NULL AND NOT obslog_is_new(night)",
    )
    yield (
        "obslog_my_act(act uuid)",
        "boolean",
        f"SELECT EXISTS (SELECT 1 FROM acts WHERE id = act AND who = {MY_NAME} AND {_OF_NOW})",
    )
    yield (
        "obslog_taken_back_by_me(act uuid)",
        "boolean",
        "SELECT EXISTS (SELECT 1 FROM acts AS mine LEFT JOIN acts AS before ON before.id = mine.undoes_id "
        f"WHERE act IN (mine.undoes_id, before.undoes_id) AND mine.who = {MY_NAME} AND mine.{_OF_NOW})",
    )
    yield from _of_what_is_set_aside()


def _of_what_is_set_aside() -> Iterator[tuple[str, str, str]]:
    yield (
        "obslog_stands_for(record uuid)",
        "uuid",
        "SELECT coalesce((SELECT against_id FROM record_obstacles WHERE record_id = record AND why = 'same' "
        "LIMIT 1), record)",
    )
    yield (
        "obslog_night_of_setup(setup uuid)",
        "uuid",
        "SELECT coalesce((SELECT night_id FROM setups WHERE id = setup), (SELECT "
        "obslog_stands_for((image::jsonb ->> 'night_id')::uuid) FROM parked_records "
        "WHERE record_kind = 'Setup' AND record_id = setup LIMIT 1))",
    )
    yield (
        "obslog_my_image(of_kind text, record uuid, image text)",
        "boolean",
        _by_kind(f"EXISTS (SELECT 1 FROM ({_TOLD}) AS told WHERE its_key = record AND {{mine}})"),
    )
    yield (
        "obslog_has_place(of_kind text, record uuid)",
        "boolean",
        _by_kind("EXISTS (SELECT 1 FROM {table} WHERE id = record)")
        + " OR EXISTS (SELECT 1 FROM parked_records WHERE record_id = record)",
    )
    yield (
        "obslog_my_record(of_kind text, record uuid)",
        "boolean",
        _by_kind("EXISTS (SELECT 1 FROM {table} WHERE id = record AND {mine})")
        + " OR EXISTS (SELECT 1 FROM parked_records WHERE record_kind = of_kind AND record_id = record "
        "AND obslog_my_image(of_kind, record, parked_records.image))",
    )
    yield (
        "obslog_my_batch(of_kind text, keys bytea)",
        "boolean",
        "SELECT NOT EXISTS (SELECT 1 FROM generate_series(0, length(keys) - 1, 16) AS place, "
        "LATERAL (SELECT encode(substring(keys FROM place + 1 FOR 16), 'hex')::uuid AS its_key) AS one "
        "WHERE NOT obslog_my_record(of_kind, its_key) AND NOT EXISTS (SELECT 1 FROM changes "
        "WHERE record_kind = of_kind AND record_id = its_key AND after IS NULL "
        "AND obslog_my_image(of_kind, its_key, before)))",
    )


FUNCTIONS = {signature: (gives, query) for signature, gives, query in _functions()}
"""Each by its name and arguments: what it gives, and the query."""
