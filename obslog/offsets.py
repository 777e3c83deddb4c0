"""Arrival offsets as people write them in the dark: `3E 2N`, `0.4f W`, `4s E @16x`.

An offset is the object minus the field centre, on the sky. A part is a number, a unit and a direction: arcminutes (no
unit or '), arcseconds (" or arcsec), degrees (d or °), a fraction of the true field's diameter (f), or seconds of
centring at a stated multiple of the sidereal rate (s, with @16x). A direction that is not named is zero. The directions
may be whole words (`3 east`) or stand before the numbers instead (`E3 N2`), and a decimal comma is read where it can be
nothing else.
"""

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches

from obslog.errors import WrongInput
from obslog.vocabulary.arrivals import Landing

# Rotation of the Earth to the stars, arcseconds per second of time (IERS Conventions 2010; 15 x 1.002737812).
SIDEREAL_ARCSEC_PER_S = 15.041067

_AMOUNT = r"(\d+(?:[.,]\d+)?|\.\d+)"
_UNIT = r"(arcsec|arcmin|deg|['\"°fsd])?"
_SIDE = "(north|south|east|west|[NSEW])"
_PART = re.compile(rf"{_AMOUNT}\s*{_UNIT}\s*{_SIDE}(?![A-Z])", re.IGNORECASE)
# Patterns as texts: compiled only where an offset has such a part, for a quick verb waits for each.
_SIDE_FIRST = rf"([NSEW])\s*{_AMOUNT}\s*{_UNIT}"
_SIDES_FIRST = rf"(?i:{_SIDE_FIRST}(?:[\s,]*{_SIDE_FIRST})?)"
_RATE = r"(?i:@\s*(\d+(?:\.\d+)?)\s*x(?![a-z]))"
_THOUSANDS = r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?!\d)"
SAME_WORD_MISSPELT = 0.7
_ARCMIN = {"'": 1.0, '"': 1 / 60, "d": 60.0}
_UNITS = {"": "'", "arcmin": "'", "arcsec": '"', "deg": "d", "°": "d"}
_MARKS = (("′", "'"), ("’", "'"), ("″", '"'), ("”", '"'), ("''", '"'), ("º", "°"))


class UnreadableOffset(WrongInput):
    def __init__(self, text: str, why: str) -> None:
        super().__init__(
            f"The offset {text!r} cannot be read: {why}.",
            "Write it like 3E 2N (arcminutes), 30arcsec E, 3d E (degrees), 0.4f W (of the field) or 4s E @16x "
            "(centring time and rate).",
        )


class UnreadableLanding(UnreadableOffset):
    """A word that is no landing, but close to one."""

    def __init__(self, text: str, near: str) -> None:
        WrongInput.__init__(self, f"{text!r} is no place where an object stands.", f"Did you mean {near}?")


class OffsetNeedsField(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "The offset is a fraction of the field, but the field is not known.",
            "Name the eyepiece: --eyepiece NAME, or the true field in arcminutes: --field 42.",
        )


