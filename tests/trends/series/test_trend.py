"""The verdict with its reasons: restarts, several mounts at once, season and temperature."""

import os

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.random import default_rng
from numpy.testing import assert_allclose

from obslog.estimate_words import p_words
from obslog.trends.series.covariates import season, temperature_dependence
from obslog.trends.series.theil_sen import Verdict
from obslog.trends.series.trend import trend_of
from tests.known import known

SIMULATED = 5000 if os.environ.get("OBSLOG_SLOW") else 500
YEARS = np.arange(36) / 12


def test_a_worsening_mount_is_called_so_with_its_reasons() -> None:
    values = np.log(8) + 0.6 * YEARS + 0.2 * default_rng(1).normal(size=36)
    trend = trend_of(YEARS, values)
    assert trend.verdict is Verdict.WORSENING
    assert trend.reasons[0] == "36 set-ups"
    assert trend.reasons[1].endswith("the whole interval is above 1")


def test_sizes_in_arcminutes_are_spoken_of_in_arcminutes() -> None:
    values = 20 + 5 * YEARS + 3 * np.cos(2 * np.pi * YEARS) + 0.5 * default_rng(1).normal(size=36)
    trend = trend_of(YEARS, values, unit="arcmin")
    assert trend.verdict is Verdict.WORSENING
    assert " arcmin a year (95 % interval +" in trend.reasons[1]
    assert trend.reasons[1].endswith("the whole interval is above 0")
    assert any("arcmin at its worst" in reason for reason in trend.reasons)


def test_a_dependence_on_temperature_is_said() -> None:
    warmth = 10 + 8 * default_rng(2).normal(size=36)
    values = 0.05 * warmth + 0.2 * default_rng(3).normal(size=36)
    reasons = trend_of(YEARS, values, temperature_c=warmth).reasons
    assert any("follows the temperature: a factor of 1." in reason for reason in reasons)


@pytest.mark.parametrize("unit", [None, "arcmin"])
def test_what_follows_season_and_temperature_is_told_with_the_slope_beside_it(unit: str | None) -> None:
    # Least squares by statsmodels: the slope beside temperature or yearly wave, with Student's interval.
    rng = default_rng(12)
    warmth = 10 + 8 * rng.normal(size=36)
    wave = np.column_stack([np.cos(2 * np.pi * YEARS), np.sin(2 * np.pi * YEARS)])
    values = 0.05 * warmth + wave @ [0.9, 0.4] + 0.3 * YEARS + 0.1 * rng.normal(size=36)
    reasons = trend_of(YEARS, values, temperature_c=warmth, unit=unit).reasons
    for name, terms in (("season", wave), ("temperature", warmth[:, None])):
        fit = sm.OLS(values, np.column_stack([YEARS, np.ones(36), terms])).fit()
        change = np.hypot(*fit.params[2:]) if name == "season" else 10 * fit.params[2]
        when = "at its worst" if name == "season" else "for 10 °C more"
        slope = np.r_[fit.params[0], fit.conf_int()[0]]
        value, low, high = slope if unit else np.exp(slope)
        p = fit.f_test(np.eye(len(fit.params))[2:]).pvalue
        if unit:
            size, growth = (
                f"{change:+.2f} arcmin",
                f"{value:+.2f} arcmin a year (95 % interval {low:+.2f} to {high:+.2f})",
            )
        else:
            size, growth = (
                f"a factor of {np.exp(change):.2f}",
                f"a factor of {value:.2f} a year (95 % interval {low:.2f} to {high:.2f})",
            )
        assert (
            f"it follows the {name}: {size} {when}, {p_words(p)}; with that allowed for, {growth}" in reasons
        )


