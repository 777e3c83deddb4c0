"""What a fit leaves, as arrows: their places, ends and scale against residuals handed in."""

from dataclasses import astuple
from datetime import date
from math import hypot
from typing import Any
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure
from matplotlib.quiver import Quiver
from numpy.testing import assert_allclose

from obslog.club.performance.mount_fit import MechanicalTerm, MountFit, Residual
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.residual_sky import (
    LONGEST,
    NUMBERED,
    USUAL_LENGTH,
    Arrow,
    arcmin_of_unit,
    means_of,
    residuals_picture,
    sky_place,
)
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType
from tests.report.pictures.drawn_on import figure_of, texts_of


def fit_of(residuals: list[Residual], **changed: object) -> MountFit:
    values: dict[str, Any] = {
        "sentence": "", "mount": "Heron", "mount_type": MountType.GERMAN, "tube": "Long tube",
        "noise_arcmin": Estimate(6.0, 0.1, 90, True), "newest_noise_arcmin": Estimate(2.0, 0.1, 90, True),
        "mechanical": [
            MechanicalTerm(date(2026, 1, 5), "cone", Estimate(-11.0, 0.5, 90, True)),
            MechanicalTerm(date(2026, 1, 5), "sag", Estimate(3.0, 9.0, 90, False)),
        ],
        "setups": [], "findings": [], "words": [], "suspects": [], "residuals": residuals, "left_out": {},
    }  # fmt: skip
    return MountFit(**(values | changed))


def arrows(figure: Figure) -> list[tuple[Any, Any, Any, Any, Any]]:
    """Places and lengths of the arrows of each colour."""
    found = [one for one in figure.findobj(Quiver) if isinstance(one, Quiver)]
    return [(one.X, one.Y, one.U, one.V, one.scale) for one in found]


# Over the eastern horizon, half way up in the south, at the zenith.
THREE = [Residual(90.0, 0.0, 5.0, 0.0), Residual(180.0, 45.0, 0.0, -10.0), Residual(0.0, 90.0, -4.0, 3.0)]


def test_east_is_left_north_is_up_and_the_zenith_in_the_middle() -> None:
    assert sky_place(90, 0) == pytest.approx((-1, 0))
    assert sky_place(0, 0) == pytest.approx((0, 1))
    assert sky_place(180, 45) == pytest.approx((0, -0.5))
    assert sky_place(270, 60) == pytest.approx((1 / 3, 0))
    assert sky_place(123, 90) == pytest.approx((0, 0))


def test_arrows_stand_where_the_arrivals_were_and_point_as_the_residuals_do() -> None:
    ((x, y, east, north, scale),) = arrows(figure_of(residuals_picture(fit_of(THREE))))
    unit = arcmin_of_unit(THREE)
    assert scale == 1
    assert_allclose(x, [-1, 0, 0], atol=1e-12)
    assert_allclose(y, [0, -0.5, 0], atol=1e-12)
    assert_allclose(-east * unit, [5, 0, -4], atol=1e-9)
    assert_allclose(north * unit, [0, -10, 3], atol=1e-9)


def test_four_of_five_arrows_are_no_longer_than_a_tenth_of_the_skys_radius() -> None:
    residuals = [Residual(0.0, 45.0, float(size), 0.0) for size in range(1, 101)]
    assert arcmin_of_unit(residuals) == pytest.approx(800)


def test_a_gross_one_is_drawn_shorter_in_its_direction_and_says_its_length() -> None:
    figure = figure_of(residuals_picture(fit_of([*THREE * 10, Residual(45.0, 45.0, 300.0, 400.0)])))
    usual, cut = arrows(figure)
    assert len(usual[0]) == 30
    assert_allclose((cut[2][0], cut[3][0]), (-LONGEST * 0.6, LONGEST * 0.8))
    assert "500'" in texts_of(figure)


def test_of_very_many_the_means_of_neighbours_are_drawn_and_the_longest_gross_ones() -> None:
    """Forty places with twenty arrivals each, half of them 3' and half 5' to the east of what is expected: 4'."""
    places = [(az, alt) for az in range(0, 360, 36) for alt in (15, 35, 55, 75)]
    residuals = [Residual(az, alt, 3.0 + 2 * (n % 2), 0.0) for az, alt in places for n in range(20)]
    gross = [Residual(45.0, 45.0, 0.0, 500.0 + n) for n in range(30)]
    figure = figure_of(residuals_picture(fit_of([*residuals, *gross])))
    usual, cut = arrows(figure)
    assert len(usual[0]) <= len(places)
    assert_allclose(usual[2], -USUAL_LENGTH)
    assert_allclose(usual[3], 0, atol=1e-12)
    assert len(cut[0]) == NUMBERED
    said = texts_of(figure)
    assert "529'" in said
    assert "500'" not in said
    assert "each arrow: the mean\nof neighbouring arrivals;\nup is north, left is east" in said


