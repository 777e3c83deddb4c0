"""The database itself refuses what cannot be: wrong types, values out of range, records that refer to nothing."""

import re
from datetime import datetime
from uuid import uuid4

import pytest
from sqlalchemy import CheckConstraint, inspect, text, update
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.tables.base import NAMING, name_key
from obslog.records.tables.logbook_tables import Member, Mount, Site, Snag, Tube
from obslog.records.tables.schema import metadata

FOREIGN_KEY = "(?i)foreign key"
TOO_LONG = "x" * 4001
BAD_VALUES = [
    ("calls", "note", "''", "note_length"),
    ("acts", "sentence", "''", "sentence_length"),
    ("acts", "who", "''", "who_length"),
    ("change_batches", "records", "0", "records_some"),
    ("change_batches", "what", "'kept'", "what_known"),
    ("change_batches", "what", "'removed'", "removed_kept"),
    ("same_records", "gone_id", "kept_id", "two_records"),
    ("arrivals", "centring_arcmin", "-1", "centring_arcmin_range"),
    ("arrivals", "dec_deg", "90.1", "dec_deg_range"),
    ("arrivals", "field_arcmin", "0.009", "field_arcmin_range"),
    ("arrivals", "landing", "'nearby'", "landing_known"),
    ("arrivals", "offset_east_arcmin", "1", "offset_whole"),
    ("arrivals", "offset_east_arcmin", "10801", "offset_east_arcmin_range"),
    ("arrivals", "offset_north_arcmin", "-10801", "offset_north_arcmin_range"),
    ("arrivals", "pier_side", "'north'", "pier_side_known"),
    ("arrivals", "ra_hours", "1", "place_whole"),
    ("arrivals", "ra_hours", "24.5", "ra_hours_range"),
    ("arrivals", "role", "'glance'", "role_known"),
    ("arrivals", "search_text", "'vega'", "search_text_kept"),
    ("arrivals", "target", "''", "target_length"),
    ("equipment", "kind", "'balloon'", "kind_known"),
    ("equipment", "name", "''", "name_length"),
    ("eyepieces", "field_deg", "151", "field_deg_range"),
    ("eyepieces", "field_stop_mm", "101", "field_stop_mm_range"),
    ("eyepieces", "focal_mm", "0.4", "focal_mm_range"),
    ("items", "sort", "''", "sort_length"),
    ("members", "name", "''", "name_length"),
    ("mounts", "controller", "'guess'", "controller_known"),
    ("mounts", "mount_type", "'tripod'", "mount_type_known"),
    ("observations", "alt_deg", "91", "alt_deg_range"),
    ("observations", "filter", "''", "filter_length"),
    ("observations", "found_by", "'luck'", "found_by_known"),
    ("observations", "magnification", "5001", "magnification_range"),
    ("observations", "rating", "6", "rating_range"),
    ("nights", "note", "'windy'", "search_text_kept"),
    ("observations", "search_text", "NULL", "search_text_kept"),
    ("observations", "sighting", "'maybe'", "sighting_known"),
    ("observations", "sketch", "''", "sketch_length"),
    ("observations", "target", "''", "target_length"),
    ("observations", "vision", "'both'", "vision_known"),
    ("services", "search_text", "NULL", "search_text_kept"),
    ("services", "text", f"'{TOO_LONG}'", "text_length"),
    ("setups", "note", "'windy'", "search_text_kept"),
    ("setups", "ordinal", "0", "ordinal_range"),
    ("setups", "pier_side", "'east'", "flip_whole"),
    ("setups", "pier_side", "'north'", "pier_side_known"),
    ("sites", "elevation_m", "9001", "elevation_m_range"),
    ("sites", "horizon", "''", "horizon_length"),
    ("sites", "lat_deg", "95", "lat_deg_range"),
    ("sites", "lon_deg", "-180.5", "lon_deg_range"),
    ("sites", "name", f"'{TOO_LONG}'", "name_length"),
    ("sky_readings", "note", "''", "note_length"),
    ("sky_readings", "scale", "'feeling'", "scale_known"),
    ("sky_readings", "value", "1001", "value_range"),
    ("snags", "search_text", "NULL", "search_text_kept"),
    ("snags", "step", "''", "step_length"),
    ("snags", "text", "''", "text_length"),
    ("ticks", "step", "''", "step_length"),
    ("ticks", "value", "''", "value_length"),
    ("absences", "found_on", "'2026-01-01'", "found_after_since"),
    ("battery_tests", "capacity_percent", "201", "capacity_percent_range"),
    ("battery_tests", "load_volts", "-1", "load_volts_range"),
    ("battery_tests", "rest_volts", "101", "rest_volts_range"),
    ("club_rules", "value", "-1", "value_range"),
    ("club_rules", "value", "NULL", "value_or_word"),
    ("club_rules", "word", "'', value = NULL", "word_length"),
    ("kit_parts", "label", "''", "label_length"),
    ("kit_parts", "missing_since", "'2026-01-01'", "missing_label"),
    ("kits", "loan_days", "0", "loan_days_range"),
    ("kits", "name", "''", "name_length"),
    ("kits", "weight_kg", "1001", "weight_kg_range"),
    ("loan_parts", "condition_in", "'fine'", "condition_in_known"),
    ("loan_parts", "condition_out", "'fine'", "condition_out_known"),
    ("loan_parts", "label", "''", "label_length"),
    ("loan_parts", "word_in", "''", "word_in_length"),
    ("loan_parts", "word_out", "''", "word_out_length"),
    ("club_steps", "place", "0", "place_range"),
    ("club_steps", "step", "''", "step_length"),
    ("club_steps", "title", "''", "title_length"),
    ("club_steps", "tolerance", "''", "tolerance_length"),
    ("club_steps", "what_to_do", "''", "what_to_do_length"),
    ("club_steps", "why", "''", "why_length"),
    ("club_tasks", "caution", "''", "caution_length"),
    ("club_tasks", "due_when", "''", "due_when_length"),
    ("club_tasks", "due_when", "'it squeaks'", "every_or_when"),
    ("club_tasks", "every_months", "241", "every_months_range"),
    ("club_tasks", "every_nights", "0", "every_nights_range"),
    ("club_tasks", "place", "0", "place_range"),
    ("club_tasks", "source", "''", "source_length"),
    ("club_tasks", "task", "''", "task_length"),
    ("club_tasks", "task_of", "''", "task_of_length"),
    ("club_tasks", "what_to_do", "''", "what_to_do_length"),
    ("condition_words", "means", "'so so'", "means_known"),
    ("condition_words", "place", "0", "place_range"),
    ("condition_words", "word", "''", "word_length"),
    ("loan_terms", "place", "2", "place_range"),
    ("loan_terms", "renewals", "-1", "renewals_range"),
    ("loan_terms", "text", "''", "text_length"),
    ("loans", "back_on", "'2026-01-31'", "back_after_out"),
    ("loans", "deposit", "-1", "deposit_range"),
    ("loans", "due_on", "'2026-01-31'", "due_after_out"),
    ("loans", "kit_id", "NULL", "kit_or_thing"),
    ("papers", "acquired", "'found'", "acquired_known"),
    ("papers", "cost", "-1", "cost_range"),
    ("papers", "value", "-1", "value_range"),
    ("photographs", "file_name", "''", "file_name_length"),
    ("receipts", "file_name", "''", "file_name_length"),
    ("receipts", "sha256", "''", "sha256_length"),
    ("reminders", "file_name", "''", "file_name_length"),
    ("reminders", "level", "'angry'", "level_known"),
    ("reminders", "loan_id", "NULL", "loan_or_reservation"),
    ("reminders", "text_sha256", "''", "text_sha256_length"),
    ("renewals", "due_after", "'2026-03-01'", "later"),
    ("reservations", "kit_id", "NULL", "kit_or_thing"),
    ("retirements", "back_on", "'2024-12-31'", "back_after_retired"),
    ("retirements", "equipment_id", "NULL", "kit_or_thing"),
    ("service_bills", "cost", "-1", "cost_range"),
    ("service_bills", "next_after_nights", "0", "next_after_nights_range"),
    ("service_bills", "next_when", "''", "next_when_length"),
    ("service_tasks", "task", "''", "task_length"),
    ("stocktake_lines", "equipment_id", "NULL", "item_or_part"),
    ("stocktake_lines", "found", "'stolen'", "found_known"),
    ("stocktake_lines", "kit", "''", "kit_length"),
    ("stocktake_lines", "name", "''", "name_length"),
    ("stocktake_lines", "status", "''", "status_length"),
    ("stocktake_lines", "value", "-1", "value_range"),
    ("stocktake_ticks", "found_place", "''", "found_place_length"),
    ("stocktake_ticks", "note", "''", "note_length"),
    ("stocktake_unknowns", "found_place", "''", "found_place_length"),
    ("stocktake_unknowns", "text", "''", "text_length"),
    ("stocktakes", "expected", "-1", "expected_range"),
    ("stocktakes", "finished_on", "'2026-01-31'", "finished_after_started"),
    ("stocktakes", "not_found", "1000001", "not_found_range"),
    ("tubes", "aperture_mm", "9", "aperture_mm_range"),
    ("tubes", "focal_mm", "50001", "focal_mm_range"),
]
# A value out of range breaks the pair too, when only one of it is given: then either name may be reported.
PAIRED = {
    "ra_hours_range", "dec_deg_range", "offset_east_arcmin_range", "offset_north_arcmin_range", "pier_side_known",
    "due_when_length",
}  # fmt: skip