def test_the_slope_beside_the_season_of_ten_nights_has_an_interval_of_six_degrees_of_freedom() -> None:
    """Student's 97.5 % of six degrees of freedom is 2.447 in any table; slope and its sd by statsmodels."""
    years = np.linspace(0, 2, 10)
    wave = np.column_stack([np.cos(2 * np.pi * years), np.sin(2 * np.pi * years)])
    values = wave @ [0.9, 0.4] + 0.1 * default_rng(12).normal(size=10)
    fit = sm.OLS(values, np.column_stack([years, np.ones(10), wave])).fit()
    low, high = np.exp(fit.params[0] + np.array([-2.447, 2.447]) * fit.bse[0])
    (told,) = (reason for reason in trend_of(years, values).reasons if "follows the season" in reason)
    assert told.endswith(f"a year (95 % interval {low:.2f} to {high:.2f})")


@pytest.mark.parametrize(("unit", "bound"), [(None, 1), ("arcmin", 0)])
def test_an_improving_mount_has_its_interval_below(unit: str | None, bound: int) -> None:
    values = 3 - 0.6 * YEARS + 0.2 * default_rng(1).normal(size=36)
    trend = trend_of(YEARS, values, unit=unit)
    assert trend.verdict is Verdict.IMPROVING
    assert trend.reasons[1].endswith(f"the whole interval is below {bound}")
    assert trend.reasons[2].startswith(("p = ", "p < "))
    assert trend.reasons[2].endswith(" for no trend (Mann-Kendall)")


def test_a_steady_mount_may_be_so_by_chance() -> None:
    trend = trend_of(YEARS[:13], [0.2, -0.2, 0.2, -0.2, 0.2, -0.2, 0.2, -0.2, 0.2, -0.2, 0.2, -0.2, 0.2])
    assert trend.verdict is Verdict.STEADY
    assert trend.reasons[1].endswith(": that may be chance")


def test_one_that_may_be_anything_is_not_called_steady() -> None:
    """By two in a month to either side: in a year from exp(-8) to exp(8)."""
    trend = trend_of(YEARS[:7], [1, -1, 1, -1, 1, -1, 1])
    assert trend.verdict is Verdict.TOO_FEW
    assert trend.reasons[:2] == (
        "7 set-ups",
        "a factor of 1.00 a year (95 % interval 0.00 to 2980.96): in a year the ends would be more than 30 times "
        "apart, and that is not called steady",
    )
    assert trend_of(YEARS[:7], [1, -1, 1, -1, 1, -1, 1], unit="arcmin").verdict is Verdict.STEADY


def test_set_ups_are_counted_since_the_last_restart_and_earlier_slopes_are_there() -> None:
    trend = trend_of(YEARS, YEARS, [12, 24], since_words=" since its sag changed (2025-05-01)")
    assert (trend.count, trend.since, len(trend.earlier)) == (12, 24, 2)
    assert trend.reasons[0] == "12 set-ups since its sag changed (2025-05-01)"
    first = trend_of(YEARS[:12], YEARS[:12], since_words=" since the last service")
    assert (first.since, first.earlier) == (0, ())
    assert first.reasons[0] == "12 set-ups"
    assert [round(slope.per_year.value, 6) for slope in trend.earlier if slope] == [1.0, 1.0]


def test_one_set_up_is_counted_in_the_singular() -> None:
    assert trend_of(YEARS[:1], [1.0]).reasons == ("1 set-up on 1 night; a verdict needs 6 nights",)


def test_many_set_ups_on_few_nights_give_no_verdict() -> None:
    found = trend_of(
        np.repeat(YEARS[:5], 4), np.repeat([0.0, 1, 2, 3, 4], 4) + np.tile([0, 0.01, 0.02, 0.03], 5)
    )
    assert (found.count, found.nights, found.verdict) == (20, 5, Verdict.TOO_FEW)
    assert found.reasons == ("20 set-ups on 5 nights; a verdict needs 6 nights",)


def test_what_a_service_mended_no_longer_counts() -> None:
    rng = default_rng(2)
    values = np.where(YEARS < 1.5, 0.8 * YEARS, 0.0) + 0.15 * rng.normal(size=36)
    trend = trend_of(YEARS, values, [18], since_words=" since the last service")
    assert trend.verdict is Verdict.STEADY
    assert trend.since == 18
    assert trend.earlier[0] is not None
    assert known(trend.earlier[0].per_year.low) > 0
    assert "since the last service" in trend.reasons[0]


