"""Nights with all that was recorded in them, observations and snags say what their commands say."""

from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from obslog import open_club
from obslog.exchange.arrivals_rows import COLUMNS
from obslog.exchange.spreadsheets.columns import kinds
from obslog.grammar.typed_times import UnreadableDate
from obslog.library import logbook_records as records
from tests.library.test_answers import answer, document


def test_an_arrival_has_the_columns_of_the_sheet() -> None:
    assert tuple(field.name for field in fields(records.Arrival)) == COLUMNS


def test_an_observation_has_the_columns_of_the_sheet() -> None:
    given_out = tuple(column.name for column in kinds()["observations"].columns if column.given_out)
    assert tuple(field.name for field in fields(records.Observation)) == given_out


def test_observations_say_what_their_command_says(
    invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with open_club(invented_club) as club:
        everything, of_one = club.observations(), club.observations(observer="Maud Ellery")
    assert document(everything) == answer(invented_club, capsys, "export", "observations")
    assert document(of_one) == answer(
        invented_club, capsys, "export", "observations", "--member", "Maud Ellery"
    )
    assert len(everything) > len(of_one) > 0
    assert {one.utc.tzinfo for one in everything} == {UTC}


def test_snags_say_what_their_command_says(invented_club: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open_club(invented_club) as club:
        still, everything = club.snags(mount="Bramble"), club.snags(with_fixed=True)
    assert document(still) == answer(invented_club, capsys, "snag", "list", "--mount", "Bramble")
    assert document(everything) == answer(invented_club, capsys, "snag", "list", "--all")
    assert len(everything) > len(still) > 0


def test_a_night_has_all_that_its_command_shows(
    invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with open_club(invented_club) as club:
        night = club.night("2026-10-10")
    said = answer(invented_club, capsys, "night", "show", "--night", "2026-10-10")
    told = document(night)
    for name in ("night", "site", "open", "present", "setups", "note", "snags"):
        assert told[name] == said[name], name
    assert told["sky"] == [_but(one, "at") for one in said["sky"]]
    assert _in_common(told["arrivals"], said["arrivals"]) == _in_common(said["arrivals"], said["arrivals"])
    seen, shown = told["observations"], said["observations"]
    assert _in_common(seen, shown) == _in_common(shown, shown)
    assert len(night.arrivals) == len(said["arrivals"]) > 5
    assert len(night.observations) == len(said["observations"]) > 1


def test_a_night_knows_when_it_began_and_ended_in_universal_time(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        night = club.night("2026-10-10")
    assert isinstance(night.started_utc, datetime)
    assert night.started_utc.tzinfo is UTC
    assert night.ended_utc is not None
    assert night.started_utc < min(one.utc for one in night.arrivals) < night.ended_utc


def test_without_a_name_it_is_the_newest_night(invented_club: Path) -> None:
    with open_club(invented_club) as club:
        assert club.night().night == club.nights(most=1)[0].night
        with pytest.raises(UnreadableDate):
            club.night("last week")


def _but(record: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in record.items() if name not in names}


def _in_common(rows: list[dict[str, Any]], shown: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Of rows what both a sheet and a screen tell, in order of time."""
    renamed = [{("utc" if name == "at_utc" else name): row[name] for name in row} for row in rows]
    both = {"utc" if name == "at_utc" else name for name in shown[0]} & _SHEETS - {"number"}
    return sorted(({name: row[name] for name in both} for row in renamed), key=lambda row: str(row["utc"]))


_SHEETS = {field.name for kind in (records.Arrival, records.Observation) for field in fields(kind)}
