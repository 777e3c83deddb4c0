"""The demo: an invented club in a fresh file, never over another, whole or not at all."""

import io
import shlex
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace

import pytest

from obslog.cli.main import main
from tests.cli.program import Program

EVENING = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The demo's file, built once, and what it printed."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        assert main(["demo", "--into", str(path)], lambda: EVENING, {}) == 0, err.getvalue()
    return path, out.getvalue()


@pytest.fixture
def in_demo(program: Program, built: tuple[Path, str]) -> Program:
    program.environment["OBSLOG_DB"] = str(built[0])
    return program


def test_the_demo_has_the_club_that_is_promised(in_demo: Program) -> None:
    # What was asked of the demo: 12 mounts of all three types and both controller kinds, 15 members, 4 sites of which
    # one in the south, about 400 set-ups and 4,000 arrivals in two years.
    mounts = in_demo.document("mount", "list")
    assert len(mounts) == 12
    assert {m["mount_type"] for m in mounts} == {"german", "fork", "altaz"}
    assert {m["controller"] for m in mounts} == {"shift", "model"}
    assert len(in_demo.document("member", "list", "--all")) == 15
    sites = in_demo.document("site", "list")
    assert len(sites) == 4
    assert sum(site["lat_deg"] < 0 for site in sites) == 1
    nights = in_demo.document("night", "list")
    assert 300 <= sum(night["setups"] for night in nights) <= 500
    assert 3200 <= sum(night["arrivals"] for night in nights) <= 4800
    assert max(n["night"] for n in nights) < "2026-03-02"
    assert in_demo.document("snag", "list", "--all")
    assert in_demo.document("service", "list")


def test_the_worsening_mount_is_said_to_get_worse(in_demo: Program) -> None:
    trend = in_demo.document("pointing", "trend", "Bramble")
    assert trend["verdict"] == "worsening"
    assert trend["slope"]["low"] > 0
    assert len(trend["setups"]) >= 6


def test_the_demo_shows_trend_checklist_and_what_to_try_next(built: tuple[Path, str]) -> None:
    path, out = built
    assert "Bramble is worsening: half of its go-tos now land within " in out
    assert "Checklist: Bramble at " in out
    assert f"obslog --db {path} snag list" in out
    assert "\x1b" not in out


def test_every_command_it_offers_works(program: Program, built: tuple[Path, str]) -> None:
    offered = [line.strip() for line in built[1].split("Try next:")[1].splitlines() if line.strip()]
    assert len(offered) >= 4
    for line in offered:
        name, *words = shlex.split(line)
        assert name == "obslog"
        program.must(*words)


def test_the_same_last_night_makes_the_same_club_on_another_day(program: Program, tmp_path: Path) -> None:
    """What a page shows of it can then be compared with what its reader sees, whenever that is."""
    sheets = []
    for now in (datetime(2026, 3, 10, 9, tzinfo=UTC), datetime(2027, 7, 1, 23, tzinfo=UTC)):
        program.now = now
        file = tmp_path / f"{now:%Y}.db"
        program.must("demo", "--into", str(file), "--until", "2026-03-01", "--json")
        sheets.append(program.must("--db", str(file), "export", "arrivals").out)
    assert sheets[0] == sheets[1]
    assert "2026-02-01" < max(line[:10] for line in sheets[0].splitlines()[1:]) <= "2026-03-01"


def test_a_last_night_that_is_not_over_is_refused(program: Program, tmp_path: Path) -> None:
    today = f"{EVENING:%Y-%m-%d}"
    answer = program("demo", "--into", str(tmp_path / "new.db"), "--until", today)
    assert answer.code == 2
    assert f"The night of {today} is not over yet." in answer.err
    assert not (tmp_path / "new.db").exists()


def test_the_demo_is_the_same_each_time(program: Program, built: tuple[Path, str], tmp_path: Path) -> None:
    again = tmp_path / "again.db"
    answer = program.must("demo", "--into", str(again), "--json")
    assert answer.document == {"database": str(again), "worsening_mount": "Bramble"}
    sheets = [program.must("--db", str(path), "export", "arrivals").out for path in (built[0], again)]
    assert sheets[0] == sheets[1]


def test_the_demo_never_writes_over_a_file(program: Program, tmp_path: Path) -> None:
    mine = tmp_path / "mine.db"
    mine.write_text("mine")
    answer = program("demo", "--into", str(mine))
    assert (answer.code, answer.out, len(answer.error_lines)) == (1, "", 2)
    assert mine.read_text() == "mine"


def test_a_demo_that_fails_half_way_leaves_nothing(
    program: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    into = tmp_path / "half.db"
    there: list[bool] = []

    def stop(*_arguments: object) -> None:
        there.append(into.exists())
        raise KeyboardInterrupt

    monkeypatch.setattr("seed_demo.load.build_demo", lambda *_: SimpleNamespace(arrivals=[]))
    monkeypatch.setattr("seed_demo.load.take_in", stop)
    assert program("demo", "--into", str(into)).code == 130
    assert there == [True]
    assert list(tmp_path.glob("half*")) == []


def test_the_demo_takes_no_db(program: Program) -> None:
    answer = program("--db", "here.db", "demo")
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert "--into" in answer.error_lines[1]


def test_a_demo_for_which_there_is_no_folder_is_refused(program: Program, tmp_path: Path) -> None:
    answer = program("demo", "--into", str(tmp_path / "no" / "demo.db"))
    assert (answer.code, len(answer.error_lines)) == (1, 2)


def test_without_a_name_the_next_free_one_here_is_taken(
    program: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "obslog-demo.db").write_text("mine")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("seed_demo.load.fill", lambda *_: None)
    assert program.document("demo")["database"] == "obslog-demo-2.db"
    assert (tmp_path / "obslog-demo.db").read_text() == "mine"


def test_a_demo_that_is_built_stays_when_its_reader_goes(
    program: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(*_arguments: object) -> None:
        raise BrokenPipeError

    monkeypatch.setattr("seed_demo.load.fill", lambda *_: None)
    monkeypatch.setattr("obslog.cli.demo._first_look", gone)
    monkeypatch.setattr("obslog.cli.main._drop_output", lambda: None)
    assert program("demo", "--into", str(tmp_path / "built.db")).code == 141
    assert (tmp_path / "built.db").exists()
