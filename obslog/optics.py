"""Eyepiece and telescope arithmetic.

Functions of an aperture, focal length, power or time take numbers or arrays, alone or mixed, and give the
like. Where one of them is not above zero there is no answer: nan.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog import fields

# Turn of the Earth relative to the stars: 15 x 1.00273781191135448 (IAU 2000, Earth rotation angle).
SIDEREAL_RATE_ARCSEC_PER_S = 15.04106717867032
AIRY_DARK_RING = 1.2196698912665045  # first zero of the Bessel function J1, divided by pi
MM_PER_INCH = 25.4

# Common practice: a young eye in the dark opens to 7 mm; below 0.5 mm an image is dim and empty.
WIDEST_EXIT_PUPIL_MM = 7.0
NARROWEST_EXIT_PUPIL_MM = 0.5


class LimitFormula(StrEnum):
    """Rules of thumb for the faintest star; they differ by 0.08 mag, skies and eyes by more than one."""

    INCHES = "9.1 + 5 log10 of the aperture in inches"
    """For an eye that reaches 6.5 mag; credited to Sidgwick."""
    MILLIMETRES = "2 + 5 log10 of the aperture in millimetres"
    """Common practice."""


@dataclass(frozen=True, slots=True)
class FaintestStar:
    """The faintest star that a rule of thumb gives an aperture."""

    rule: LimitFormula
    magnitude: float


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What one tube shows through one eyepiece; None is unknown."""

    magnification: float
    exit_pupil_mm: float
    focal_ratio: float
    true_field_deg: float | None
    true_field_from: str | None
    dawes_limit_arcsec: float
    rayleigh_limit_arcsec: float
    limiting_magnitude: list[FaintestStar]
    warnings: tuple[str, ...]


