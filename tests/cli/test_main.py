"""The entry: what is kept from one command line to the next, and what must not be."""

import gc
import io
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from obslog.cli import main as entry
from tests.cli.program import Program


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """The programs built while the test runs, the one kept from before being set aside."""
    import typer.main

    built: list[str] = []
    real = typer.main.get_command

    def counted(app: object) -> object:
        built.append("program")
        return real(app)  # type: ignore[arg-type]

    entry._program.cache_clear()
    monkeypatch.setattr(typer.main, "get_command", counted)
    yield built
    entry._program.cache_clear()


def test_the_program_is_built_once(in_club: Program, builds: list[str]) -> None:
    in_club.must("mount", "list")
    in_club.must("mount", "list")
    in_club.must("site", "list")
    assert builds == ["program"]


def test_an_option_of_one_call_is_forgotten_by_the_next(in_club: Program, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    assert in_club.document("mount", "list") != []
    assert in_club.document("--db", str(other), "mount", "list") == []
    assert in_club.document("mount", "list") != []
    assert in_club.must("mount", "list").out.startswith("name"), "--json was of the call before"


def test_each_call_has_its_own_clock(in_club: Program) -> None:
    in_club.must("night", "start", "Mill Field")
    in_club.must("night", "end")
    in_club.now += timedelta(days=1)
    in_club.must("night", "start", "Mill Field")
    assert [night["night"] for night in in_club.document("night", "list")] == ["2026-03-03", "2026-03-02"]


def test_the_script_ends_with_the_exit_code_and_leaves_nothing_to_look_through(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    usual = gc.get_threshold()
    monkeypatch.setattr(sys, "argv", ["obslog", "nonsense"])
    try:
        with pytest.raises(SystemExit) as ended:
            entry.run()
        assert ended.value.code == 2
        assert gc.get_freeze_count() > 0
    finally:
        gc.unfreeze()
        gc.set_threshold(*usual)


def test_lines_through_a_pipe_are_utf_8_whatever_the_code_page_and_may_begin_with_a_mark(
    outside: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the editor of Windows writes begins with the mark of UTF-8; Python would read it all as cp1252."""
    outside.must("item", "add", "Boîte à gants", "--category", "case")
    outside.must("stocktake", "start")
    lines = io.BytesIO("\ufeffBoîte à gants\r\n".encode())
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(lines, encoding="cp1252"))
    seen = outside.must("stocktake", "saw")
    assert "not on record" not in seen.out + seen.err
    assert "Boîte à gants" in seen.out + seen.err
