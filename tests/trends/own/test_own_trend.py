"""The verdict on the mount's own part: how often it is wrong under each disturbance, and how often it is right.

The table in docs/trends.md is `python -m tests.benchmarks.own_trend_numbers`; these are smaller and seeded. A share of
3 % among 200 mounts has the standard error 1.2 %: the bound is that of two of them above.
"""

import os

import numpy as np
import pytest
from numpy.random import default_rng
from scipy import stats

from obslog.trends.own.club_model import ClubModel, fit_club
from obslog.trends.own.club_setups import club_setups
from obslog.trends.own.own_trend import _hiding, _lines, common_scatter, own_trends
from obslog.trends.own.own_verdict import OwnTrend, verdicts_together
from obslog.trends.own.solving import DesignMatrix, Spreads, solve
from obslog.trends.series.theil_sen import Verdict
from tests.trends.own.club_simulations import SOME_ONLY, STORIES, counted_verdicts

CLUBS = 50 if os.environ.get("OBSLOG_SLOW") else 10
STEADY = [name for name in STORIES if "doubling" not in name and "the same" not in name]


@pytest.mark.parametrize("name", STEADY)
def test_a_steady_mount_is_seldom_called_worsening(name: str) -> None:
    clubs = CLUBS // 4 if name in SOME_ONLY and CLUBS > 10 else CLUBS
    counted = counted_verdicts(default_rng(20), name, clubs)
    assert counted.mounts == 20 * clubs
    assert counted.own[Verdict.WORSENING] <= 0.03 + 2 * np.sqrt(0.03 * 0.97 / counted.mounts)


def test_the_plain_slope_would_blame_the_mount_for_its_user() -> None:
    counted = counted_verdicts(default_rng(21), "careless user from half way", 5)
    assert counted.as_used[Verdict.WORSENING] > 0.5


def test_a_user_who_is_seen_nowhere_else_cannot_be_told_from_the_mount() -> None:
    counted = counted_verdicts(default_rng(22), "who has no other mount", 5)
    assert counted.own[Verdict.CANNOT_TELL] > 0.9


def test_a_crooked_tube_is_not_laid_to_the_mount() -> None:
    counted = counted_verdicts(default_rng(25), "crooked tube from half way", 5)
    assert counted.as_used[Verdict.WORSENING] > 0.9
    assert counted.own[Verdict.CANNOT_TELL_TUBES] > 0.9


def test_a_doubling_is_found_through_two_tubes_in_turn() -> None:
    counted = counted_verdicts(default_rng(26), "the same, two tubes in turn", 10)
    assert counted.own[Verdict.WORSENING] > 0.8
    assert counted.as_used[Verdict.WORSENING] < 0.5


def test_where_it_lands_now_is_told_with_the_tube_that_is_on_it() -> None:
    rng = default_rng(27)
    times = np.arange(24) / 12
    crooked = np.tile(np.arange(24) >= 12, 10)
    truth = np.where(crooked & (np.repeat(np.arange(10), 24) == 0), np.log(30.0), np.log(6.0))
    club = club_setups(
        np.tile(times, 10) + 2025, truth + 0.2 * rng.normal(size=240), np.full(240, 0.18),
        era=np.repeat(np.arange(10), 24).tolist(), observer=["Ines", "Bram"] * 120, site=[None] * 240,
        tube=["Short" if is_so else "Long" for is_so in crooked.tolist()],
    )  # fmt: skip
    found = own_trends(fit_club(club))
    assert found[0].verdict is Verdict.CANNOT_TELL_TUBES
    assert np.exp(found[0].last_log) == pytest.approx(30.0, rel=0.4)
    assert found[0].tubes == 2


@pytest.mark.parametrize("name", ["doubling in two years", "the same, all users alike"])
def test_a_doubling_in_two_years_is_found_as_often_as_by_the_plain_slope(name: str) -> None:
    counted = counted_verdicts(default_rng(23), name, 10)
    assert counted.own[Verdict.WORSENING] >= counted.as_used[Verdict.WORSENING] - 0.03
    assert counted.own[Verdict.WORSENING] > 0.8


def test_of_a_fleet_of_steady_mounts_hardly_any_is_called_anything() -> None:
    rng = default_rng(24)
    wrong = 0
    for _ in range(10):
        years = np.tile(np.arange(24) / 12, 20)
        clubs = club_setups(
            years, 2 + 0.3 * rng.normal(size=480), np.full(480, 0.18), era=np.repeat(np.arange(20), 24).tolist(),
            observer=rng.integers(0, 10, 480).tolist(), site=[0] * 480,
        )  # fmt: skip
        verdicts = [one.verdict for one in verdicts_together(own_trends(fit_club(clubs)))]
        wrong += any(verdict is not Verdict.STEADY for verdict in verdicts)
    assert wrong <= 3  # with nothing to be found the false discovery rate is the chance of any: 1 in 20 clubs


