"""Whose the landing errors are, on the screen."""

import shutil
from math import nan
from pathlib import Path

import pytest

from obslog.cli.performance.whose import show_sources
from obslog.club.performance.error_sources import ErrorSources
from obslog.club.register.named_records import add
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.trends.attribution.attribution import Effect
from obslog.values import Estimate, Interval
from tests.cli.conftest import EVENING
from tests.cli.performance.records import SOURCES, night
from tests.cli.screens import ANY, screens, shown_by
from tests.club.performance.histories import Evening, put_on_record


def a_split() -> ErrorSources:
    """Three shares, of which one is known, and thirteen effects with the worst first."""
    shares = {
        "mount": Estimate(0.38, 0.12, 20, True), "observer": Estimate(0.0, nan, 20, False),
        "site": Estimate(0.3, nan, 20, True), "rest": Estimate(0.42, 0.09, 20, True),
    }  # fmt: skip
    effects = [
        Effect(
            factor="mount",
            level=f"M{n}",
            ratio=Interval(3.0 - n / 10, 2.0, 4.0, 30 - n),
            worse=0.995 - n / 20,
            log=Estimate(0, 1, 1, True),
        )
        for n in range(13)
    ]
    return ErrorSources(20, shares, effects, ["Ines and Tarn were always used together"])


def test_the_shares_and_the_effects_are_those_found_the_worst_first() -> None:
    for shown in shown_by(lambda screen: show_sources(screen, a_split(), 12)):
        assert shown.words.startswith(
            "What makes one set-up land farther off than another is above all the night itself (42 %)"
        )
        assert "; of the site and who set it up it cannot be told." in shown.words
        assert "(0 %)" not in shown.words
        assert "Landing errors of 20 set-ups" in shown.lines
        assert shown.rows("source", "share")[:4] == [
            {"source": "mount", "share": "38 % ± 12 %"},
            {"source": "observer", "share": "not determined"},
            {"source": "site", "share": "not determined"},
            {"source": "rest", "share": "42 % ± 9 %"},
        ]
        rows = shown.rows(*SOURCES, ANY)
        assert [row["whose"] for row in rows][:12] == [f"mount M{n}" for n in range(12)]
        assert "mount M12" not in shown.words
        assert [row["ratio"] for row in rows][:12] == [f"{3.0 - n / 10:.2f}" for n in range(12)]
        assert {(row["from"], row["to"]) for row in rows[:12]} == {("2.00", "4.00")}
        assert [row["worse"] for row in rows][:3] == ["> 99 %", "94 %", "90 %"]  # 0.995, 0.945, 0.895
        assert [row["set-ups"] for row in rows][:12] == [str(30 - n) for n in range(12)]
        assert "Ines and Tarn were always used together" in shown.words
        assert "worse: the probability that it is above the average" in shown.notes


def test_one_set_up_is_one_set_up() -> None:
    found = ErrorSources(1, {"rest": Estimate(1.0, nan, 1, False)}, [], [])
    for shown in shown_by(lambda screen: show_sources(screen, found, 12)):
        assert shown.words.startswith(
            "What makes one set-up land farther off than another cannot be told yet."
        )
        assert "Landing errors of 1 set-up" in shown.lines


@pytest.fixture(scope="module")
def many(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """A night of each of thirteen members, all with Heron at one site: thirteen effects."""
    path = Path(shutil.copy(club_file, tmp_path_factory.mktemp("many") / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    names = [f"Member {n}" for n in range(13)]
    for name in names:
        add(database, "member", name, {}, EVENING)
    put_on_record(database, [Evening(night(n), [3.0 + n], observer=name) for n, name in enumerate(names)])
    database.close()
    return {"OBSLOG_DB": str(path)}


def test_twelve_effects_are_listed_unless_another_number_is_asked_for(many: dict[str, str]) -> None:
    for most, count in (((), 12), (("--most", "13"), 13), (("--most", "1"), 1)):
        for shown in screens(many, EVENING, "pointing", "whose", *most, widths=[80, None]):
            assert len([row for row in shown.rows(*SOURCES, ANY) if row["ratio"]]) == count
