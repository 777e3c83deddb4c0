"""the history of every record

Who wrote an act, on which machine, and which act it takes back; many records in one entry; records that are one; and
those that cannot stand in their table beside what is there.

From here on the record of acts tells all that is on record, so that what it does not tell yet is written down now: an
act before all others with what was there, an act for each undoing, which were none so far, and an act after all others
with what was changed without one. The keys of these are made of what is on record, so that two copies of a file that
are upgraded apart say the same.

Revision 0012, after 0011. 2026-11-29 00:55:00.000000
"""

import hashlib
import json
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op
from alembic.operations.base import BatchOperations

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

SPREAD = {"Eyepiece": "eyepieces", "Item": "items", "Mount": "mounts", "Tube": "tubes"}
"""Kinds whose records lie in two tables: a row of equipment, and one of their own."""

ALONE = {
    "Absence": "absences",
    "Arrival": "arrivals",
    "Attendance": "attendances",
    "BatteryTest": "battery_tests",
    "ClubRule": "club_rules",
    "Contact": "contacts",
    "Kit": "kits",
    "KitPart": "kit_parts",
    "Loan": "loans",
    "LoanPart": "loan_parts",
    "Member": "members",
    "MendedSnag": "mended_snags",
    "Night": "nights",
    "NotOnRecord": "stocktake_unknowns",
    "Observation": "observations",
    "Paper": "papers",
    "Photograph": "photographs",
    "Reminder": "reminders",
    "Renewal": "renewals",
    "Reservation": "reservations",
    "Retirement": "retirements",
    "Service": "services",
    "ServiceBill": "service_bills",
    "ServiceTask": "service_tasks",
    "Setup": "setups",
    "Site": "sites",
    "SkyReading": "sky_readings",
    "Snag": "snags",
    "Stocktake": "stocktakes",
    "StocktakeTick": "stocktake_ticks",
    "Tick": "ticks",
}
KINDS = ALONE | SPREAD
BEFORE_HISTORY = "what was on record before history was kept"
WITHOUT_AN_ACT = "what was changed without an act before history was kept"
LONGEST_SENTENCE = 1000
AT_ONCE = 500  # keys in one statement
DERIVED = "substr(CAST({id} AS TEXT), 15, 1) = '8'"


