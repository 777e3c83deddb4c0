"""The place of a file: room, folders kept in step with other machines, who may read it, what a kill has left."""

import os
import shutil
from collections import namedtuple
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from obslog.records.care import surroundings as module
from obslog.records.care.finding import Finding
from obslog.records.care.surroundings import file_system_of, surroundings

MOUNTS = """\
/dev/vda / ext4 rw 0 0
proc /proc proc rw 0 0
host:/export /home/ines nfs4 rw 0 0
//host/box /home/ines/our\\040box cifs rw 0 0
/dev/vdb /home/ines/disk ext4 rw 0 0
"""


@pytest.fixture(autouse=True)
def _a_quiet_place(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the disk and the folders of the machine that runs the tests are."""
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(10**12, 0, 10**12))


def found_at(path: Path, shared: bool = False) -> list[tuple[str, str, str | None]]:
    return [(one.subject, one.what, one.example) for one in surroundings(path, shared=shared)]


def test_of_a_file_in_a_place_of_its_own_there_is_nothing_to_say(sqlite_path: Path) -> None:
    sqlite_path.chmod(0o600)
    assert found_at(sqlite_path) == []


def test_the_kind_of_file_system_is_that_of_the_nearest_mount(tmp_path: Path) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(MOUNTS)
    kinds = {
        "/var/club.db": "ext4",
        "/home/ines/club.db": "nfs4",
        "/home/ines/our box/club.db": "cifs",
        "/home/ines/disk/club.db": "ext4",
        "/home/inesita/club.db": "ext4",
    }
    assert {path: file_system_of(Path(path), mounts) for path in kinds} == kinds
    assert file_system_of(Path("/var/club.db"), tmp_path / "none") is None


@pytest.mark.parametrize(("kind", "told"), [("nfs4", True), ("ext4", False), ("tmpfs", False), (None, False)])
def test_a_file_system_on_another_machine_is_told(
    sqlite_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str | None, told: bool
) -> None:
    sqlite_path.chmod(0o600)
    monkeypatch.setattr(module, "file_system_of", lambda *_: kind)
    assert [example for _, _, example in found_at(sqlite_path)] == (
        [f"a file system of the kind {kind}"] if told else []
    )


@pytest.mark.parametrize(
    ("folder", "told"),
    [("Cloud", True), ("MyCloudFiles", True), ("synced-folder", True), ("shared_with_ines", True),
     ("network drive", True), ("clouded-nights", False), ("synchrotron", False), ("asynchronous", False),
     ("telescopes", False), ("shareholders", False)],
)  # fmt: skip
def test_a_folder_that_is_called_so_may_be_kept_in_step(sqlite_path: Path, folder: str, told: bool) -> None:
    place = sqlite_path.parent / folder / "club"
    place.mkdir(parents=True)
    path = Path(shutil.move(sqlite_path, place))
    path.chmod(0o600)
    found = [one for one in surroundings(path, shared=False) if one.subject == "place"]
    assert [one.example for one in found] == ([folder] if told else [])
    assert all("obslog db backup --into" in one.advice and not one.grave for one in found)


@pytest.mark.parametrize(
    ("place", "example"),
    [
        (r"C:\Users\Ines\OneDrive\Documents\obslog\club.db", "OneDrive"),
        (r"C:\Users\Ines\OneDrive - Kestrel Astronomers\club.db", "OneDrive - Kestrel Astronomers"),
        (r"C:\Users\Ines\iCloudDrive\club.db", "iCloudDrive"),
        (r"C:\Users\Ines\Dropbox\club.db", "Dropbox"),
        (r"G:\My Drive\club.db", "My Drive"),
        (r"C:\Users\Ines\AppData\Local\obslog\obslog.db", None),
        (r"D:\drive belts\one\club.db", None),
    ],
)
def test_the_folders_of_services_are_known_by_their_names_on_windows(place: str, example: str | None) -> None:
    found = [one.example for one in module._elsewhere(PureWindowsPath(place), Path("/none"))]
    assert found == ([example] if example else [])


@pytest.mark.parametrize(
    "place",
    [
        "/Users/ines/Library/Mobile Documents/com~apple~CloudDocs/club/club.db",
        "/Users/ines/Library/CloudStorage/Dropbox/club.db",
        "/Users/ines/Nextcloud/club.db",
    ],
)
def test_the_folders_of_services_are_known_by_their_names_on_macos(place: str) -> None:
    assert [one.subject for one in module._elsewhere(PurePosixPath(place), Path("/none"))] == ["place"]


def test_another_machine_is_known_by_its_name_on_windows() -> None:
    (found,) = module._elsewhere(PureWindowsPath(r"\\clubserver\share\club.db"), Path("/none"))
    assert "another machine" in found.what


def test_little_room_is_told_with_how_much_is_needed(
    sqlite_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(10**9, 0, 5_400_000))
    sqlite_path.chmod(0o600)
    (found,) = surroundings(sqlite_path, shared=False)
    assert (found.subject, found.what) == ("room", "There is little room left on the disk: 5 MB.")
    assert "needs 21 MB" in found.advice, "20 MB and the file, of less than one"


@pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")
def test_a_file_that_others_can_read_is_told_unless_it_is_shared(sqlite_path: Path) -> None:
    sqlite_path.chmod(0o600)
    copy = Path(shutil.copy(sqlite_path, sqlite_path.with_name("copy.db")))
    copy.chmod(0o640)
    (found,) = surroundings(sqlite_path, shared=False)
    assert (found.what, found.example, found.repairable) == (
        "1 file with members' names can be read by others on this machine.", str(copy), True,
    )  # fmt: skip
    assert surroundings(sqlite_path, shared=True) == []


def test_a_second_name_of_the_same_file_is_no_copy(sqlite_path: Path) -> None:
    sqlite_path.chmod(0o600)
    other = sqlite_path.with_name("club.before-restore-1.db")
    os.link(sqlite_path, other)
    (found,) = surroundings(sqlite_path, shared=False)
    assert (found.count, found.example) == (1, str(other))
    assert "Delete the other name" in found.advice


def test_drafts_that_a_kill_has_left_are_told(sqlite_path: Path) -> None:
    sqlite_path.chmod(0o600)
    beside = sqlite_path.with_name("club-copies")
    for folder in (beside, beside / ".club-1.db-abcd_123", sqlite_path.parent / ".new-abcdefgh",
                   sqlite_path.parent / ".other.db-abcdefgh", sqlite_path.parent / ".new-things"):  # fmt: skip
        folder.mkdir()
    (found,) = surroundings(sqlite_path, shared=False)
    assert isinstance(found, Finding)
    assert found.what == "2 unfinished copies of a program that was stopped."
