"""The control chart against the worked example and the run lengths of the literature; the source is beside each."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.trends.series.run_lengths import NODES, _step_density, average_sd
from tests.published.published_tables import numbers


def test_limits_of_the_handbook() -> None:
    # NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4: lambda 0.3, start 50, s 2.0539, k 3.
    # The handbook draws the limits of a long-running chart, 52.5884 and 47.4115 (the last digit cut, not rounded).
    steady = 3 * 2.0539 * average_sd(1e6, 0.3)
    assert_allclose([50 + steady, 50 - steady], [52.5884, 47.4115], atol=2e-4)


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


def steady_run_length(width: float, smoothing: float, shift: float = 0.0) -> float:
    """The mean number of values until an alarm when the limits are those of a long-running chart from the start.

    Solves the integral equation by Gauss-Legendre quadrature. `shift` is the mean of the values, in their own sd.

    Source: S. V. Crowder, Technometrics 29 (1987) 401, equation 1.
    """
    nodes, weights = np.polynomial.legendre.leggauss(2 * NODES)
    limit = width * np.sqrt(smoothing / (2 - smoothing))
    start = np.append(nodes * limit, 0.0)
    kernel = _step_density(start, nodes * limit, smoothing, shift) * weights * limit
    between = np.linalg.solve(np.eye(nodes.size) - kernel[:-1], np.ones(nodes.size))
    return float(1 + kernel[-1] @ between)
