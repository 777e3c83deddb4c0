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
from sqlalchemy import select

from obslog.club.bring_in.bring_in import bring_in
from obslog.club.bring_in.give_out import sheet_rows, write_sheet_to
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Night, SkyReading
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.sky_scales import SKY_SCALE_RANGE, SkyScale
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
    told |= dict.fromkeys(scale.column for scale in SkyScale)
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


READINGS = st.lists(
    st.sampled_from([SkyScale.ANTONIADI, SkyScale.SKY_METER, SkyScale.TEMPERATURE_C]).flatmap(
        lambda scale: st.tuples(
            st.just(scale),
            st.floats(*SKY_SCALE_RANGE[scale]).map(lambda value: round(value, 2) + 0.0),
            st.one_of(st.none(), st.integers(-60, 700)),
            st.integers(0, 1),
        )
    ),
    max_size=8,
)


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(written=rows(), readings=READINGS)
def test_what_the_sky_was_like_comes_back_with_them(
    sqlite_club: Database,
    folder: Path,
    ending: str,
    written: list[dict[str, Any]],
    readings: list[tuple[SkyScale, float, int | None, int]],
) -> None:
    """Whatever was read before, between and after the observations, or of the whole night."""
    path = folder / f"sky.{ending}"
    path.unlink(missing_ok=True)
    write_sheet_to(path, "observations", written)
    bring_in(sqlite_club, "observations", path, NOW)
    acts = int(bool(written)) + read_the_sky(sqlite_club, readings)
    path.unlink()
    given_out = sheet_rows(sqlite_club, "observations")
    write_sheet_to(path, "observations", given_out)
    again = bring_in(sqlite_club, "observations", path, NOW)
    assert (again.new, again.changed) == (0, 0), "the club knows all of it"
    for _ in range(acts):
        undo(sqlite_club, NOW)
    assert sheet_rows(sqlite_club, "observations") == []
    bring_in(sqlite_club, "observations", path, NOW)
    assert sheet_rows(sqlite_club, "observations") == given_out
    if written:
        undo(sqlite_club, NOW)


def read_the_sky(database: Database, readings: list[tuple[SkyScale, float, int | None, int]]) -> int:
    """Put readings on record in the nights that there are; gives how many acts that took."""
    with database.read() as session:
        nights = session.execute(select(Night.id, Night.night_of).order_by(Night.night_of)).all()
    if not nights or not readings:
        return 0
    with database.write(NOW, "read the sky") as session:
        for scale, value, minute, place in readings:
            key, night_of = nights[place % len(nights)]
            begin = datetime.combine(night_of, FIRST.timetz())
            at = None if minute is None else begin + timedelta(minutes=minute)
            session.add(SkyReading(night_id=key, scale=scale, value=value, at_utc=at))
    return 1
