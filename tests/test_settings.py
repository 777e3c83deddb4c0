"""Where things are, and what the environment asks for."""

import json
import os
import re
import stat
import subprocess
import sys
from pathlib import Path
from uuid import UUID

import pytest

from obslog.files import atomic_file
from obslog.settings import (
    NoDatabaseNamed,
    Person,
    UnreadableOrigin,
    UnreadableSettings,
    database_target,
    default_database_path,
    keep_look,
    keep_person,
    look_kept,
    origin_here,
    person_here,
    resource_dir,
    settings_path,
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


def test_the_look_is_kept_beside_who_types_and_forgotten_alone(tmp_path: Path) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    assert look_kept(environment) is None
    keep_person(environment, "Ines")
    keep_look(environment, "plain")
    assert (look_kept(environment), person_here(environment)) == ("plain", Person("Ines"))
    keep_look(environment, None)
    assert (look_kept(environment), person_here(environment)) == (None, Person("Ines"))


def test_on_windows_settings_that_a_scanner_has_open_for_a_moment_are_kept_all_the_same(
    tmp_path: Path, windows_files: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    keep_person(environment, "Ines")
    scanner = settings_path(environment).open("rb")
    monkeypatch.setattr(atomic_file, "_wait", lambda _seconds: scanner.close())
    keep_person(environment, "Bram")
    assert len(windows_files) == 1
    assert person_here(environment) == Person("Bram")


@pytest.mark.parametrize("name", ["migrations", "seed_demo"])
def test_what_travels_with_the_program_is_that_of_the_checkout(name: str) -> None:
    assert resource_dir(name) == ROOT / name


def test_what_does_not_travel_with_it_is_not_found() -> None:
    with pytest.raises(FileNotFoundError, match="balloons"):
        resource_dir("balloons")


def test_who_types_here_is_kept_beside_other_settings_and_forgotten(tmp_path: Path) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path / "new" / "folder")}
    assert person_here(environment) is None
    keep_person(environment, "Zoë Ng")
    path = settings_path(environment)
    path.write_text(
        json.dumps({**json.loads(path.read_text(encoding="utf-8")), "other": 1}), encoding="utf-8"
    )
    assert person_here(environment) == Person("Zoë Ng")
    assert person_here({**environment, "OBSLOG_ME": " Bram "}) == Person("Bram", from_environment=True)
    keep_person(environment, None)
    assert person_here(environment) is None
    assert json.loads(path.read_text(encoding="utf-8")) == {"other": 1}
    assert [found.name for found in path.parent.iterdir()] == ["settings.json"]


@pytest.mark.parametrize("content", [b"", b"no json", b"[]", b"\xff\xfe"])
def test_settings_that_cannot_be_read_are_said_to_be_so_and_left_alone(
    tmp_path: Path, content: bytes
) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    path = settings_path(environment)
    path.write_bytes(content)
    with pytest.raises(UnreadableSettings, match=re.escape(str(path))):
        person_here(environment)
    with pytest.raises(UnreadableSettings):
        keep_person(environment, "Ines")
    assert path.read_bytes() == content
    assert person_here({**environment, "OBSLOG_ME": "Ines"}) == Person("Ines", from_environment=True)


@pytest.mark.skipif(sys.platform != "linux", reason="the folder is another on each platform")
def test_settings_lie_in_the_platforms_folder_for_them(monkeypatch: pytest.MonkeyPatch) -> None:
    # The XDG Base Directory Specification: user settings go under $XDG_CONFIG_HOME.
    monkeypatch.setenv("XDG_CONFIG_HOME", "/somewhere/settings")
    assert settings_path({}) == Path("/somewhere/settings/obslog/settings.json")


def test_a_machine_keeps_its_key_for_itself(tmp_path: Path) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path / "settings")}
    key = origin_here(environment)
    assert key is not None
    assert origin_here(environment) == key
    kept = list((tmp_path / "settings").iterdir())
    assert [file.name for file in kept] == ["origin"]
    assert stat.S_IMODE(kept[0].stat().st_mode) == 0o600
    assert origin_here({"OBSLOG_CONFIG": str(tmp_path / "other")}) != key


def test_a_key_that_is_told_comes_first_and_one_that_is_none_is_refused(tmp_path: Path) -> None:
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    told = "018f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    assert origin_here({**environment, "OBSLOG_ORIGIN": f" {told} "}) == UUID(told)
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(UnreadableOrigin, match="OBSLOG_ORIGIN holds no key"):
        origin_here({**environment, "OBSLOG_ORIGIN": "mine"})
    (tmp_path / "origin").write_text("mine")
    with pytest.raises(UnreadableOrigin, match="origin holds no key"):
        origin_here(environment)


def test_where_no_key_can_be_kept_there_is_none(tmp_path: Path) -> None:
    (tmp_path / "settings").write_text("a file where the folder should be")
    assert origin_here({"OBSLOG_CONFIG": str(tmp_path / "settings")}) is None


def test_a_computers_key_is_kept_where_no_file_can_have_a_second_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError("Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    environment = {"OBSLOG_CONFIG": str(tmp_path)}
    key = origin_here(environment)
    assert key is not None
    assert origin_here(environment) == key
    assert [file.name for file in tmp_path.iterdir()] == ["origin"]