def magnification(
    tube_focal_mm: ArrayLike, eyepiece_focal_mm: ArrayLike, barlow: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """How many times larger things look: focal length of the tube, times a Barlow lens, by the eyepiece's."""
    return _above_zero(tube_focal_mm) * _above_zero(barlow) / _above_zero(eyepiece_focal_mm)


def exit_pupil_mm(aperture_mm: ArrayLike, power: ArrayLike) -> NDArray[np.float64]:
    """The width of the bundle of light that leaves the eyepiece: aperture by magnification."""
    return _above_zero(aperture_mm) / _above_zero(power)


def focal_ratio(tube_focal_mm: ArrayLike, aperture_mm: ArrayLike) -> NDArray[np.float64]:
    """Focal length by aperture."""
    return _above_zero(tube_focal_mm) / _above_zero(aperture_mm)


def true_field_from_stop_deg(field_stop_mm: ArrayLike, tube_focal_mm: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the ring that bounds it at the focus: exact.

    A tube images the sky on a plane: a star at angle a from the axis stands F tan a from the middle, so that
    the edge of a stop of width s is at a = atan(s / 2F). The usual 57.3 s / F is too large, by 0.0001 deg for
    a field of 1.5 deg and by 0.013 deg for one of 8 deg.

    Neglects: distortion in the tube. With a Barlow lens, give the focal length that it makes.
    """
    return 2 * _degrees(np.arctan2(_above_zero(field_stop_mm), 2 * _above_zero(tube_focal_mm)))


def true_field_from_apparent_deg(apparent_field_deg: ArrayLike, power: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the maker's apparent field: apparent field by magnification.

    Neglects: the eyepiece's distortion. One that keeps straight lines straight shows 2 atan(tan(a/2) / M), at
    40x 7 % more for 52 deg and 21 % more for 82 deg. The field stop or a drift says what is true.
    """
    return _above_zero(apparent_field_deg) / _above_zero(power)


def true_field_from_drift_deg(drift_s: ArrayLike, dec_deg: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the seconds a star takes across its middle, drive off: exact.

    In half the time t the star turns by w t / 2 from the middle of the field to its edge, along its parallel;
    the radius r is the arc between: sin(r/2) = cos(dec) sin(w t / 4). For small fields r is w t cos(dec) / 2.
    w is 15.0411 arcseconds in a second of an ordinary clock, not 15. At the pole nothing drifts: nan, as for
    a time of a sidereal day or more.

    Neglects: refraction, which squeezes the sky by 0.1 % at 30 deg of altitude and by less above.
    """
    turn_deg = _above_zero(drift_s) * SIDEREAL_RATE_ARCSEC_PER_S / 3600
    dec = np.asarray(dec_deg, dtype=np.float64)
    drifts = (np.abs(dec) < 90) & (turn_deg < 360)
    quarter_turn = np.radians(np.where(drifts, turn_deg, np.nan)) / 4
    return 4 * _degrees(np.arcsin(np.cos(np.radians(dec)) * np.sin(quarter_turn)))


def dawes_limit_arcsec(aperture_mm: ArrayLike) -> NDArray[np.float64]:
    """The closest pair of equal stars, neither bright nor faint, that one sees as two.

    Source: W. R. Dawes 1867, 4.56 arcseconds by the aperture in inches; 116 by millimetres.
    """
    return 116 / _above_zero(aperture_mm)


def rayleigh_limit_arcsec(aperture_mm: ArrayLike, wavelength_nm: ArrayLike = 550.0) -> NDArray[np.float64]:
    """The separation that puts one star on the first dark ring of the other: 1.22 wavelengths by aperture.

    Source: Lord Rayleigh 1879; in green light 138 arcseconds by the aperture in millimetres.
    """
    wavelength_mm = _above_zero(wavelength_nm) * 1e-6
    return 3600 * _degrees(AIRY_DARK_RING * wavelength_mm / _above_zero(aperture_mm))


def limiting_magnitude(aperture_mm: ArrayLike, formula: LimitFormula) -> NDArray[np.float64]:
    """The faintest star, by the rule of thumb that `formula` names.

    Neglects: sky, eye, magnification and glass, each of which may change it by more than half a magnitude.
    """
    aperture = _above_zero(aperture_mm)
    if formula is LimitFormula.INCHES:
        return np.asarray(9.1 + 5 * np.log10(aperture / MM_PER_INCH))
    return np.asarray(2 + 5 * np.log10(aperture))


def view_warnings(aperture_mm: float, power: float) -> list[str]:
    """What a practitioner would warn of at this magnification, in sentences with numbers; often nothing.

    An exit pupil under 0.5 mm and a magnification above twice the aperture in millimetres are one thing.

    Source: common practice.
    """
    pupil_mm = float(exit_pupil_mm(aperture_mm, power))
    if pupil_mm > WIDEST_EXIT_PUPIL_MM:
        used_mm = WIDEST_EXIT_PUPIL_MM * power
        return [
            f"The exit pupil is {pupil_mm:.1f} mm, but a young eye opens to {WIDEST_EXIT_PUPIL_MM:g} mm: "
            f"it uses {used_mm:.0f} mm of the {aperture_mm:g} mm of aperture."
        ]
    if pupil_mm < NARROWEST_EXIT_PUPIL_MM:
        most = aperture_mm / NARROWEST_EXIT_PUPIL_MM
        return [
            f"The exit pupil is {pupil_mm:.2f} mm, under {NARROWEST_EXIT_PUPIL_MM:g} mm: {power:.0f}x is "
            f"over twice the aperture in mm, {most:.0f}x; the image is dim and shows no more."
        ]
    return []


def view_through(
    aperture_mm: float,
    tube_focal_mm: float,
    eyepiece_focal_mm: float,
    apparent_field_deg: float | None = None,
    field_stop_mm: float | None = None,
    barlow: float = 1.0,
) -> View:
    """Everything about one tube and one eyepiece; the true field from the field stop where it is known.

    Raises: OutOfRange, for a length, field or factor that cannot be.
    """
    fields.APERTURE_MM.check(aperture_mm)
    fields.TUBE_FOCAL_MM.check(tube_focal_mm)
    fields.EYEPIECE_FOCAL_MM.check(eyepiece_focal_mm)
    fields.BARLOW.check(barlow)
    power = float(magnification(tube_focal_mm, eyepiece_focal_mm, barlow))
    field_deg, field_from = _true_field(tube_focal_mm * barlow, power, apparent_field_deg, field_stop_mm)
    return View(
        magnification=power,
        exit_pupil_mm=float(exit_pupil_mm(aperture_mm, power)),
        focal_ratio=float(focal_ratio(tube_focal_mm * barlow, aperture_mm)),
        true_field_deg=field_deg,
        true_field_from=field_from,
        dawes_limit_arcsec=float(dawes_limit_arcsec(aperture_mm)),
        rayleigh_limit_arcsec=float(rayleigh_limit_arcsec(aperture_mm)),
        limiting_magnitude=[
            FaintestStar(rule, float(limiting_magnitude(aperture_mm, rule))) for rule in LimitFormula
        ],
        warnings=tuple(view_warnings(aperture_mm, power)),
    )


def _true_field(
    focal_mm: float, power: float, apparent_field_deg: float | None, field_stop_mm: float | None
) -> tuple[float | None, str | None]:
    if field_stop_mm is not None:
        fields.FIELD_STOP_MM.check(field_stop_mm)
        return float(true_field_from_stop_deg(field_stop_mm, focal_mm)), "field stop"
    if apparent_field_deg is not None:
        fields.APPARENT_FIELD_DEG.check(apparent_field_deg)
        return float(true_field_from_apparent_deg(apparent_field_deg, power)), "apparent field"
    return None, None


def _above_zero(value: ArrayLike) -> NDArray[np.float64]:
    numbers = np.asarray(value, dtype=np.float64)
    return np.where(numbers > 0, numbers, np.nan)


def _degrees(angle_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.degrees(angle_rad))
