"""What `pointing trend --mechanics` shows of polar axis and services, held against records made by hand."""

from datetime import date
from typing import Any

from obslog.cli.performance.axes_over_time import show_mechanics
from obslog.cli.performance.documents import mechanics_document
from obslog.club.over_time.axes_over_time import MechanicalChange, MechanicsOverTime, PolarAxis, PolarTrend
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Estimate, Interval
from obslog.vocabulary.mounts import MountType
from tests.cli.performance.records import setup_id
from tests.cli.screens import shown_by

MENDED = date(2026, 2, 10)


def a_change(
    term: str, before: float, after: float, *, sd: float = 3.0, known: bool = True, on_record: bool = True
) -> MechanicalChange:
    return MechanicalChange(
        since=MENDED,
        on_record=on_record,
        term=term,
        before_arcmin=Estimate(before, 1.0, 30, True),
        after_arcmin=Estimate(after, 2.0, 40, known),
        change_arcmin=Estimate(after - before, sd, 70, known),
    )


def found(
    tube: str | None = "Long tube", *changes: MechanicalChange, mount_type: MountType = MountType.FORK
) -> MechanicsOverTime:
    axes = [
        PolarAxis(setup_id(0), Estimate(12.5, 0.5, 7, True)),
        PolarAxis(setup_id(1), Estimate(40.0, 30.0, 2, False)),
    ]
    slope = Slope(Interval(-0.25, -0.5, 0.125, 8), 0.04)
    trend = PolarTrend(axes, slope, Verdict.IMPROVING, ["it shrinks", "1 set-up is left out"])
    return MechanicsOverTime(
        mount="Heron", mount_type=mount_type, tube=tube, polar_trend=trend, mechanical_changes=list(changes)
    )


def test_the_verdict_on_the_polar_axis_stands_above_its_reasons_and_the_changes() -> None:
    made = found("Long tube", a_change("cone", 20.0, -11.0))
    for shown in shown_by(lambda screen: show_mechanics(screen, made)):
        assert shown.lines[0] == ""
        assert shown.in_order(
            "Polar axis from the pole with Long tube: improving",
            "it shrinks",
            "1 set-up is left out",
            "service of 2026-02-10: cone",
        )
        if shown.width != 40:
            assert [len(line) - len(line.lstrip()) for line in shown.lines[1:5]] == [0, 2, 2, 2]


def test_the_base_of_an_altazimuth_mount_leans() -> None:
    for shown in shown_by(lambda screen: show_mechanics(screen, found(mount_type=MountType.ALTAZ))):
        assert "Lean of the base with Long tube: improving" in shown.words
        assert "olar axis" not in shown.words


def test_a_change_is_told_with_its_sign_and_whether_it_is_beyond_its_uncertainty() -> None:
    # 2 sd are 6': a change of 31' is one, of 6' and of -5' is none; -7' is one again.
    made = found(
        "Long tube",
        a_change("cone", 20.0, -11.0),
        a_change("squareness", -2.0, 4.0),
        a_change("sag", 3.0, -2.0),
        a_change("cone", 1.0, -6.0),
    )
    for shown in shown_by(lambda screen: show_mechanics(screen, made)):
        beyond = "no change beyond its uncertainty"
        assert shown.in_order(
            "service of 2026-02-10: cone +20' ± 1' before, -11' ± 2' after: -31' ± 3', changed",
            f"service of 2026-02-10: squareness -2' ± 1' before, +4' ± 2' after: +6' ± 3', {beyond}",
            f"service of 2026-02-10: sag +3' ± 1' before, -2' ± 2' after: -5' ± 3', {beyond}",
            "service of 2026-02-10: cone +1' ± 1' before, -6' ± 2' after: -7' ± 3', changed",
        )


def test_a_change_that_is_not_determined_has_no_number_and_no_tube_no_name() -> None:
    made = found(None, a_change("cone", 20.0, -11.0, known=False))
    for shown in shown_by(lambda screen: show_mechanics(screen, made)):
        assert "Polar axis from the pole: improving" in shown.words
        assert shown.words.endswith("service of 2026-02-10: cone not determined before and after it")


def test_a_change_that_nobody_wrote_down_is_called_no_service() -> None:
    made = found("Long tube", a_change("cone", 20.0, -11.0, on_record=False))
    for shown in shown_by(lambda screen: show_mechanics(screen, made)):
        assert "change of 2026-02-10, not on record: cone +20' ± 1' before, -11' ± 2' after" in shown.words
        assert "service" not in shown.words


def test_scripts_read_the_same_numbers() -> None:
    document: dict[str, Any] = mechanics_document(found("Long tube", a_change("cone", 20.0, -11.0)))
    axis: dict[str, Any] = {"site": "Tarn", "setup": 1, "night": setup_id(0).night}
    assert document == {
        "polar_trend": {
            "tube": "Long tube",
            "setups": [
                axis | {"separation_arcmin": 12.5, "sd_arcmin": 0.5, "determined": True},
                axis
                | {"setup": 2, "night": setup_id(1).night}
                | {"separation_arcmin": 40.0, "sd_arcmin": 30.0, "determined": False},
            ],
            "slope": {"per_year": -0.25, "low": -0.5, "high": 0.125, "p": 0.04},
            "verdict": "improving",
            "reasons": ["it shrinks", "1 set-up is left out"],
        },
        "mechanical_changes": [
            {
                "since": MENDED, "term": "cone", "before_arcmin": 20.0, "after_arcmin": -11.0,
                "change_arcmin": -31.0, "sd_arcmin": 3.0, "determined": True,
            }
        ],
    }  # fmt: skip
