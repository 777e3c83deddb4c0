"""A folder's description is read as something that a stranger may have written."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from obslog.exchange.package.faults import FaultList
from obslog.exchange.package.folder import LARGEST_DESCRIPTION, NoClubInFolder, read_package

SITES = {"name": "sites", "path": "sites.csv", "rows": 1, "bytes": 20, "hash": "sha256:00"}


def described(folder: Path, *resources: Any, **more: Any) -> Path:
    (folder / "datapackage.json").write_text(json.dumps({"resources": list(resources), **more}))
    return folder


def test_the_sheets_and_what_is_said_of_them_are_read(tmp_path: Path) -> None:
    described(tmp_path, SITES, {"name": "nights", "path": "n.csv"}, obslog={"revision": "0011"})
    (tmp_path / "holiday.jpg").write_bytes(b"")
    faults = FaultList()
    package = read_package(tmp_path, faults)
    assert len(faults) == 0
    assert package.resources["sites"].rows == 1
    assert package.resources["sites"].bytes == 20
    assert package.resources["nights"].file == "n.csv"
    assert package.resources["nights"].hash is None
    assert (package.revision, package.not_named) == ("0011", ("holiday.jpg",))


@pytest.mark.parametrize(
    "path",
    [
        "../sites.csv", "/etc/passwd", "sub/sites.csv", "..", "", "sites.csv\x00", "C:\\sites.csv", "a\\b.csv", 3, None,
        ["sites.csv"], "https://example.org/sites.csv", "datapackage.json", ".hidden",
    ],
)  # fmt: skip
def test_a_path_that_leads_out_of_the_folder_is_a_fault(path: object, tmp_path: Path) -> None:
    faults = FaultList()
    package = read_package(described(tmp_path, SITES | {"path": path}), faults)
    assert dict(package.resources) == {}
    assert [fault.reason for fault in faults] == [
        "the path of 'sites' is not the name of a file in this folder."
    ]


@pytest.mark.parametrize("resource", [3, {}, {"name": "../x", "path": "x.csv"}, {"name": 3, "path": "x.csv"}])
def test_a_resource_without_a_name_is_a_fault(resource: object, tmp_path: Path) -> None:
    faults = FaultList()
    assert dict(read_package(described(tmp_path, resource), faults).resources) == {}
    assert len(faults) == 1


def test_a_sheet_named_twice_is_a_fault(tmp_path: Path) -> None:
    faults = FaultList()
    read_package(described(tmp_path, SITES, SITES | {"path": "other.csv"}), faults)
    assert [fault.reason for fault in faults] == ["names 'sites' twice."]


BROKEN: dict[str, Callable[[Path], object]] = {
    "nothing": lambda path: None,
    "a link": lambda path: path.symlink_to(path.with_name("elsewhere.json")),
    "no JSON": lambda path: path.write_text("{"),
    "no object": lambda path: path.write_text("[]"),
    "no resources": lambda path: path.write_text("{}"),
    "resources are no list": lambda path: path.write_text('{"resources": {"a": 1}}'),
    "not UTF-8": lambda path: path.write_bytes(b"\xff\xfe{}"),
    "deeper than can be read": lambda path: path.write_text("[" * 100_000),
    "too large": lambda path: path.write_text(" " * (LARGEST_DESCRIPTION + 1)),
    "too many": lambda path: path.write_text(json.dumps({"resources": [SITES] * 1001})),
    "a number without an end": lambda path: path.write_text(f'{{"resources": {"1" * 5000}}}'),
}


@pytest.mark.parametrize("broken", BROKEN)
def test_a_folder_without_a_usable_description_is_no_club(broken: str, tmp_path: Path) -> None:
    BROKEN[broken](tmp_path / "datapackage.json")
    with pytest.raises(NoClubInFolder) as told:
        read_package(tmp_path, FaultList())
    assert "obslog export all" in told.value.hint


def test_a_folder_that_is_not_there_is_no_club(tmp_path: Path) -> None:
    with pytest.raises(NoClubInFolder, match="no such folder"):
        read_package(tmp_path / "nowhere", FaultList())