def test_a_verdict_does_not_rest_on_one_night() -> None:
    rng = default_rng(6)
    values = 2 + 0.2 * rng.normal(size=(10, 12))
    values[0, -1] += np.log(3)
    club = club_setups(
        np.tile(np.arange(12) / 12, 10), values.ravel(), np.full(120, 0.18), era=np.repeat(np.arange(10), 12).tolist(),
        observer=["Ines", "Bram"] * 60, site=[None] * 120,
    )  # fmt: skip
    assert own_trends(fit_club(club))[0].verdict is Verdict.STEADY


def a_club_with(years: list[float], values: list[float]) -> OwnTrend:
    """The trend of a mount with these set-ups, whose club has nine others of twelve nights."""
    rng = default_rng(8)
    others = 2 + 0.2 * rng.normal(size=108)
    club = club_setups(
        [*years, *np.tile(np.arange(12) / 12, 9)], [*values, *others], np.full(len(years) + 108, 0.18),
        era=[0] * len(years) + np.repeat(np.arange(1, 10), 12).tolist(),
        observer=(["Ines", "Bram"] * 120)[: len(years) + 108], site=[None] * (len(years) + 108),
    )  # fmt: skip
    return own_trends(fit_club(club))[0]


def test_several_set_ups_of_a_night_are_one_night() -> None:
    """Three at 4' and, a fortnight later, three at 24': six set-ups, and two nights."""
    found = a_club_with([0.2] * 3 + [0.24] * 3, np.log([4.0, 4.1, 3.9, 24.0, 24.5, 23.5]).tolist())
    assert (found.count, found.nights, found.slope) == (6, 2, None)
    assert found.verdict is Verdict.TOO_FEW


def test_a_verdict_does_not_rest_on_several_set_ups_of_one_night() -> None:
    """No one of the last night's three carries it, for the other two say the same; all three are left out together."""
    rng = default_rng(9)
    years = [*(np.arange(8) / 12).tolist(), 0.75, 0.75, 0.75]
    values = [*(2 + 0.1 * rng.normal(size=8)).tolist(), *[2 + np.log(2.5)] * 3]
    found = a_club_with(years, values)
    assert (found.count, found.nights) == (11, 9)
    assert found.slope is not None
    assert found.slope.p < 0.04
    assert found.rests_on == 8
    assert found.verdict is Verdict.STEADY


def a_model_with_users_of_their_own() -> ClubModel:
    """The first of ten mounts has a user for its first half and one for its second, seen nowhere else, and grows under
    each; its last night is far out. How far people lie apart is taken for a tenth, though these two differ by one."""
    rng = default_rng(12)
    values, users = 2 + 0.1 * rng.normal(size=(10, 12)), rng.integers(0, 6, (10, 12))
    users[0] = np.repeat([6, 7], 6)
    values[0] += np.repeat([0.0, 1.0], 6) + np.tile(np.arange(6) / 6, 2)
    values[0, -1] += np.log(2.0)
    setups = club_setups(
        np.tile(np.arange(12) / 12, 10), values.ravel(), np.full(120, 0.18), era=np.repeat(np.arange(10), 12).tolist(),
        observer=users.ravel().tolist(), site=[None] * 120,
    )  # fmt: skip
    terms, spreads, plain = (
        DesignMatrix.of(setups),
        Spreads(rest=0.15, observer=0.1, site=0.1, rho=0.0),
        np.ones(120),
    )
    return ClubModel(terms=terms, spreads=spreads, plain=plain, solved=solve(terms, spreads, plain))


def test_without_its_last_night_a_hidden_mount_has_the_line_of_the_others() -> None:
    """Beside a plain fit of the other eleven nights to what the users leave, where nothing is assumed of them."""
    model = a_model_with_users_of_their_own()
    hiding = _hiding(model)
    lines = _lines(model, hiding)
    assert hiding.hidden[0]
    left = (model.setups.log_error - model.terms.columns @ hiding.anybody.shared)[:11]
    columns = np.column_stack([np.ones(11), model.setups.since_middle[:11]])
    variance = 0.15**2 + 0.18**2
    (_, growth), *_ = np.linalg.lstsq(columns, left)
    known = np.linalg.inv(columns.T @ columns / variance)[1, 1]
    sd = np.sqrt(lines.scatter[0] * known + lines.hidden[0, 1, 1])
    found = own_trends(model)[0]
    assert found.slope is not None
    assert found.p > found.slope.p
    assert found.p == pytest.approx(2 * stats.t.sf(growth / sd, lines.freedom[0] - 1), rel=1e-3)


def test_the_scatter_that_mounts_have_in_common_counts_for_much_where_they_are_alike() -> None:
    rng = default_rng(7)
    freedom = np.full(400, 10.0)
    level, counts_for = common_scatter(rng.chisquare(10, 400), freedom)
    assert abs(level - 1) < 0.1
    assert counts_for > 30
    # True variances by the inverse chi squared of 6 degrees of freedom: 6 / chi2(6), as the method supposes.
    true = 6 / rng.chisquare(6, 400)
    level, counts_for = common_scatter(true * rng.chisquare(10, 400), freedom)
    assert abs(level - 1) < 0.2
    assert 4 <= counts_for < 10