def test_the_mean_of_neighbours_is_at_their_mean_place_and_a_few_alone_are_none() -> None:
    four = [Arrow(0.01, 0.02, 4.0, -2.0), Arrow(0.03, 0.06, 0.0, 6.0)] * 2
    (mean,) = means_of([*four, *[Arrow(0.9, 0.1, 1.0, 1.0)] * 3])
    assert astuple(mean) == pytest.approx((0.02, 0.04, 2.0, 2.0))


def test_the_arrow_of_the_scale_is_as_long_as_it_says() -> None:
    figure = figure_of(residuals_picture(fit_of(THREE)))
    sky = figure.axes[0]
    (scale,) = [text for text in sky.texts if getattr(text, "arrow_patch", None) is not None]
    (end, _), (start, _) = scale.xy, scale.get_position()  # type: ignore[attr-defined]
    assert f"{(end - start) * arcmin_of_unit(THREE):g}'" in texts_of(figure)


def test_what_is_below_the_horizon_is_in_the_table_and_not_in_the_sky() -> None:
    found = residuals_picture(fit_of([THREE[0], Residual(10.0, -2.0, 1.0, 1.0)]))
    assert len(found.rows) == 2
    assert len(arrows(figure_of(found))[0][0]) == 1


def test_it_says_in_words_what_is_drawn() -> None:
    found = residuals_picture(fit_of(THREE))
    assert [hypot(one.east_arcmin, one.north_arcmin) for one in THREE] == [5, 10, 5]
    assert found.description == (
        "3 arrivals; half of the arrows are shorter than 5.0', the longest is 10'. "
        "cone error: -11.0' ± 0.5'. sag: not determined. scatter per axis: 2.0' ± 0.1'."
    )
    assert found.rows[1] == ("180.0°", "45.0°", "+0.0'", "-10.0'")
    assert {"N", "E", "S", "W", "30°", "60°", "cone error", "not determined"} <= set(
        texts_of(figure_of(found))
    )


def test_terms_of_several_eras_are_told_apart_by_their_beginning() -> None:
    terms = [MechanicalTerm(date(2026, month, 5), "cone", Estimate(month, 0.5, 9, True)) for month in (1, 2)]
    assert "cone error 2026-02-05" in texts_of(figure_of(residuals_picture(fit_of(THREE, mechanical=terms))))


@pytest.mark.parametrize("mount", ["Heron", '<script>"&' + "x" * 10_000, "\u202egniw"])
@pytest.mark.parametrize("residuals", [[], THREE[:1], [Residual(1.0, 2.0, 0.0, 0.0)], THREE * 170])
def test_it_is_drawn_whatever_there_is(mount: str, residuals: list[Residual]) -> None:
    ElementTree.fromstring(inline_svg(residuals_picture(fit_of(residuals, mount=mount))))


def test_the_degrees_of_the_circles_stand_clear_of_arrows_and_their_lengths() -> None:
    """Where nothing is in the way they stand in the south; there an arrow goes, with its length at its end."""
    gross = Residual(180.0, 30.0, 0.0, 400.0)
    figure = figure_of(residuals_picture(fit_of([*THREE * 10, gross])))
    sky = figure.axes[0]
    figure.draw_without_rendering()
    words = {text.get_text(): text.get_window_extent() for text in sky.texts}
    for degrees in ("30°", "60°"):
        assert not words[degrees].overlaps(words["400'"])
        assert sky.transData.inverted().transform(words[degrees].get_points()).mean(axis=0)[
            0
        ] != pytest.approx(0)


def test_gross_arrows_have_the_colour_of_a_warning() -> None:
    figure = figure_of(residuals_picture(fit_of([*THREE * 10, Residual(45.0, 45.0, 300.0, 400.0)])))
    assert LIGHT.warning in {text.get_color() for text in figure.axes[0].texts if text.get_text() == "500'"}
