"""Fits and trends are what the commands say with --json, key by key, and no key is left out."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from obslog import open_club
from obslog.cli.look.shown_values import plain
from obslog.cli.main import main
from obslog.library.table import Table
from tests.test_docs import READ_AT

MOUNTS = ("Bramble", "Silver Heron", "Kelp")


def document(value: Any) -> Any:
    """A record of the library as JSON would have it; a table is a list."""
    if isinstance(value, Table | list):
        return [document(one) for one in value]
    if isinstance(value, Mapping):
        return {name: document(one) for name, one in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: document(getattr(value, field.name)) for field in fields(value)}
    return plain(value)


def answer(club: Path, capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    capsys.readouterr()
    assert main([*words, "--json"], lambda: READ_AT, {"OBSLOG_DB": str(club)}) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("mount", MOUNTS)
def test_a_fit_says_what_its_command_says(
    mount: str, invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = answer(invented_club, capsys, "pointing", "fit", mount)
    with open_club(invented_club) as club:
        found = club.fit(mount)
    told = document(found)
    assert len(told.pop("residuals")) == sum(setup["arrivals"] for setup in said["setups"])
    assert told == said


@pytest.mark.parametrize("mount", MOUNTS)
def test_a_trend_says_what_its_command_says(
    mount: str, invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = answer(invented_club, capsys, "pointing", "trend", mount)
    with open_club(invented_club) as club:
        assert document(club.trend(mount)) == said


def test_services_and_changes_say_what_their_command_says(
    invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with open_club(invented_club) as club:
        trends = [club.trend(mount.name) for mount in club.mounts()]
    told = [trend for trend in trends if trend.services or trend.changes]
    assert any(trend.services for trend in trends), "the invented club has mounts that were serviced"
    for trend in told:
        assert document(trend) == answer(invented_club, capsys, "pointing", "trend", trend.mount)


def test_nights_and_mounts_say_what_their_commands_say(
    invented_club: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with open_club(invented_club) as club:
        nights, mounts = document(club.nights()), document(club.mounts(with_retired=True))
    assert nights == answer(invented_club, capsys, "night", "list")
    said = answer(invented_club, capsys, "mount", "list", "--all")
    assert mounts == [{name: one[name] for name in mounts[0]} for one in said]
    assert len(mounts) > 3