def upgrade() -> None:
    with _acts() as batch:
        batch.add_column(sa.Column("who", sa.Text(), nullable=True))
        batch.add_column(sa.Column("origin", _key(), nullable=True))
        batch.add_column(sa.Column("undoes_id", _key(), nullable=True))
        batch.create_check_constraint(op.f("ck_acts_who_length"), "length(who) BETWEEN 1 AND 200")
        batch.create_foreign_key(op.f("fk_acts_undoes_id_acts"), "acts", ["undoes_id"], ["id"])
        batch.drop_column("settled_utc")
    op.create_index(op.f("ix_acts_undoes_id"), "acts", ["undoes_id"])
    op.create_table(
        "change_batches",
        sa.Column("id", _key(), nullable=False),
        sa.Column("act_id", _key(), nullable=False),
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("first_id", _key(), nullable=False),
        sa.Column("last_id", _key(), nullable=False),
        sa.Column("records", sa.Integer(), nullable=False),
        sa.Column("record_ids", sa.LargeBinary(), nullable=False),
        sa.Column("images", sa.LargeBinary(), nullable=True),
        sa.CheckConstraint("what IN ('added', 'removed')", name=op.f("ck_change_batches_what_known")),
        sa.CheckConstraint(
            "what <> 'removed' OR images IS NOT NULL", name=op.f("ck_change_batches_removed_kept")
        ),
        sa.CheckConstraint("records > 0", name=op.f("ck_change_batches_records_some")),
        sa.ForeignKeyConstraint(["act_id"], ["acts.id"], name=op.f("fk_change_batches_act_id_acts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_change_batches")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_change_batches_act_id"), "change_batches", ["act_id"])
    op.create_index(
        op.f("ix_change_batches_record_kind_change_batches_first_id"),
        "change_batches",
        ["record_kind", "first_id"],
    )
    op.create_table(
        "same_records",
        sa.Column("id", _key(), nullable=False),
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("gone_id", _key(), nullable=False),
        sa.Column("kept_id", _key(), nullable=False),
        sa.CheckConstraint("gone_id <> kept_id", name=op.f("ck_same_records_two_records")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_same_records")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_same_records_gone_id"), "same_records", ["gone_id"])
    op.create_table(
        "parked_records",
        sa.Column("record_kind", sa.Text(), nullable=False),
        sa.Column("record_id", _key(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("against_id", _key(), nullable=True),
        sa.Column("image", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("record_kind", "record_id", name=op.f("pk_parked_records")),
        sqlite_strict=True,
    )
    _tell_all_that_is_on_record()


def downgrade() -> None:
    """The tables as they were; an act that takes another back goes, and the other stays undone."""
    op.drop_table("parked_records")
    op.drop_table("same_records")
    op.drop_table("change_batches")
    gone = f"undoes_id IS NOT NULL OR {DERIVED.format(id='id')}"
    op.execute(f"DELETE FROM changes WHERE act_id IN (SELECT id FROM acts WHERE {gone})")
    op.execute(f"DELETE FROM acts WHERE {gone}")
    op.drop_index(op.f("ix_acts_undoes_id"), "acts")
    with _acts() as batch:
        batch.drop_constraint(op.f("fk_acts_undoes_id_acts"), type_="foreignkey")
        batch.drop_constraint(op.f("ck_acts_who_length"), type_="check")
        batch.drop_column("undoes_id")
        batch.drop_column("origin")
        batch.drop_column("who")
        batch.add_column(sa.Column("settled_utc", _instant(), nullable=True))
    op.execute("UPDATE acts SET settled_utc = undone_utc")


@contextmanager
def _acts() -> Iterator[BatchOperations]:
    """The table of acts, to be changed; SQLite makes it anew."""
    with op.batch_alter_table(
        "acts",
        recreate="always" if op.get_bind().dialect.name == "sqlite" else "never",
        table_kwargs={"sqlite_strict": True},
        reflect_kwargs={"resolve_fks": False},
    ) as batch:
        yield batch


def _key() -> sa.Uuid[uuid.UUID]:
    return sa.Uuid().with_variant(sa.Text(), "sqlite")


def _instant() -> sa.DateTime:
    return sa.DateTime(timezone=True).with_variant(sa.Text(), "sqlite")


@dataclass
class Told:
    """The record of acts as it was: acts and changes in their order, with what is added to both."""

    acts: list[dict[str, Any]]
    changes: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    new_acts: list[dict[str, Any]] = field(default_factory=list)
    new_changes: list[dict[str, Any]] = field(default_factory=list)
    batches: list[dict[str, Any]] = field(default_factory=list)

    def in_order(self) -> Iterator[dict[str, Any]]:
        """Every change, those of undoings too."""
        by_act = dict(self.changes)
        for change in self.new_changes:
            by_act.setdefault(change["act_id"], []).append(change)
        for act in sorted((*self.acts, *self.new_acts), key=lambda act: act["id"]):
            yield from sorted(by_act.get(act["id"], ()), key=lambda change: change["id"])


def _tell_all_that_is_on_record() -> None:
    told = _told()
    _tell_undoings(told)
    first = _first_images(told)
    on_record = {kind: _keys(table) for kind, table in KINDS.items()}
    there = {
        kind: sorted(
            {key for key in keys if (kind, key) not in first}
            | {key for (of_kind, key), before in first.items() if of_kind == kind and before}
        )
        for kind, keys in on_record.items()
    }
    _tell_differences(told, on_record)
    _tell_what_was_there(told, there)
    _write("acts", told.new_acts)
    _write("changes", told.new_changes)
    _write("change_batches", told.batches)


def _told() -> Told:
    acts = _rows_by_name("acts", ("id", "at_utc", "sentence", "undone_utc"))
    told = Told(sorted(acts, key=lambda act: act["id"]))
    for change in _rows_by_name("changes", ("id", "act_id", "record_kind", "record_id", "before", "after")):
        told.changes.setdefault(change["act_id"], []).append(change)
    return told


def _tell_undoings(told: Told) -> None:
    """An act for each undoing: after all that was there when it was undone, and before what came then."""
    behind: dict[str, list[dict[str, Any]]] = {}
    for place, act in enumerate(told.acts):
        if act["undone_utc"] is None or act["id"] not in told.changes:
            continue
        last = act
        for newer in told.acts[place + 1 :]:
            if newer["undone_utc"] is None or newer["at_utc"] > act["undone_utc"]:
                break
            last = newer
        behind.setdefault(last["id"], []).append(act)
    for last_id, undone in behind.items():
        for number, act in enumerate(reversed(undone), start=1):
            _tell_undoing(told, act, _after(last_id, number))


def _tell_undoing(told: Told, act: Mapping[str, Any], key: str) -> None:
    sentence = f"undo: {act['sentence']}"[:LONGEST_SENTENCE]
    told.new_acts.append(_act(key, act["undone_utc"], sentence, undoes_id=act["id"]))
    changes = sorted(told.changes[act["id"]], key=lambda change: change["id"])
    for number, change in enumerate(reversed(changes), start=1):
        turned = {"before": change["after"], "after": change["before"]}
        told.new_changes.append(change | turned | {"id": _after(changes[-1]["id"], number), "act_id": key})


def _first_images(told: Told) -> dict[tuple[str, str], bool]:
    """Of each record in the record of acts whether it was there before its first change."""
    first: dict[tuple[str, str], bool] = {}
    for change in told.in_order():
        first.setdefault((change["record_kind"], change["record_id"]), change["before"] is not None)
    return first


def _tell_differences(told: Told, on_record: Mapping[str, list[str]]) -> None:
    """Records that are not what the record of acts says of them: changed without an act, in the order of their keys."""
    state: dict[str, dict[str, str | None]] = {}
    for change in told.in_order():
        state.setdefault(change["record_kind"], {})[change["record_id"]] = change["after"]
    found = []
    for kind in sorted(state.keys() & KINDS.keys()):
        images = _images(kind, [key for key in on_record[kind] if key in state[kind]])
        for key, said in sorted(state[kind].items()):
            image = images.get(key)
            before = None if said is None else json.loads(said)
            if _differ(before, image):
                found.append((kind, key, before, image))
    if not found:
        return
    newest = uuid.UUID(max(act["id"] for act in (*told.acts, *told.new_acts)))
    act_id = _derived(newest.int >> 80, 0xFFF, found)
    told.new_acts.append(_act(act_id, max(act["at_utc"] for act in told.acts), WITHOUT_AN_ACT))
    for number, (kind, key, before, image) in enumerate(found):
        told.new_changes.append(
            {
                "id": _after(act_id, number + 1),
                "act_id": act_id,
                "record_kind": kind,
                "record_id": key,
                "before": None if before is None else json.dumps(before),
                "after": None if image is None else json.dumps(image),
            }
        )


def _differ(said: Mapping[str, Any] | None, image: Mapping[str, Any] | None) -> bool:
    if said is None or image is None:
        return said is not image
    return any(said.get(name) != value for name, value in image.items())


def _tell_what_was_there(told: Told, there: Mapping[str, list[str]]) -> None:
    """One act before all others, with the keys of the records that no act added."""
    found = {kind: keys for kind, keys in there.items() if keys}
    if not found:
        return
    oldest = min(uuid.UUID(keys[0]).int for keys in found.values())
    oldest = min([oldest, *(uuid.UUID(act["id"]).int for act in told.acts[:1])])
    milliseconds = max((oldest >> 80) - 1, 0)
    act_id = _derived(milliseconds, 0, found)
    at_utc = datetime.fromtimestamp(milliseconds / 1000, UTC).isoformat(timespec="microseconds")[:26] + "Z"
    told.new_acts.append(_act(act_id, at_utc, BEFORE_HISTORY))
    for number, (kind, keys) in enumerate(sorted(found.items())):
        told.batches.append(
            {
                "id": _derived(milliseconds, number + 1, [act_id, kind]),
                "act_id": act_id,
                "record_kind": kind,
                "what": "added",
                "first_id": keys[0],
                "last_id": keys[-1],
                "records": len(keys),
                "record_ids": bytes.fromhex("".join(keys).replace("-", "")),
                "images": None,
            }
        )


def _act(key: str, at_utc: str, sentence: str, undoes_id: str | None = None) -> dict[str, Any]:
    return {"id": key, "at_utc": at_utc, "sentence": sentence, "undoes_id": undoes_id}


def _keys(table: str) -> list[str]:
    return sorted(_stored(key) for (key,) in _rows(table, ("id",)))


def _images(kind: str, keys: list[str]) -> dict[str, dict[str, Any]]:
    """Records as the record of acts holds them: columns by name, as SQLite stores them."""
    images: dict[str, dict[str, Any]] = {}
    inspector = sa.inspect(op.get_bind())
    for table in (*(("equipment",) if kind in SPREAD else ()), KINDS[kind]):
        names = [c["name"] for c in inspector.get_columns(table) if c["name"] != "search_text"]
        for start in range(0, len(keys), AT_ONCE):
            for image in _rows_by_name(table, names, keys[start : start + AT_ONCE]):
                images.setdefault(image["id"], {}).update(image)
    return images


def _rows_by_name(table: str, names: Sequence[str], keys: list[str] | None = None) -> list[dict[str, Any]]:
    return [dict(zip(names, map(_stored, row), strict=True)) for row in _rows(table, names, keys)]


def _rows(table: str, names: Iterable[str], keys: list[str] | None = None) -> list[Any]:
    """Rows as the driver gives them."""
    columns: list[sa.ColumnClause[Any]] = [sa.column(name) for name in names]
    query = sa.select(*columns).select_from(sa.table(table))
    if keys is not None:
        on_sqlite = op.get_bind().dialect.name == "sqlite"
        query = query.where(sa.column("id").in_(keys if on_sqlite else [uuid.UUID(key) for key in keys]))
    return list(op.get_bind().execute(query))


def _write(table: str, rows: list[dict[str, Any]]) -> None:
    if rows:
        op.get_bind().execute(sa.insert(sa.table(table, *(sa.column(name) for name in rows[0]))), rows)


def _stored(value: Any) -> Any:
    """A value of either driver as SQLite stores it."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="microseconds")[:26] + "Z"
    return value.isoformat() if isinstance(value, date) else value


def _after(key: str, number: int) -> str:
    """A key that comes so many places after another, and before whatever came next."""
    return str(uuid.UUID(int=uuid.UUID(key).int + number))


def _derived(milliseconds: int, place: int, content: Any) -> str:
    """A key of that time that is made of what it stands for (RFC 9562, section 5.8: version 8)."""
    digest = hashlib.sha256(json.dumps(content, sort_keys=True).encode()).digest()
    random = int.from_bytes(digest[:8], "big") >> 2
    return str(uuid.UUID(int=milliseconds << 80 | 8 << 76 | place << 64 | 2 << 62 | random))
