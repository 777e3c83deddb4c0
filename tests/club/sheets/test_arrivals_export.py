"""What goes out comes in again the same, into another database: every arrival, and the trend computed from them."""

import csv
import shutil
import tempfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from obslog.cli.performance.documents import trend_document
from obslog.club.over_time.landing_history import mount_history
from obslog.club.sheets.arrivals_export import SheetChoice
from obslog.club.sheets.arrivals_files import arrivals_as_records, export_arrivals_to, import_arrivals
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.club.sheets.sheets import LATER, exported, row, sheet_text, written

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


@pytest.mark.parametrize("sample", ["german_three_syncs.csv", "german_south.csv"])
def test_a_sheet_of_another_program_survives_the_way_into_a_second_database(
    database: Database, sqlite_template: Path, tmp_path: Path, sample: str
) -> None:
    second = open_database(str(shutil.copy(sqlite_template, tmp_path / "second.db")), LATER, lambda _: None)
    with closing(second):
        import_arrivals(database, SAMPLES / sample, LATER, create=True)
        sheet = tmp_path / "out.csv"
        count = export_arrivals_to(database, sheet, SheetChoice())
        assert import_arrivals(second, sheet, LATER, create=True).added == count
        assert exported(second).encode() == sheet.read_bytes()
        assert trend_document(mount_history(second, "Heron")) == trend_document(
            mount_history(database, "Heron")
        )


def test_what_goes_out_is_what_came_in(database: Database, tmp_path: Path) -> None:
    path = SAMPLES / "german_three_syncs.csv"
    import_arrivals(database, path, LATER, create=True)
    with path.open(encoding="utf-8") as file:
        came = sorted(map(_values, csv.DictReader(file)), key=str)
    assert sorted(map(_values, csv.DictReader(exported(database).splitlines())), key=str) == came


def _values(cells: dict[str, str]) -> dict[str, object]:
    """The cells with their numbers read, so that 0.3 and 0.30 are the same."""
    numbers = (
        "ra_hours",
        "dec_deg",
        "offset_east_arcmin",
        "offset_north_arcmin",
        "centring_arcmin",
        "field_arcmin",
    )
    return {name: float(cell) if cell and name in numbers else cell for name, cell in cells.items()}


def test_an_export_holds_what_was_chosen(database: Database, tmp_path: Path) -> None:
    rows = [
        row(),
        row(mount="Bracken", target="Deneb"),
        row(night="2026-03-05", utc="2026-03-05T20:00:00Z"),
        row(site="Kestrel Ridge", utc="2026-03-02T19:00:00Z", target="Canopus"),
    ]
    import_arrivals(database, written(tmp_path, sheet_text(*rows)), LATER, create=True)

    def chosen(**choice: object) -> list[object]:
        records = arrivals_as_records(database, SheetChoice(**choice))  # type: ignore[arg-type]
        return [(str(r["night"]), r["site"], r["mount"], r["target"]) for r in records]

    first = ("2026-03-02", "Mill Field", "Heron", "Vega")
    assert chosen(mount="bracken") == [("2026-03-02", "Mill Field", "Bracken", "Deneb")]
    assert chosen(site="Kestrel Ridge") == [("2026-03-02", "Kestrel Ridge", "Heron", "Canopus")]
    assert first in chosen()
    assert len(chosen()) == 4
    day = LATER.replace(month=3, day=3).date()
    assert chosen(first=day) == [("2026-03-05", "Mill Field", "Heron", "Vega")]
    assert len(chosen(last=day)) == 3


# Names have no control characters and no space at their ends; all else that a keyboard or another program writes.
_SIGNS = st.characters(
    exclude_categories=["Cc", "Cs", "Cf", "Co", "Cn", "Zl", "Zp", "Zs"], include_characters=" ,'\"=+-@;[]\\"
)
_NAMES = st.text(_SIGNS, min_size=1, max_size=30).map(lambda text: " ".join(text.split())).filter(bool)
_NOTES = st.text(_SIGNS | st.sampled_from("\n\t"), max_size=60).map(str.strip)
_FINITE: dict[str, Any] = {"allow_nan": False, "allow_infinity": False}
_ROWS = st.fixed_dictionaries(
    {
        "target": _NAMES,
        "observer": st.just("") | _NAMES,
        "note": _NOTES,
        "place": st.none() | st.tuples(st.floats(0, 23.999, **_FINITE), st.floats(-90, 90, **_FINITE)),
        "offset": st.none()
        | st.tuples(st.floats(-10800, 10800, **_FINITE), st.floats(-10800, 10800, **_FINITE)),
        "landing": st.sampled_from(["", "centred", "in", "edge", "finder", "lost"]),
        "pier_side": st.sampled_from(["", "east", "west"]),
        "role": st.sampled_from(["sync", "check", "goto"]),
        "second": st.integers(0, 59),
    }
)


def _sheet_row(values: dict[str, Any], number: int) -> dict[str, str]:
    """The drawn values as a row, its text guarded against formulas as spreadsheets need it."""
    place, offset = values["place"] or ("", ""), values["offset"] or ("", "")
    text = {name: _guarded(str(values[name])) for name in ("target", "observer", "note")}
    words = {name: str(values[name]) for name in ("landing", "pier_side", "role")}
    return row(
        **text, **words, utc=f"2026-03-02T20:{number:02}:{values['second']:02}Z",
        ra_hours=_number(place[0]), dec_deg=_number(place[1]),
        offset_east_arcmin=_number(offset[0]), offset_north_arcmin=_number(offset[1]),
    )  # fmt: skip


def _number(value: object) -> str:
    return value if isinstance(value, str) else repr(value)


def _guarded(text: str) -> str:
    return f"'{text}" if text.lstrip("'")[:1] in ("=", "+", "-", "@") and text.lstrip("'") else text


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(drawn=st.lists(_ROWS, min_size=1, max_size=8))
def test_any_text_and_number_survives_the_round_trip(
    drawn: list[dict[str, Any]], sqlite_template: Path
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        paths = [shutil.copy(sqlite_template, Path(folder) / name) for name in ("one.db", "two.db")]
        one, two = (open_database(str(path), LATER, lambda _: None) for path in paths)
        with closing(one), closing(two):
            rows = [_sheet_row(values, number) for number, values in enumerate(drawn)]
            import_arrivals(one, written(Path(folder), sheet_text(*rows)), LATER, create=True)
            records = arrivals_as_records(one, SheetChoice())
            assert [r["target"] for r in records] == [values["target"] for values in drawn]
            assert [r["note"] or "" for r in records] == [values["note"] for values in drawn]
            assert [r["offset_east_arcmin"] for r in records] == [
                values["offset"][0] if values["offset"] else None for values in drawn
            ]
            sheet = exported(one)
            taken = import_arrivals(two, written(Path(folder), sheet, "out.csv"), LATER, create=True)
            assert taken.added == len(drawn)
            assert exported(two) == sheet
