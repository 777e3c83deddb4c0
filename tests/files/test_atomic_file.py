"""A new file is in its place as a whole or not at all, and never takes the place of another."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from obslog.files import atomic_file
from obslog.files.atomic_file import onto_the_disk, replaced_file, whole_file, whole_folder


def no_links(*_: object, **__: object) -> None:
    """What a file system says that knows no second name for a file."""
    raise PermissionError("Operation not permitted")


@pytest.fixture(params=["links", "no links"], autouse=True)
def file_system(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file system with second names for a file, and one without, such as a memory stick's."""
    if request.param == "no links":
        monkeypatch.setattr(os, "link", no_links)


def put(place: Path, text: str, then: Callable[[], object]) -> None:
    """Write a draft, and let something happen before it takes its place."""
    with whole_file(place) as draft:
        draft.write_text(text, encoding="utf-8")
        then()


def test_the_draft_takes_its_place_when_it_is_done_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    place = tmp_path / "copy.db"
    with whole_file(place) as draft:
        draft.write_text("half", encoding="utf-8")
        assert not place.exists()
        assert draft.parent.parent == tmp_path  # the same disk: elsewhere it could not be moved as a whole
        draft.write_text("whole", encoding="utf-8")
    assert place.read_text(encoding="utf-8") == "whole"
    assert list(tmp_path.iterdir()) == [place]


def test_a_folder_takes_its_place_when_all_is_in_it_and_only_its_owner_can_look_in(tmp_path: Path) -> None:
    place = tmp_path / "sheets"
    with whole_folder(place) as draft:
        (draft / "sites.csv").write_text("id", encoding="utf-8")
        assert not place.exists()
    assert [path.name for path in place.iterdir()] == ["sites.csv"]
    assert list(tmp_path.iterdir()) == [place]
    if os.name == "posix":
        assert place.stat().st_mode & 0o077 == 0


def test_a_folder_that_fails_or_finds_another_in_its_place_leaves_nothing(tmp_path: Path) -> None:
    place = tmp_path / "sheets"
    with pytest.raises(FileNotFoundError), whole_folder(place) as draft:
        (draft / "nowhere" / "sites.csv").touch()
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(FileExistsError), whole_folder(place):
        place.mkdir()
    assert list(tmp_path.iterdir()) == [place]
    assert list(place.iterdir()) == []


def test_a_draft_that_fails_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        put(tmp_path / "copy.db", "half", then=lambda: (tmp_path / "gone").unlink())
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_was_there_or_came_meanwhile_is_kept(tmp_path: Path) -> None:
    place = tmp_path / "copy.db"
    with pytest.raises(FileExistsError):
        put(place, "new", then=lambda: place.write_text("theirs", encoding="utf-8"))
    assert place.read_text(encoding="utf-8") == "theirs"
    assert list(tmp_path.iterdir()) == [place]


def test_without_the_folder_there_is_no_draft(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError), whole_file(tmp_path / "no" / "copy.db"):
        pytest.fail("nothing should be written")


def test_a_replaced_file_is_the_new_one_as_a_whole(tmp_path: Path) -> None:
    place = tmp_path / "heron.svg"
    place.write_text("old", encoding="utf-8")
    with replaced_file(place) as draft:
        draft.write_text("new", encoding="utf-8")
        assert place.read_text(encoding="utf-8") == "old"
    assert place.read_text(encoding="utf-8") == "new"
    assert list(tmp_path.iterdir()) == [place]


def test_what_fails_while_it_is_written_leaves_the_earlier_file(tmp_path: Path) -> None:
    place = tmp_path / "heron.svg"
    place.write_text("old", encoding="utf-8")

    def half_of_it() -> None:
        with replaced_file(place) as draft:
            draft.write_text("ne", encoding="utf-8")
            raise OSError("full")

    with pytest.raises(OSError, match="full"):
        half_of_it()
    assert place.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [place]


