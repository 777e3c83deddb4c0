"""The control chart against the worked example and the run lengths of the literature; the source is beside each."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.trends.series.control_chart import chart, moving_average
from obslog.trends.series.run_lengths import average_sd, steady_run_length
from tests.published.published_tables import numbers


def test_average_and_limits_of_the_handbook() -> None:
    # NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4: lambda 0.3, start 50, s 2.0539, k 3.
    table = numbers("nist_ewma_6_3_2_4.csv")
    assert_allclose(moving_average(table["x"], 0.3, 50.0), table["ewma_printed"], atol=0.005)
    # The handbook draws the limits of a long-running chart, 52.5884 and 47.4115 (the last digit cut, not rounded).
    steady = 3 * 2.0539 * average_sd(1e6, 0.3)
    assert_allclose([50 + steady, 50 - steady], [52.5884, 47.4115], atol=2e-4)
    ours = chart(table["x"], 50.0, 2.0539, 3.0, 0.3)
    assert_allclose([ours.high[-1], ours.low[-1]], [52.5884, 47.4115], atol=3e-3)
    inside_steady_limits = np.abs(ours.average - 50) < steady
    assert inside_steady_limits.all()


@pytest.mark.parametrize("row", range(5))
def test_run_lengths_of_lucas_and_saccucci(row: int) -> None:
    # J. M. Lucas, M. S. Saccucci, Technometrics 32 (1990) 1: see the table's first line.
    table = numbers("arl_ewma.csv")
    for name, printed in table.items():
        if not name.startswith("arl_"):
            continue
        ours = steady_run_length(table["L"][row], table["lambda"][row], float(name.removeprefix("arl_")))
        one_digit = 1.0 if printed[row] > 100 else 0.1
        assert_allclose(ours, printed[row], atol=1.0 * one_digit, err_msg=f"{name} of row {row}")
