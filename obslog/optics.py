"""Eyepiece and telescope arithmetic.

Every function of an aperture, focal length, power or time takes numbers or arrays, alone or mixed, and gives the
like. Where one of them is not above zero there is no answer: nan. Angles are in the unit that the name says.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.errors import OutOfRange

# Turn of the Earth relative to the stars, 15 x 1.00273781191135448 arcseconds a second (IAU 2000 rotation angle).
SIDEREAL_RATE_ARCSEC_PER_S = 15.041067178670205
MM_PER_INCH = 25.4

# Common practice: a young eye in the dark opens to 7 mm; below 0.5 mm an image is dim and empty.
WIDEST_EXIT_PUPIL_MM = 7.0
NARROWEST_EXIT_PUPIL_MM = 0.5


class LimitFormula(StrEnum):
    """Which rule of thumb for the faintest star; they differ by 0.08 mag, and skies and eyes by more than one."""

    INCHES = (
        "9.1 + 5 log10 of the aperture in inches"  # eye 6.5 mag, pupil 7.5 mm; usually credited to Sidgwick
    )
    MILLIMETRES = "2 + 5 log10 of the aperture in millimetres"  # common practice


@dataclass(frozen=True, slots=True)
class View:
    """What one tube shows through one eyepiece; None is unknown."""

    magnification: float
    exit_pupil_mm: float
    focal_ratio: float
    true_field_deg: float | None
    true_field_from: str | None
    dawes_limit_arcsec: float
    rayleigh_limit_arcsec: float
    limiting_magnitude: dict[LimitFormula, float]
    warnings: tuple[str, ...]


def magnification(
    tube_focal_mm: ArrayLike, eyepiece_focal_mm: ArrayLike, barlow: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """How many times larger things look: focal length of the tube, times that of a Barlow lens, by the eyepiece's."""
    return _above_zero(tube_focal_mm) * _above_zero(barlow) / _above_zero(eyepiece_focal_mm)


def exit_pupil_mm(aperture_mm: ArrayLike, power: ArrayLike) -> NDArray[np.float64]:
    """The width of the bundle of light that leaves the eyepiece: aperture by magnification."""
    return _above_zero(aperture_mm) / _above_zero(power)


def focal_ratio(tube_focal_mm: ArrayLike, aperture_mm: ArrayLike) -> NDArray[np.float64]:
    """Focal length by aperture."""
    return _above_zero(tube_focal_mm) / _above_zero(aperture_mm)