def test_on_windows_a_file_that_a_scanner_has_open_for_a_moment_is_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, refusals = tmp_path / "club.db", [PermissionError(13, "open elsewhere")] * 2
    waited: list[float] = []
    as_it_is = Path.replace

    def replace(self: Path, target: Path) -> Path:
        if refusals:
            raise refusals.pop()
        return as_it_is(self, target)

    monkeypatch.setattr(Path, "replace", replace)
    monkeypatch.setattr(atomic_file, "ON_WINDOWS", True)
    monkeypatch.setattr(atomic_file, "_wait", waited.append)
    with replaced_file(place) as draft:
        draft.write_text("whole", encoding="utf-8")
    assert (place.read_text(encoding="utf-8"), waited) == ("whole", [0.05, 0.1])
    refusals.extend([PermissionError(13, "open elsewhere")] * 9)
    with pytest.raises(PermissionError), replaced_file(place) as draft:
        draft.write_text("newer", encoding="utf-8")
    assert (place.read_text(encoding="utf-8"), len(waited)) == ("whole", 7)


def test_on_windows_what_others_may_read_is_drawn_up_in_no_folder_that_is_closed_to_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file keeps there what its folder gave it; and a mode of 0o700, alone of all, means something to Windows."""
    modes: list[int] = []
    as_it_is = os.mkdir

    def noting(path: Any, mode: int = 0o777, **more: Any) -> None:
        modes.append(mode)
        as_it_is(path, mode, **more)

    monkeypatch.setattr(os, "mkdir", noting)
    monkeypatch.setattr(atomic_file, "ON_WINDOWS", True)
    for private in (False, True):
        for way, name in ((whole_file, "new.html"), (replaced_file, "index.html")):
            with way(tmp_path / f"{private}-{name}", private=private) as draft:
                draft.write_text("<p>", encoding="utf-8")
    assert [mode == 0o700 for mode in modes] == [False, False, True, True]
    assert [path.name for path in tmp_path.iterdir() if path.is_dir()] == []


def test_what_lasts_is_asked_for_by_who_may_write_on_windows_and_of_the_drive_on_macos(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fcntl = pytest.importorskip("fcntl")
    path, modes, orders = tmp_path / "club.db", [], []
    path.write_bytes(b"records")
    opened = Path.open

    def noting(self: Path, mode: str = "r", **options: Any) -> Any:
        modes.append(mode)
        return opened(self, mode, **options)

    monkeypatch.setattr(Path, "open", noting)
    monkeypatch.setattr(os, "fsync", lambda _file: orders.append("fsync"))
    for windows in (False, True):
        monkeypatch.setattr(atomic_file, "ON_WINDOWS", windows)
        onto_the_disk(path)
    assert (modes, orders) == (["rb", "r+b"], ["fsync", "fsync"])
    monkeypatch.setattr(fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(fcntl, "fcntl", lambda _file, order: orders.append(order))
    onto_the_disk(path)
    assert orders == ["fsync", "fsync", 51]

    def refuse(_file: int, _order: int) -> None:
        raise OSError(errno.ENOTSUP, "a drive that knows no such order")

    monkeypatch.setattr(fcntl, "fcntl", refuse)
    onto_the_disk(path)
    assert orders == ["fsync", "fsync", 51, "fsync"]


def test_a_draft_has_a_short_name_with_the_ending_of_its_place(tmp_path: Path) -> None:
    """Folder and draft together take less than the name that the file will have, for paths are short on Windows."""
    place = tmp_path / "club.before-merge-20260302T214000Z.db"
    with replaced_file(place) as draft:
        draft.write_bytes(b"")
        assert draft.suffix == ".db"
        assert len(str(draft)) < len(str(place))


def test_what_came_into_its_place_is_made_though_the_drafts_folder_cannot_be_taken_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "open elsewhere")

    with whole_file(tmp_path / "copy.db") as draft:
        draft.write_text("whole", encoding="utf-8")
        monkeypatch.setattr(os, "rmdir", refuse)
    assert (tmp_path / "copy.db").read_text(encoding="utf-8") == "whole"