class OffsetNeedsDeclination(WrongInput):
    def __init__(self, target: str) -> None:
        super().__init__(
            f"A centring time east or west needs the declination, and {target!r} is not a known star or object.",
            "Give the offset in arcminutes, like 3E, or the place: --ra HOURS --dec DEG.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenOffset:
    """An offset as it was written: signed amounts (east and north positive) with their units."""

    east: float
    east_unit: str
    north: float
    north_unit: str
    rate: float | None

    @property
    def uses_centring_time(self) -> bool:
        return "s" in (self.east_unit, self.north_unit)

    def in_arcmin(
        self, field_arcmin: float | None, dec_deg: float | None, target: str
    ) -> tuple[float, float]:
        """East and north in arcminutes on the sky.

        The hour axis turns `rate` times the sidereal rate, which on the sky is less by cos(declination); the
        declination axis is not shortened. Raises OffsetNeedsField or OffsetNeedsDeclination where these are missing.
        """
        east_arcmin = self._part_arcmin(self.east, self.east_unit, field_arcmin)
        if self.east_unit == "s" and self.east:
            if dec_deg is None:
                raise OffsetNeedsDeclination(target)
            east_arcmin *= math.cos(math.radians(dec_deg))
        return east_arcmin, self._part_arcmin(self.north, self.north_unit, field_arcmin)

    def _part_arcmin(self, amount: float, unit: str, field_arcmin: float | None) -> float:
        if unit == "f":
            if field_arcmin is None:
                raise OffsetNeedsField
            return amount * field_arcmin
        if unit == "s":
            return amount * (self.rate or 0.0) * SIDEREAL_ARCSEC_PER_S / 60
        return amount * _ARCMIN[unit]


_Part = tuple[str, str, str]
"""Amount, unit and side, as they were written."""


def read_offset(text: str) -> WrittenOffset:
    """Read an offset; raises UnreadableOffset with the reason."""
    plain = text
    for mark, usual in _MARKS:
        plain = plain.replace(mark, usual)
    if "," in plain and (thousands := re.search(_THOUSANDS, plain)):
        point = thousands[0].replace(",", ".")
        raise UnreadableOffset(text, f"{thousands[0]!r} may be {point} or {thousands[0].replace(',', '')}")
    rates = {float(rate) for rate in re.findall(_RATE, plain)} if "@" in plain else set()
    parts = _parts(text, re.sub(_RATE, " ", plain) if "@" in plain else plain)
    east = [part for part in parts if part[2].upper() in "EW"]
    north = [part for part in parts if part[2].upper() in "NS"]
    if len(east) > 1 or len(north) > 1:
        raise UnreadableOffset(text, "the same line of direction is named twice")
    if len(rates) > 1:
        raise UnreadableOffset(text, "two rates are named")
    timed = any(unit.lower() == "s" for _, unit, _ in parts)
    if timed != bool(rates):
        raise UnreadableOffset(
            text, "a time needs a rate such as @16x" if timed else "a rate needs a time such as 4s"
        )
    (east_amount, east_unit), (north_amount, north_unit) = _signed(east, "E"), _signed(north, "N")
    return WrittenOffset(
        east=east_amount,
        east_unit=east_unit,
        north=north_amount,
        north_unit=north_unit,
        rate=rates.pop() if rates else None,
    )


def _parts(text: str, plain: str) -> list[_Part]:
    """The parts of an offset without its rate. Raises UnreadableOffset for `text` where anything else stands there."""
    if plain.strip()[:1].isalpha() and (sides_first := re.fullmatch(_SIDES_FIRST, plain.strip())):
        first, second = sides_first.groups("")[:3], sides_first.groups("")[3:]
        return [(amount, unit, side) for side, amount, unit in (first, second) if side]
    parts = [(part[1], part[2] or "", part[3][0]) for part in _PART.finditer(plain)]
    rest = " ".join(_PART.sub(" ", plain).replace(",", " ").split())
    if rest or not parts:
        raise UnreadableOffset(text, f"{rest or text!r} is not an amount with a direction N, S, E or W")
    return parts


OffsetOrLanding = WrittenOffset | Landing
_LANDINGS = {landing.value: landing for landing in Landing} | {
    "centered": Landing.CENTRED,
    "in field": Landing.IN,
    "in the field": Landing.IN,
    "edge of field": Landing.EDGE,
    "edge of the field": Landing.EDGE,
    "in finder": Landing.FINDER,
    "in the finder": Landing.FINDER,
    "not found": Landing.LOST,
}
"""By their words, and as people say them; no bare "center", in which names end (the galactic center)."""


def read_offset_or_landing(text: str) -> OffsetOrLanding:
    """Where an object stood on arrival: a landing in a word, in any case, or an offset.

    Raises UnreadableOffset, UnreadableLanding.
    """
    word = text.strip().lower()
    if word in _LANDINGS:
        return _LANDINGS[word]
    try:
        return read_offset(text)
    except UnreadableOffset:
        near = get_close_matches(word, list(Landing), n=1, cutoff=SAME_WORD_MISSPELT)
        if near:
            raise UnreadableLanding(text.strip(), near[0]) from None
        raise


def is_offset_or_landing(text: str) -> bool:
    """Whether `read_offset_or_landing` reads it; quicker than asking that, for what was meant is not looked for."""
    if not any(c.isdigit() for c in text):
        return text.strip().lower() in _LANDINGS
    try:
        read_offset(text)
    except UnreadableOffset:
        return False
    return True


def looks_like_offset(text: str) -> bool:
    """True where a person surely meant an offset: every word is an amount with a unit or direction, or a rate."""
    return all(
        re.fullmatch(
            r"[+-]?\d*[.,]?\d+(e[+-]?\d+)?(arcsec|arcmin|deg|['\"°fsd])?[a-z]?|[nsew]\d*[.,]?\d+['\"°fsd]?"
            r"|[+-]?(nan|inf)[nsew]?|@\d+x?|[nsew]",
            word,
            re.IGNORECASE,
        )
        for word in text.split()
    )


def _signed(parts: list[_Part], positive: str) -> tuple[float, str]:
    if not parts:
        return 0.0, "'"
    ((amount, unit, side),) = parts
    sign = 1.0 if side.upper() == positive else -1.0
    unit = unit.lower()
    return sign * float(amount.replace(",", ".")), _UNITS.get(unit, unit)


def offset_words(east_arcmin: float, north_arcmin: float) -> str:
    """An offset as one would write it: 3.0E 2.0N."""
    east = f"{abs(east_arcmin):.1f}{'E' if east_arcmin >= 0 else 'W'}"
    return f"{east} {abs(north_arcmin):.1f}{'N' if north_arcmin >= 0 else 'S'}"
