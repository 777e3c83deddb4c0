"""Computing ahead at the end of a night and after an import; Ctrl-C stops it and loses nothing."""

import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from types import ModuleType

import pytest
from numpy.linalg import LinAlgError

from obslog.cli.terminal.keeping import STOPPED
from obslog.records.driver_errors import DiskFull
from tests.cli.program import Program


def kept_kinds(program: Program) -> set[str]:
    with closing(sqlite3.connect(program.environment["OBSLOG_DB"])) as file:
        return {kind for (kind,) in file.execute("SELECT kind FROM kept_results")}


def test_the_end_of_a_night_computes_what_the_next_command_asks_for(outside: Program) -> None:
    assert kept_kinds(outside) == set()
    outside.must("night", "end")
    before = kept_kinds(outside)
    assert {"landings", "fit", "first stars", "course", "error sources"} <= before
    outside.must("pointing", "trend", "Heron")
    outside("pointing", "fit", "Heron")
    outside.must("review")
    assert kept_kinds(outside) == before


def test_an_import_computes_ahead_and_a_second_time_does_not(outside: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    outside.must("export", "arrivals", str(sheet))
    outside.must("import", "arrivals", str(sheet))  # adds nothing
    assert kept_kinds(outside) == set()
    sheet.write_text(sheet.read_text().replace("Procyon", "Castor"))
    outside.must("import", "arrivals", str(sheet))
    assert "fit" in kept_kinds(outside)


def test_ctrl_c_stops_the_computing_and_loses_nothing(
    outside: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("obslog.club.keeping.recorded_landings", stop)
    answer = outside("night", "end")
    assert (answer.code, answer.err.strip()) == (0, STOPPED)
    assert "Mill Field" in answer.out
    monkeypatch.undo()
    assert outside.must("night", "list", "--json").document[0]["open"] is False
    outside.must("pointing", "trend", "Heron")


@pytest.mark.parametrize("error", [DiskFull("club.db"), LinAlgError("singular"), KeyError("a mount")])
def test_what_goes_wrong_in_computing_ahead_is_not_told_of_a_night_that_has_ended(
    outside: Program, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr("obslog.club.keeping.recorded_landings", fail)
    answer = outside("night", "end")
    assert (answer.code, answer.err) == (0, "")
    assert "Mill Field" in answer.out
    assert outside.must("night", "list", "--json").document[0]["open"] is False


def test_ctrl_c_while_the_mathematics_are_loaded_loses_nothing(
    outside: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Loading them takes longer than much of the computing."""

    class Interrupted(ModuleType):
        def __getattr__(self, name: str) -> object:
            raise KeyboardInterrupt

    monkeypatch.setitem(sys.modules, "obslog.club.keeping", Interrupted("obslog.club.keeping"))
    answer = outside("night", "end")
    assert (answer.code, answer.err.strip()) == (0, STOPPED)
