"""The bias of few arrivals is taken out of logarithms of landing errors."""

import numpy as np
from numpy.random import default_rng
from numpy.testing import assert_allclose, assert_array_equal
from scipy.special import polygamma, psi
from scipy.stats import rayleigh

from obslog.trends.landings.few_arrivals import psi_and_its_slope, unbiased_logs
from obslog.trends.landings.landing_scale import landing_errors


def test_the_log_error_of_few_arrivals_is_freed_of_its_bias() -> None:
    rng = default_rng(1)
    for arrivals in (1, 2, 8):
        setup = np.repeat(np.arange(20_000), arrivals)
        distance = rng.rayleigh(8 / rayleigh.median(), setup.size)
        errors = landing_errors(setup, distance, distance, 20_000)
        log, sd = unbiased_logs(errors)
        # ln of a scale from m arrivals has the variance psi'(m) / 4; its mean is to be the true one.
        assert_allclose(log.mean(), np.log(8), atol=0.02)
        assert_allclose(np.median(sd), np.sqrt(polygamma(1, arrivals)) / 2, rtol=0.05)


def test_a_radius_that_is_bounded_on_one_side_stays_as_it_is() -> None:
    errors = landing_errors([0, 1, 1], [0.0, 150.0, 150.0], [5.0, np.inf, np.inf], 3)
    log, sd = unbiased_logs(errors)
    assert_array_equal(log[:2], np.log(errors.half_arcmin[:2]))
    assert_array_equal(sd, errors.log_sd)
    assert np.isnan([log[2], sd[2]]).all()


def test_psi_and_its_slope_are_scipys() -> None:
    values = np.array([1.0, 1.5, 2.0, 6.25, 8.0, 40.0, 1e6, np.nan])
    ours = psi_and_its_slope(values)
    assert_allclose(ours[0], psi(values), rtol=1e-11)
    assert_allclose(ours[1], polygamma(1, values), rtol=1e-11)
    assert_allclose(ours[0][0], -np.euler_gamma, rtol=1e-12)
