"""An observing sheet given out and brought into a club without any observation is the same sheet, whatever it holds."""

import string
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from obslog.club.bring_in.bring_in import bring_in
from obslog.club.bring_in.give_out import sheet_rows, write_sheet_to
from obslog.club.register.undo import undo
from obslog.records.opening import Database
from obslog.vocabulary import FindingMethod, Sighting, Vision
from tests.club.bring_in.sheets import NOW

TEXTS = st.text(
    st.one_of(
        st.sampled_from("=+-@'\";,\n\té€\U0001f52d"), st.characters(codec="utf-8", exclude_categories=["C"])
    ),
    min_size=1,
    max_size=40,
).map(str.strip)
FIRST = datetime(2026, 1, 10, 18, tzinfo=UTC)


def kept(text: str) -> bool:
    """Not one of the words that stand for a blank cell, nor nothing; and no sign at which a line may be cut."""
    from obslog.exchange.spreadsheets.cells import is_blank

    return not is_blank(text) and not is_blank(text.lstrip("'")) and "\r" not in text and "\x85" not in text


def rows() -> st.SearchStrategy[list[dict[str, Any]]]:
    row = st.fixed_dictionaries(
        {
            "target": st.one_of(
                st.sampled_from(["M 81", "Vega", "Jupiter", "NGC 7000"]),
                st.text(string.ascii_lowercase, min_size=8, max_size=12).map(lambda name: f"blot {name}"),
            ),
            "minute": st.integers(0, 600),
            "observer": st.sampled_from([None, "Ines", "Bram Ostler"]),
            "setup": st.sampled_from([None, 1, 2]),
            "eyepiece": st.sampled_from([None, "Wide 25", "Stop 20"]),
            "sighting": st.sampled_from(Sighting),
            "vision": st.sampled_from([None, *Vision]),
            "found_by": st.sampled_from([None, *FindingMethod]),
            "rating": st.sampled_from([None, 1, 5]),
            "magnification": st.one_of(st.integers(1, 5000).map(float), st.just(41.5)),
            "filter": st.one_of(st.none(), TEXTS.filter(kept)),
            "sketch": st.one_of(st.none(), TEXTS.filter(kept)),
            "description": st.one_of(st.none(), TEXTS.filter(kept)),
        }
    )
    return st.lists(row, max_size=6).map(lambda found: [sheet_row(at, one) for at, one in enumerate(found)])


def sheet_row(place: int, told: dict[str, Any]) -> dict[str, Any]:
    at = FIRST + timedelta(days=place % 2, minutes=told.pop("minute"), seconds=place)
    night: date = (at - timedelta(hours=12)).date()
    told |= {"night": night, "utc": at.isoformat().replace("+00:00", "Z"), "site": "Mill Field"}
    on_mount = told["setup"] is not None
    return {**told, "mount": "Heron" if on_mount else None, "tube": "Long tube" if on_mount else None}


@pytest.fixture
def folder() -> Iterator[Path]:
    with TemporaryDirectory() as name:
        yield Path(name)


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(written=rows())
def test_it_comes_back_as_it_was_and_one_undo_takes_it_away(
    sqlite_club: Database, folder: Path, ending: str, written: list[dict[str, Any]]
) -> None:
    path = folder / f"out.{ending}"
    path.unlink(missing_ok=True)
    write_sheet_to(path, "observations", written)
    taken = bring_in(sqlite_club, "observations", path, NOW)
    found = sheet_rows(sqlite_club, "observations")
    assert found == sorted(written, key=lambda row: str(row["utc"]))
    again = bring_in(sqlite_club, "observations", path, NOW)
    assert (taken.new, again.new, again.changed, again.same) == (len(written), 0, 0, len(written))
    if written:
        undo(sqlite_club, NOW)
    assert sheet_rows(sqlite_club, "observations") == []