def true_field_from_stop_deg(field_stop_mm: ArrayLike, tube_focal_mm: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the ring that bounds it at the focus: exact.

    A tube images the sky on a plane: a star at angle a from the axis stands F tan a from the middle, so the edge of
    a stop of width s is at a = atan(s / 2F). The usual 57.3 s / F is 0.0001 deg too large at 1.5 deg, 0.013 at 8.

    Neglects: distortion and a Barlow lens (give the focal length it makes).
    """
    return np.degrees(2 * np.arctan2(_above_zero(field_stop_mm), 2 * _above_zero(tube_focal_mm)))


def true_field_from_apparent_deg(apparent_field_deg: ArrayLike, power: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the maker's apparent field: apparent field by magnification.

    Neglects: the eyepiece's distortion. One that kept straight lines straight would show 2 atan(tan(a/2) / M), at
    40x 7 % more for 52 deg and 22 % more for 82 deg; real ones lie between. A field stop or a drift is better.
    """
    return _above_zero(apparent_field_deg) / _above_zero(power)


def true_field_from_drift_deg(drift_s: ArrayLike, dec_deg: ArrayLike) -> NDArray[np.float64]:
    """The diameter of the sky seen, from the seconds a star takes across its middle with the drive off: exact.

    With hour angle turning by w t, the star is half of it before and after the middle of the field, and the radius
    is the arc from there: sin(r/2) = cos(dec) sin(w t / 4). For small fields that is w t cos(dec). Sidereal seconds
    are not asked for: w is 15.0411 arcseconds in a second of the clock. At the pole nothing drifts: nan, as for a
    time of a day or more.

    Neglects: refraction (under 0.1 % above 30 deg of altitude).
    """
    turn_deg = _above_zero(drift_s) * SIDEREAL_RATE_ARCSEC_PER_S / 3600
    dec = np.asarray(dec_deg, dtype=np.float64)
    drifts = (np.abs(dec) < 90) & (turn_deg < 360)
    quarter = np.radians(np.where(drifts, turn_deg, np.nan)) / 4
    return np.degrees(4 * np.arcsin(np.cos(np.radians(dec)) * np.sin(quarter)))


def dawes_limit_arcsec(aperture_mm: ArrayLike) -> NDArray[np.float64]:
    """The closest pair of equal, middling bright stars that one sees as two.

    Source: W. R. Dawes 1867, 4.56 arcseconds by the aperture in inches; 116 by millimetres.
    """
    return 116 / _above_zero(aperture_mm)


def rayleigh_limit_arcsec(aperture_mm: ArrayLike, wavelength_nm: ArrayLike = 550.0) -> NDArray[np.float64]:
    """The separation at which the disk of one star lies in the first dark ring of the other: 1.22 wavelengths by aperture.

    Source: Lord Rayleigh 1879; in green light 138 by the aperture in millimetres.
    """
    radians = 1.2196699 * _above_zero(wavelength_nm) * 1e-6 / _above_zero(aperture_mm)
    return np.degrees(radians) * 3600


def limiting_magnitude(aperture_mm: ArrayLike, formula: LimitFormula) -> NDArray[np.float64]:
    """The faintest star, by the rule of thumb that `formula` names.

    Neglects: sky, eye, magnification, glass; any of them is worth more than the tenth that the rules differ by.
    """
    aperture = _above_zero(aperture_mm)
    if formula is LimitFormula.INCHES:
        return 9.1 + 5 * np.log10(aperture / MM_PER_INCH)
    return 2 + 5 * np.log10(aperture)


def view_warnings(aperture_mm: float, power: float) -> list[str]:
    """What a practitioner would say of this magnification, with numbers; nothing where there is nothing to say.

    An exit pupil under 0.5 mm and a magnification above twice the aperture in millimetres are one thing.

    Source: common practice.
    """
    pupil = float(exit_pupil_mm(aperture_mm, power))
    if pupil > WIDEST_EXIT_PUPIL_MM:
        return [
            f"The exit pupil is {pupil:.1f} mm, wider than the {WIDEST_EXIT_PUPIL_MM:g} mm of a young eye in the dark: "
            f"of {aperture_mm:g} mm of aperture the eye uses {WIDEST_EXIT_PUPIL_MM * power:.0f} mm at most."
        ]
    if pupil < NARROWEST_EXIT_PUPIL_MM:
        return [
            f"The exit pupil is {pupil:.2f} mm, under {NARROWEST_EXIT_PUPIL_MM:g} mm: {power:.0f}x is above twice the "
            f"aperture in millimetres ({2 * aperture_mm:.0f}x), the image is dim and shows no more."
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
    _refuse_outside("aperture", aperture_mm, 1, 100_000, "mm")
    _refuse_outside("focal length of the tube", tube_focal_mm, 1, 1_000_000, "mm")
    _refuse_outside("focal length of the eyepiece", eyepiece_focal_mm, 0.5, 1000, "mm")
    _refuse_outside("Barlow factor", barlow, 0.1, 20)
    power = float(magnification(tube_focal_mm, eyepiece_focal_mm, barlow))
    field, field_from = None, None
    if field_stop_mm is not None:
        _refuse_outside("field stop", field_stop_mm, 0.1, 1000, "mm")
        field, field_from = (
            float(true_field_from_stop_deg(field_stop_mm, tube_focal_mm * barlow)),
            "field stop",
        )
    elif apparent_field_deg is not None:
        _refuse_outside("apparent field", apparent_field_deg, 1, 179, "degrees")
        field, field_from = float(true_field_from_apparent_deg(apparent_field_deg, power)), "apparent field"
    return View(
        magnification=power,
        exit_pupil_mm=float(exit_pupil_mm(aperture_mm, power)),
        focal_ratio=float(focal_ratio(tube_focal_mm * barlow, aperture_mm)),
        true_field_deg=field,
        true_field_from=field_from,
        dawes_limit_arcsec=float(dawes_limit_arcsec(aperture_mm)),
        rayleigh_limit_arcsec=float(rayleigh_limit_arcsec(aperture_mm)),
        limiting_magnitude={
            formula: float(limiting_magnitude(aperture_mm, formula)) for formula in LimitFormula
        },
        warnings=tuple(view_warnings(aperture_mm, power)),
    )


def _above_zero(value: ArrayLike) -> NDArray[np.float64]:
    numbers = np.asarray(value, dtype=np.float64)
    return np.where(numbers > 0, numbers, np.nan)


def _refuse_outside(what: str, value: float, low: float, high: float, unit: str = "") -> None:
    if not low <= value <= high:
        raise OutOfRange(f"The {what}", value, low, high, unit)
