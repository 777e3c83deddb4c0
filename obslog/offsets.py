"""Arrival offsets as people write them in the dark: `3E 2N`, `0.4f W`, `4s E @16x`.

An offset is the object minus the field centre, on the sky. A part is a number, a unit and a direction: arcminutes (no
unit or '), arcseconds ("), degrees (d), a fraction of the true field's diameter (f), or seconds of centring at a
stated multiple of the sidereal rate (s, with @16x). A direction that is not named is zero.
"""

import math
import re
from dataclasses import dataclass

from obslog.errors import WrongInput
from obslog.vocabulary import Landing

# Rotation of the Earth to the stars, arcseconds per second of time (IERS Conventions 2010; 15 x 1.002737812).
SIDEREAL_ARCSEC_PER_S = 15.041067

_PART = re.compile(
    r"""(?P<value>\d+(?:\.\d+)?|\.\d+)\s*(?P<unit>['"fsd]|deg)?\s*(?P<side>[NSEW])(?![A-Z])""", re.IGNORECASE
)
_RATE = re.compile(r"@\s*(?P<rate>\d+(?:\.\d+)?)\s*x(?![a-z])", re.IGNORECASE)
_ARCMIN = {"'": 1.0, '"': 1 / 60, "d": 60.0, "deg": 60.0}


class UnreadableOffset(WrongInput):
    def __init__(self, text: str, why: str) -> None:
        super().__init__(
            f"The offset {text!r} cannot be read: {why}.",
            "Write it like 3E 2N (arcminutes), 0.4f W (of the field) or 4s E @16x (centring time and rate).",
        )


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


def read_offset(text: str) -> WrittenOffset:
    """Read an offset; raises UnreadableOffset with the reason."""
    rates = list(_RATE.finditer(text))
    parts = list(_PART.finditer(_RATE.sub(" ", text)))
    rest = _PART.sub("", _RATE.sub(" ", text)).replace(",", "").strip()
    if rest or not parts:
        raise UnreadableOffset(text, f"{rest or text!r} is not an amount with a direction N, S, E or W")
    east = [p for p in parts if p["side"].upper() in "EW"]
    north = [p for p in parts if p["side"].upper() in "NS"]
    if len(east) > 1 or len(north) > 1:
        raise UnreadableOffset(text, "the same line of direction is named twice")
    if len(rates) > 1:
        raise UnreadableOffset(text, "the rate is named twice")
    timed = any((p["unit"] or "").lower() == "s" for p in parts)
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
        rate=float(rates[0]["rate"]) if rates else None,
    )


OffsetOrLanding = WrittenOffset | Landing
_LANDINGS = {landing.value: landing for landing in Landing} | {"centered": Landing.CENTRED}
"""By their words, with the other spelling; no bare "center", in which names end (the galactic center)."""


def read_offset_or_landing(text: str) -> OffsetOrLanding:
    """Where an object stood on arrival: a landing in a word, in any case, or an offset. Raises UnreadableOffset."""
    return _LANDINGS.get(text.strip().lower()) or read_offset(text)


def looks_like_offset(text: str) -> bool:
    """True where a person surely meant an offset: every word is an amount with a unit or direction, or a rate."""
    return all(
        re.fullmatch(
            r"[+-]?\d*[.,]?\d+(e[+-]?\d+)?['\"fsd]?[a-z]?|[+-]?(nan|inf)[nsew]?|@\d+x?|[nsew]",
            word,
            re.IGNORECASE,
        )
        for word in text.split()
    )


def _signed(parts: list[re.Match[str]], positive: str) -> tuple[float, str]:
    if not parts:
        return 0.0, "'"
    part = parts[0]
    sign = 1.0 if part["side"].upper() == positive else -1.0
    return sign * float(part["value"]), (part["unit"] or "'").lower()


def offset_words(east_arcmin: float, north_arcmin: float) -> str:
    """An offset as one would write it: 3.0E 2.0N."""
    east = f"{abs(east_arcmin):.1f}{'E' if east_arcmin >= 0 else 'W'}"
    return f"{east} {abs(north_arcmin):.1f}{'N' if north_arcmin >= 0 else 'S'}"
