"""Tonight's settings from the record: the altitude scale, what a tilt costs, and the volts to expect."""

from datetime import UTC, datetime
from math import radians, sin, sqrt
from zoneinfo import ZoneInfo

import pytest

from obslog.club.checklist.step_values import level_value, pole_values, scale_value, volts_value
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.register.observing_site import ObservingSite
from obslog.values import Place
from obslog.vocabulary.mounts import MountType


def record(errors_arcmin: list[float]) -> PolarRecord:
    return PolarRecord(
        mount="Heron", mount_type=MountType.GERMAN, altitude_errors_arcmin=errors_arcmin, separations=[]
    )


def test_without_a_record_the_scale_is_set_to_the_latitude() -> None:
    assert scale_value(52.2, None) == "altitude scale 52.2°, toward true north"
    assert scale_value(-32.4, None) == "altitude scale 32.4°, toward true south"
    assert scale_value(0.0, None) == "altitude scale 0.0°, toward true north"


def test_a_scale_that_reads_low_is_set_lower_by_as_much() -> None:
    """Five axes 60' too high on average: 58, 59, 60, 61, 62; their sd is sqrt(10 / 4), over sqrt 5 it is 0.7'."""
    errors = [58.0, 59.0, 60.0, 61.0, 62.0]
    assert sqrt(10 / 4) / sqrt(5) / 60 < 0.05  # so 0.0 deg
    assert scale_value(52.2, record(errors)) == (
        "set the altitude scale to 51.2°, not 52.2°, toward true north: over 5 set-ups it read 1.0 ± 0.0° low"
    )
    assert scale_value(-32.4, record([-error for error in errors])) == (
        "set the altitude scale to 33.4°, not 32.4°, toward true south: over 5 set-ups it read 1.0 ± 0.0° high"
    )


@pytest.mark.parametrize(
    "errors",
    [
        [60.0, 60.5, 61.0, 60.2],  # four set-ups are too few
        [11.0, 11.5, 11.9, 11.2, 11.4],  # under 12' no scale is read
        [90.0, -40.0, 60.0, -20.0, 30.0],  # 24' on average, but single nights scatter by 54'
    ],
)
def test_where_no_setting_would_have_helped_it_stays_the_latitude(errors: list[float]) -> None:
    assert scale_value(52.2, record(errors)) == "altitude scale 52.2°, toward true north"


def test_what_a_tilt_costs_is_by_the_sine_of_the_latitude() -> None:
    """Half a degree is 30'; at 52.2 degrees 30 x sin 52.2 = 24', at 30 degrees 15'."""
    assert round(30 * sin(radians(52.2))) == 24
    words = "within 0.5°: that much east or west throws an axis set by the scale {}' sideways here"
    assert level_value(52.2) == words.format(24)
    assert level_value(-30.0) == words.format(15)


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ([], []),
        (["full", "charged"], []),
        (["12.6"], ["volts as ticked before: 12.6 V (once) at rest"]),
        (["12.6 V, 12,1 slewing"], ["volts as ticked before: 12.6 V (once) at rest; 12.1 V (once) slewing"]),
        # Means 12.5 and 12.0; of two values the sd is half their difference times sqrt 2: 0.28 and 0.14.
        (
            ["12.7 / 12.1", "12.3 / 11.9"],
            ["volts as ticked before: 12.5 ± 0.3 V (2 times) at rest; 12.0 ± 0.1 V (2 times) slewing"],
        ),
        (
            ["12.7 / 12.1 / 3", "12.3"],
            ["volts as ticked before: 12.5 ± 0.3 V (2 times) at rest; 12.1 V (once) slewing"],
        ),
    ],
)
def test_the_volts_are_those_ticked_before(texts: list[str], words: list[str]) -> None:
    assert volts_value(texts) == words


def test_of_the_pole_star_nothing_is_said_without_a_place_or_beyond_the_ephemeris() -> None:
    view = ObservingSite("Tarn", Place(54.6, -3.1, 180.0), ZoneInfo("Europe/London"))
    assert pole_values(None, datetime(2026, 3, 2, tzinfo=UTC)) == []
    assert len(pole_values(view, datetime(2026, 3, 2, tzinfo=UTC))) == 1
    assert pole_values(view, datetime(2200, 3, 2, tzinfo=UTC)) == []