@pytest.mark.parametrize(("table", "column", "value", "rule"), BAD_VALUES, ids=lambda part: part[:30])
def test_a_bad_value_is_refused_with_the_name_of_the_rule(
    full_database: Database, table: str, column: str, value: str, rule: str
) -> None:
    names = (
        f"ck_{table}_({rule}{'|place_whole|offset_whole|flip_whole|every_or_when' if rule in PAIRED else ''})"
    )
    with full_database.engine.connect() as connection, pytest.raises(IntegrityError, match=names):
        connection.execute(text(f"UPDATE {table} SET {column} = {value}"))


def test_every_rule_has_a_case_here() -> None:
    rules = {
        str(rule.name)
        for table in metadata.tables.values()
        for rule in table.constraints
        if isinstance(rule, CheckConstraint)
    }
    assert rules == {f"ck_{table}_{rule}" for table, _, _, rule in BAD_VALUES}


@pytest.mark.parametrize("number", ["nan", "inf", "-inf"])
def test_no_number_that_is_none_gets_in(full_database: Database, number: str) -> None:
    # SQLite itself stores nan as NULL, which a column that must have a value refuses.
    with full_database.engine.connect() as connection, pytest.raises(IntegrityError):
        connection.execute(update(metadata.tables["sky_readings"]).values(value=float(number)))


