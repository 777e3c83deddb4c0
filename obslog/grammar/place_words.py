"""Where something is on the Earth, as people write it or copy it from a map; and a place said back in words.

Latitude north positive, longitude east positive, both in degrees. What can be meant in two ways is refused.
"""

import re

from obslog.angles import read_latitude_deg, read_longitude_deg
from obslog.errors import OutOfRange, WrongInput

EXAMPLE = "52.2 0.12, 52°12'N 0°7'E, or 52 12 30 N, 0 7 12 E"

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("\u2032\u2019\u2018\u00b4\u02b9`", "'"),
        **dict.fromkeys("\u2033\u201d\u201c\u201e\u02ba", '"'),
        **dict.fromkeys("\u00ba\u02da", "°"),
        **dict.fromkeys("\u2212\u2013\u2011", "-"),
        **dict.fromkeys("()[]", " "),
    }
)
# Words for what signs say as well; a letter behind would make another word of it.
_UNITS = (
    (re.compile(r"(?<=\d)\s*(?:degrees?|deg|d)(?![a-z])", re.IGNORECASE), "°"),
    (re.compile(r"(?<=\d)\s*(?:minutes?|min|m)(?![a-z])", re.IGNORECASE), "'"),
    (re.compile(r"(?<=\d)\s*(?:seconds?|sec|''|s(?=\s*[nsew]))", re.IGNORECASE), '"'),
)
_SIDES = re.compile(r"\b(north|south|east|west)\b", re.IGNORECASE)
_LABELLED = re.compile(
    r"^\s*(?P<first>lat|lon)[a-z]*\b[:=.\s]*(?P<one>.+?)[,;\s]*\b(?P<second>lat|lon)[a-z]*\b[:=.\s]*(?P<two>.+)$",
    re.IGNORECASE,
)
_GEO = re.compile(
    r"^\s*geo:(?P<lat>[-+]?[\d.]+),(?P<lon>[-+]?[\d.]+)(?:,[-+]?[\d.]+)?(?:[;?].*)?$", re.IGNORECASE
)
_LETTER_BEHIND = re.compile(r"^(?P<one>[^nsew]+[nsew])[,;\s]*(?P<two>[^nsew]+[nsew])$", re.IGNORECASE)
_LETTER_BEFORE = re.compile(r"^(?P<one>[nsew][^nsew]+?)[,;\s]*(?P<two>[nsew][^nsew]+)$", re.IGNORECASE)
_ANY_LETTER = re.compile(r"[nsew]", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_DEGREES = re.compile(r"[-+]?\d+(?:[.,]\d+)?\s*°")
_TWO_NUMBERS = 2, 4, 6  # degrees; degrees and minutes; degrees, minutes and seconds: as many for each


class UnreadablePlace(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"The place {text.strip()!r} cannot be read.", f"Give latitude, then longitude, like {EXAMPLE}."
        )


class TwoPlacesMeant(WrongInput):
    """A comma that may part two numbers or stand in one."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The commas in {text.strip()!r} can be read in more than one way.",
            "Put a semicolon between latitude and longitude, like 52,2; 0,12.",
        )


class SideMissing(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text.strip()!r} says the side of one of its numbers only.",
            "Give both letters, N or S and E or W, or none.",
        )


class LongitudeFirst(WrongInput):
    def __init__(self, lat_deg: float, lon_deg: float) -> None:
        super().__init__(
            f"{lat_deg:g} cannot be a latitude, which comes first: it goes from -90 to 90.",
            f"Did you mean {lon_deg:g} {lat_deg:g}, {place_in_words(lon_deg, lat_deg)}?",
        )


def read_place(text: str) -> tuple[float, float]:
    """Latitude and longitude of a place as people write it; with letters for the sides in any order.

    Raises UnreadablePlace, TwoPlacesMeant, SideMissing, LongitudeFirst; NotANumber and OutOfRange for a part of it.
    """
    geo = _GEO.match(text)
    if geo:
        return _latitude_first(geo["lat"], geo["lon"])
    plain = _in_signs(text)
    labelled = _LABELLED.match(plain)
    if labelled:
        if labelled["first"].casefold() == labelled["second"].casefold():
            raise UnreadablePlace(text)
        halves = _tidy(labelled["one"]), _tidy(labelled["two"])
        return _latitude_first(*(halves if labelled["first"].casefold() == "lat" else halves[::-1]))
    one, two = (_tidy(half) for half in _halves(plain, text))
    return (
        _latitude_first(two, one)
        if one.endswith(("E", "W")) and two.endswith(("N", "S"))
        else _latitude_first(one, two)
    )


def place_in_words(lat_deg: float, lon_deg: float) -> str:
    """`52.2° north, 0.12° east`: to five decimals, which is a metre."""
    return f"{_in_words(lat_deg, 'north', 'south')}, {_in_words(lon_deg, 'east', 'west')}"


def _in_words(value_deg: float, positive: str, negative: str) -> str:
    size = f"{abs(value_deg):.5f}".rstrip("0").rstrip(".")
    return f"{size}° {negative if value_deg < 0 and float(size) else positive}"


def _in_signs(text: str) -> str:
    """The text with one sign for each meaning, and a letter for each side."""
    plain = _SIDES.sub(lambda side: side[0][0].upper(), text.translate(_ALIKE).strip())
    for words, sign in _UNITS:
        plain = words.sub(sign, plain)
    return " ".join(plain.split())


def _halves(plain: str, text: str) -> tuple[str, str]:
    """What is written of the latitude and of the longitude, or the other way round."""
    letters = _LETTER_BEHIND.match(plain) or _LETTER_BEFORE.match(plain)
    if letters:
        return letters["one"], letters["two"]
    found = len(_ANY_LETTER.findall(plain))
    if found:
        raise SideMissing(text) if found == 1 and len(_NUMBER.findall(plain)) > 1 else UnreadablePlace(text)
    for sign in (";", "/"):
        if plain.count(sign) == 1:
            one, _, two = plain.partition(sign)
            return one, two
    return _parted_by_comma(plain, text) or _parted_by_numbers(plain, text)


def _parted_by_comma(plain: str, text: str) -> tuple[str, str] | None:
    """The halves at the one comma that can part them; None where the commas there are stand inside numbers.

    A comma between two digits may be a decimal comma; not so where a point stands in a number beside it.
    """
    parting = re.findall(r",(?!\d)|(?<!\d),", plain)
    if len(parting) == 1:
        one, two = re.split(r",(?!\d)|(?<!\d),", plain)
        return one, two
    inside = len(_DECIMAL_COMMA.findall(plain))
    if parting or inside == 0:
        return None
    if inside == 1 and "." in plain:
        one, two = plain.split(",")
        return one, two
    if inside == 1 and " " not in plain:
        raise TwoPlacesMeant(text)
    if inside > 2:
        raise TwoPlacesMeant(text)
    return None


def _parted_by_numbers(plain: str, text: str) -> tuple[str, str]:
    """The halves by what they hold: a degree sign each, a sign before the second, or as many numbers each."""
    degrees = list(_DEGREES.finditer(plain))
    if len(degrees) == 2 and degrees[0].start() == 0:
        return plain[: degrees[1].start()], plain[degrees[1].start() :]
    parts = plain.split()
    signed = [place for place, part in enumerate(parts) if place and part.startswith(("+", "-"))]
    if len(signed) == 1:
        middle = signed[0]
    elif not signed and len(parts) in _TWO_NUMBERS:
        middle = len(parts) // 2
    else:
        raise UnreadablePlace(text)
    return " ".join(parts[:middle]), " ".join(parts[middle:])


def _tidy(half: str) -> str:
    """One number with its side behind it and a decimal point."""
    half = half.strip(" ,;")
    if _ANY_LETTER.match(half):
        half = f"{half[1:].strip()} {half[0]}"
    if half.endswith(tuple("nsew")):
        half = half[:-1] + half[-1].upper()
    return _DECIMAL_COMMA.sub(".", half)


def _latitude_first(lat: str, lon: str) -> tuple[float, float]:
    try:
        lat_deg = read_latitude_deg(lat)
    except OutOfRange:
        turned = _turned(lat, lon)
        if turned is None:
            raise
        raise LongitudeFirst(*turned) from None
    return lat_deg, read_longitude_deg(lon)


def _turned(lat: str, lon: str) -> tuple[float, float] | None:
    """The two numbers, where they are a place once their order is turned round."""
    try:
        return read_longitude_deg(lat), read_latitude_deg(lon)
    except WrongInput:
        return None