def test_few_set_ups_since_the_service_give_no_verdict() -> None:
    trend = trend_of(YEARS, YEARS, [32], since_words=" since the last service")
    assert trend.verdict is Verdict.TOO_FEW
    assert trend.reasons[0] == "4 set-ups on 4 nights since the last service; a verdict needs 6 nights"
    assert trend_of([], []).verdict is Verdict.TOO_FEW


def test_a_service_after_the_last_set_up_leaves_nothing_to_judge() -> None:
    trend = trend_of(YEARS, YEARS, [36], since_words=" since the last service")
    assert trend.verdict is Verdict.TOO_FEW
    assert trend.reasons[0] == "0 set-ups since the last service; a verdict needs 6 nights"
    assert trend.earlier[0] is not None


def test_nights_without_a_landing_error_are_not_counted() -> None:
    values = np.where(np.arange(36) % 6 == 0, 1.0, np.nan)
    assert trend_of(YEARS, values).count == 6
    assert trend_of(YEARS, np.full(36, np.nan)).verdict is Verdict.TOO_FEW


def test_a_season_is_found_reported_and_left_in() -> None:
    rng = default_rng(6)
    values = 0.5 * np.cos(2 * np.pi * (YEARS - 0.1)) + 0.15 * rng.normal(size=36)
    found = season(YEARS, values)
    assert found is not None
    assert_allclose(found.size.value, 0.5, atol=4 * found.size.sd)
    assert found.p < 1e-6
    assert any("follows the season" in reason for reason in trend_of(YEARS, values).reasons)


def test_a_season_is_not_looked_for_in_part_of_a_year() -> None:
    assert season(YEARS[:11], np.arange(11.0)) is None
    assert season(YEARS[:5], np.arange(5.0)) is None


def test_season_and_temperature_are_looked_for_in_ten_nights_and_not_in_ten_set_ups() -> None:
    values = default_rng(13).normal(size=24)
    for nights, looked in ((8, False), (12, True)):
        years = np.repeat(np.linspace(0, 2, nights), 24 // nights)
        warmth = np.repeat(10 + np.arange(nights) % 5, 24 // nights)
        assert (season(years, values) is not None) is looked
        assert (temperature_dependence(years, values, warmth) is not None) is looked


def test_a_season_is_seldom_found_where_there_is_none() -> None:
    rng = default_rng(7)
    found = [season(YEARS, rng.normal(size=36), [12]) for _ in range(SIMULATED)]
    share = np.mean([f.p < 0.05 for f in found if f is not None])
    assert_allclose(share, 0.05, atol=4 * np.sqrt(0.05 * 0.95 / SIMULATED))


def test_temperature_dependence_is_recovered_within_its_sd() -> None:
    rng = default_rng(8)
    deviates, covered = [], []
    for _ in range(SIMULATED):
        warmth = 10 + 8 * np.cos(2 * np.pi * YEARS) + rng.normal(scale=4, size=36)
        values = 0.02 * warmth + 0.3 * YEARS + np.where(YEARS < 1, 0.4, 0.0) + 0.2 * rng.normal(size=36)
        found = temperature_dependence(YEARS, values, warmth, [12])
        assert found is not None
        deviates.append((found.size.value - 0.02) / found.size.sd)
        covered.append(known(found.slope_per_year.low) < 0.3 < known(found.slope_per_year.high))
    assert_allclose(np.std(deviates), 1.0, atol=0.12)
    assert_allclose(np.mean(covered), 0.95, atol=0.03)


def test_unknown_temperatures_are_left_out_and_a_constant_one_tells_nothing() -> None:
    values = default_rng(9).normal(size=36)
    warmth = np.where(np.arange(36) < 20, 5.0 + np.arange(36) % 7, np.nan)
    known = temperature_dependence(YEARS, values, warmth)
    assert known is not None
    assert known.size.count == 20
    assert temperature_dependence(YEARS, values, np.full(36, 12.0)) is None
    assert temperature_dependence(YEARS, values, np.full(36, np.nan)) is None
