"""The benchmarks' own fairness: both sides warm and in turn, and a goal that is missed is said to be missed."""

from typing import Any

import pytest

from tests.benchmarks import __main__ as benchmarks
from tests.benchmarks.measuring import Report, in_turn, peak_mb


def test_both_sides_work_once_before_it_counts_and_then_take_turns() -> None:
    times = iter([9.0, 9.0, 3.0, 5.0, 1.0, 7.0, 2.0, 4.0])
    order: list[str] = []

    def timed(work):
        work()
        return next(times)

    best = in_turn([lambda: order.append("ours"), lambda: order.append("theirs")], 3, timed)
    assert order == ["ours", "theirs"] * 4
    assert best == [1.0, 4.0]


@pytest.mark.parametrize(
    ("value", "goal", "missed"),
    [
        (2.0, {"at_most": 2}, False),
        (2.01, {"at_most": 2}, True),
        (4.0, {"at_least": 4}, False),
        (3.99, {"at_least": 4}, True),
        (1e9, {}, False),
    ],
)
def test_a_goal_that_is_missed_is_said_so(
    value: float, goal: dict[str, Any], missed: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    report = Report()
    report.add("this", "that", value, **goal)
    assert report.missed() == missed
    assert (", missed" in capsys.readouterr().out) is missed
    assert (", missed" in report.table()[-1]) is missed


@pytest.mark.parametrize(("options", "code"), [([], 0), (["--strict"], 1)])
def test_strict_makes_a_missed_goal_an_exit_code(
    options: list[str], code: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(report: Report) -> None:
        report.add("this", "that", 5.0, at_most=4)

    monkeypatch.setattr(benchmarks, "BENCHMARKS", {"one": missing})
    assert benchmarks.main(["one", *options]) == code
    monkeypatch.setattr(
        benchmarks, "BENCHMARKS", {"one": lambda report: report.add("this", "that", 4.0, at_most=4)}
    )
    assert benchmarks.main(["one", *options]) == 0


@pytest.mark.parametrize("words", [["nothing"], ["--fast"]])
def test_what_is_no_benchmark_is_refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert benchmarks.main(words) == 2
    assert "There are: " in capsys.readouterr().err


def test_memory_is_that_of_a_process_of_its_own() -> None:
    small = peak_mb("tests.benchmarks.test_measuring", "filled", 1)
    assert peak_mb("tests.benchmarks.test_measuring", "filled", 80) - small == pytest.approx(79, abs=8)


def filled(megabytes: int) -> bytes:
    return b"x" * (megabytes * 1024 * 1024)
