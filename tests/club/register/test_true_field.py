"""The true field: from the field stop where it is known, else from the apparent field."""

import math
from typing import Any

import pytest

from obslog import optics
from obslog.club.register.true_field import true_field_arcmin
from obslog.records.tables.logbook_tables import Eyepiece, Tube


def field(tube_mm: float | None, **eyepiece: Any) -> float | None:
    tube = Tube(name="Long tube", name_key="long tube", focal_mm=tube_mm)
    return true_field_arcmin(tube, Eyepiece(name="Wide", name_key="wide", **eyepiece))


def test_the_field_stop_goes_before_the_apparent_field() -> None:
    """By hand: 52 degrees at 40 times is 78'; a stop of 20 mm at 1000 mm subtends 2 atan(0.01) = 68.75'."""
    assert field(1000, focal_mm=25, field_deg=52) == 78.0
    assert field(1000, focal_mm=25, field_deg=52, field_stop_mm=20) == pytest.approx(
        120 * math.degrees(math.atan(0.01)), abs=0.01
    )


def test_it_is_what_the_optics_give() -> None:
    for stop in (None, 21.2):
        view = optics.view_through(200, 1000, 25, 52, stop)
        assert view.true_field_deg is not None
        assert field(1000, focal_mm=25, field_deg=52, field_stop_mm=stop) == pytest.approx(
            view.true_field_deg * 60, abs=0.01
        )


@pytest.mark.parametrize(
    ("tube_mm", "eyepiece"),
    [
        (None, {"focal_mm": 25, "field_deg": 52}),
        (1000, {"focal_mm": 25}),
        (1000, {"field_deg": 52}),
        (1, {"focal_mm": 1000, "field_deg": 150}),  # 150,000 degrees: one of the numbers is a slip
    ],
)
def test_it_is_unknown_where_it_cannot_be_told(tube_mm: float | None, eyepiece: dict[str, float]) -> None:
    assert field(tube_mm, **eyepiece) is None
