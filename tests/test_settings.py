"""Where things are, and what the environment asks for."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from obslog.settings import (
    NoDatabaseNamed,
    database_target,
    default_database_path,
    red_theme,
    resource_dir,
)

ROOT = Path(__file__).resolve().parents[1]


def test_the_option_comes_before_the_environment_and_that_before_the_default() -> None:
    environment = {"OBSLOG_DB": "of the environment"}
    assert database_target("of the option", environment) == "of the option"
    assert database_target(None, environment) == "of the environment"
    assert (
        database_target(None, {"OBSLOG_DB": ""}) == database_target(None, {}) == str(default_database_path())
    )


@pytest.mark.skipif(sys.platform != "linux", reason="the folder is another on each platform")
@pytest.mark.parametrize("option", ["", "  "])
def test_an_empty_name_does_not_open_the_usual_database(option: str) -> None:
    with pytest.raises(NoDatabaseNamed):
        database_target(option, {"OBSLOG_DB": "club.db"})


def test_the_default_lies_in_the_platforms_folder_for_data() -> None:
    # The XDG Base Directory Specification: user data goes under $XDG_DATA_HOME.
    script = "from obslog.settings import default_database_path; print(default_database_path())"
    environment = os.environ | {"XDG_DATA_HOME": "/somewhere/data"}
    command = [sys.executable, "-c", script]
    found = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, check=True
    ).stdout
    assert found.strip() == "/somewhere/data/obslog/obslog.db"


@pytest.mark.parametrize(
    ("option", "theme", "expected"),
    [
        (True, "", True),
        (False, "red", True),
        (False, " RED ", True),
        (False, "blue", False),
        (False, None, False),
    ],
)
def test_the_red_theme_is_asked_for_by_option_or_environment(
    option: bool, theme: str | None, expected: bool
) -> None:
    assert red_theme(option, {} if theme is None else {"OBSLOG_THEME": theme}) is expected


@pytest.mark.parametrize("name", ["migrations", "seed_demo"])
def test_what_travels_with_the_program_is_that_of_the_checkout(name: str) -> None:
    assert resource_dir(name) == ROOT / name


def test_what_does_not_travel_with_it_is_not_found() -> None:
    with pytest.raises(FileNotFoundError, match="balloons"):
        resource_dir("balloons")
