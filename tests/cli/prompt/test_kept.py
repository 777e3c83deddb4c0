"""What the prompt keeps beside the database: whole or not at all, and for its owner alone."""

from pathlib import Path

import pytest

from obslog.cli.prompt.kept import MOST_LINES, KeptLines, KeptSettings
from obslog.club.evening.asked import PromptSettings
from obslog.files import atomic_file


def test_settings_come_back_as_they_were_kept(tmp_path: Path) -> None:
    path = tmp_path / "club.db.prompt.json"
    told = PromptSettings(site="Mill Field", mount="Heron", quiet=True)
    KeptSettings(path).write(told)
    assert KeptSettings(path).read() == told
    assert path.stat().st_mode & 0o077 == 0
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


def test_on_windows_settings_that_a_scanner_has_open_for_a_moment_are_kept_all_the_same(
    tmp_path: Path, windows_files: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = KeptSettings(tmp_path / "club.db.prompt.json")
    kept.write(PromptSettings(site="Mill Field"))
    scanner = (tmp_path / "club.db.prompt.json").open("rb")
    monkeypatch.setattr(atomic_file, "_wait", lambda _seconds: scanner.close())
    kept.write(PromptSettings(site="Kestrel Ridge"))
    assert len(windows_files) == 1
    assert kept.read() == PromptSettings(site="Kestrel Ridge")


def test_a_file_of_before_there_was_counting_is_read(tmp_path: Path) -> None:
    path = tmp_path / "club.db.prompt.json"
    path.write_text('{"site": "Mill Field", "mount": null, "quiet": true}')
    assert KeptSettings(path).read() == PromptSettings(site="Mill Field", quiet=True)
    counting = PromptSettings(counting=True, place="attic")
    KeptSettings(path).write(counting)
    assert KeptSettings(path).read() == counting


def test_a_folder_that_is_not_there_yet_is_made(tmp_path: Path) -> None:
    path = tmp_path / "of a person" / "obslog.db.prompt.json"
    KeptSettings(path).write(PromptSettings(quiet=True))
    assert KeptSettings(path).read().quiet


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"mount": 1}',
        '{"site": null, "quiet": true}',
    ],
)
def test_what_cannot_be_read_is_as_if_nothing_had_been_kept(tmp_path: Path, text: str) -> None:
    path = tmp_path / "club.db.prompt.json"
    path.write_text(text)
    assert KeptSettings(path).read() == PromptSettings()


def test_lines_come_back_newest_first_and_only_so_many(tmp_path: Path) -> None:
    path = tmp_path / "club.db.prompt-lines"
    kept = KeptLines(path)
    assert list(kept.newest_first()) == []
    path.write_text("".join(f"line {n}\n" for n in range(MOST_LINES)))
    kept.add("sy vega 3E\n2N")
    found = list(kept.newest_first())
    assert found[:2] == ["sy vega 3E 2N", f"line {MOST_LINES - 1}"]
    assert len(found) == MOST_LINES
    assert path.stat().st_mode & 0o077 == 0


def test_lines_beyond_the_newest_are_taken_off_the_disk_when_the_prompt_begins(tmp_path: Path) -> None:
    path = tmp_path / "club.db.prompt-lines"
    path.write_text("".join(f"line {n}\n" for n in range(3 * MOST_LINES)))
    kept = KeptLines(path)
    first = list(kept.newest_first())
    assert path.read_text().splitlines() == [f"line {n}" for n in range(2 * MOST_LINES, 3 * MOST_LINES)]
    assert path.stat().st_mode & 0o077 == 0
    assert list(kept.newest_first()) == first
    assert [file.name for file in tmp_path.iterdir()] == [path.name]