def test_text_in_a_column_of_numbers_is_refused(full_database: Database) -> None:
    with full_database.engine.connect() as connection, pytest.raises(DBAPIError) as caught:
        connection.execute(text("UPDATE sites SET lat_deg = 'north'"))
    expected = "cannot store TEXT value in REAL column|invalid input syntax for type double precision"
    assert re.search(expected, str(caught.value))


def test_all_tables_are_strict_on_sqlite(sqlite_database: Database) -> None:
    with sqlite_database.engine.connect() as connection:
        listed = connection.exec_driver_sql(
            "SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"
        ).all()
    strict = {name for name, is_strict in listed if is_strict}
    assert strict == set(metadata.tables)


@pytest.mark.parametrize("column", ["setup_id", "equipment_id", "member_id", "site_id"])
def test_a_reference_to_nothing_is_refused(full_database: Database, column: str) -> None:
    with full_database.engine.connect() as connection, pytest.raises(IntegrityError, match=FOREIGN_KEY):
        connection.execute(update(Snag).values({column: uuid4()}))


def test_what_others_refer_to_cannot_be_removed(full_database: Database) -> None:
    with full_database.engine.connect() as connection, pytest.raises(IntegrityError, match=FOREIGN_KEY):
        connection.execute(text("DELETE FROM setups"))


@pytest.mark.parametrize(
    ("kind", "name", "table", "columns"),
    [
        (Site, "Mill Field", "sites", ["name_key"]),
        (Member, "Ines", "members", ["name_key"]),
        (Mount, "Heron", "equipment", ["kind", "name_key"]),
    ],
)
def test_a_second_record_of_one_name_is_refused(
    full_database: Database, kind: type[Site | Member | Mount], name: str, table: str, columns: list[str]
) -> None:
    on_sqlite = "UNIQUE constraint failed: " + ", ".join(f"{table}.{column}" for column in columns)
    with Session(full_database.engine) as session:
        session.add(kind(name=name.upper(), name_key=name_key(name)))
        with pytest.raises(IntegrityError, match=f"{on_sqlite}|uq_{table}_{'_'.join(columns)}"):
            session.flush()


def test_things_of_different_kinds_may_share_a_name(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        session.add(Tube(name="Heron", name_key="heron"))


@pytest.mark.filterwarnings("ignore:Skipped unsupported reflection of expression-based index")
def test_all_names_of_constraints_follow_the_convention(database: Database) -> None:
    found: list[tuple[str, str, str | None]] = []
    with database.engine.connect() as connection:
        inspector = inspect(connection)
        for table in metadata.tables:
            found.append(("pk", table, inspector.get_pk_constraint(table)["name"]))
            found += [("uq", table, rule["name"]) for rule in inspector.get_unique_constraints(table)]
            found += [("ck", table, rule["name"]) for rule in inspector.get_check_constraints(table)]
            found += [("fk", table, rule["name"]) for rule in inspector.get_foreign_keys(table)]
            unique = {rule["name"] for rule in inspector.get_unique_constraints(table)}
            indexes = {index["name"] for index in inspector.get_indexes(table)} - unique
            found += [("ix", table, index) for index in indexes]
    assert {kind for kind, _, _ in found} == set(NAMING)
    assert [name for kind, table, name in found if not str(name).startswith(f"{kind}_{table}")] == []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Mill Field", "  mill   FIELD "),
        ("Straße", "STRASSE"),
        ("Ａｄａ", "ada"),  # full-width letters
        ("Zoe\u0308", "ZOË"),
        ("ΐ", "Ϊ\u0301"),  # its own capital, which is two characters
        ("\ufb01eld", "FIELD"),
    ],
)
def test_spellings_of_one_name_share_their_key(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


def test_different_names_keep_different_keys() -> None:
    assert len({name_key(name) for name in ("Ines", "Inés", "Ines 1", "Ines1", "In es")}) == 5
