"""A mount's polar axis over the months, and what its services changed, against sheets of known truth."""

from datetime import date, datetime, timedelta
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy import stats
from sqlalchemy import update

from obslog.club.over_time.axes_over_time import (
    PolarAxis,
    log_separations,
    mechanical_changes,
    mechanics_over_time,
)
from obslog.club.over_time.restarts import Restarts
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount
from obslog.trends.series.theil_sen import Verdict
from obslog.trends.series.trend import trend_of
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MountType
from tests.club.over_time.knocked_clubs import NIGHTS, knocked, put_mounts
from tests.club.performance.test_mount_fit import HEADER, NOW, TRUTH, take_in
from tests.pointing.joint_fit.pointing_clubs import offsets_after_one_sync_arcmin, simulate, some_of
from tests.pointing.joint_fit.pointing_sheets import read_sheet


def test_the_separations_are_those_of_the_truth(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_exact")
    found = mechanics_over_time(sqlite_database, "heron")
    truth = TRUTH["german_exact"]["setups"]
    # Altitude error, and azimuth error times cos(latitude 54.6), at right angles on the sky.
    expected = [
        np.hypot(s["polar_altitude_arcmin"], s["polar_azimuth_arcmin"] * np.cos(np.radians(54.6)))
        for s in truth
    ]
    assert_allclose([axis.separation_arcmin.value for axis in found.polar_trend.setups], expected, atol=0.05)
    assert [str(axis.setup.night) for axis in found.polar_trend.setups] == [s["night"] for s in truth]
    assert all(axis.separation_arcmin.determined for axis in found.polar_trend.setups)
    assert (found.mount, found.tube, found.mechanical_changes) == ("Heron", "Long tube", [])


def test_the_slope_is_theil_and_sens_of_the_true_separations(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_exact")
    trend = mechanics_over_time(sqlite_database, "Heron").polar_trend
    truth = TRUTH["german_exact"]["setups"]
    days = np.array([date.fromisoformat(s["night"]).toordinal() for s in truth])
    logs = np.log(
        [
            np.hypot(s["polar_altitude_arcmin"], s["polar_azimuth_arcmin"] * np.cos(np.radians(54.6)))
            for s in truth
        ]
    )
    slopes = [(logs[j] - logs[i]) / (days[j] - days[i]) * 365.25 for j in range(8) for i in range(j)]
    assert trend.slope is not None
    assert_allclose(trend.slope.per_year.value, np.median(slopes), atol=0.05)
    # Sen's interval of them, by scipy; its ends are more than exp(3.4) = 30 apart: that is not called steady.
    theirs = stats.theilslopes(logs, days / 365.25)
    assert theirs.high_slope - theirs.low_slope > 3.5
    assert trend.verdict is Verdict.TOO_FEW


def worsening_sheet(folder: Path) -> Path:
    """The stars of the exact sheet's first night, every tenth night, with an axis ever farther from the pole."""
    source = (Path(__file__).parents[2] / "samples" / "german_exact.csv").read_text().splitlines()
    names, first, lines = source[0].split(","), date(2026, 2, 3), [source[0]]
    for tenth in range(8):
        night = first + timedelta(days=10 * tenth)
        east, north = offsets_of_the_first_night(1.3**tenth)
        for place, text in enumerate(source[1:8]):
            row = dict(zip(names, text.split(","), strict=True))
            # Stars stand where they stood 3.932 minutes earlier each day (366.2422 turns in 365.2422 days).
            at = datetime.fromisoformat(row["utc"]) + timedelta(days=10 * tenth * (365.2422 / 366.2422))
            row |= {"night": str(night), "utc": f"{at:%Y-%m-%dT%H:%M:%SZ}"}
            if place:
                row |= {
                    "offset_east_arcmin": f"{east[place]:.3f}",
                    "offset_north_arcmin": f"{north[place]:.3f}",
                }
            lines.append(",".join(row[name] for name in names))
    path = folder / "worsening.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def offsets_of_the_first_night(factor: float) -> tuple[np.ndarray, np.ndarray]:
    """What the exact sheet's first night would have shown with polar errors so many times as large, (7,)."""
    stars = some_of(read_sheet("german_exact").stars, slice(7))
    truth = TRUTH["german_exact"]
    polar = [factor * truth["setups"][0][f"polar_{axis}_arcmin"] for axis in ("altitude", "azimuth")]
    errors = [*polar, *(truth[f"{term}_arcmin"] for term in ("cone", "squareness", "sag"))]
    east, north = offsets_after_one_sync_arcmin(
        stars, some_of(stars, slice(1)), Machine(MountType.GERMAN), errors
    )
    return east, north


def test_an_axis_set_ever_worse_is_worsening_until_the_next_service(
    sqlite_database: Database, tmp_path: Path
) -> None:
    take_in(sqlite_database, "german_exact", sheet=worsening_sheet(tmp_path))
    trend = mechanics_over_time(sqlite_database, "Heron").polar_trend
    assert trend.verdict is Verdict.WORSENING
    # Thirty per cent more every ten days.
    assert trend.slope is not None
    assert_allclose(trend.slope.per_year.value, np.log(1.3) * 36.525, rtol=0.01)
    add_service(sqlite_database, "mount", "Heron", "wedge mended", NOW, on=date(2026, 5, 20), mechanical=True)
    after = mechanics_over_time(sqlite_database, "Heron").polar_trend
    assert (after.verdict, after.slope) == (Verdict.TOO_FEW, None)
    assert after.reasons[0].startswith("no set-up since the service of 2026-05-20")


def axes_known_to(rng: np.random.Generator, habit_arcmin: float, sds: np.ndarray) -> list[PolarAxis]:
    """Axes set with the same care each time, as arrivals that know each to its sd would show them."""
    seen = rng.normal(0.0, habit_arcmin, (sds.size, 2)) + rng.normal(0.0, sds[:, None], (sds.size, 2))
    return [
        PolarAxis(
            SetupId(key=UUID(int=place), night=date(2026, 1, 1), setup=1, site="Tarn", mount="Heron"),
            Estimate(float(np.hypot(*both)), float(sd), 5, determined=bool(sd < 30.0)),
        )
        for place, (both, sd) in enumerate(zip(seen, sds, strict=True))
    ]


def test_better_measuring_is_no_better_axis() -> None:
    """A steady habit of 8': eight nights that know the axis to 20', then eight that know it to 2'.

    By the level 2.5 % of 100 improve by chance; more than 7 would come once in 100. With all nights 62 % did.
    """
    sds, years = np.repeat([20.0, 2.0], 8), np.arange(16) / 12
    rng = np.random.default_rng(2)
    verdicts = [trend_of(years, log_separations(axes_known_to(rng, 8.0, sds))).verdict for _ in range(100)]
    assert verdicts.count(Verdict.IMPROVING) <= 7
    assert verdicts.count(Verdict.WORSENING) <= 7


def test_axes_that_are_known_well_beside_their_distance_all_count() -> None:
    """Within 40' each, known to 2' and to 10'; one known to 25', more than half of the usual distance, does not."""
    sds = np.array([2.0, 10.0] * 4 + [25.0])
    known = np.isfinite(log_separations(axes_known_to(np.random.default_rng(4), 30.0, sds)))
    assert known.tolist() == [True] * 8 + [False]


def test_a_service_that_changed_nothing_is_found_to_have_changed_nothing(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    add_service(sqlite_database, "mount", "Heron", "greased", NOW, on=date(2026, 3, 10), mechanical=True)
    changes = mechanics_over_time(sqlite_database, "Heron").mechanical_changes
    assert [(c.since, c.term) for c in changes] == [
        (date(2026, 3, 10), term) for term in ("cone", "squareness", "sag")
    ]
    for change in changes:
        found = change.change_arcmin
        assert_allclose(found.value, change.after_arcmin.value - change.before_arcmin.value)
        assert abs(found.value) < 3 * found.sd


def test_changes_come_back_within_their_uncertainty_over_many_clubs() -> None:
    scores = []
    for seed in range(60):
        club = simulate(np.random.default_rng(seed), Machine(MountType.GERMAN), setups=10, eras=2)
        fit = fit_pointing(Machine(MountType.GERMAN), club.arrivals, np.arange(10) // 5)
        served = date(2025, 6, 1)
        changes = mechanical_changes([date(2025, 1, 1), served], fit, Restarts(services=[served], changes=[]))
        true = club.mechanical[1] - club.mechanical[0]
        scores += [
            (c.change_arcmin.value - t) / c.change_arcmin.sd
            for c, t in zip(changes, true, strict=True)
            if c.change_arcmin.determined
        ]
    # 180 standard normal values: mean 0 ± 0.075, rms 1 ± 0.053; three of these each way.
    assert len(scores) > 150
    assert abs(np.mean(scores)) < 0.23
    assert 0.84 < np.sqrt(np.mean(np.square(scores))) < 1.16


def test_a_change_that_nobody_wrote_down_is_no_service_until_somebody_does(sqlite_database: Database) -> None:
    put_mounts(sqlite_database, np.random.default_rng(1), {"Heron": knocked(25.0)})
    found = mechanics_over_time(sqlite_database, "Heron")
    assert {(one.since, one.on_record) for one in found.mechanical_changes} == {(NIGHTS[12], False)}
    assert f"set-ups since its cone error changed ({NIGHTS[12]})" in found.polar_trend.reasons[0]
    add_service(sqlite_database, "mount", "Heron", "knocked", NOW, on=NIGHTS[12], mechanical=True)
    found = mechanics_over_time(sqlite_database, "Heron")
    assert {(one.since, one.on_record) for one in found.mechanical_changes} == {(NIGHTS[12], True)}
    assert "set-ups since the last service" in found.polar_trend.reasons[0]


def test_setups_that_do_not_tell_are_counted_and_left_out(sqlite_database: Database, tmp_path: Path) -> None:
    take_in(sqlite_database, "german_one_sync")
    sheet = tmp_path / "lonely.csv"
    sheet.write_text(HEADER + "2026-05-02,Tarn,Iris,Heron,Long tube,2026-05-02T21:00:00Z,sync,Vega,,,east\n")
    import_arrivals(sqlite_database, sheet, NOW)
    trend = mechanics_over_time(sqlite_database, "Heron").polar_trend
    assert [axis.separation_arcmin.determined for axis in trend.setups] == [True] * 8 + [False]
    assert "1 set-up whose axis is not determined is left out" in trend.reasons
    assert any(reason.startswith("8 set-ups") for reason in trend.reasons)


def test_the_base_of_an_altazimuth_mount_has_a_lean_and_no_axis(
    sqlite_database: Database, tmp_path: Path
) -> None:
    take_in(sqlite_database, "german_one_sync")
    with sqlite_database.write(NOW) as session:
        session.execute(update(Mount).values(mount_type=MountType.ALTAZ))
    sheet = tmp_path / "lonely.csv"
    sheet.write_text(HEADER + "2026-05-02,Tarn,Iris,Heron,Long tube,2026-05-02T21:00:00Z,sync,Vega,,,\n")
    import_arrivals(sqlite_database, sheet, NOW)
    found = mechanics_over_time(sqlite_database, "Heron")
    assert found.mount_type is MountType.ALTAZ
    assert "whose lean is not determined" in found.polar_trend.reasons[-1]


def test_what_has_no_fit_is_refused(club: Database) -> None:
    with pytest.raises(NothingPlaced):
        mechanics_over_time(club, "Heron")
    with pytest.raises(UnknownName):
        mechanics_over_time(club, "Herron")
    with pytest.raises((NothingPlaced, MountTypeUnknown)):
        mechanics_over_time(club, "Thistle", "Long tube")
