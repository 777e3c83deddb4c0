"""One demo club, built once for all tests that only look at it."""

from datetime import date

import numpy as np
import pytest

from seed_demo.build import build_demo
from seed_demo.records import DemoClub


@pytest.fixture(scope="session")
def club() -> DemoClub:
    return build_demo(date(2026, 10, 31), np.random.default_rng(1))
