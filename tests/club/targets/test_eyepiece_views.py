"""What a tube and an eyepiece on record show together, and a field measured by a star's drift."""

from datetime import datetime
from math import atan, degrees, pi, radians, tan

import pytest

from obslog.club.register.named_records import add
from obslog.club.targets.eyepiece_views import SizesUnknown, field_by_drift, view_with
from obslog.errors import OutOfRange, UnknownName
from obslog.records.database import Database

SIDEREAL_ARCSEC_PER_S = 15.041067  # the Earth turns once in 86,164.0905 s: 1,296,000 / 86,164.0905


def test_the_view_is_of_the_sizes_on_record(club: Database) -> None:
    """The Long tube is 212 by 1000 mm; with 25 mm it magnifies 40 times, and 212 / 40 mm of light leave it."""
    names, view = view_with(club, "long tube", "WIDE 25")
    assert names == ("Long tube", "Wide 25")
    assert (view.magnification, view.exit_pupil_mm, view.focal_ratio) == pytest.approx(
        (40, 212 / 40, 1000 / 212)
    )
    assert view.true_field_deg == pytest.approx(
        53 / 40
    )  # by its apparent field, for it has no stop on record


def test_a_barlow_lens_enlarges_and_a_field_stop_says_the_field(club: Database) -> None:
    _, view = view_with(club, "Long tube", "Stop 20", barlow=2.0)
    assert (view.magnification, view.exit_pupil_mm) == pytest.approx((100, 2.12))
    assert view.true_field_deg == pytest.approx(degrees(2 * atan(20 / 2 / 2000)), rel=1e-6)


@pytest.mark.parametrize(
    ("kind", "values"), [("tube", {"focal_mm": 900.0}), ("tube", {"aperture_mm": 80.0}), ("eyepiece", {})]
)
def test_sizes_that_are_not_on_record_are_asked_for(
    club: Database, now: datetime, kind: str, values: dict[str, object]
) -> None:
    add(club, kind, "New one", values, now)
    tube, eyepiece = ("New one", "Wide 25") if kind == "tube" else ("Long tube", "New one")
    with pytest.raises(SizesUnknown, match=f"{kind} New one") as caught:
        view_with(club, tube, eyepiece)
    assert f'obslog {kind} edit "New one" --' in caught.value.hint


def test_what_is_not_on_record_is_named(club: Database) -> None:
    with pytest.raises(UnknownName, match="Wide 26"):
        view_with(club, "Long tube", "Wide 26")
    with pytest.raises(UnknownName, match="Lomg tube"):
        field_by_drift(club, "Lomg tube", 60, 0)


def test_a_field_by_drift_is_the_stars_path_and_the_stop_that_subtends_it(club: Database) -> None:
    """On the equator 240 s are 60.16'; in the Long tube, 1000 mm, that is a stop of 17.5 mm; at 60° half of it."""
    found = field_by_drift(club, "Long tube", 240, 0)
    arcmin = 240 * SIDEREAL_ARCSEC_PER_S / 60
    assert found.true_field_arcmin == pytest.approx(arcmin, rel=1e-6)
    assert found.field_stop_mm == pytest.approx(2 * 1000 * tan(arcmin / 60 * pi / 180 / 2), rel=1e-6)
    assert found.field_stop_mm == pytest.approx(17.5, abs=0.01)
    assert field_by_drift(club, "Long tube", 240, -60).true_field_arcmin == pytest.approx(
        arcmin / 2, rel=1e-4
    )


@pytest.mark.parametrize(
    ("seconds", "dec_deg"), [(0, 0), (-5, 0), (3601, 0), (60, 85.1), (60, -90), (60, 91)]
)
def test_a_drift_that_measures_nothing_is_refused(club: Database, seconds: float, dec_deg: float) -> None:
    with pytest.raises(OutOfRange):
        field_by_drift(club, "Long tube", seconds, dec_deg)


def test_a_barlow_lens_spreads_the_same_field_over_a_larger_stop(club: Database) -> None:
    # The tube of 1000 mm works at 2000 mm: a field of one degree then spans 2000 tan 1 deg = 34.9 mm of the eyepiece.
    plain = field_by_drift(club, "Long tube", 240, 0)
    found = field_by_drift(club, "Long tube", 240, 0, barlow=2.0)
    assert found.true_field_arcmin == plain.true_field_arcmin
    assert found.field_stop_mm == pytest.approx(2000 * tan(radians(found.true_field_arcmin / 60)), rel=1e-3)
    assert found.field_stop_mm == pytest.approx(2 * plain.field_stop_mm)


def test_a_drift_needs_the_focal_length_of_its_tube(club: Database, now: datetime) -> None:
    add(club, "tube", "New one", {"aperture_mm": 80.0}, now)
    with pytest.raises(SizesUnknown):
        field_by_drift(club, "New one", 60, 0)
