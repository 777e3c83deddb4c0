"""Fits of a set-up made by hand."""

from typing import Any

import numpy as np

from obslog.pointing.tonight.setup_fit import SetupFit
from obslog.values import Estimate


def a_fit(**changed: Any) -> SetupFit:
    """Six arrivals that fit, an axis that stands right to 3', a mount without errors; or with what is changed."""
    values: dict[str, Any] = {
        "polar_altitude": Estimate(0.0, 3.0, 5, True), "polar_azimuth": Estimate(0.0, 3.0, 5, True),
        "cone": Estimate(0.0, 2.0, 5, True), "squareness": Estimate(0.0, 2.0, 5, True),
        "sag": Estimate(0.0, 1.0, 5, True), "mean": np.zeros(5), "covariance": np.diag([9.0, 9.0, 4.0, 4.0, 1.0]),
        "wrong_arrival": np.array([np.nan, 0.01, 0.01, 0.01, 0.01, 0.01]),
        "wrong_centring": np.array([0.01, *[np.nan] * 5]), "residual_east_arcmin": np.array([np.nan, *[1.0] * 5]),
        "residual_north_arcmin": np.array([np.nan, *[1.0] * 5]), "noise_arcmin": 2.0,
    }  # fmt: skip
    return SetupFit(**(values | changed))


def known(value: float, sd: float) -> Estimate:
    return Estimate(value, sd, 5, True)
