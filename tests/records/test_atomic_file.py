"""A new file is in its place as a whole or not at all, and never takes the place of another."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.records.atomic_file import replaced_file, whole_file


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
