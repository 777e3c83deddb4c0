"""One range for each field: the option, the sheet, a typed-up line and the database take and refuse the same values."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from obslog import fields
from obslog.club.paper.page import NightHeading, PaperPage, SetupHead, read_page_line
from obslog.club.paper.trials import try_line
from obslog.errors import ObslogError
from obslog.exchange.arrivals_cells import checked_rows
from obslog.exchange.arrivals_rows import RULES, Fault
from obslog.fields import NumberField, TextField
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.cli.program import Program, written_once

Words = Callable[[str], list[str]]
ARRIVAL = {
    "line": 2, "night": "2026-03-02", "site": "Mill Field", "mount": "Heron", "role": "check", "target": "Vega",
    "utc": "2026-03-02T20:41:00Z",
}  # fmt: skip
TASK = '[[task]]\nof = "mount"\ntask = "x"\ndo = "y"\n'
PAIRS = {
    "ra_hours": {"dec_deg": "80"}, "dec_deg": {"ra_hours": "8"},
    "offset_east_arcmin": {"offset_north_arcmin": "0"}, "offset_north_arcmin": {"offset_east_arcmin": "0"},
}  # fmt: skip


@dataclass(frozen=True)
class Case:
    """Where a field can be filled in: the words of a command, a line typed up, a column of a table and of the sheet."""

    field: NumberField
    column: str
    option: Words | None
    line: Callable[[str], str] | None = None

    @property
    def sheet_column(self) -> str | None:
        name = self.column.split(".")[1]
        return name if self.column.startswith("arrivals.") and name in RULES else None


def side(value: str, positive: str, negative: str) -> str:
    return f"{value.removeprefix('-')}{negative if value.startswith('-') else positive}"


def tube(aperture: str = "200", focal: str = "1000") -> list[str]:
    return ["tube", "add", f"Tube {aperture} {focal}", "--aperture-mm", aperture, "--focal-mm", focal]


def eyepiece(focal: str = "25", field: str = "52", stop: str = "20") -> list[str]:
    return [
        "eyepiece", "add", f"{focal} {field} {stop}", "--focal-mm", focal, "--field-deg", field,
        "--field-stop-mm", stop,
    ]  # fmt: skip


def site(lat: str = "52", lon: str = "0", elevation: str = "20") -> list[str]:
    return [
        "site", "add", f"At {lat} {lon} {elevation}", "--lat", lat, "--lon", lon, "--elevation-m", elevation,
        "--tz", "UTC", "--sure",
    ]  # fmt: skip


def service(*words: str) -> list[str]:
    return ["service", "add", "Heron", "oiled", *words]


def battery(*words: str) -> list[str]:
    return ["service", "battery", "Battery grey", *words]


def check(*words: str) -> list[str]:
    return ["check", *words, "--sure"]


CASES = [
    Case(fields.FIELD_ARCMIN, "arrivals.field_arcmin", lambda v: check("Vega", "--field", v)),
    Case(fields.CENTRING_ARCMIN, "arrivals.centring_arcmin", lambda v: check("Vega", "--centring", v)),
    Case(fields.RA_HOURS, "arrivals.ra_hours", lambda v: check("comet", "--ra", v, "--dec", "80")),
    Case(fields.DEC_DEG, "arrivals.dec_deg", lambda v: check("comet", "--ra", "8", "--dec", v)),
    Case(
        fields.OFFSET_ARCMIN, "arrivals.offset_east_arcmin",
        lambda v: check("Vega", side(v, "E", "W")), lambda v: f"21:05 check Vega {side(v, 'E', 'W')} !",
    ),
    Case(
        fields.OFFSET_ARCMIN, "arrivals.offset_north_arcmin",
        lambda v: check("Vega", side(v, "N", "S")), lambda v: f"21:05 check Vega {side(v, 'N', 'S')} !",
    ),
    Case(fields.MAGNIFICATION, "observations.magnification", lambda v: ["saw", "M 81", "--sure", "--magnification", v]),
    Case(fields.RATING, "observations.rating", lambda v: ["saw", "M 81", "--rating", v]),
    Case(fields.LATITUDE_DEG, "sites.lat_deg", lambda v: site(lat=v)),
    Case(fields.LONGITUDE_DEG, "sites.lon_deg", lambda v: site(lon=v)),
    Case(fields.ELEVATION_M, "sites.elevation_m", lambda v: site(elevation=v)),
    Case(fields.APERTURE_MM, "tubes.aperture_mm", lambda v: tube(aperture=v)),
    Case(fields.TUBE_FOCAL_MM, "tubes.focal_mm", lambda v: tube(focal=v)),
    Case(fields.EYEPIECE_FOCAL_MM, "eyepieces.focal_mm", lambda v: eyepiece(focal=v)),
    Case(fields.APPARENT_FIELD_DEG, "eyepieces.field_deg", lambda v: eyepiece(field=v)),
    Case(fields.FIELD_STOP_MM, "eyepieces.field_stop_mm", lambda v: eyepiece(stop=v)),
    Case(fields.LOAN_TERM_DAYS, "kits.loan_days", lambda v: ["kit", "edit", "Evening kit", "--loan-days", v]),
    Case(fields.KIT_WEIGHT_KG, "kits.weight_kg", lambda v: ["kit", "edit", "Evening kit", "--weight-kg", v]),
    Case(fields.DEPOSIT, "loans.deposit", lambda v: ["loan", "out", f"Case {v}", "Ines", "--deposit", v]),
    Case(fields.COST, "papers.cost", lambda v: ["store", "note", "Heron", "--cost", v]),
    Case(fields.VALUE, "papers.value", lambda v: ["store", "note", "Heron", "--value", v]),
    Case(fields.COST, "service_bills.cost", lambda v: service("--cost", v)),
    Case(fields.NEXT_AFTER_NIGHTS, "service_bills.next_after_nights", lambda v: service("--next-after-nights", v)),
    Case(fields.REST_VOLTS, "battery_tests.rest_volts", lambda v: battery("--rest-volts", v)),
    Case(fields.LOAD_VOLTS, "battery_tests.load_volts", lambda v: battery("--load-volts", v)),
    Case(fields.CAPACITY_PERCENT, "battery_tests.capacity_percent", lambda v: battery("--capacity-percent", v)),
]  # fmt: skip
# What the file of the club's own routine holds.
OF_THE_ROUTINE = [
    (fields.EVERY_MONTHS, "club_tasks.every_months", TASK + "every_months = {}"),
    (fields.EVERY_NIGHTS, "club_tasks.every_nights", TASK + "every_nights = {}"),
    (fields.RENEWALS, "loan_terms.renewals", "[loan]\nrenewals = {}"),
    (fields.LOAN_TERM_DAYS, "kits.loan_days", "[loan]\ndays = {}"),
]
# Worked out; arguments of optics, of sky and targets, and of services (below), that are not kept.
NOT_KEPT = {fields.ALTITUDE_DEG, fields.BARLOW, fields.LOWEST_TO_LOOK_DEG, fields.NEXT_IN_MONTHS}
TEXTS = [
    (fields.TARGET, "target", lambda t: ["check", t, "--as-written"], lambda t: f"21:05 check {t} !"),
    (
        fields.NOTE,
        "note",
        lambda t: ["check", "Vega", "--sure", "--note", t],
        lambda t: f"21:05 check Vega; {t} !",
    ),
]


def typed_values(field: NumberField) -> list[tuple[str, bool]]:
    """The ends, which belong to the range, and what is just beyond them."""
    step = 1 if field.whole else 0.001
    inside = [(f"{end:.12g}", True) for end in (field.low, field.high)]
    return [*inside, (f"{field.low - step:.12g}", False), (f"{field.high + step:.12g}", False)]


def test_every_field_has_a_case_here() -> None:
    known = {field for field in vars(fields).values() if isinstance(field, NumberField)}
    assert known - {case.field for case in CASES} - {field for field, *_ in OF_THE_ROUTINE} - NOT_KEPT == {
        fields.SETUP_ORDINAL
    }  # of sheets alone: below


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.column)
def test_a_number_is_taken_or_refused_alike_everywhere(outside: Program, now: datetime, case: Case) -> None:
    written_once(outside, with_entries)
    for number, (value, good) in enumerate(typed_values(case.field)):
        assert database_takes(outside, case.column, float(value)) is good, value
        if case.sheet_column is not None:
            assert sheet_takes(case.sheet_column, value) is good, value
        if case.line is not None:
            assert line_is_taken(outside, case.line(value), now) is good, value
        if case.option is not None:
            outside.now = now.replace(minute=41 + number)
            answer = outside(*case.option(value))
            assert (answer.code == 0) is good, (value, answer.err)
            assert good or (answer.code, len(answer.error_lines)) == (2, 2)


@pytest.mark.parametrize(("field", "column", "line"), OF_THE_ROUTINE, ids=lambda part: str(part)[:20])
def test_a_number_of_the_clubs_routine_is_taken_or_refused_as_by_the_database(
    outside: Program, tmp_path: Path, field: NumberField, column: str, line: str
) -> None:
    written_once(outside, with_entries)
    file = tmp_path / "routine.toml"
    for value, good in typed_values(field):
        file.write_text(line.format(value), encoding="utf-8")
        answer = outside("rule", "load", str(file))
        assert answer.code == (0 if good else 2), (value, answer.err)
        if answer.code == 0:
            assert database_takes(outside, column, float(value))
    assert not database_takes(outside, column, float(value))


@pytest.mark.parametrize(("value", "good"), typed_values(fields.SETUP_ORDINAL))
def test_the_number_of_a_set_up_is_the_same_in_a_sheet_and_on_record(
    outside: Program, value: str, good: bool
) -> None:
    assert sheet_takes("setup", value) is good
    assert database_takes(outside, "setups.ordinal", float(value)) is good


@pytest.mark.parametrize(("value", "good"), typed_values(fields.NEXT_IN_MONTHS))
def test_the_months_to_the_next_service_have_their_range(outside: Program, value: str, good: bool) -> None:
    assert outside(*service("--next-in-months", value)).code == (0 if good else 2)


@pytest.mark.parametrize("value", ["nan", "inf"])
@pytest.mark.parametrize(
    "command", [service("--cost"), battery("--rest-volts"), ["store", "note", "Heron", "--value"]]
)
def test_what_is_no_number_is_no_amount(outside: Program, command: list[str], value: str) -> None:
    written_once(outside, with_entries)
    assert outside(*command, value).code == 2


@pytest.mark.parametrize(("field", "column", "option", "line"), TEXTS, ids=["target", "note"])
@pytest.mark.parametrize("over", [0, 1])
def test_a_text_is_taken_or_refused_alike_everywhere(
    outside: Program, now: datetime, field: TextField, column: str, option: Words, line: Callable[[str], str], over: int
) -> None:  # fmt: skip
    typed = "x" * (field.longest + over)
    assert sheet_takes(column, typed) is (over == 0)
    assert line_is_taken(outside, line(typed), now) is (over == 0)
    assert (outside(*option(typed)).code == 0) is (over == 0)


def test_a_control_character_is_refused_by_sheet_and_option_and_a_hard_space_is_not(outside: Program) -> None:
    for typed, good in (("Ve\x07ga", False), ("M\u00a031", True)):
        assert sheet_takes("target", typed) is good
        assert (outside("saw", typed).code == 0) is good


def with_entries(program: Program) -> None:
    """A record in every table of the cases."""
    program.must("saw", "M 81", "--at", "21:30")
    program.must("kit", "add", "Evening kit", "--part", "dust cap")
    for name in ("Case", *(f"Case {deposit}" for deposit, _ in typed_values(fields.DEPOSIT))):
        program.must("item", "add", name, "--category", "case")
    program.must("loan", "out", "Case", "Ines")
    program.must("store", "note", "Heron", "--cost", "1")
    program.must(*service("--cost", "1"))
    program.must("item", "add", "Battery grey", "--category", "battery")
    program.must(*battery("--rest-volts", "1"))


def sheet_takes(column: str, value: str) -> bool:
    faults: list[Fault] = []
    cells: dict[str, Any] = {**ARRIVAL, **PAIRS.get(column, {}), column: value}
    return len(checked_rows([cells], faults)) == 1 and not faults


def line_is_taken(program: Program, line: str, now: datetime) -> bool:
    page = PaperPage(
        heading=NightHeading(site="Mill Field", night=date(2026, 3, 2)), parts=(SetupHead(mount="Heron"),)
    )
    database = Database(make_engine(program.environment["OBSLOG_DB"]), "club.db")
    try:
        try_line(database, page, read_page_line(line), now)
    except ObslogError:
        return False
    finally:
        database.close()
    return True


def database_takes(program: Program, column: str, value: float) -> bool:
    """Whether the CHECK lets the value in; nothing is kept."""
    table, name = column.split(".")
    also = "".join(f", {other} = 1" for other in PAIRS.get(name, {}))
    engine = make_engine(program.environment["OBSLOG_DB"])
    try:
        with engine.connect() as connection:
            changed = connection.execute(text(f"UPDATE {table} SET {name} = :value{also}"), {"value": value})
            assert changed.rowcount > 0
        return True
    except IntegrityError:
        return False
    finally:
        engine.dispose()
