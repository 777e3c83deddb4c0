"""What is written on tubes and eyepieces, as people say it: `200 f/5`, `8 in f/6`, `200/1000`, `25 mm 52°`."""

import re

from obslog.errors import WrongInput

MM_PER_INCH = 25.4
# No tube that is recorded for its pointing has a smaller aperture; that many inches is a usual one.
SMALLEST_WITHOUT_UNIT_MM = 40.0

# A comma is a decimal one before a single digit only: 200,1000 and 25,52 are two numbers.
_NUMBER = r"\d+(?:\.\d+|,\d(?!\d))?"
_UNIT = r"mm|cm|m|inches|inch|in|\"|\u201d|\u2033"
_LENGTH = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})?", re.IGNORECASE)
_RATIO = re.compile(rf"(?:f\s*/?|1\s*:)\s*(?P<ratio>{_NUMBER})", re.IGNORECASE)
_APERTURE_FIRST = re.compile(
    rf"(?P<aperture>{_NUMBER}\s*(?:{_UNIT})?)(?:(?:[\s,;/x×]+|(?=f))(?P<more>.+))?", re.IGNORECASE
)
_EYEPIECE = re.compile(
    rf"(?P<focal>{_NUMBER})\s*(?:mm)?(?:[\s,;/]+(?P<field>{_NUMBER})\s*(?:°|deg|degrees)?)?", re.IGNORECASE
)
_FIELD = re.compile(rf"(?P<field>{_NUMBER})\s*(?:°|deg|degrees)?", re.IGNORECASE)
_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


class UnreadableOptics(WrongInput):
    def __init__(self, what: str, text: str, example: str) -> None:
        super().__init__(f"{what} {text.strip()!r} cannot be read.", f"Write it like {example}.")


class ShorterThanWide(WrongInput):
    def __init__(self, aperture_mm: float, focal_mm: float) -> None:
        super().__init__(
            f"A focal length of {focal_mm:g} mm is less than the aperture of {aperture_mm:g} mm.",
            "The aperture comes first, then the focal length; check both.",
        )


class WhichUnit(WrongInput):
    """An aperture so small that inches may be meant."""

    def __init__(self, number: float) -> None:
        super().__init__(
            f"An aperture of {number:g} may be millimetres or inches.",
            f"Write {number:g} mm or {number:g} in.",
        )


def read_aperture_mm(text: str) -> tuple[float, float | None]:
    """The aperture, and the focal length where it is told too, by itself or as an f-ratio; both in mm.

    Raises UnreadableOptics, WhichUnit, ShorterThanWide.
    """
    found = _APERTURE_FIRST.fullmatch(text.strip())
    if found is None:
        raise UnreadableOptics("The aperture", text, "200, 8 in, 200 f/5 or 200/1000")
    aperture = _LENGTH.fullmatch(found["aperture"].strip())
    assert aperture is not None, "the pattern above holds it"
    if aperture["unit"] is None and _number(aperture["number"]) < SMALLEST_WITHOUT_UNIT_MM:
        raise WhichUnit(_number(aperture["number"]))
    aperture_mm = _in_mm(aperture)
    return aperture_mm, read_focal_mm(found["more"], aperture_mm) if found["more"] else None


def read_focal_mm(text: str, aperture_mm: float | None) -> float:
    """The focal length of a tube in mm, told by itself or, of an aperture that is known, as an f-ratio.

    Raises UnreadableOptics, ShorterThanWide: no tube is faster than f/1.
    """
    ratio = _RATIO.fullmatch(text.strip())
    if ratio is not None and aperture_mm is not None:
        focal_mm = round(aperture_mm * _number(ratio["ratio"]), 1)
    else:
        length = _LENGTH.fullmatch(text.strip())
        if length is None:
            raise UnreadableOptics("The focal length", text, "1000" if aperture_mm is None else "1000 or f/5")
        focal_mm = _in_mm(length)
    if aperture_mm is not None and focal_mm < aperture_mm:
        raise ShorterThanWide(aperture_mm, focal_mm)
    return focal_mm


def read_eyepiece(text: str) -> tuple[float, float | None]:
    """The focal length of an eyepiece in mm, and its apparent field in degrees where that is told too.

    Raises UnreadableOptics.
    """
    found = _EYEPIECE.fullmatch(text.strip())
    if found is None:
        raise UnreadableOptics("The focal length", text, "25, or 25 mm 52°")
    return _number(found["focal"]), _number(found["field"]) if found["field"] else None


def read_field_deg(text: str) -> float:
    """An apparent field in degrees. Raises UnreadableOptics."""
    found = _FIELD.fullmatch(text.strip())
    if found is None:
        raise UnreadableOptics("The apparent field", text, "52 or 52°")
    return _number(found["field"])


def _in_mm(length: re.Match[str]) -> float:
    unit = (length["unit"] or "mm").casefold()
    return round(_number(length["number"]) * _MM.get(unit, MM_PER_INCH), 6)


def _number(text: str) -> float:
    return float(text.replace(",", "."))
