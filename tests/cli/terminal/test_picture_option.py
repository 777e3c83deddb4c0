"""--picture of a command: the answer is still shown, the file is written, what cannot be written is said at once."""

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from tests.cli.commands import all_commands
from tests.cli.program import Program

ROOT = Path(__file__).resolve().parents[3]
TREND = ("pointing", "trend", "Heron")


def test_the_answer_is_shown_and_the_file_is_written(outside: Program, tmp_path: Path) -> None:
    file = tmp_path / "heron.svg"
    plain, drawn = outside.must(*TREND), outside.must(*TREND, "--picture", str(file))
    assert drawn.out == plain.out
    assert f"Written: {file}" in drawn.err
    assert "Heron" in file.read_text(encoding="utf-8")


def test_with_json_the_document_stands_alone(outside: Program, tmp_path: Path) -> None:
    file = tmp_path / "heron.png"
    plain, drawn = outside.must(*TREND, "--json"), outside.must(*TREND, "--json", "--picture", str(file))
    assert drawn.document == plain.document
    assert file.read_bytes().startswith(b"\x89PNG")


def test_red_is_asked_for_by_the_option_or_the_environment_whatever_the_terminal_gets(
    outside: Program, tmp_path: Path
) -> None:
    outside.must(*TREND, "--picture", str(tmp_path / "light.svg"))
    outside.must("--red", *TREND, "--picture", str(tmp_path / "red.svg"))
    outside.environment |= {"OBSLOG_THEME": "red", "NO_COLOR": "1"}
    outside.must(*TREND, "--picture", str(tmp_path / "too.svg"))
    assert (tmp_path / "red.svg").read_bytes() == (tmp_path / "too.svg").read_bytes()
    assert (tmp_path / "red.svg").read_bytes() != (tmp_path / "light.svg").read_bytes()
    assert "#f00000" in (tmp_path / "red.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["heron.jpg", "heron", "missing/heron.svg", "theirs.png"])
def test_a_place_that_will_not_do_is_said_in_two_lines_before_any_work(
    outside: Program, tmp_path: Path, name: str
) -> None:
    (tmp_path / "theirs.png").write_bytes(b"a photograph")
    answer = outside(*TREND, "--picture", str(tmp_path / name))
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.err.splitlines()) == 2
    assert (tmp_path / "theirs.png").read_bytes() == b"a photograph"
    assert [one.name for one in tmp_path.iterdir() if one.suffix == ".svg"] == []


def test_a_full_disk_is_said_after_the_answer(
    outside: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(Path, "write_bytes", full)
    answer = outside(*TREND, "--picture", str(tmp_path / "heron.svg"))
    assert answer.code == 1
    assert answer.out
    assert "There is no room left" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize(
    "line",
    [
        ("pointing", "fit", "Heron"),
        ("pointing", "compare"),
        ("sky", "when", "M", "31", "--site", "Mill Field"),
        ("sky", "when", "Moon", "--site", "Mill Field"),
        ("sky", "pole", "--site", "Mill Field"),
        ("targets", "--site", "Mill Field", "--list", "messier", "--most", "3", "--minutes", "20"),
    ],
)
def test_each_command_draws_what_it_tells_and_tells_the_same(
    outside: Program, tmp_path: Path, line: tuple[str, ...]
) -> None:
    file = tmp_path / "picture.svg"
    assert outside.must(*line, "--picture", str(file)).out == outside.must(*line).out
    assert "obslog" in file.read_text(encoding="utf-8")
    assert outside.document(*line, "--picture", str(file)) == outside.document(*line)


def test_the_option_is_the_last_before_json_and_says_what_files_there_are() -> None:
    drawing = {
        words: [option.name for option in built.params]
        for words, built in all_commands()
        if any("--picture" in option.opts for option in built.params)
    }
    pointing = {("pointing", name) for name in ("trend", "fit", "compare", "budget", "whose")}
    assert set(drawing) == {
        *pointing,
        ("sky", "when"),
        ("sky", "pole"),
        ("targets",),
        ("stocktake", "losses"),
    }
    for options in drawing.values():
        assert options[-2:] == ["picture_file", "as_json"] or options[-3:-1] == ["picture_file", "as_json"]


def test_it_is_drawn_also_where_the_reader_of_the_answer_has_gone(outside: Program, tmp_path: Path) -> None:
    """As with `| head -1`: the pipe is closed before the answer is through."""
    file = tmp_path / "heron.svg"
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "w") as pipe:
        ran = subprocess.run(
            [sys.executable, "-m", "obslog", *TREND, "--picture", str(file)],
            env={**outside.environment, "PYTHONPATH": str(ROOT)},
            stdout=pipe, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
        assert (ran.returncode, "Traceback" in ran.stderr) == (141, False)
    assert "Heron" in file.read_text(encoding="utf-8")


def test_a_picture_leaves_the_records_alone(outside: Program, tmp_path: Path) -> None:
    before = outside.document("night", "list")
    outside.must(*TREND, "--picture", str(tmp_path / "heron.pdf"))
    assert outside.document("night", "list") == before
    assert before[0]["night"] == str(date(2026, 3, 2))
